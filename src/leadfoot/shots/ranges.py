"""What values a real swing gives, and what one column says of another: the ground for doubts.

All bands are common practice without a source, and wide: they catch a wrong unit or a slipped
column, not a poor shot. They are never used to change or drop a value.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from leadfoot.quantities import ClubClass, glossary
from leadfoot.shots.club import club_class
from leadfoot.shots.columns import units_of
from leadfoot.units import si_from

Floats = NDArray[np.float64]

USUAL: Mapping[str, Mapping[ClubClass, tuple[float, float]]] = MappingProxyType(
    {
        "club_speed": {
            "driver": (65, 125), "wood": (60, 120), "hybrid": (57, 112),
            "iron": (50, 105), "wedge": (35, 97),
        },
        "ball_speed": {
            "driver": (88, 188), "wood": (82, 175), "hybrid": (75, 160),
            "iron": (60, 145), "wedge": (35, 118),
        },
    }
)  # fmt: skip
"""Where the median of a block of full swings lies, by class of club. [mph] Common practice."""

_CARRY_BY_SPEED = (
    (10.0, 15.0, 20.0, 30.0, 40.0, 50.0, 65.0, 80.0, 110.0),
    (0.80, 1.15, 1.45, 2.05, 2.55, 2.90, 3.20, 3.35, 3.40),
)
"""Carry over ball speed [s] of a well launched ball, by ball speed [m/s]. From memory."""
_CARRY_SHARE: Mapping[ClubClass | None, tuple[float, float]] = MappingProxyType(
    {
        "driver": (0.77, 1.3),
        "wood": (0.77, 1.3),
        "hybrid": (0.72, 1.3),
        "iron": (0.7, 1.3),
        "wedge": (0.5, 1.5),
        None: (0.55, 1.45),
    }
)
"""How far the median of a block may lie from that. Common practice, no source."""

SMASH = (0.75, 1.56)
"""Ball speed over club speed of a block of full swings, any club. Common practice, no source."""
APEX_SHARE = (0.01, 0.45)
"""Apex over carry: a punched driver to a lob. Common practice, no source."""
TOTAL_SHARE: Mapping[ClubClass | None, tuple[float, float]] = MappingProxyType(
    {
        "driver": (0.998, 2.2),
        "wood": (0.998, 2.2),
        "hybrid": (0.998, 2.2),
        "iron": (0.985, 2.2),
        "wedge": (0.93, 2.2),
        None: (0.93, 2.2),
    }
)
"""Total over carry, as medians: only a high ball spins back. Common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Clubs:
    """The class of club of each shot: shape (n,) of places in `names`."""

    names: tuple[ClubClass | None, ...]
    places: NDArray[np.int64]

    def main(self) -> ClubClass | None:
        """Give the one class of club of all shots, or None."""
        return self.names[0] if len(self.names) == 1 else None


def clubs_of(names: Sequence[str | None]) -> Clubs:
    """Give the classes of the clubs of all shots.

    Examples
    --------
    >>> clubs_of(["7 iron", "6 iron"]).main(), clubs_of(["7 iron", "driver"]).main()
    ('iron', None)
    """
    by_name = {name: club_class(name) for name in set(names)}
    found = tuple(sorted(set(by_name.values()), key=str))
    places = {name: found.index(club) for name, club in by_name.items()}
    count = len(names)
    return Clubs(
        names=found, places=np.fromiter(map(places.__getitem__, names), np.int64, count=count)
    )


def share_plausible(values: Floats, unit: str | None, key: str, clubs: Clubs) -> float:
    """Give the share of values that a real swing can give, were they in this unit.

    Examples
    --------
    >>> share_plausible(np.array([95.0, 400.0]), "mph", "club_speed", clubs_of(["driver", None]))
    0.5
    """
    held = np.isfinite(values)
    if not held.any():
        return 1.0
    bounds = np.array([glossary()[key].plausible_si(name) for name in clubs.names])
    low, high = bounds[clubs.places[held]].T
    si = values[held] * si_from(1.0, unit)
    return float(np.mean((si >= low) & (si <= high)))


def usual_units(values: Floats, key: str, clubs: Clubs) -> list[str]:
    """List the units in which the values would be those of usual full swings.

    Examples
    --------
    >>> usual_units(np.array([44.0, 46.0]), "club_speed", clubs_of(["driver"] * 2))
    ['m/s']
    """
    bands = USUAL.get(key)
    if bands is None or not np.isfinite(values).any():
        return []
    chosen = [bands[name] for name in clubs.names if name] or list(bands.values())
    low = si_from(min(band[0] for band in chosen), "mph")
    high = si_from(max(band[1] for band in chosen), "mph")
    median = float(np.nanmedian(values))
    return [
        unit for unit in units_of(key) if unit != "ft/s" and low <= si_from(median, unit) <= high
    ]


def carry_fits(carry_m: float, ball_speed_mps: float, club: ClubClass | None) -> bool:
    """Tell whether a carry can belong to a ball speed.

    Examples
    --------
    >>> carry_fits(220.0, 67.0, "driver"), carry_fits(220.0, 107.0, "driver")
    (True, False)
    """
    if ball_speed_mps <= 0:
        return False
    expected = float(np.interp(ball_speed_mps, *_CARRY_BY_SPEED)) * ball_speed_mps
    low, high = _CARRY_SHARE[club]
    return low * expected <= carry_m <= high * expected


_POSITIVE = ("club_speed", "ball_speed", "smash_factor", "spin_rate")
"""Quantities that are never 0: there it stands for: not measured."""
_NOT_NEGATIVE = ("carry", "total", "apex", "hang_time", "spin_loft")
_FAR_BEYOND = 3.0
"""How many times the highest plausible value no shot can reach. Our own choice."""


def impossible(values: Floats, unit: str | None, key: str) -> dict[int, str]:
    """Find the values that no shot can have, by place, with the reason.

    Examples
    --------
    >>> impossible(np.array([0.0, 95.0]), "mph", "club_speed")
    {0: 'A club speed of 0 can not be; it is taken as missing.'}
    """
    name = glossary()[key].name
    si = values * si_from(1.0, unit)
    low, high = glossary()[key].plausible_si()
    highest = np.pi / 2 if glossary()[key].dimension == "angle" else _FAR_BEYOND * max(-low, high)
    bad = np.abs(si) > highest + 1e-9
    if key in _POSITIVE:
        bad |= si <= 0
    if key in _NOT_NEGATIVE:
        bad |= si < 0
    shown = f" {unit}" if unit else ""
    article = "An" if name[0] in "aeiou" else "A"
    return {
        int(place): (
            f"{article} {name} of {values[place]:g}{shown if values[place] else ''} can not be; "
            "it is taken as missing."
        )
        for place in np.flatnonzero(bad)
    }
