"""Generic clubs: invented mid-range heads for the impact model, read from ``clubs.toml``."""

import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType

from leadfoot.errors import InputError, OutOfRangeError
from leadfoot.quantities import ClubClass

RESTITUTION_SLOPE_PER_MPS = -0.0029
"""Restitution falls by this much for each m/s into the face: A. R. Penner, "The physics of golf:
The optimum loft of a driver," American Journal of Physics, vol. 69, p. 563, 2001 (read
second-hand). It was found for woods before titanium; taken for all heads. [s/m]"""

RESTITUTION_SPEED_MPS = 40.5
"""Speed at which a club's restitution is stated, that of the rule's test: 133 ft/s. [m/s]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Restitution:
    """How springy an impact is, by the speed across the face: a straight line, held to 0.3 to 0.95.

    Attributes
    ----------
    value
        Speed apart over speed together at `at_mps`. [-]
    at_mps
        Speed at which it holds. [m/s]
    slope_per_mps
        Change for each m/s more. [s/m]

    Examples
    --------
    >>> Restitution(value=0.86, at_mps=0.0).at(45.0 * math.cos(math.radians(13.0)))
    0.732845
    """

    value: float
    at_mps: float = RESTITUTION_SPEED_MPS
    slope_per_mps: float = RESTITUTION_SLOPE_PER_MPS

    def at(self, across_mps: float) -> float:
        """Restitution at a speed across the face.

        Examples
        --------
        >>> Restitution(value=0.83, slope_per_mps=0.0).at(50.0)
        0.83
        """
        value = self.value + self.slope_per_mps * (across_mps - self.at_mps)
        return min(max(value, 0.3), 0.95)


@dataclass(frozen=True, slots=True, kw_only=True)
class Club:
    """The head of a club, as far as a centred strike needs it.

    Attributes
    ----------
    head_mass_kg
        Mass of the head, 0.1 to 0.5. [kg]
    loft_rad
        Static loft. [rad]
    restitution
        How springy its face is.

    Examples
    --------
    >>> club("iron7").head_mass_kg
    0.27
    """

    name: str
    club_class: ClubClass
    head_mass_kg: float
    loft_rad: float
    restitution: Restitution

    def __post_init__(self) -> None:
        if not 0.1 <= self.head_mass_kg <= 0.5:
            raise OutOfRangeError(
                f"Head mass of {self.name} is {self.head_mass_kg:g} kg; heads weigh 0.1 to 0.5 kg.",
                fix="Check the unit: a driver's head weighs about 0.2 kg.",
            )


@cache
def clubs() -> Mapping[str, Club]:
    """All generic clubs by key, longest first; invented mid-range values.

    Examples
    --------
    >>> list(clubs())
    ['driver', 'wood5', 'hybrid', 'iron5', 'iron7', 'iron9', 'wedge']
    """
    text = files("leadfoot.physics").joinpath("clubs.toml").read_text(encoding="utf-8")
    return MappingProxyType(
        {
            key: Club(
                name=row["name"],
                club_class=row["class"],
                head_mass_kg=row["head_mass_kg"],
                loft_rad=math.radians(row["loft_deg"]),
                restitution=Restitution(value=row["restitution"]),
            )
            for key, row in tomllib.loads(text).items()
        }
    )


def club(key: str) -> Club:
    """Look up a generic club.

    Parameters
    ----------
    key
        Its key in ``clubs.toml``: ``driver``, ``iron7``.

    Raises
    ------
    InputError
        If there is no such club.

    Examples
    --------
    >>> round(math.degrees(club("driver").loft_rad), 1)
    10.5
    """
    try:
        return clubs()[key]
    except KeyError:
        raise InputError(
            f"Club {key!r} is not in the catalogue.", fix=f"Use one of: {' '.join(clubs())}."
        ) from None
