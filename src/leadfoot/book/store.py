"""Opens the client book: the one door for the floors above."""

from datetime import UTC, datetime
from pathlib import Path
from typing import Final

import platformdirs
from sqlalchemy import make_url
from sqlalchemy.exc import ArgumentError

from leadfoot.book.sql_book import SqlBook
from leadfoot.book.sqlite_file import open_file
from leadfoot.desk.ports import Clock
from leadfoot.errors import BookError

__all__ = ["PATIENCE_S", "SqlBook", "default_book_path", "open_book", "utc_clock"]

PATIENCE_S: Final = 5.0
"""How long a call waits for another program that is writing [s]; our own choice, from 0 up."""


def utc_clock() -> datetime:
    """Tell the time in UTC."""
    return datetime.now(UTC)


def default_book_path() -> Path:
    """Where the book of this user lies; its folder is made where there is none.

    Raises
    ------
    BookError
        If the folder can't be made.
    """
    folder = platformdirs.user_data_path("leadfoot", appauthor=False)
    if not folder.is_absolute():  # neither HOME nor an account tells where this user's files are
        folder = Path.cwd()
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise BookError(
            f"The folder {folder} can't be made: {(error.strerror or str(error)).lower()}.",
            fix="Name the file of the book yourself, in a folder where you may write.",
        ) from error
    return folder / "lessons.book"


def open_book(
    path_or_url: str | Path, *, clock: Clock = utc_clock, patience_s: float = PATIENCE_S
) -> SqlBook:
    """Open a client book: a new one is made, an old one is backed up and upgraded.

    Parameters
    ----------
    path_or_url
        A file, or its address such as ``sqlite:///lessons.book``.
    clock
        Tells the time of changes and of backups.
    patience_s
        How long a call waits for another program that is writing. [s]

    Raises
    ------
    BookError
        If the book can't be opened: wrong place, no client book, damaged, in use, read-only, full
        disk, or made by a newer program.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder, open_book(Path(folder, "a.book")) as book:
    ...     book.students()
    ()
    """
    path = path_or_url if isinstance(path_or_url, Path) else _file_of(path_or_url)
    engine = open_file(path, clock=clock, patience_s=patience_s)
    return SqlBook(engine, name=str(path), clock=clock)


def _file_of(path_or_url: str) -> Path:
    if "://" not in path_or_url:
        return Path(path_or_url)
    try:
        url = make_url(path_or_url)
        if url.get_backend_name() == "sqlite" and url.database not in {None, "", ":memory:"}:
            return Path(str(url.database))
    except (ArgumentError, ValueError):
        pass  # the same answer as for an address of another kind
    raise BookError(
        f"A client book can't be kept at an address that begins with {path_or_url.partition('://')[0]}://.",
        fix="Name a file, for example lessons.book or sqlite:///lessons.book.",
    )
