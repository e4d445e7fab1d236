"""One column of cells to one array of numbers, fast where the cells are plain."""

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from leadfoot.language.say import noted
from leadfoot.shots.cell import CellRule, CellValue, is_missing, read_cell
from leadfoot.shots.sides import is_signed
from leadfoot.tables.grid import Cell
from leadfoot.units import UNITS

_LARGEST = 1e7
"""No quantity of a shot, in any unit, is larger. Our own choice."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Numbers:
    """What the cells of one column say.

    Attributes
    ----------
    values
        Shape (n,), as written; NaN where a cell is empty or wrong.
    units
        Units that stand in cells, by place.
    reasons
        What is wrong with a cell, by place.
    brackets_negative
        True where numbers in brackets were read as negative ones.
    """

    values: NDArray[np.float64]
    units: dict[int, str] = field(default_factory=dict)
    reasons: dict[int, str] = field(default_factory=dict)
    brackets_negative: bool = False

    def main_unit(self) -> str | None:
        """Give the unit that most cells name, or None."""
        return Counter(self.units.values()).most_common(1)[0][0] if self.units else None

    def in_unit(self, unit: str | None) -> NDArray[np.float64]:
        """Give the values in one unit: cells that name another are turned into it."""
        values = self.values.copy()
        if unit is None:
            return values
        for place, own in self.units.items():
            if own != unit:
                values[place] *= UNITS[own].si_per_unit / UNITS[unit].si_per_unit
        return values


def read_numbers(cells: Sequence[Cell], rule: CellRule) -> Numbers:
    """Read all cells of one column.

    Examples
    --------
    >>> rule = CellRule(quantity="carry", dimension="length", decimal=",", hand="right")
    >>> read_numbers(["210,5", "-", "198 yd"], rule).values
    array([210.5,   nan, 198. ])
    """
    quick = _quick(cells, rule)
    if quick is not None:
        return Numbers(values=quick)
    rule = replace(rule, brackets_negative=_brackets_mean_minus(cells, rule))
    known: dict[Cell, CellValue] = {}
    values = np.full(len(cells), np.nan)
    units: dict[int, str] = {}
    reasons: dict[int, str] = {}
    for place, cell in enumerate(cells):
        found = known.get(cell)
        if found is None:
            found = known[cell] = _one(cell, rule)
        values[place] = found.value
        if found.unit is not None:
            units[place] = found.unit
        if found.reason is not None:
            reasons[place] = found.reason
    return Numbers(
        values=values, units=units, reasons=reasons, brackets_negative=rule.brackets_negative
    )


def _quick(cells: Sequence[Cell], rule: CellRule) -> NDArray[np.float64] | None:
    """Read a column of plain numbers, each distinct cell once, or give up."""
    known: dict[Cell, float] = {}
    for cell in set(cells):
        value = _plain(cell, rule) if isinstance(cell, str) else cell
        if value is None or abs(value) > _LARGEST:
            return None
        known[cell] = value
    return np.fromiter(map(known.__getitem__, cells), dtype=np.float64, count=len(cells))


def _brackets_mean_minus(cells: Sequence[Cell], rule: CellRule) -> bool:
    """Tell whether brackets stand for minus: a two-way quantity, and no minus anywhere."""
    texts = {cell.strip() for cell in cells if isinstance(cell, str) and not is_missing(cell)}
    has_minus = any(text[0] in "-−–" for text in texts) or any(
        not isinstance(cell, str) and cell < 0 for cell in cells
    )
    has_brackets = any(text[0] == "(" and text[-1] == ")" for text in texts)
    return is_signed(rule.quantity) and has_brackets and not has_minus


def _one(cell: Cell, rule: CellRule) -> CellValue:
    if not isinstance(cell, str):
        return _possible(CellValue(value=cell))
    plain = _plain(cell, rule)
    return _possible(CellValue(value=plain) if plain is not None else read_cell(cell, rule))


def _plain(cell: str, rule: CellRule) -> float | None:
    """Read a cell that is nothing but a number with the column's decimal mark."""
    if "_" in cell or len(cell) > 40:
        return None
    if rule.decimal == ",":
        if "." in cell:
            return None
        cell = cell.replace(",", ".")
    try:
        value = float(cell)
    except ValueError:
        return None
    return value if math.isfinite(value) else None


def _possible(found: CellValue) -> CellValue:
    if math.isnan(found.value) or abs(found.value) <= _LARGEST:
        return found
    return CellValue(reason=noted("This number is too large to be a value of a shot."))
