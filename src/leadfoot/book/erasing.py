"""Erases a student for good: rows and files in one transaction, then their bytes.

SQLite only marks deleted space as free. So deleted content is written over with zeros
(``secure_delete``), the file is written anew from what is left (``VACUUM``), and the side file is
emptied (``wal_checkpoint``); see https://www.sqlite.org/pragma.html#pragma_secure_delete. What the
disk itself keeps of the blocks that the file no longer uses is beyond any program's reach.
"""

import sqlite3
from collections.abc import Callable, Sequence
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

from leadfoot.book.links import delete_rows, hanging_on
from leadfoot.desk.keeping_records import WhoWas
from leadfoot.errors import BookError, NotInBookError

_MOMENT = "%Y-%m-%d %H:%M:%S.%f"  # how the book stores a time, in UTC


def who_is(connection: sqlite3.Connection, student_id: int) -> tuple[WhoWas, ...]:
    """A student, and those that were merged into this one, as copies of the book know them.

    Raises
    ------
    NotInBookError
        If there is no such student.
    """
    own = connection.execute("SELECT id, added_at FROM students WHERE id = ?", [student_id])
    merged = connection.execute(
        "SELECT other_number, other_added_at FROM merges WHERE student_id = ?", [student_id]
    )
    rows = [*own.fetchall(), *merged.fetchall()]
    if not rows or rows[0][0] != student_id:
        raise NotInBookError("student", student_id)
    return tuple(WhoWas(number=number, added_at=_moment(text)) for number, text in rows)


def there(connection: sqlite3.Connection, who: Sequence[WhoWas]) -> set[int]:
    """Numbers of those who are in a book; a number alone could be another student's by now."""
    return {
        one.number
        for one in who
        for (text,) in connection.execute(
            "SELECT added_at FROM students WHERE id = ?", [one.number]
        ).fetchall()
        if _moment(text) == one.added_at
    }


def erase(
    path: Path,
    who: Sequence[WhoWas],
    *,
    patience_s: float,
    note: Callable[[sqlite3.Connection], None] = lambda _: None,
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
    with closing(sqlite3.connect(path, timeout=patience_s, isolation_level=None)) as connection:
        connection.execute("PRAGMA secure_delete=ON")
        connection.execute("PRAGMA foreign_keys=ON")
        connection.execute("BEGIN IMMEDIATE")
        try:
            rows = hanging_on(connection, there(connection, who))
            delete_rows(connection, rows)
            note(connection)
        except BaseException:
            connection.execute("ROLLBACK")
            raise
        connection.execute("COMMIT")
        wipe(connection, path)
    return {table: len(numbers) for table, numbers in rows.items()}


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


def _moment(text: str) -> datetime:
    return datetime.strptime(text, _MOMENT).replace(tzinfo=UTC)
