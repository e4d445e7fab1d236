"""The record of shots: what a table said of each ball, in the units in which it said it."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from leadfoot.units import UNITS


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One value as it was read; directions are already signed (right, up, toe, high positive)."""

    value: float
    unit: str | None
    """Symbol of the unit; None for a ratio."""

    @property
    def si(self) -> float:
        """The value in SI.

        Examples
        --------
        >>> Reading(value=100.0, unit="mph").si
        44.704
        """
        if self.unit is None:
            return self.value
        unit = UNITS[self.unit]
        return self.value * unit.si_per_unit + unit.si_offset


@dataclass(frozen=True, slots=True, kw_only=True)
class Shot:
    """One ball: the row it came from, its block, its club and its values by quantity."""

    row: int
    """Row of the table, counted from 1 as a spreadsheet shows it."""
    block: str | None
    club: str | None
    values: Mapping[str, Reading]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Readings:
    """One quantity over all shots of a table, as read.

    Attributes
    ----------
    values
        Shape (n shots,), NaN where the table has no usable value.
    unit
        Symbol of the unit; None for a ratio.
    """

    values: NDArray[np.float64]
    unit: str | None

    def si(self) -> NDArray[np.float64]:
        """All values in SI, NaN where missing.

        Examples
        --------
        >>> Readings(values=np.array([1.0, np.nan]), unit="yd").si()
        array([0.9144,    nan])
        """
        if self.unit is None:
            return self.values.copy()
        unit = UNITS[self.unit]
        return self.values * unit.si_per_unit + unit.si_offset


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ShotTable:
    """The shots of one table, column by column, in the order in which they stand (hitting order).

    Attributes
    ----------
    rows
        Shape (n,): spreadsheet row of each shot.
    blocks, clubs
        Label of each shot's block and its club, None where the table names none.
    readings
        Quantity key to its values.
    """

    rows: NDArray[np.int64]
    blocks: tuple[str | None, ...]
    clubs: tuple[str | None, ...]
    readings: Mapping[str, Readings] = field(default_factory=lambda: MappingProxyType({}))

    def __len__(self) -> int:
        return len(self.rows)

    def si(self, quantity: str) -> NDArray[np.float64]:
        """One quantity in SI, shape (n,); all NaN where the table does not have it."""
        found = self.readings.get(quantity)
        return np.full(len(self), np.nan) if found is None else found.si()

    def shot(self, index: int) -> Shot:
        """Give one shot as a record of its own, missing values left away."""
        values = {
            key: Reading(value=float(column.values[index]), unit=column.unit)
            for key, column in self.readings.items()
            if np.isfinite(column.values[index])
        }
        return Shot(
            row=int(self.rows[index]),
            block=self.blocks[index],
            club=self.clubs[index],
            values=MappingProxyType(values),
        )

    def __iter__(self) -> Iterator[Shot]:
        return (self.shot(index) for index in range(len(self)))


@dataclass(frozen=True, slots=True, kw_only=True)
class BlockSpan:
    """A block of shots as the table has it: consecutive shots with one label."""

    label: str
    first_row: int
    last_row: int
    n_shots: int
