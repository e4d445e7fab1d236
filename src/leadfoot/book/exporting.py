"""Writes one student or everything into a ZIP: lossless JSON, tables to look at, raw files.

The format is described field by field in ``docs/guide/book.md``.
"""

import csv
import hashlib
import io
import json
import re
import zipfile
import zlib
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import IO, Any, Final

from sqlalchemy import Connection, Table, func, select

from leadfoot.book.archive import FORMAT, FORMAT_VERSION, MOST_RATIO, contents_digest
from leadfoot.book.links import Rows
from leadfoot.book.plain_rows import exported_tables, kind_of, plain_table
from leadfoot.book.sqlite_file import make_private
from leadfoot.desk.keeping_records import Exported
from leadfoot.tables.safe_csv import safe_cell

ABOUT: Final = """\
Client book of Leadfoot, exported.

manifest.json   what is here, with the SHA-256 of every file
tables/         every table, one row a line, as JSON: nothing is lost, and the import reads these
csv/            the same rows to look at in a spreadsheet; an apostrophe stands before every text
                that could be taken for a formula
files/          every file as it came, byte for byte

These are personal data. Keep them as you keep the book.
"""
_STEP = 2**16
Progress = Callable[[int, int], None]
"""Told how many rows are written, and of how many."""
_SAFE = re.compile(r"[^A-Za-z0-9._-]+")


@dataclass(slots=True)
class _Writing:
    """An export on its way into its file, with what the manifest will say of it."""

    zip: zipfile.ZipFile
    files: dict[str, dict[str, Any]] = field(default_factory=dict)
    progress: Progress | None = None
    n_rows: int = 0
    n_all: int = 0

    def count(self) -> None:
        """Tell that one more row is written."""
        self.n_rows += 1
        if self.progress is not None:
            self.progress(min(self.n_rows, self.n_all), self.n_all)

    def add(self, name: str, data: bytes) -> None:
        """Add a whole file; one that packs too well to be let in again is not packed."""
        packed = zlib.compress(data, 6)
        method = zipfile.ZIP_DEFLATED if len(packed) * MOST_RATIO > 2 * len(data) else 0
        info = zipfile.ZipInfo(name)
        info.compress_type = method
        info.external_attr = 0o600 << 16
        self.zip.writestr(info, data)
        self.files[name] = {"bytes": len(data), "sha256": hashlib.sha256(data).hexdigest()}

    def add_file(self, name: str, source: IO[bytes]) -> None:
        """Add what was written aside, piece by piece."""
        source.seek(0)
        packer, n_packed, n_bytes, digest = zlib.compressobj(6), 0, 0, hashlib.sha256()
        while piece := source.read(_STEP):
            n_packed += len(packer.compress(piece))
            n_bytes += len(piece)
            digest.update(piece)
        n_packed += len(packer.flush())
        info = zipfile.ZipInfo(name)
        info.compress_type = zipfile.ZIP_DEFLATED if n_packed * MOST_RATIO > 2 * n_bytes else 0
        info.external_attr = 0o600 << 16
        info.file_size = n_bytes
        source.seek(0)
        with self.zip.open(info, "w") as target:
            while piece := source.read(_STEP):
                target.write(piece)
        self.files[name] = {"bytes": n_bytes, "sha256": digest.hexdigest()}


