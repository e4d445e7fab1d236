"""Puts a backup in the place of a book, never without a backup of what is there."""

import sqlite3
from contextlib import closing
from datetime import datetime
from pathlib import Path

from sqlalchemy import NullPool, create_engine

from leadfoot.book.backups import copy_book, faults_in, make_backup
from leadfoot.book.restored_access import settle
from leadfoot.book.trouble import in_words
from leadfoot.book.upgrade import refuse_newer, schema_of
from leadfoot.desk.keeping_records import Backup
from leadfoot.desk.ports import Clock
from leadfoot.errors import BookError


def restore(source: Path, book: Path, *, clock: Clock) -> Backup | None:
    """Put a backup in the place of a book.

    Parameters
    ----------
    source
        The backup.
    book
        The book; where there is none, one is made.
    clock
        Names the backup of what is there.

    Returns
    -------
    Backup or None
        The backup that was made of what was there.

    Raises
    ------
    BookError
        If `source` is no whole client book of a known schema, or if what is there can't be backed
        up. The book is as it was then.
    """
    with in_words(str(source)):
        _refuse_bad(source)
    if source.resolve() == book.resolve():
        raise BookError(f"{source} is the book itself.", fix="Choose a backup.")
    if not book.exists():
        with in_words(str(book)):
            copy_book(source, book)
            settle(book, None, at=clock())
        return None
    try:
        saved = make_backup(book, kind="before_restore", at=clock())
    except BookError as error:
        raise BookError(
            f"Nothing was restored, because there is no backup of what is there. {error.what}",
            fix=f"Move {book} away with its -wal and -shm files, then restore again.",
        ) from error
    with in_words(str(book)):
        _write_over(source, book, at=clock())
    return saved


def _refuse_bad(source: Path) -> None:
    if not source.is_file():
        raise BookError(f"There is no backup {source}.", fix="See: leadfoot book backups.")
    faults = faults_in(source)
    if faults:
        raise BookError(
            f"The backup {source} is damaged: {faults[0]}.", fix="Choose another backup."
        )
    engine = create_engine(f"sqlite:///{source}", poolclass=NullPool)
    with engine.connect() as connection:
        schema = schema_of(connection, str(source))
        refuse_newer(schema)
    if not schema:
        raise BookError(f"The backup {source} is empty.", fix="Choose another backup.")


def _write_over(source: Path, book: Path, *, at: datetime) -> None:
    """Write the backup into the book in one transaction: a program that has it open reads on."""
    settled = book.with_name(book.name + ".restoring")
    settled.unlink(missing_ok=True)
    try:
        copy_book(source, settled)
        settle(settled, book, at=at)
        with closing(sqlite3.connect(settled)) as old, closing(sqlite3.connect(book)) as new:
            old.backup(new)
            new.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    finally:
        settled.unlink(missing_ok=True)
