"""The values that are taken from the columns, and the cells and rows that are not."""

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from leadfoot.language.say import noted
from leadfoot.shots.amounts import Amount
from leadfoot.shots.doubts import Measured
from leadfoot.shots.guess import Guess
from leadfoot.shots.lines import Sorted
from leadfoot.shots.ranges import impossible
from leadfoot.tables.grid import Cell, clip, row_text, text_of
from leadfoot.tables.problem import Problem
from leadfoot.tables.split import is_number

_NO_VALUE = noted("No usable value stands in this row.")


def left_in_twins(
    guesses: Sequence[Guess],
    cells: Sequence[Sequence[Cell]],
    values: Mapping[int, NDArray[np.float64]],
) -> list[Problem]:
    """Report numbers of a column left aside that the column taken in its place does not have.

    Parameters
    ----------
    guesses
        All columns.
    cells
        The cells of the shots, column by column.
    values
        The values taken, by place of the column.
    """
    problems: list[Problem] = []
    for guess in guesses:
        twin = guess.twin_of
        if twin is None or twin not in values:
            continue
        gaps = [int(place) for place in np.flatnonzero(np.isnan(values[twin]))]
        count = sum(is_number(cells[guess.index][place]) for place in gaps)
        if count:
            reason = (
                f"Column {guesses[twin].header!r} was taken for the same quantity and has "
                "none there; give both columns one header and one unit, or map this one."
            )
            problems.append(
                Problem(row=None, column=guess.header, text=f"values: {count}", reason=reason)
            )
    return problems


class Takings:
    """Values column by column; what is wrong becomes a problem, and what is left is held."""

    def __init__(self, *, lines: Sorted, rows: Sequence[Sequence[Cell]]) -> None:
        self._lines = lines
        self._rows = rows
        self._any = np.zeros(len(lines.shots), dtype=np.bool_)
        self._told: set[int] = set()
        self.problems: list[Problem] = []

    def take(self, amount: Amount, measured: Measured) -> NDArray[np.float64]:
        """Take one column's values; wrong and impossible cells become problems."""
        values = measured.values.copy()
        reasons = dict(amount.numbers.reasons)
        if not measured.asked:
            reasons |= impossible(values, measured.unit, measured.key)
        for place, reason in reasons.items():
            values[place] = np.nan
            self._told.add(place)
            self.problems.append(
                Problem(
                    row=self._lines.shots[place] + 1,
                    column=amount.guess.header,
                    text=clip(text_of(amount.cells[place])),
                    reason=reason,
                )
            )
        self._any |= np.isfinite(values)
        return values

    def held(self) -> list[int]:
        """List the places that are shots; report the others."""
        for place in map(int, np.flatnonzero(~self._any)):
            row = self._lines.shots[place]
            self._lines.kinds[row] = "problem"
            if place not in self._told:
                text = row_text(self._rows[row])
                self.problems.append(Problem(row=row + 1, column=None, text=text, reason=_NO_VALUE))
        return [int(place) for place in np.flatnonzero(self._any)]
