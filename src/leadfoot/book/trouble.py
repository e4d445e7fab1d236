"""What the database said, in the coach's words: what happened, and what to do next."""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final

from sqlalchemy.exc import DBAPIError, StatementError

from leadfoot.errors import BookError, LeadfootError

# Primary result codes, https://www.sqlite.org/rescode.html; an extended code has one of these in
# its lowest eight bits.
_PRIMARY: Final = 0xFF
_WORDS: Final[dict[int, tuple[str, str]]] = {
    sqlite3.SQLITE_BUSY: (
        "is in use by another program and did not come free in time.",
        "Do it again; if it stays so, close the other program.",
    ),
    sqlite3.SQLITE_READONLY: (
        "can't be written: the file or its folder is read-only.",
        "Give yourself the right to write there, or copy the book to another folder.",
    ),
    sqlite3.SQLITE_PERM: (
        "can't be opened: the right to read and write it is missing.",
        "Give yourself the right to read and write the file and its folder.",
    ),
    sqlite3.SQLITE_CANTOPEN: (
        "can't be opened: the right to read and write it is missing.",
        "Give yourself the right to read and write the file and its folder.",
    ),
    sqlite3.SQLITE_FULL: (
        "could not take the change: the disk is full. What was saved before is safe.",
        "Free some space, then do it again.",
    ),
    sqlite3.SQLITE_IOERR: (
        "could not be read or written: the disk reports a fault.",
        "Check the disk, then open the book again; what was saved before is in it.",
    ),
    sqlite3.SQLITE_CORRUPT: (
        "is damaged.",
        "Copy the file away as it is, then open a backup.",
    ),
    sqlite3.SQLITE_NOTADB: (
        "is no client book: the file holds something else.",
        "Choose another file; if this was a client book, open a backup.",
    ),
    sqlite3.SQLITE_TOOBIG: (
        "can't take one text or file of 1 GB or more.",
        "Import a smaller file.",
    ),
}
# SQLSTATE of PostgreSQL, https://www.postgresql.org/docs/16/errcodes-appendix.html
_SERVER_WORDS: Final[dict[str, tuple[str, str]]] = {
    "55P03": _WORDS[sqlite3.SQLITE_BUSY],  # lock_not_available
    "53100": _WORDS[sqlite3.SQLITE_FULL],  # disk_full
    "25006": (  # read_only_sql_transaction
        "can't be written: its server takes no changes.",
        "Give the address of the server that does.",
    ),
    "42501": (  # insufficient_privilege
        "can't be used: the right to do this is missing.",
        "Let the owner of the database give this name all rights on it.",
    ),
    "53300": (  # too_many_connections
        "can't be reached: its server has too many connections.",
        "Close other programs, or let the server take more (max_connections).",
    ),
    "58030": _WORDS[sqlite3.SQLITE_IOERR],  # io_error
    "XX001": _WORDS[sqlite3.SQLITE_CORRUPT],  # data_corrupted
    "XX002": _WORDS[sqlite3.SQLITE_CORRUPT],  # index_corrupted
}
_TAKEN_BACK: Final = {"40001", "40P01"}  # serialization_failure, deadlock_detected
_LEAVING: Final = {"57P01", "57P02", "57P03", "25P03"}  # the server ends the connection

_WORDS[sqlite3.SQLITE_LOCKED] = _WORDS[sqlite3.SQLITE_BUSY]
_WORDS[sqlite3.SQLITE_AUTH] = _WORDS[sqlite3.SQLITE_PERM]


class TakenBackError(BookError):
    """The database took a transaction back: nothing of it is in the book; it may be tried anew."""


class UnknownEndError(BookError):
    """The connection broke while a change was kept: it is in the book whole, or not at all."""


@contextmanager
def in_words(name: str) -> Iterator[None]:
    """Turn whatever the database raises into a `BookError`.

    Parameters
    ----------
    name
        The book's file.

    Raises
    ------
    BookError
        In place of every error of the database.
    LeadfootError
        As it is, where a value was refused on its way into the database.

    Examples
    --------
    >>> with in_words("lessons.book"):
    ...     raise sqlite3.OperationalError("strange")
    Traceback (most recent call last):
    leadfoot.errors.BookError: The client book lessons.book could not do this: strange. Do it \
again; if it stays so, restart the program.
    """
    try:
        yield
    except StatementError as error:  # the driver's errors are among them
        if isinstance(error.orig, LeadfootError):
            raise error.orig from None
        raise _book_error(name, error.orig or error) from error
    except (sqlite3.Error, OverflowError) as error:
        raise _book_error(name, error) from error


def _book_error(name: str, error: BaseException) -> BookError:
    if hasattr(error, "sqlstate"):
        return _server_error(name, error)
    code = getattr(error, "sqlite_errorcode", 0) & _PRIMARY
    if isinstance(error, OverflowError):
        code = sqlite3.SQLITE_TOOBIG
    if code in _WORDS:
        what, fix = _WORDS[code]
        return BookError(f"The client book {name} {what}", fix=fix)
    return _other_error(name, str(error))


def _server_error(name: str, error: BaseException) -> BookError:
    state = getattr(error, "sqlstate", None)
    said = str(error).strip().partition("\n")[0]
    if state in _SERVER_WORDS:
        what, fix = _SERVER_WORDS[state]
        return BookError(f"The client book {name} {what}", fix=fix)
    if is_away(error):
        return TakenBackError(
            f"The client book {name} can't be reached: {said.rstrip('.')}.",
            fix="See whether its server runs, and whether address, name and password are right.",
        )
    if state in _TAKEN_BACK:
        return TakenBackError(
            f"The client book {name} could not take the change beside another one.",
            fix="Do it again.",
        )
    return _other_error(name, said)


def _other_error(name: str, said: str) -> BookError:
    return BookError(
        f"The client book {name} could not do this: {said.rstrip('.')}.",
        fix="Do it again; if it stays so, restart the program.",
    )


def is_away(error: BaseException | None) -> bool:
    """Whether an error of the driver says that the server can't be reached, or is going away."""
    state = getattr(error, "sqlstate", None)
    if state is None:
        return type(error).__name__ == "OperationalError" and hasattr(error, "sqlstate")
    return state in _LEAVING or state.startswith("08")


@contextmanager
def keeping(name: str) -> Iterator[None]:
    """While a change is being committed: a connection that breaks now leaves its end unknown.

    Raises
    ------
    UnknownEndError
        If the server did not come to say whether it has kept the change.
    """
    try:
        yield
    except DBAPIError as error:
        if not is_away(error.orig):
            raise
        raise UnknownEndError(
            f"The client book {name} went away while it was to keep a change.",
            fix="Look whether the change is there before you make it again.",
        ) from error
