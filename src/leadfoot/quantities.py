"""The glossary: every quantity of the trade that the program knows, read from ``glossary.toml``.

Frames and signs are fixed here once. Ball frame: x toward the target, y up, z right of the target
(right-handed, so right is positive for the coach too). Low point is positive ahead of the ball. The
spin axis is positive when it curves the ball right. Face angle and club path are right-of-target
positive for both hands; toe, high and up are positive.
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any, Literal

from leadfoot.errors import InputError
from leadfoot.units import Dimension, si_from

ClubClass = Literal["driver", "wood", "hybrid", "iron", "wedge"]
Better = Literal["more", "nearer_zero", "none"]

SUFFIX: Mapping[str, str] = MappingProxyType(
    {"speed": "mps", "length": "m", "angle": "rad", "spin": "radps", "time": "s", "ratio": "ratio"}
)
"""The suffix that a name inside the program carries, by kind of quantity."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantity:
    """One quantity of the trade.

    Examples
    --------
    >>> quantity("carry").unit
    'yd'
    """

    key: str
    """Its name in JSON and in options: ``club_speed``."""
    name: str
    """Its name on a page: ``club speed``."""
    symbol: str
    dimension: Dimension | Literal["ratio"]
    unit: str | None
    """The unit in which people usually speak of it; None for a ratio."""
    better: Better
    sign: str
    plain: str
    plausible: Mapping[ClubClass, tuple[float, float]]
    """Lowest and highest real value by class of club, in `unit`."""
    terms: Mapping[str, tuple[str, ...]]
    """Header terms by language."""

    @property
    def suffixed(self) -> str:
        """The name that a variable in SI carries inside the program.

        Examples
        --------
        >>> quantity("club_speed").suffixed
        'club_speed_mps'
        """
        return f"{self.key}_{SUFFIX[self.dimension]}"

    def plausible_si(self, club_class: ClubClass | None = None) -> tuple[float, float]:
        """Lowest and highest real value in SI, for one class of club or over all.

        Examples
        --------
        >>> quantity("hang_time").plausible_si("driver")
        (0.2, 10.0)
        """
        if club_class is None:
            low = min(pair[0] for pair in self.plausible.values())
            high = max(pair[1] for pair in self.plausible.values())
        else:
            low, high = self.plausible[club_class]
        return si_from(low, self.unit), si_from(high, self.unit)


def _record(key: str, row: dict[str, Any]) -> Quantity:
    return Quantity(
        key=key,
        name=row["name"],
        symbol=row["symbol"],
        dimension=row["dimension"],
        unit=row.get("unit"),
        better=row["better"],
        sign=row["sign"],
        plain=row["plain"],
        plausible=MappingProxyType(
            {name: (float(low), float(high)) for name, (low, high) in row["plausible"].items()}
        ),
        terms=MappingProxyType({lang: tuple(terms) for lang, terms in row["terms"].items()}),
    )


@cache
def glossary() -> Mapping[str, Quantity]:
    """All quantities by key, in the order of the glossary file.

    Examples
    --------
    >>> list(glossary())[:2]
    ['club_speed', 'ball_speed']
    """
    text = files("leadfoot").joinpath("glossary.toml").read_text(encoding="utf-8")
    return MappingProxyType({key: _record(key, row) for key, row in tomllib.loads(text).items()})


def quantity(key: str) -> Quantity:
    """Look up one quantity.

    Parameters
    ----------
    key
        Its key, as in JSON: ``club_speed``.

    Raises
    ------
    InputError
        If the glossary has no such quantity.

    Examples
    --------
    >>> quantity("offline").better
    'nearer_zero'
    """
    try:
        return glossary()[key]
    except KeyError:
        raise InputError(
            f"Quantity {key!r} is not in the glossary.", fix=f"Use one of: {' '.join(glossary())}."
        ) from None
