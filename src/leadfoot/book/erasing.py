"""Erases a student for good: rows and files in one transaction, then their bytes.

SQLite only marks deleted space as free. So deleted content is written over with zeros
(``secure_delete``), the file is written anew from what is left (``VACUUM``), and the side file is
emptied (``wal_checkpoint``); see https://www.sqlite.org/pragma.html#pragma_secure_delete. What the
disk itself keeps of the blocks that the file no longer uses is beyond any program's reach.
"""

import sqlite3
from collections.abc import Callable, Sequence
from contextlib import closing
from datetime import datetime
from pathlib import Path

from sqlalchemy import Connection, Integer, column, delete, insert, select, table

from leadfoot.book.columns import Moment
from leadfoot.book.links import Rows, delete_rows, hanging_on
from leadfoot.book.sqlite_file import erasing_engine, writing_on
from leadfoot.book.tables import Base
from leadfoot.desk.keeping_records import WhoWas
from leadfoot.errors import BookError, NotInBookError

_STUDENTS = table("students", column("id", Integer), column("added_at", Moment))
_MERGES = table(
    "merges",
    column("student_id", Integer),
    column("other_number", Integer),
    column("other_added_at", Moment),
)


def who_is(connection: Connection, student_id: int) -> tuple[WhoWas, ...]:
    """A student, and those that were merged into this one, as copies of the book know them.

    Raises
    ------
    NotInBookError
        If there is no such student.
    """
    own = select(_STUDENTS.c.id, _STUDENTS.c.added_at).where(_STUDENTS.c.id == student_id)
    merged = select(_MERGES.c.other_number, _MERGES.c.other_added_at).where(
        _MERGES.c.student_id == student_id
    )
    rows = connection.execute(own).all()
    if not rows:
        raise NotInBookError("student", student_id)
    return tuple(
        WhoWas(number=number, added_at=added_at)
        for number, added_at in [*rows, *connection.execute(merged).all()]
    )


def there(connection: Connection, who: Sequence[WhoWas]) -> set[int]:
    """Numbers of those who are in a book; a number alone could be another student's by now."""
    return {
        one.number
        for one in who
        for added_at in connection.scalars(
            select(_STUDENTS.c.added_at).where(_STUDENTS.c.id == one.number)
        ).all()
        if added_at == one.added_at
    }


def erase_rows(connection: Connection, who: Sequence[WhoWas]) -> Rows:
    """Delete the rows of students inside a writing transaction, and give their numbers."""
    rows = hanging_on(connection, there(connection, who))
    delete_rows(connection, rows)
    return rows


def note_erased(connection: Connection, *, at: datetime) -> None:
    """Tell the pages; forget which exports were brought in, as they may come again now.

    What long work came to goes too: it may speak of the one who was erased.
    """
    tables = Base.metadata.tables
    connection.execute(insert(tables["changes"]).values(lesson_id=None, at=at))
    connection.execute(delete(tables["imports"]))
    connection.execute(delete(tables["jobs"]))


def erase(
    path: Path,
    who: Sequence[WhoWas],
    *,
    patience_s: float,
    note: Callable[[Connection], None] = lambda _: None,
) -> dict[str, int]:
    """Erase students from the book in a file, and give the number of rows by table.

    Parameters
    ----------
    path
        The book, or a copy of it, of any schema.
    who
        The students.
    patience_s
        How long to wait for another program that is writing. [s]
    note
        Called inside the transaction, to write that it happened.

    Raises
    ------
    BookError
        If another program keeps the old bytes in use; the rows are gone, the bytes are not.
    """
    with erasing_engine(path, patience_s) as engine, writing_on(engine) as connection:
        rows = erase_rows(connection, who)
        note(connection)
    with closing(sqlite3.connect(path, timeout=patience_s, isolation_level=None)) as file:
        wipe(file, path)
    return {name: len(numbers) for name, numbers in rows.items()}


def wipe(connection: sqlite3.Connection, path: Path) -> None:
    """Write the file anew from what is left, and empty the side file.

    Raises
    ------
    BookError
        If another program keeps the file in use.
    """
    try:
        connection.execute("VACUUM")
        busy = connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()[0]
    except sqlite3.OperationalError as error:
        if error.sqlite_errorcode & 0xFF not in {sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED}:
            raise
        busy = 1
    if busy:
        raise BookError(
            f"The rows are gone, but another program keeps {path} in use, so their bytes may "
            "still be in it.",
            fix="Close the other program, then run: leadfoot book wipe.",
        )
