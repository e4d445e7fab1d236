"""How every call on the book reads and writes: one transaction, one writer at a time."""

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Final, Self, TypeVar

from sqlalchemy import Engine, Select
from sqlalchemy.orm import Session

from leadfoot.book.sqlite_file import WRITING
from leadfoot.book.tables import Base, ChangeRow, LessonRow
from leadfoot.book.trouble import in_words
from leadfoot.desk.ports import Clock
from leadfoot.errors import BookError, NotInBookError

_LARGEST_NUMBER: Final = 2**63 - 1  # of a row, in SQLite and PostgreSQL alike

Row = TypeVar("Row", bound=Base)
_Record = TypeVar("_Record")


class Transactions:
    """The open database, and how a call gets its turn at it.

    Any thread may call; several programs may hold the same file open. Reading sees one state of the
    book, and writing returns after the commit.
    """

    def __init__(self, engine: Engine, *, name: str, clock: Clock) -> None:
        self.engine = engine
        self.name = name
        self._clock = clock
        self._writer = engine.execution_options(**WRITING)
        # SQLite has one writer at a time and lets the others knock; threads queue up here instead.
        self._turn = threading.Lock()
        self._closed = False

    def __enter__(self) -> Self:
        """Give the open book."""
        return self

    def __exit__(self, *_: object) -> None:
        """Close the book."""
        self.close()

    def close(self) -> None:
        """Close the book; every later call raises `BookError`."""
        with self._turn, in_words(self.name):
            self._closed = True
            self.engine.dispose()

    def rest(self) -> None:
        """Close the connections that nobody uses at the moment; the next call opens one."""
        self._refuse_closed()
        self.engine.dispose()

    @contextmanager
    def reading(self) -> Iterator[Session]:
        """One state of the book."""
        self._refuse_closed()
        with in_words(self.name), Session(self.engine) as session, session.begin():
            yield session

    @contextmanager
    def writing(self) -> Iterator[Session]:
        """One change: committed when the block ends well, else as if it had never begun."""
        with self._turn:
            self._refuse_closed()
            with in_words(self.name), Session(self._writer) as session, session.begin():
                yield session

    def _refuse_closed(self) -> None:
        if self._closed:
            raise BookError(
                f"The client book {self.name} was closed.", fix="Open it again, then do it again."
            )

    def of_lesson(
        self, lesson_id: int, query: Select[Row], record_from: Callable[[Row], _Record]
    ) -> tuple[_Record, ...]:
        """Rows of one lesson as records; the lesson must be there."""
        with self.reading() as session:
            found(session, LessonRow, lesson_id, "lesson")
            return tuple(record_from(row) for row in session.scalars(query))

    def added(self, session: Session, row: Row, lesson_id: int | None) -> Row:
        """Add a row and note the change; give the row as the book holds it."""
        session.add(row)
        self.note_change(session, lesson_id)
        return kept(session, row)

    def note_change(self, session: Session, lesson_id: int | None) -> None:
        """Note that a lesson changed, or with None what belongs to no one lesson."""
        session.add(ChangeRow(lesson_id=lesson_id, at=self._clock()))


def found(session: Session, kind: type[Row], number: int, noun: str) -> Row:
    """One row by its number.

    Raises
    ------
    NotInBookError
        If there is none.
    """
    row = session.get(kind, number) if 0 < number <= _LARGEST_NUMBER else None
    if row is None:
        raise NotInBookError(noun, number)
    return row


def kept(session: Session, row: Row) -> Row:
    """The row as the book holds it now, read back."""
    session.flush()
    session.refresh(row)
    return row
