"""A book in one SQLite file: where it lies, how it is opened, copied and kept safe.

WAL lets pages read while a shot is written; ``synchronous=FULL`` waits for the disk at each commit
(https://www.sqlite.org/pragma.html#pragma_synchronous), so that a shot acknowledged is a shot kept.
"""

import os
import sqlite3
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from datetime import UTC, datetime
from pathlib import Path

from sqlalchemy import URL, Connection, Engine, NullPool, create_engine, event
from sqlalchemy.engine.interfaces import DBAPIConnection
from sqlalchemy.pool import ConnectionPoolEntry, Pool

from leadfoot.book.trouble import in_words
from leadfoot.book.upgrade import newest_schema, refuse_newer, schema_of, upgrade
from leadfoot.desk.ports import Clock
from leadfoot.errors import BookError

WRITING = {"leadfoot_writing": True}
"""Execution option of an engine whose transactions write from their first statement on."""

_IDLE_CONNECTIONS = 8  # kept open between requests; more are opened while they are needed
_RETRY_S = 0.02  # between two tries to switch a new file to WAL; our own choice


def open_file(path: Path, *, clock: Clock, patience_s: float) -> Engine:
    """Open a book, making it where there is none and upgrading it where it is old.

    Parameters
    ----------
    path
        The file. Its folder must exist.
    clock
        Names the backup that is made before an upgrade.
    patience_s
        How long to wait for another program that is writing. [s]

    Raises
    ------
    BookError
        If the file can't be used.
    """
    _refuse_wrong_place(path)
    with in_words(str(path)):
        make_private(path)
        with _plain_engine(path, patience_s) as engine:
            _bring_up_to_date(engine, path, clock=clock, patience_s=patience_s)
    return _engine(path, patience_s, foreign_keys=True)


def back_up(path: Path, *, schema: int, at: datetime) -> Path:
    """Copy the book beside itself while it is in use; the name holds its schema and the time.

    Parameters
    ----------
    path
        The book.
    schema
        Its schema, for the name.
    at
        The time, with its zone, for the name.

    Returns
    -------
    Path
        The copy, for example ``lessons-schema-1-20260301T091500Z.book``.
    """
    stamp = at.astimezone(UTC).strftime("%Y%m%dT%H%M%SZ")
    target = path.with_name(f"{path.stem}-schema-{schema}-{stamp}{path.suffix}")
    unfinished = target.with_name(target.name + ".part")
    unfinished.unlink(missing_ok=True)
    make_private(unfinished)
    with closing(sqlite3.connect(path)) as source, closing(sqlite3.connect(unfinished)) as copy:
        source.backup(copy)
        copy.execute("PRAGMA journal_mode=DELETE")  # one file, complete in itself
    return unfinished.replace(target)


def _bring_up_to_date(engine: Engine, path: Path, *, clock: Clock, patience_s: float) -> None:
    # Look first, and write nothing into a file that is not ours or newer than we are.
    with engine.connect() as connection:
        refuse_newer(schema_of(connection, str(path)))
    _use_wal(path, patience_s)
    # The write lock lets one program upgrade, and finds out here if the book can't be written.
    with writing_on(engine) as connection:
        schema = schema_of(connection, str(path))
        refuse_newer(schema)
        if schema == newest_schema():
            return
        if schema:
            back_up(path, schema=schema, at=clock())
        upgrade(connection)
        _refuse_broken_links(connection, path)


def _refuse_broken_links(connection: Connection, path: Path) -> None:
    broken = connection.exec_driver_sql("PRAGMA foreign_key_check").first()
    if broken is not None:
        raise BookError(
            f"The client book {path} could not be upgraded: a row of {broken[0]} points nowhere.",
            fix="The book is as it was; go on with the earlier program, and report this sentence.",
        )


def _refuse_wrong_place(path: Path) -> None:
    if not path.parent.is_dir():
        raise BookError(
            f"The client book {path} can't be opened: there is no folder {path.parent}.",
            fix="Make the folder, or name a file in another one.",
        )
    if path.is_dir():
        raise BookError(
            f"The client book {path} can't be opened: this is a folder.",
            fix=f"Name a file in it, for example {path / 'lessons.book'}.",
        )


def make_private(path: Path) -> None:
    """Make a new file that only its owner may read; SQLite gives its side files the same rights."""
    try:
        os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
    except FileExistsError:
        return
    except OSError as error:
        raise BookError(
            f"The client book {path} can't be made: {(error.strerror or str(error)).lower()}.",
            fix="Name a file in a folder where you may write.",
        ) from error


def _use_wal(path: Path, patience_s: float) -> None:
    # SQLite does not wait by itself when several programs switch a new file at the same moment.
    deadline = time.monotonic() + patience_s
    with closing(sqlite3.connect(path, timeout=patience_s)) as connection:
        while True:
            try:
                connection.execute("PRAGMA journal_mode=WAL")
            except sqlite3.OperationalError as error:
                if error.sqlite_errorcode != sqlite3.SQLITE_BUSY or time.monotonic() > deadline:
                    raise
                time.sleep(_RETRY_S)
            else:
                return


@contextmanager
def erasing_engine(path: Path, patience_s: float) -> Iterator[Engine]:
    """An engine for a moment, which writes zeros over whatever it deletes."""
    engine = _engine(path, patience_s, foreign_keys=True, poolclass=NullPool)

    @event.listens_for(engine, "connect")
    def _zeros(connection: DBAPIConnection, _: ConnectionPoolEntry) -> None:
        connection.cursor().execute("PRAGMA secure_delete=ON")

    try:
        yield engine
    finally:
        engine.dispose()


@contextmanager
def writing_on(engine: Engine) -> Iterator[Connection]:
    """A writing transaction of its own; committed when the block ends well."""
    with engine.execution_options(**WRITING).begin() as connection:
        yield connection


@contextmanager
def _plain_engine(path: Path, patience_s: float) -> Iterator[Engine]:
    # Without foreign keys: a migration that copies a table drops the one to which others point.
    engine = _engine(path, patience_s, foreign_keys=False, poolclass=NullPool)
    try:
        yield engine
    finally:
        engine.dispose()


def _engine(
    path: Path, patience_s: float, *, foreign_keys: bool, poolclass: type[Pool] | None = None
) -> Engine:
    pooling = (
        {"pool_size": _IDLE_CONNECTIONS, "max_overflow": -1}
        if poolclass is None
        else {"poolclass": poolclass}
    )
    engine = create_engine(
        URL.create("sqlite", database=str(path)),
        # Transactions begin where we say, not where the driver guesses.
        connect_args={"timeout": patience_s, "isolation_level": None, "check_same_thread": False},
        **pooling,
    )

    @event.listens_for(engine, "connect")
    def _set_up(connection: DBAPIConnection, _: ConnectionPoolEntry) -> None:
        cursor = connection.cursor()
        cursor.execute(f"PRAGMA foreign_keys={'ON' if foreign_keys else 'OFF'}")
        cursor.execute("PRAGMA synchronous=FULL")
        cursor.close()

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        writing = connection.get_execution_options().get("leadfoot_writing", False)
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writing else "BEGIN")

    return engine
