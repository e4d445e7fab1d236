"""Workbooks to cells: the sheet that holds the table, with its numbers as numbers."""

import re
import zlib
from collections.abc import Sequence
from io import BytesIO
from typing import Any
from zipfile import BadZipFile, ZipFile

from python_calamine import CalamineError, CalamineWorkbook, PasswordError

from leadfoot.errors import InputError
from leadfoot.tables.grid import Cell, Grid
from leadfoot.tables.problem import Problem
from leadfoot.tables.split import NamesColumn

_ZIP = b"PK\x03\x04"
_COMPOUND = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_LOOKED_AT = 30
_MOST_CELLS = 20_000_000
"""Most cells that a sheet may span, empty ones included: all of them are held. Our own choice."""
_LARGEST_SHEET_BYTES = 512 * 1024 * 1024
"""Largest sheet when unpacked. Our own choice."""
_ROW = re.compile(rb'<row [^>]{0,200}?\br="(\d{1,7})"')
_COLUMN = re.compile(rb'<c [^>]{0,200}?\br="([A-Z]{1,3})\d')
_TOO_WIDE = "The workbook spans too many cells."
_MOVE = "Delete what stands far from the table, or save the table as CSV."


def is_workbook(data: bytes) -> bool:
    """Tell whether bytes are a workbook rather than text.

    Examples
    --------
    >>> is_workbook(b"Carry,Spin")
    False
    """
    return data.startswith((_ZIP, _COMPOUND))


def read_workbook(data: bytes, names_column: NamesColumn) -> Grid:
    """Read the sheet of a workbook that holds most of what looks like a table that is known.

    Parameters
    ----------
    data
        The whole file.
    names_column
        Tells whether a cell is a header that is known.

    Raises
    ------
    InputError
        If the workbook is damaged, locked, or has no cells.
    """
    if data.startswith(_ZIP) and _spans_too_much(data):
        raise InputError(_TOO_WIDE, fix=_MOVE)
    sheets = [(name, rows) for name, rows in _sheets(data) if any(map(len, rows))]
    if not sheets:
        raise InputError("The workbook has no cells.", fix="Save the table again.")
    ratings = [(_rating(rows, names_column), -place) for place, (_, rows) in enumerate(sheets)]
    name, rows = sheets[-max(ratings)[1]]
    others = [
        other
        for other, found in sheets
        if found is not rows and _rating(found, names_column)[0] > 0
    ]
    problems = tuple(
        Problem(
            row=None,
            column=None,
            text=f"sheet {other}",
            reason=f"Sheet {name!r} was read. Save this sheet as a file of its own to read it too.",
        )
        for other in others
    )
    return Grid(rows=rows, source=f"sheet {name!r}", problems=problems)


def _rating(rows: Sequence[Sequence[Cell]], names_column: NamesColumn) -> tuple[int, int]:
    headers = max((sum(map(names_column, row)) for row in rows[:_LOOKED_AT]), default=0)
    return headers, sum(1 for row in rows for cell in row if isinstance(cell, float))


def _sheets(data: bytes) -> list[tuple[str, list[list[Cell]]]]:
    try:
        with CalamineWorkbook.from_object(BytesIO(data)) as book:
            return [(name, _rows(book, name)) for name in book.sheet_names]
    except PasswordError:
        raise InputError(
            "The workbook is locked by a password.",
            fix="Save it without a password and give that file.",
        ) from None
    except (CalamineError, OSError, ValueError, KeyError):
        raise InputError(
            "The workbook can't be opened: it is damaged or of an unknown kind.",
            fix="Save it again as XLSX or CSV and give that file.",
        ) from None


def _rows(book: CalamineWorkbook, name: str) -> list[list[Cell]]:
    try:
        sheet = book.get_sheet_by_name(name)
    except CalamineError:  # a sheet of charts, or a damaged one beside good ones
        return []
    return [[_cell(value) for value in row] for row in sheet.to_python(skip_empty_area=False)]


def _spans_too_much(data: bytes) -> bool:
    """Tell whether a sheet reaches so far that holding all its cells would fill the memory."""
    try:
        with ZipFile(BytesIO(data)) as book:
            names = [name for name in book.namelist() if name.startswith("xl/worksheets/sheet")]
            return any(_reaches_too_far(book, name) for name in names)
    except (BadZipFile, zlib.error, OSError, ValueError, RuntimeError, EOFError, KeyError):
        return False  # the reader of workbooks says what is wrong


def _reaches_too_far(book: ZipFile, name: str) -> bool:
    if book.getinfo(name).file_size > _LARGEST_SHEET_BYTES:
        return True
    with book.open(name) as sheet:
        xml = sheet.read(_LARGEST_SHEET_BYTES)
    last_row = max(map(int, _ROW.findall(xml)), default=1)
    if last_row * 16_384 <= _MOST_CELLS:
        return False
    last_column = max(map(_column_number, set(_COLUMN.findall(xml))), default=1)
    return last_row * last_column > _MOST_CELLS


def _column_number(letters: bytes) -> int:
    """Give the number of a column: A is 1, XFD is 16384."""
    number = 0
    for letter in letters:
        number = 26 * number + letter - 64
    return number


def _cell(value: Any) -> Cell:
    """Numbers stay numbers; dates and times become text; a checked box is its word."""
    if isinstance(value, str):
        return value
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    if isinstance(value, (int, float)):
        return float(value)
    return str(value)
