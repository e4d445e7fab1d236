"""What becomes of the door when a backup takes the place of a book.

Nobody stays signed in by what an old copy remembers. The log goes on: lines that were written after
the backup are brought along, so that a restore wipes out no trace.
"""

import sqlite3
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

_LOG = "at, who, role, deed, what, student_id, lesson_id, address"
_READ = f"SELECT {_LOG} FROM access_log ORDER BY id"  # noqa: S608  (names of our own)
_ADD = f"INSERT INTO access_log ({_LOG}) VALUES (?, ?, ?, ?, ?, ?, ?, ?)"  # noqa: S608  (as above)


def settle(copy: Path, book: Path | None, *, at: datetime) -> None:
    """Make a copy of a backup ready to take the place of a book.

    Parameters
    ----------
    copy
        The copy; it is changed in place. One of a schema without a door stays as it is.
    book
        The book that it replaces; None where there is none.
    at
        When this happens, with its zone.
    """
    with closing(sqlite3.connect(copy, isolation_level=None)) as connection:
        if not _has_door(connection):
            return
        connection.execute("BEGIN IMMEDIATE")
        connection.execute("DELETE FROM sign_ins")
        known = set(connection.execute(_READ))
        fresh = [line for line in _lines(book) if line not in known] if book else []
        connection.executemany(_ADD, fresh)
        stamp = at.astimezone(UTC).strftime("%Y-%m-%d %H:%M:%S.%f")
        restored = (stamp, "command line", "owner", "changed", "book restore", None, None, "")
        connection.execute(_ADD, restored)
        connection.execute("COMMIT")


def _lines(book: Path) -> list[tuple[object, ...]]:
    with closing(sqlite3.connect(book)) as connection:
        return connection.execute(_READ).fetchall() if _has_door(connection) else []


def _has_door(connection: sqlite3.Connection) -> bool:
    query = "SELECT count(*) FROM sqlite_master WHERE name IN ('access_log', 'sign_ins')"
    return bool(connection.execute(query).fetchone()[0] == 2)
