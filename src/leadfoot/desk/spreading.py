"""The patterns of a table of shots: one for each club and block, in the units of the table."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from leadfoot.desk.answer import Basis
from leadfoot.desk.blocks import with_named_blocks
from leadfoot.desk.records import Hand
from leadfoot.desk.same_air import landing
from leadfoot.desk.sides import clubs_by_shot
from leadfoot.errors import InputError
from leadfoot.evidence.dispersion import ShotPattern, Spread, shot_pattern
from leadfoot.evidence.share import Share
from leadfoot.shots.columns import ColumnMapping
from leadfoot.shots.form import problem_json
from leadfoot.shots.read import RowBlock, read_table
from leadfoot.shots.shot import ShotTable
from leadfoot.tables.problem import Problem
from leadfoot.units import si_into

_LENGTHS = ("yd", "m", "ft")
WHY_NOT: Mapping[str, str] = {
    "too_few": "fewer than three balls",
    "all_equal": "all balls the same",
    "on_a_line": "the balls lie on a line",
    "no_distance": "a ball went nowhere, so it has no angle",
}
"""In words, why a spread or an ellipse is not there."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BlockPattern:
    """The pattern of one block with one club.

    Attributes
    ----------
    block, club
        As the table names them; None where it names no club.
    pattern
        In metres and radians.
    carry_basis, offline_basis
        Measured, or computed by the flight model in still standard air.
    """

    block: str
    club: str | None
    pattern: ShotPattern
    carry_basis: Basis
    offline_basis: Basis


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Patterns:
    """All patterns of a table.

    Attributes
    ----------
    unit
        Unit of length in which they are shown: that of the table's carry, else yards.
    corridor_m
        Full width of the corridor asked for, in metres; None without one.
    groups
        In the order in which they were hit.
    problems
        What could not be read.
    """

    unit: str
    corridor_m: float | None
    groups: tuple[BlockPattern, ...]
    problems: tuple[Problem, ...]

    def length(self, value_m: float) -> float:
        """A length in the unit shown."""
        return si_into(value_m, self.unit)

    def as_json(self) -> dict[str, Any]:
        """The patterns in the published form ``leadfoot.spread/1``."""
        return {
            "schema": "leadfoot.spread/1",
            "unit": self.unit,
            "corridor": None if self.corridor_m is None else _short(self.length(self.corridor_m)),
            "patterns": [self._group(group) for group in self.groups],
            "problems": [problem_json(problem) for problem in self.problems],
        }

    def _group(self, group: BlockPattern) -> dict[str, Any]:
        found = group.pattern
        plane, polar = found.metres, found.polar
        missing = "no_ball" if plane is None else plane.missing
        return {
            "club": group.club,
            "block": group.block,
            "n_shots": found.n,
            "n_unknown": found.n_unknown,
            "basis": {"carry": group.carry_basis, "offline": group.offline_basis},
            "carry": plane and _short(self.length(plane.along)),
            "offline": plane and _short(self.length(plane.across)),
            "angle_deg": polar and _short(math.degrees(polar.across)),
            "spread_offline": plane and self._spread(plane.spread_across),
            "spread_carry": plane and self._spread(plane.spread_along),
            "spread_angle_deg": polar and _spread(polar.spread_across, math.degrees(1.0)),
            "spread_distance_share": polar and _spread(polar.spread_along, 1.0),
            "missing": missing,
            "ellipses": []
            if plane is None
            else [
                {
                    "holds": chance,
                    "offline": _short(self.length(one.x)),
                    "carry": _short(self.length(one.y)),
                    "width": _short(self.length(one.width)),
                    "height": _short(self.length(one.height)),
                    "turn_deg": _short(math.degrees(one.turn_rad)),
                }
                for chance, one in plane.ellipses.items()
            ],
            "mishits": _share(found.mishits),
            "in_corridor": _share(found.in_corridor),
        }

    def _spread(self, spread: Spread | None) -> dict[str, Any] | None:
        return _spread(spread, self.length(1.0))


def patterns_of_file(
    data: bytes,
    *,
    name: str = "",
    hand: Hand = "right",
    mapping: ColumnMapping | None = None,
    block_column: str | None = None,
    row_blocks: Sequence[RowBlock] = (),
    corridor_m: float | None = None,
) -> Patterns:
    r"""Describe every block of a table of shots, club by club.

    Parameters
    ----------
    data
        The file as it is, byte for byte.
    name
        Its name, for messages.
    hand
        The student's hand, for words such as "open" and "in-to-out".
    mapping
        Which column is which quantity; None: guessed from the headers.
    block_column
        Header of the column that holds the blocks; None: guessed.
    row_blocks
        Blocks by rows as a spreadsheet counts them, instead of by labels.
    corridor_m
        Full width of a corridor about the target line; None: none.

    Returns
    -------
    Patterns
        Where a ball has no carry or offline, it is computed in still standard air if it can be.

    Raises
    ------
    InputError
        If the file is no table of shots, or no ball has both carry and offline.

    Examples
    --------
    >>> rows = ["carry (yd),offline (yd)", "200,4 R", "191,7 L", "207,0", "196,9 R", "203,2 L"]
    >>> found = patterns_of_file("\n".join(rows).encode(), corridor_m=10.0)
    >>> found.groups[0].pattern.in_corridor.k, found.unit
    (3, 'yd')
    """
    reading = read_table(
        data,
        name=name,
        mapping=mapping,
        hand=hand,
        block_column=block_column,
        row_blocks=row_blocks,
    )
    table = with_named_blocks(reading.shots, by_rows=bool(row_blocks))
    groups = _groups(table, corridor_m)
    if not any(group.pattern.n for group in groups):
        raise InputError(
            "No ball has both a carry and an offline, and neither can be computed.",
            fix="Give both, or ball speed, launch angle, direction, spin rate and spin axis.",
        )
    return Patterns(
        unit=_unit_of(table), corridor_m=corridor_m, groups=groups, problems=reading.problems
    )


def _groups(table: ShotTable, corridor_m: float | None) -> tuple[BlockPattern, ...]:
    clubs = clubs_by_shot(table)
    keys = list(zip(table.blocks, clubs, strict=True))
    groups = []
    for block, club in dict.fromkeys(keys):
        inside = np.array([key == (block, club) for key in keys], dtype=bool)
        groups.append(_group(table, inside, block or "", club, corridor_m))
    return tuple(groups)


def _group(
    table: ShotTable,
    inside: NDArray[np.bool_],
    block: str,
    club: str | None,
    corridor_m: float | None,
) -> BlockPattern:
    lands = landing(table, inside)
    return BlockPattern(
        block=block,
        club=club,
        pattern=shot_pattern(lands.carry_m[inside], lands.offline_m[inside], corridor_m=corridor_m),
        carry_basis=lands.carry_basis,
        offline_basis=lands.offline_basis,
    )


def _unit_of(table: ShotTable) -> str:
    for key in ("carry", "offline", "total"):
        found = table.readings.get(key)
        if found is not None and found.unit in _LENGTHS:
            return found.unit
    return "yd"


def _spread(spread: Spread | None, factor: float) -> dict[str, Any] | None:
    if spread is None:
        return None
    return {
        "sd": _short(factor * spread.sd),
        "low": _short(factor * spread.low),
        "high": _short(factor * spread.high),
    }


def _share(share: Share | None) -> dict[str, Any] | None:
    if share is None:
        return None
    return {
        "k": share.k,
        "n": share.n,
        "share": _short(share.share),
        "low": _short(share.low),
        "high": _short(share.high),
    }


def _short(value: float) -> float | None:
    return round(float(value), 6) if math.isfinite(value) else None
