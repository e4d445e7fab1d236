"""Workbooks to cells: the sheet that holds the table, with its numbers as numbers."""

from collections.abc import Sequence
from io import BytesIO
from typing import Any

from python_calamine import CalamineError, CalamineWorkbook, PasswordError

from leadfoot.errors import InputError
from leadfoot.tables.grid import Cell, Grid
from leadfoot.tables.problem import Problem
from leadfoot.tables.split import NamesColumn
from leadfoot.tables.unpacked import DAMAGED, SAVE_AGAIN, safe_workbook

_ZIP = b"PK\x03\x04"
_COMPOUND = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_LOOKED_AT = 30


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
        If the workbook is damaged, locked, too large, or has no cells.
    """
    if data.startswith(_ZIP):
        data = safe_workbook(data)
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
        raise InputError(DAMAGED, fix=SAVE_AGAIN) from None
    except BaseException as error:
        if type(error).__name__ != "PanicException":
            raise
        # The reader of workbooks gave up in a way of its own, which no other handler knows.
        raise InputError(DAMAGED, fix=SAVE_AGAIN) from None


def _rows(book: CalamineWorkbook, name: str) -> list[list[Cell]]:
    try:
        sheet = book.get_sheet_by_name(name)
    except CalamineError:  # a sheet of charts, or a damaged one beside good ones
        return []
    return [[_cell(value) for value in row] for row in sheet.to_python(skip_empty_area=False)]


def _cell(value: Any) -> Cell:
    """Numbers stay numbers; dates and times become text; a checked box is its word."""
    if isinstance(value, str):
        return value
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    if isinstance(value, (int, float)):
        return float(value)
    return str(value)
