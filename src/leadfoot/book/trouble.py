"""What the database said, in the coach's words: what happened, and what to do next."""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final

from sqlalchemy.exc import StatementError

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
_WORDS[sqlite3.SQLITE_LOCKED] = _WORDS[sqlite3.SQLITE_BUSY]
_WORDS[sqlite3.SQLITE_AUTH] = _WORDS[sqlite3.SQLITE_PERM]


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
    code = getattr(error, "sqlite_errorcode", 0) & _PRIMARY
    if isinstance(error, OverflowError):
        code = sqlite3.SQLITE_TOOBIG
    if code in _WORDS:
        what, fix = _WORDS[code]
        return BookError(f"The client book {name} {what}", fix=fix)
    return BookError(
        f"The client book {name} could not do this: {str(error).rstrip('.')}.",
        fix="Do it again; if it stays so, restart the program.",
    )
