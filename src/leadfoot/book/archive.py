"""Opens an export that may come from anyone: everything is checked before a row is read.

Nothing is ever unpacked to a place on the disk, so a name can lead nowhere; sizes are counted while
reading and not believed; every file must be in the manifest with its SHA-256, and no other may be.
"""

import hashlib
import json
import re
import zipfile
import zlib
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any, Final

from leadfoot.errors import InputError

FORMAT: Final = "leadfoot-export"
FORMAT_VERSION: Final = 1
MOST_RATIO: Final = 200
"""How many times larger than packed a file may be. Text packs to a tenth, rows alike to a fiftieth
(our own choice); the export leaves what packs better unpacked."""
MOST_FILES: Final = 100_000
MOST_BYTES: Final = 8 * 2**30
"""All files together, unpacked (our own choice)."""
MOST_FILE_BYTES: Final = 2**29
"""One raw file: it is held in memory while it goes into the book (our own choice)."""
MOST_LINE_BYTES: Final = 2**26
"""One row (our own choice)."""
_MOST_MANIFEST_BYTES: Final = 2**25
_STEP: Final = 2**16
_TABLE = re.compile(r"tables/[a-z_0-9]+\.jsonl")
_NAME = re.compile(
    r"(tables/[a-z_0-9]+\.jsonl|csv/[a-z_0-9]+\.csv|ABOUT\.txt|files/[a-z_0-9]+/[A-Za-z0-9._-]+)"
)
_FIX: Final = "Export the book again, and bring that file in as it is. Nothing was changed."


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """How much an export may hold."""

    most_bytes: int = MOST_BYTES
    most_files: int = MOST_FILES
    most_file_bytes: int = MOST_FILE_BYTES
    most_ratio: int = MOST_RATIO
    most_line_bytes: int = MOST_LINE_BYTES


@dataclass(frozen=True, slots=True, kw_only=True)
class Archive:
    """An export whose every byte was checked."""

    zip: zipfile.ZipFile
    schema: int
    whole: bool
    tables: Mapping[str, int]
    """Rows by table."""
    digest: str
    limits: Limits

    def rows(self, table: str) -> Iterator[Any]:
        """The rows of a table, one at a time."""
        n_rows = 0
        with self.zip.open(f"tables/{table}.jsonl") as lines:
            while line := lines.readline(self.limits.most_line_bytes + 1):
                n_rows += 1
                if len(line) > self.limits.most_line_bytes:
                    raise refused(f"row {n_rows} of {table} is too long")
                yield _json(line, f"row {n_rows} of {table}")
        if n_rows != self.tables[table]:
            raise refused(f"{table} has {n_rows} rows, the manifest says {self.tables[table]}")

    def data(self, name: str) -> bytes:
        """A raw file.

        Raises
        ------
        InputError
            If there is none of that name, or it is too large.
        """
        if not name.startswith("files/") or name not in self.zip.NameToInfo:
            raise refused(f"the file {name[:80]!r} is named in a row and missing")
        if self.zip.getinfo(name).file_size > self.limits.most_file_bytes:
            raise refused(
                f"the file {name[:80]!r} is larger than {self.limits.most_file_bytes} bytes"
            )
        return self.zip.read(name)


def contents_digest(files: Mapping[str, str]) -> str:
    """SHA-256 over the digests of all that an import reads: the same rows, the same digest."""
    lines = [
        f"{digest}  {name}\n"
        for name, digest in sorted(files.items())
        if name.startswith(("tables/", "files/"))
    ]
    return hashlib.sha256("".join(lines).encode()).hexdigest()


def refused(why: str) -> InputError:
    """The error for an export that can't be used."""
    return InputError(f"This export can't be brought in: {why}.", fix=_FIX)


@contextmanager
def open_archive(path: Path, limits: Limits | None = None) -> Iterator[Archive]:
    """Open an export and check every byte of it, in little memory.

    Raises
    ------
    InputError
        If anything is not as the manifest says, or too much.
    """
    limits = Limits() if limits is None else limits
    try:
        with zipfile.ZipFile(path) as archive:
            _check_list(archive, limits)
            manifest = _manifest(archive)
            files = _files(manifest)
            _check_names(archive, files)
            for name, (n_bytes, digest) in files.items():
                _check_bytes(archive, name, n_bytes, digest)
            yield _archive(archive, manifest, files, limits)
    except FileNotFoundError as error:
        raise InputError(f"There is no file {path}.", fix="Name the ZIP of an export.") from error
    except OSError as error:
        raise refused(f"it can't be read ({error})") from error
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError) as error:
        raise refused(f"it is no whole ZIP file ({error})") from error


