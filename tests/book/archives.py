"""Exports taken apart and put together again, to make those that no honest program writes."""

import hashlib
import json
import sqlite3
import zipfile
from collections.abc import Callable, Mapping
from contextlib import closing
from pathlib import Path
from typing import Any

from sqlalchemy import MetaData, NullPool, Table, create_engine, select

from leadfoot.book.archive import FORMAT, FORMAT_VERSION, contents_digest
from leadfoot.book.plain_rows import kind_of
from tests.book.full_book import SCHEMAS

Parts = dict[str, bytes]
_HEAD = {"format": FORMAT, "format_version": FORMAT_VERSION, "whole": True}


def parts_of(path: Path) -> Parts:
    with zipfile.ZipFile(path) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def pack(path: Path, parts: Mapping[str, bytes]) -> Path:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in parts.items():
            archive.writestr(name, data)
    return path


def sealed(parts: Parts, **more: Any) -> Parts:
    """The parts with a manifest that is right for them: only what they say can be wrong."""
    old = json.loads(parts["manifest.json"]) if "manifest.json" in parts else dict(_HEAD)
    files = {
        name: {"bytes": len(data), "sha256": hashlib.sha256(data).hexdigest()}
        for name, data in parts.items()
        if name != "manifest.json"
    }
    tables = {
        name.removeprefix("tables/").removesuffix(".jsonl"): data.count(b"\n")
        for name, data in parts.items()
        if name.startswith("tables/")
    }
    manifest = {
        **old,
        "files": files,
        "tables": tables,
        "contents_sha256": contents_digest(
            {name: str(one["sha256"]) for name, one in files.items()}
        ),
        **more,
    }
    return {**parts, "manifest.json": json.dumps(manifest).encode()}


def with_row(parts: Parts, table: str, change: Callable[[dict[str, Any]], object]) -> Parts:
    """The parts with the first row of a table changed, under a manifest that fits."""
    name = f"tables/{table}.jsonl"
    first, *others = parts[name].splitlines(keepends=True)
    row = json.loads(first)
    change(row)
    return sealed({**parts, name: b"".join([json.dumps(row).encode() + b"\n", *others])})


def export_of_schema(path: Path, schema: int) -> Path:
    """What an export of the kept book of a schema looks like."""
    book = path.with_suffix(".book")
    with closing(sqlite3.connect(book)) as connection:
        connection.executescript((SCHEMAS / f"{schema:04d}.sql").read_text(encoding="utf-8"))
    engine = create_engine(f"sqlite:///{book}", poolclass=NullPool)
    parts: Parts = {}
    with engine.connect() as connection:
        made = MetaData()
        made.reflect(connection)
        for table in made.sorted_tables:
            if table.name not in {"alembic_version", "imports"}:
                rows = connection.execute(select(table).order_by(table.c.id)).mappings().all()
                lines = [json.dumps(_row(table, dict(row), parts)) + "\n" for row in rows]
                parts[f"tables/{table.name}.jsonl"] = "".join(lines).encode()
    return pack(path, sealed(parts, schema=schema))


def _row(table: Table, row: dict[str, Any], parts: Parts) -> dict[str, Any]:
    for column in table.columns:
        value, kind = row[column.name], kind_of(column.type)
        if value is not None and kind.name == "bytes":
            name = f"files/{table.name}/{row['id']}"
            parts[name] = value
            row[column.name] = {"file": name}
        elif value is not None:
            row[column.name] = kind.out(value)
    return row
