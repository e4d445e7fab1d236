"""Workbooks built from text twins, so that the tables stay readable files."""

import csv
from io import BytesIO, StringIO
from typing import Any

import openpyxl


def workbook_of(text: str, how: dict[str, Any]) -> bytes:
    """Build a workbook: one sheet from a text of commas or semicolons, others if asked for.

    `numbers` turns cells that are numbers into numbers; `sheet` names the sheet; `before` names
    empty or idle sheets that stand before it; `start` shifts the table to a cell such as "C4".
    """
    book = openpyxl.Workbook()
    first = book.active
    assert first is not None
    book.remove(first)
    for title in how.get("before", []):
        book.create_sheet(title)["A1"] = "Nothing of interest here"
    sheet = book.create_sheet(how.get("sheet", "Shots"))
    down, right = how.get("shift", [0, 0])
    for row, cells in enumerate(csv.reader(StringIO(text), delimiter=how.get("mark", ",")), 1):
        for column, cell in enumerate(cells, 1):
            if cell:
                value = _value(cell) if how.get("numbers", True) else cell
                sheet.cell(row=row + down, column=column + right, value=value)
    out = BytesIO()
    book.save(out)
    return out.getvalue()


def _value(cell: str) -> str | float | bool:
    if cell in {"TRUE", "FALSE"}:
        return cell == "TRUE"
    try:
        return float(cell)
    except ValueError:
        return cell
