"""Rows that are parted when they are looked at, and columns of numbers read in one go.

For long tables of nothing but numbers, which most recordings of forces are: no cell is made for a
number that nobody looks at.
"""

from collections.abc import Iterator, Sequence
from typing import overload

import numpy as np
from numpy.typing import NDArray

from leadfoot.tables.grid import Cell
from leadfoot.tables.marks import Mark

Values = NDArray[np.float64]
Row = list[Cell]


class PartedLines(Sequence[Row]):
    """Lines without quotes as rows of cells.

    Parameters
    ----------
    lines
        The lines of a file.
    mark
        One character that parts their cells.

    Examples
    --------
    >>> rows = PartedLines(["time,Fz", "0.0,800", "", "0.1,801"], ",")
    >>> rows[0], rows[2], len(rows), rows.end_of_rows(1)
    (['time', 'Fz'], [], 4, 2)
    """

    def __init__(self, lines: Sequence[str], mark: str) -> None:
        self._lines = lines
        self._mark = mark

    def __len__(self) -> int:
        return len(self._lines)

    @overload
    def __getitem__(self, place: int) -> Row: ...

    @overload
    def __getitem__(self, place: slice) -> "PartedLines": ...

    def __getitem__(self, place: int | slice) -> "Row | PartedLines":
        if isinstance(place, slice):
            return PartedLines(self._lines[place], self._mark)
        line = self._lines[place]
        return list(line.split(self._mark)) if line.strip() else []

    def __iter__(self) -> Iterator[Row]:
        return (self[place] for place in range(len(self)))

    def end_of_rows(self, first: int) -> int:
        """Give the first row from one on that has no filled cell, or the number of rows."""
        for place in range(first, len(self._lines)):
            letter = self._lines[place][:1]
            if letter and letter != self._mark and not letter.isspace():
                continue
            if not any(cell.strip() for cell in self._lines[place].split(self._mark)):
                return place
        return len(self._lines)

    def numbers(
        self, first: int, last: int, columns: Sequence[int], decimal: Mark
    ) -> list[Values] | None:
        """Read columns of numbers in one go.

        Parameters
        ----------
        first, last
            The rows, the last one not included.
        columns
            Places of the columns.
        decimal
            The decimal mark.

        Returns
        -------
        list of ndarray or None
            Each of shape (last - first,); None where one cell is no number, to be read one by one.

        Examples
        --------
        >>> rows = PartedLines(["0,5;800;x", "1,0;801;y"], ";")
        >>> rows.numbers(0, 2, [1, 0], ",")
        [array([800., 801.]), array([0.5, 1. ])]
        >>> rows.numbers(0, 2, [2], ",") is None
        True
        """
        lines = self._lines[first:last]
        if decimal == ",":
            if self._mark == ",":
                return None
            lines = [line.replace(",", ".") for line in lines]
        try:
            found = np.loadtxt(
                lines, delimiter=self._mark, comments=None, usecols=columns, ndmin=2, unpack=True
            )
        except ValueError:
            return None
        found = np.ascontiguousarray(found)
        return list(found) if found.shape == (len(columns), last - first) else None
