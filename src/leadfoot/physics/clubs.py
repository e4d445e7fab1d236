"""Generic clubs: invented mid-range heads for the impact model, read from ``clubs.toml``."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType

from leadfoot.errors import InputError, OutOfRangeError
from leadfoot.physics.club_file import Row, club_rows
from leadfoot.physics.within import check_all_within
from leadfoot.quantities import ClubClass

RESTITUTION_SLOPE_PER_MPS = -0.0029
"""Restitution falls by this much for each m/s into the face: A. R. Penner, "The physics of golf:
The optimum loft of a driver," American Journal of Physics, vol. 69, p. 563, 2001 (read
second-hand). It was found for woods before titanium; taken for all heads. [s/m]"""

RESTITUTION_SPEED_MPS = 40.5
"""Speed at which a club's restitution is stated, that of the rule's test: 133 ft/s. [m/s]"""

LEAST_RESTITUTION, MOST_RESTITUTION = 0.3, 0.95
"""The straight line of a restitution is held between these; no club and ball come near. [-]"""

FRICTION = 0.35
"""Friction of a soft cover on a dry face. Measured 0.38 to 0.29 as the speed along the face goes
from 12.8 to 26 m/s, and 0.16 to 0.08 for a hard cover (Gobush, 1996, via A. R. Penner, Reports on
Progress in Physics, vol. 66, pp. 144-149, 2003, read second-hand). Held constant here: with a
friction that falls with speed one ball can come from two deliveries, one that grips and one that
slides. [-]"""


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

    def __post_init__(self) -> None:
        ranges = {"value": (0.0, 1.0), "at_mps": (0.0, 100.0), "slope_per_mps": (-0.05, 0.05)}
        check_all_within(self, ranges, of="a restitution")

    def at(self, across_mps: float) -> float:
        """Restitution at a speed across the face.

        Examples
        --------
        >>> Restitution(value=0.83, slope_per_mps=0.0).at(50.0)
        0.83
        """
        value = self.value + self.slope_per_mps * (across_mps - self.at_mps)
        return min(max(value, LEAST_RESTITUTION), MOST_RESTITUTION)


@dataclass(frozen=True, slots=True, kw_only=True)
class Inertia:
    """Inertia of a head about its centre of mass, in the axes of its face.

    Attributes
    ----------
    out_kgm2, up_kgm2, toe_kgm2
        About the axis out of the face, the one up along the face, the one from heel to toe.
        [kg m²]
    out_up_kgm2, out_toe_kgm2, up_toe_kgm2
        Entries beside the diagonal of the tensor, their sign as in the tensor. [kg m²]

    Examples
    --------
    >>> club("driver").inertia.up_kgm2
    0.00048
    """

    out_kgm2: float
    up_kgm2: float
    toe_kgm2: float
    out_up_kgm2: float = 0.0
    out_toe_kgm2: float = 0.0
    up_toe_kgm2: float = 0.0

    def __post_init__(self) -> None:
        for name in ("out_kgm2", "up_kgm2", "toe_kgm2"):
            value = getattr(self, name)
            if not 1e-5 <= value <= 2e-3:
                raise OutOfRangeError(
                    f"Inertia {name} is {value:g}; heads have 0.00001 to 0.002 kg m² (100 to "
                    "20000 g cm²).",
                    fix="Check the unit: a driver has about 4800 g cm² about its upright axis.",
                )
        if not self._is_of_a_body():
            raise OutOfRangeError(
                f"Inertia {self.rows()} kg m² is that of no body: it must be positive in every "
                "direction.",
                fix="Check the entries beside the diagonal.",
            )

    def rows(self) -> tuple[tuple[float, float, float], ...]:
        """The tensor, row by row, in the order out, up, toe.

        Examples
        --------
        >>> Inertia(out_kgm2=3e-4, up_kgm2=5e-4, toe_kgm2=4e-4).rows()[1]
        (0.0, 0.0005, 0.0)
        """
        return (
            (self.out_kgm2, self.out_up_kgm2, self.out_toe_kgm2),
            (self.out_up_kgm2, self.up_kgm2, self.up_toe_kgm2),
            (self.out_toe_kgm2, self.up_toe_kgm2, self.toe_kgm2),
        )

    def _is_of_a_body(self) -> bool:
        """Whether the tensor is positive definite, by its leading minors."""
        (a, d, e), (_, b, f), (_, _, c) = self.rows()
        whole = a * (b * c - f * f) - d * (d * c - f * e) + e * (d * f - b * e)
        return a * b - d * d > 0.0 and whole > 0.0


CLUB_RANGES: Mapping[str, tuple[float, float]] = MappingProxyType(
    {
        "loft_rad": (-0.2, 1.4),
        "shaft_mass_kg": (0.0, 0.05),
        "com_depth_m": (-0.1, 0.1),
        "com_up_m": (-0.1, 0.1),
        "com_toe_m": (-0.1, 0.1),
        "bulge_m": (0.05, math.inf),
        "roll_m": (0.05, math.inf),
        "face_width_m": (0.01, 0.2),
        "face_height_m": (0.01, 0.2),
        "length_m": (0.3, 2.0),
        "lie_rad": (0.3, 1.6),
    }
)
"""What a club can be; wide of any club, so that only slips of the pen and of units are refused."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Club:
    """The head of a club, as far as an impact needs it.

    A head without `inertia` does not turn when it is struck, wherever it is struck.

    Attributes
    ----------
    head_mass_kg
        Mass of the head, 0.1 to 0.5. [kg]
    loft_rad
        Static loft. [rad]
    restitution
        How springy its face is.
    friction
        Friction of ball on face, 0 to 1. [-]
    shaft_mass_kg
        What the shaft adds to the mass of the head during the impact. [kg]
    inertia
        Inertia about the centre of mass; None: the head does not turn.
    com_depth_m, com_up_m, com_toe_m
        Where the centre of mass lies from the middle of the face: behind it, above it along the
        face, toward the toe. [m]
    bulge_m, roll_m
        Radius of the face from heel to toe and from low to high; infinite is flat. [m]
    face_width_m, face_height_m
        Size of what can meet the ball. [m]
    length_m, lie_rad
        Length of the club, lie of the shaft; None where not known. [m], [rad]

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
    friction: float = FRICTION
    shaft_mass_kg: float = 0.0
    inertia: Inertia | None = None
    com_depth_m: float = 0.0
    com_up_m: float = 0.0
    com_toe_m: float = 0.0
    bulge_m: float = math.inf
    roll_m: float = math.inf
    face_width_m: float = 0.08
    face_height_m: float = 0.05
    length_m: float | None = None
    lie_rad: float | None = None

    def __post_init__(self) -> None:
        if not 0.1 <= self.head_mass_kg <= 0.5:
            raise OutOfRangeError(
                f"Head mass of {self.name} is {self.head_mass_kg:g} kg; heads weigh 0.1 to 0.5 kg.",
                fix="Check the unit: a driver's head weighs about 0.2 kg.",
            )
        if not 0.0 <= self.friction <= 1.0:
            raise OutOfRangeError(
                f"Friction of {self.name} is {self.friction:g}; it lies between 0 and 1.",
                fix="Use 0.35 for a soft cover on a dry face.",
            )
        check_all_within(self, CLUB_RANGES, of=f"the club {self.name!r}")

    @property
    def mass_kg(self) -> float:
        """Mass that the ball meets, in kg: the head, and what the shaft adds.

        Examples
        --------
        >>> round(club("driver").mass_kg, 3)
        0.203
        """
        return self.head_mass_kg + self.shaft_mass_kg


_MM, _GCM2 = 1e-3, 1e-7


def clubs_from(text: str) -> Mapping[str, Club]:
    r"""Read a catalogue of clubs: that of the program, or a coach's own.

    Parameters
    ----------
    text
        TOML, one table a club; the fields and their units stand at the top of ``clubs.toml``.
        ``like = "driver"`` takes what a table does not say from a club of the program.

    Returns
    -------
    mapping
        Clubs by key, in the order of the text.

    Raises
    ------
    InputError
        If the text is no TOML, or a field is unknown, missing, or not what it must be.
    OutOfRangeError
        If a number lies outside what a club can be.

    Examples
    --------
    >>> mine = clubs_from('[mine]\nname = "old driver"\nlike = "driver"\nloft_deg = 9')
    >>> mine["mine"].name, round(math.degrees(mine["mine"].loft_rad), 1), mine["mine"].mass_kg
    ('old driver', 9.0, 0.203)
    """
    rows = club_rows(text, shipped=_shipped())
    return MappingProxyType({key: _club(row) for key, row in rows.items()})


@cache
def _shipped() -> str:
    return files("leadfoot.physics").joinpath("clubs.toml").read_text(encoding="utf-8")


def _club(row: Row) -> Club:
    """One club from a row whose fields and ranges were checked."""
    out, up, toe = (value * _GCM2 for value in row.triple("inertia_gcm2"))
    out_up, out_toe, up_toe = (value * _GCM2 for value in row.triple("products_gcm2"))
    return Club(
        name=row.name,
        club_class=row.club_class,
        head_mass_kg=row.number("head_mass_kg"),
        loft_rad=math.radians(row.number("loft_deg")),
        restitution=Restitution(value=row.number("restitution")),
        friction=row.number("friction"),
        shaft_mass_kg=row.number("shaft_mass_kg"),
        inertia=Inertia(
            out_kgm2=out,
            up_kgm2=up,
            toe_kgm2=toe,
            out_up_kgm2=out_up,
            out_toe_kgm2=out_toe,
            up_toe_kgm2=up_toe,
        ),
        com_depth_m=row.number("com_depth_mm") * _MM,
        com_up_m=row.number("com_up_mm") * _MM,
        com_toe_m=row.number("com_toe_mm") * _MM,
        bulge_m=_radius_m(row.number("bulge_mm")),
        roll_m=_radius_m(row.number("roll_mm")),
        face_width_m=row.number("face_width_mm") * _MM,
        face_height_m=row.number("face_height_mm") * _MM,
        length_m=row.number("length_m"),
        lie_rad=math.radians(row.number("lie_deg")),
    )


def _radius_m(radius_mm: float) -> float:
    """A radius, where 0 stands for a flat face."""
    return radius_mm * _MM if radius_mm > 0.0 else math.inf


@cache
def clubs() -> Mapping[str, Club]:
    """All generic clubs by key, longest first; invented mid-range values.

    Examples
    --------
    >>> " ".join(clubs())
    'driver wood3 wood5 hybrid iron4 iron5 iron6 iron7 iron8 iron9 pitching_wedge gap_wedge
    sand_wedge lob_wedge'
    """
    return clubs_from(_shipped())


def club(key: str, catalogue: Mapping[str, Club] | None = None) -> Club:
    """Look up a club by its key or by its name.

    Parameters
    ----------
    key
        Its key or its name in the catalogue: ``driver``, ``iron7``, ``7 iron``.
    catalogue
        Where to look; the generic clubs if not given.

    Raises
    ------
    InputError
        If there is no such club.

    Examples
    --------
    >>> round(math.degrees(club("driver").loft_rad), 1)
    10.5
    >>> club("7 iron") is club("iron7")
    True
    """
    known = clubs() if catalogue is None else catalogue
    if key in known:
        return known[key]
    named = [one for one in known.values() if one.name == key]
    if not named:
        raise InputError(
            f"Club {key!r} is not in the catalogue.", fix=f"Use one of: {' '.join(known)}."
        )
    return named[0]