def export(
    connection: Connection,
    path: Path,
    *,
    rows: Rows | None,
    schema: int,
    version: str,
    at: datetime,
    tables: Sequence[Table] | None = None,
    progress: Progress | None = None,
) -> Exported:
    """Write an export.

    Parameters
    ----------
    connection
        The book, in one reading transaction.
    path
        The new ZIP file; it gets its name once it is complete.
    rows
        Numbers of the rows by table, or None for everything.
    schema
        Schema of the book.
    version
        Version of the program.
    at
        The time, with its zone.
    tables
        The tables of a book of an earlier schema; None: those of this program.
    progress
        Told how many rows are written, and of how many.
    """
    counts: dict[str, int] = {}
    unfinished = path.with_name(path.name + ".part")
    unfinished.unlink(missing_ok=True)
    make_private(unfinished)
    try:
        with zipfile.ZipFile(unfinished, "w") as archive:
            writing = _Writing(archive)
            wanted = [
                table
                for table in (exported_tables() if tables is None else tables)
                if rows is None or not table.info.get("log", False)
            ]
            if progress is not None:
                writing.progress, writing.n_all = progress, _n_rows(connection, wanted, rows)
            for table in wanted:
                counts[table.name] = _write_table(writing, connection, table, rows)
            digest = contents_digest(
                {name: entry["sha256"] for name, entry in writing.files.items()}
            )
            writing.add("ABOUT.txt", ABOUT.encode())
            manifest = {
                "format": FORMAT,
                "format_version": FORMAT_VERSION,
                "program_version": version,
                "schema": schema,
                "made_at": at.astimezone(UTC).isoformat(),
                "whole": rows is None,
                "contents_sha256": digest,
                "tables": counts,
                "files": writing.files,
            }
            archive.writestr("manifest.json", json.dumps(manifest, indent=1, sort_keys=True))
        unfinished.replace(path)
    finally:
        unfinished.unlink(missing_ok=True)
    n_files = sum(name.startswith("files/") for name in writing.files)
    return Exported(rows=counts, n_files=n_files, digest=digest)


def _n_rows(connection: Connection, tables: Sequence[Table], rows: Rows | None) -> int:
    if rows is not None:
        return sum(len(rows.get(table.name, ())) for table in tables)
    return sum(connection.scalar(select(func.count()).select_from(table)) or 0 for table in tables)


def _write_table(writing: _Writing, connection: Connection, table: Table, rows: Rows | None) -> int:
    n_rows = 0
    with _aside() as lines, _aside() as looks:
        sheet_text = io.TextIOWrapper(looks, encoding="utf-8", newline="", write_through=True)
        sheet_text.write("\ufeff")  # by this mark spreadsheets know UTF-8
        sheet = csv.writer(sheet_text)
        sheet.writerow([column.name for column in table.columns])
        for row in _rows(writing, connection, table, rows):
            lines.write(json.dumps(row, ensure_ascii=False, allow_nan=False).encode() + b"\n")
            sheet.writerow([_shown(value) for value in row.values()])
            n_rows += 1
            writing.count()
        sheet_text.flush()
        writing.add_file(f"tables/{table.name}.jsonl", lines)
        writing.add_file(f"csv/{table.name}.csv", looks)
        sheet_text.detach()
    return n_rows


@contextmanager
def _aside() -> Iterator[IO[bytes]]:
    """A place for what does not fit into memory; it goes away by itself."""
    import tempfile  # noqa: PLC0415  (only an export needs it)

    with tempfile.SpooledTemporaryFile(max_size=2**22) as place:
        yield place


def _rows(
    writing: _Writing, connection: Connection, table: Table, rows: Rows | None
) -> Iterator[dict[str, Any]]:
    plain = plain_table(table)
    kinds = {column.name: kind_of(column.type) for column in plain.columns}
    wanted = None if rows is None else rows.get(table.name, set())
    at_once = 1 if any(kind.name == "bytes" for kind in kinds.values()) else 500
    query = select(plain).order_by(plain.c.id).execution_options(yield_per=at_once)
    for found in connection.execute(query).mappings():
        number = found["id"]
        if wanted is not None and number not in wanted:
            continue
        row: dict[str, Any] = {}
        for name, kind in kinds.items():
            value = found[name]
            if value is not None and kind.name == "bytes":
                called = f"files/{table.name}/{number}-{name}-{_safe(found.get('name'))}"
                writing.add(called, value)
                value = {"file": called}
            elif value is not None:
                value = kind.out(value)
            row[name] = value
        yield row


def _safe(name: object) -> str:
    """A file name that is one on every system; the true name stands in the row."""
    return _SAFE.sub("_", str(name or "file")).strip("._")[-60:] or "file"


def _shown(value: Any) -> Any:
    if isinstance(value, dict):
        return value["file"]
    return safe_cell(value) if isinstance(value, str) else value
