"""A packed workbook made safe to read: unpacked within bounds, counted, and packed again plainly.

A workbook is a ZIP of XML, and may come from anyone. A few bytes may unpack to gigabytes, two cells
may span a sheet of billions, one long text may be named a million times. So every part is unpacked
by counted bytes and never by what the file says of itself, cells and texts are counted before they
are held, and the reader of workbooks is given the counted parts alone.
"""

import re
import zlib
from collections.abc import Iterator, Sequence
from io import BytesIO
from typing import Final
from zipfile import ZIP_STORED, BadZipFile, ZipFile, ZipInfo

from leadfoot.errors import InputError

MOST_CELLS: Final = 5_000_000
"""Most cells that a sheet may span, empty ones included: all of them are held. Our own choice; a
hundred thousand shots in forty columns are four million."""
MOST_BYTES: Final = 192 * 2**20
"""All parts together, unpacked. Our own choice; a cell of Excel's takes some 35 bytes."""
MOST_LETTERS: Final = 64 * 2**20
"""Letters of all cells that hold shared texts. Our own choice."""
_MOST_PARTS: Final = 5_000

_STEP: Final = 2**20
_NEEDED = re.compile(r"(?:xl|_rels|META-INF)/.*|\[Content_Types\]\.xml|content\.xml|mimetype")
_IDLE = re.compile(r"xl/(?:media|drawings|charts|theme|embeddings|printerSettings)/.*")
_CELL = re.compile(rb"<(?:\w+:)?c[\s/>]")
_ROW = re.compile(rb"<(?:\w+:)?row\s[^>]{0,400}?\br\s*=\s*[\"'](\d{1,10})[\"']")
_PLACE = re.compile(rb"<(?:\w+:)?c\s[^>]{0,400}?\br\s*=\s*[\"']\$?([A-Za-z]{1,6})\$?\d")
_NAMED = re.compile(
    rb"<(?:\w+:)?c\s[^>]{0,400}?\bt\s*=\s*[\"']s[\"'][^>]{0,400}>\s*<(?:\w+:)?v>\s*(\d{1,9})\s*<"
)
_TEXT_END = re.compile(rb"</(?:\w+:)?si\s*>")
_ODS_ROW = re.compile(rb"<table:table-row\b([^>]*)>(.*?)</table:table-row>", re.DOTALL)
_ODS_ROWS = re.compile(rb"number-rows-repeated\s*=\s*[\"'](\d{1,12})")
_ODS_CELL = re.compile(rb"<table:(?:covered-)?table-cell\b([^>]*)>")
_ODS_COLUMNS = re.compile(rb"number-columns-repeated\s*=\s*[\"'](\d{1,12})")

_TOO_WIDE = "The workbook spans too many cells."
_MOVE = "Delete what stands far from the table, or save the table as CSV."
DAMAGED: Final = "The workbook can't be opened: it is damaged or of an unknown kind."
SAVE_AGAIN: Final = "Save it again as XLSX or CSV and give that file."


def safe_workbook(data: bytes) -> bytes:
    """Give a packed workbook with the same cells, all of it counted, nothing in it packed.

    Parameters
    ----------
    data
        The whole file, a ZIP.

    Raises
    ------
    InputError
        If it is damaged, or holds more than is read.
    """
    out = BytesIO()
    texts: Sequence[int] | None = None
    sheets: list[bytes] = []
    left = MOST_BYTES
    try:
        with ZipFile(BytesIO(data)) as packed, ZipFile(out, "w", ZIP_STORED) as plain:
            for info in _needed(packed):
                part = _unpacked(packed, info, left)
                left -= len(part)
                plain.writestr(ZipInfo(info.filename), part)
                if info.filename.endswith("sharedStrings.xml"):
                    texts = _lengths(part)
                elif info.filename.startswith("xl/worksheets/") or info.filename == "content.xml":
                    _refuse_wide(info.filename, part)
                    sheets.append(part)
    except (BadZipFile, zlib.error, OSError, ValueError, RuntimeError, EOFError, KeyError) as error:
        if isinstance(error, InputError):
            raise
        raise InputError(DAMAGED, fix=SAVE_AGAIN) from error
    _refuse_long(sheets, texts or ())
    return out.getvalue()


