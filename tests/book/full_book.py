"""An invented book with a row in every table, and every row of a book as SQLite has it."""

import json
import sqlite3
from contextlib import closing
from pathlib import Path

from leadfoot.book.tables import Base

SCHEMAS = Path(__file__).with_name("schemas")


def build(path: Path) -> None:
    """The kept book of the newest schema: it has a row in every table."""
    newest = max(SCHEMAS.glob("*.sql"))
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript(newest.read_text(encoding="utf-8"))


def rows_of(path: Path, *, exported_only: bool = True) -> dict[str, list[tuple[object, ...]]]:
    """Every row of every table as SQLite has it, by number."""
    with closing(sqlite3.connect(path)) as connection:
        return {
            table.name: connection.execute(
                f"SELECT * FROM {table.name} ORDER BY id"  # noqa: S608  (names of our own)
            ).fetchall()
            for table in Base.metadata.sorted_tables
            if table.info.get("exported", True) or not exported_only
        }


def as_text(path: Path) -> str:
    """All of it, to compare at once."""
    return json.dumps(rows_of(path), default=repr, sort_keys=True)