def _check_list(archive: zipfile.ZipFile, limits: Limits) -> None:
    infos = archive.infolist()
    if len(infos) > limits.most_files:
        raise refused(f"it holds {len(infos)} files, more than {limits.most_files}")
    total = sum(info.file_size for info in infos)
    if total > limits.most_bytes:
        raise refused(f"it holds {total} bytes, more than {limits.most_bytes}")
    if len({info.filename for info in infos}) != len(infos):
        raise refused("a name stands in it twice")
    spans = sorted((info.header_offset, info.compress_size) for info in infos)
    ends = [at + size for at, size in spans]
    if any(end > at for end, (at, _) in zip(ends, spans[1:], strict=False)):
        raise refused("files lie over each other in it")
    for info in infos:
        _check_entry(info, limits)


def _check_entry(info: zipfile.ZipInfo, limits: Limits) -> None:
    if info.flag_bits & 1:
        raise refused(f"{info.filename[:80]!r} is encrypted")
    if info.compress_type not in {zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED}:
        raise refused(f"{info.filename[:80]!r} is packed in an unknown way")
    if info.file_size > limits.most_ratio * max(info.compress_size, 64):
        raise refused(f"{info.filename[:80]!r} unpacks to more than {limits.most_ratio} times")


def _manifest(archive: zipfile.ZipFile) -> dict[str, Any]:
    if "manifest.json" not in archive.NameToInfo:
        raise refused("it has no manifest.json")
    with archive.open("manifest.json") as source:
        text = source.read(_MOST_MANIFEST_BYTES + 1)
    if len(text) > _MOST_MANIFEST_BYTES:
        raise refused("its manifest.json is too large")
    manifest = _json(text, "manifest.json")
    if not isinstance(manifest, dict) or manifest.get("format") != FORMAT:
        raise refused("its manifest.json is not that of a client book")
    if manifest.get("format_version") != FORMAT_VERSION:
        raise InputError(
            f"This export has format {str(manifest.get('format_version'))[:20]}; this program "
            f"reads format {FORMAT_VERSION}.",
            fix="Install the newer program. Nothing was changed.",
        )
    return manifest


def _files(manifest: dict[str, Any]) -> dict[str, tuple[int, str]]:
    try:
        return {
            str(name): (int(entry["bytes"]), str(entry["sha256"]))
            for name, entry in dict(manifest["files"]).items()
        }
    except (KeyError, TypeError, ValueError) as error:
        raise refused("the list of files in its manifest.json can't be read") from error


def _check_names(archive: zipfile.ZipFile, files: Mapping[str, object]) -> None:
    there = set(archive.NameToInfo) - {"manifest.json"}
    for name in sorted(there | set(files)):
        if not _NAME.fullmatch(name) or ".." in name.split("/"):
            raise refused(f"the name {name[:80]!r} has no place in it")
        if name not in there:
            raise refused(f"{name[:80]!r} is missing")
        if name not in files:
            raise refused(f"{name[:80]!r} is not in its manifest.json")


def _check_bytes(archive: zipfile.ZipFile, name: str, n_bytes: int, digest: str) -> None:
    found, n_found = hashlib.sha256(), 0
    with archive.open(name) as source:
        while piece := _piece(source):
            n_found += len(piece)
            if n_found > n_bytes:
                break
            found.update(piece)
    if n_found != n_bytes or found.hexdigest() != digest:
        raise refused(f"{name!r} is not the file that was exported: its SHA-256 is another")


def _piece(source: IO[bytes]) -> bytes:
    return source.read(_STEP)


def _archive(
    archive: zipfile.ZipFile,
    manifest: dict[str, Any],
    files: Mapping[str, tuple[int, str]],
    limits: Limits,
) -> Archive:
    schema, tables = manifest.get("schema"), manifest.get("tables")
    whole, digest = manifest.get("whole"), manifest.get("contents_sha256")
    if not isinstance(schema, int) or not isinstance(tables, dict) or not isinstance(whole, bool):
        raise refused("its manifest.json can't be read")
    named = {f"tables/{table}.jsonl" for table in tables}
    if named != {name for name in files if _TABLE.fullmatch(name)}:
        raise refused("its tables are not those of its manifest.json")
    if any(isinstance(n, bool) or not isinstance(n, int) for n in tables.values()):
        raise refused("the numbers of rows in its manifest.json can't be read")
    if contents_digest({name: sha256 for name, (_, sha256) in files.items()}) != digest:
        raise refused("the digest of its contents is another")
    return Archive(
        zip=archive, schema=schema, whole=whole, tables=tables, digest=digest, limits=limits
    )


def _json(text: bytes, where: str) -> Any:
    try:
        return json.loads(text)
    except (ValueError, RecursionError) as error:
        raise refused(f"{where} can't be read as JSON") from error