def _needed(packed: ZipFile) -> list[ZipInfo]:
    found = [
        info
        for info in packed.infolist()
        if _NEEDED.fullmatch(info.filename) and not _IDLE.fullmatch(info.filename)
    ]
    names = {info.filename for info in found}
    if len(found) > _MOST_PARTS or len(names) != len(found):
        raise InputError(DAMAGED, fix=SAVE_AGAIN)
    return found


def _unpacked(packed: ZipFile, info: ZipInfo, most: int) -> bytes:
    """A part, at most so many bytes of it; what the file says of its size is not believed."""
    pieces: list[bytes] = []
    n_bytes = 0
    with packed.open(info) as source:
        while piece := source.read(_STEP):
            n_bytes += len(piece)
            if n_bytes > most:
                raise InputError(
                    f"The workbook unpacks to more than {MOST_BYTES // 2**20} MB.",
                    fix="Save the one sheet with the table as a file of its own, or as CSV.",
                )
            pieces.append(piece)
    return b"".join(pieces)


def _refuse_wide(name: str, xml: bytes) -> None:
    n_cells = _spanned_ods(xml) if name == "content.xml" else _spanned(xml)
    if n_cells > MOST_CELLS:
        raise InputError(_TOO_WIDE, fix=_MOVE)


def _spanned(xml: bytes) -> int:
    """How many cells a sheet spans, or how many stand in it: whichever is more."""
    n_there = _counted(_CELL.finditer(xml), MOST_CELLS)
    last_row = max((int(row[1]) for row in _ROW.finditer(xml)), default=1)
    if n_there > MOST_CELLS or last_row * 16_384 <= MOST_CELLS:
        return n_there
    letters = {place[1].upper() for place in _PLACE.finditer(xml)}
    last_column = max(map(_column_number, letters), default=1)
    return max(n_there, last_row * last_column)


def _spanned_ods(xml: bytes) -> int:
    """How many cells a sheet of the open format spans, repeats counted; empty ends are not held."""
    n_rows = widest = 0
    for row in _ODS_ROW.finditer(xml):
        if b"<text:" not in row[2] and b"value" not in row[2]:
            continue
        repeats = _ODS_ROWS.search(row[1])
        n_rows += int(repeats[1]) if repeats else 1
        columns = 0
        for cell in _ODS_CELL.finditer(row[2]):
            many = _ODS_COLUMNS.search(cell[1])
            columns += int(many[1]) if many else 1
        widest = max(widest, columns)
    return n_rows * widest


def _counted(found: Iterator[object], most: int) -> int:
    """Count up to one more than `most`."""
    n_found = 0
    for _ in found:
        n_found += 1
        if n_found > most:
            break
    return n_found


def _column_number(letters: bytes) -> int:
    """Give the number of a column: A is 1, XFD is 16384."""
    number = 0
    for letter in letters:
        number = 26 * number + letter - 64
    return number


def _lengths(xml: bytes) -> list[int]:
    """Bytes of each shared text, with what stands around it."""
    ends = [found.end() for found in _TEXT_END.finditer(xml)]
    return [end - start for start, end in zip([0, *ends], ends, strict=False)]


def _refuse_long(sheets: Sequence[bytes], texts: Sequence[int]) -> None:
    """Refuse cells that together hold far more letters than the file: each gets a copy."""
    longest = max(texts, default=0)
    n_letters = 0
    for xml in sheets:
        if longest * (len(xml) // 20) <= MOST_LETTERS:
            continue
        for cell in _NAMED.finditer(xml):
            number = int(cell[1])
            n_letters += texts[number] if number < len(texts) else 0
            if n_letters > MOST_LETTERS:
                raise InputError(
                    "The workbook repeats long texts too often.",
                    fix="Delete what is no part of the table, or save the table as CSV.",
                )
