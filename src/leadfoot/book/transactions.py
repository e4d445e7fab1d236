"""How every call on the book reads and writes: one transaction, one writer at a time."""

import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import wraps
from pathlib import Path
from typing import Concatenate, Final, ParamSpec, Self, TypeVar

from sqlalchemy import Engine, Select
from sqlalchemy.exc import DBAPIError
from sqlalchemy.orm import Session

from leadfoot.book.sqlite_file import WRITING
from leadfoot.book.tables import Base, ChangeRow, LessonRow
from leadfoot.book.trouble import TakenBackError, UnknownEndError, in_words, is_away, keeping
from leadfoot.desk.ports import Clock
from leadfoot.errors import BookError, NotInBookError

_LARGEST_NUMBER: Final = 2**63 - 1  # of a row, in SQLite and PostgreSQL alike

_PAUSE_S: Final = 0.1  # between two tries; our own choice

Row = TypeVar("Row", bound=Base)
_Record = TypeVar("_Record")
_Args = ParamSpec("_Args")
_Book = TypeVar("_Book", bound="Transactions")
_Deed = Callable[Concatenate[_Book, _Args], _Record]
_Same = Callable[[_Deed[_Book, _Args, _Record]], _Deed[_Book, _Args, _Record]]


class Transactions:
    """The open database, and how a call gets its turn at it.

    Any thread may call; several programs may hold the same file open. Reading sees one state of the
    book, and writing returns after the commit.
    """

    backups: Path | None = None
    """Where exports of a book on a server are kept; None for a book in a file."""

    def __init__(self, engine: Engine, *, name: str, clock: Clock, patience_s: float = 5.0) -> None:
        self.engine = engine
        self.name = name
        self.patience_s = patience_s
        self._clock = clock
        self._writer = engine.execution_options(**WRITING)
        # A database has one writer at a time and lets others knock; threads queue up here instead.
        self._turn = threading.Lock()
        self._here = threading.local()
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
        """One state of the book; inside of `at_once`, that of the whole."""
        self._refuse_closed()
        open_here: Session | None = getattr(self._here, "session", None)
        if open_here is not None:
            yield open_here
            return
        with in_words(self.name), self._begun(self.engine) as session:
            yield session

    @contextmanager
    def at_once(self) -> Iterator[None]:
        """Let all that this thread reads in the block see one state of the book.

        It also costs less: one transaction, and what was read once is at hand.
        """
        with self.reading() as session:
            outermost = getattr(self._here, "session", None) is None
            if outermost:
                self._here.session = session
            try:
                yield
            finally:
                if outermost:
                    self._here.session = None

    @contextmanager
    def writing(self) -> Iterator[Session]:
        """One change: committed when the block ends well, else as if it had never begun."""
        with self._turn:
            self._refuse_closed()
            with in_words(self.name), self._begun(self._writer) as session:
                yield session
                session.flush()
                with keeping(self.name):
                    session.commit()

    def _begun(self, engine: Engine) -> Session:
        """A session in a transaction; a server that is being restarted is waited for."""
        until = time.monotonic() + self.patience_s
        while True:
            session = Session(engine)
            try:
                session.connection()
            except DBAPIError as error:
                session.close()
                if not is_away(error.orig) or time.monotonic() > until:
                    raise
                time.sleep(_PAUSE_S)
            except BaseException:
                session.close()
                raise
            else:
                return session

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


def done_again(
    *, keyed: bool = False
) -> Callable[[_Deed[_Book, _Args, _Record]], _Deed[_Book, _Args, _Record]]:
    """Let a method be called again, while its patience lasts, when its transaction was taken back.

    Parameters
    ----------
    keyed
        Whether a key keeps the deed from being done twice: then it is done again also where the
        connection broke at the very end, and nobody knows whether it was done.
    """
    again_after = (TakenBackError, UnknownEndError) if keyed else (TakenBackError,)

    def with_patience(deed: _Deed[_Book, _Args, _Record]) -> _Deed[_Book, _Args, _Record]:
        @wraps(deed)
        def again(book: _Book, /, *args: _Args.args, **kwargs: _Args.kwargs) -> _Record:
            until = time.monotonic() + book.patience_s
            while True:
                try:
                    return deed(book, *args, **kwargs)
                except again_after:
                    if time.monotonic() > until:
                        raise
                    time.sleep(_PAUSE_S)

        return again

    return with_patience


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
