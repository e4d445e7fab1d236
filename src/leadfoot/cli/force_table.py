"""Reads a vertical force from a plain table: time in s, force in N, a row each."""

import csv
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from leadfoot.cli.files import bytes_of
from leadfoot.errors import InputError

Values = NDArray[np.float64]


def force_of(file: Path) -> tuple[Values, Values]:
    """Times and forces of a table with two columns; one line of headers at the top is left out.

    Parameters
    ----------
    file
        The table, with commas, semicolons or tabs between; ``-`` reads standard input.

    Returns
    -------
    tuple of ndarray
        Times in s and forces in N.

    Raises
    ------
    InputError
        If the file can't be opened or a row can't be read.
    """
    text = bytes_of(file).decode("utf-8-sig", errors="replace")
    mark = next((mark for mark in ";\t" if mark in text), ",")
    lines = [line for line in text.splitlines() if line.strip()]
    found = []
    for number, cells in enumerate(csv.reader(lines, delimiter=mark), start=1):
        row = _numbers(cells, decimal_comma=mark != ",")
        if row is not None:
            found.append(row)
        elif number > 1:
            raise InputError(
                f"Row {number} of {file.name!r} is {mark.join(cells)!r}; a time in s and a force "
                "in N are needed.",
                fix="Give a table of two columns of numbers, time first.",
            )
    table = np.array(found, dtype=np.float64).reshape(-1, 2)
    return table[:, 0], table[:, 1]


def _numbers(cells: list[str], *, decimal_comma: bool) -> tuple[float, float] | None:
    try:
        time_s, force_n = (
            float(cell.replace(",", ".") if decimal_comma else cell) for cell in cells[:2]
        )
    except ValueError:
        return None
    return time_s, force_n
