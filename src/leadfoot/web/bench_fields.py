"""The fields of the flight bench: what each holds, between which ends, in the coach's units."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from leadfoot.desk.records import Hand
from leadfoot.desk.studio import UnitChoice
from leadfoot.units import si_from, si_into
from leadfoot.web.words import unit_shown


@dataclass(frozen=True, slots=True, kw_only=True)
class Units:
    """One coach's units; ``name`` is how the page calls them."""

    key: str
    name: str
    speed: str
    length: str
    temperature: str
    altitude: str
    face: str = "mm"

    def of(self, dimension: str) -> str:
        """The unit of one kind of quantity.

        Examples
        --------
        >>> SYSTEMS["mph"].of("length"), SYSTEMS["m/s"].of("angle")
        ('yd', 'deg')
        """
        own = {
            "speed": self.speed,
            "length": self.length,
            "temperature": self.temperature,
            "altitude": self.altitude,
            "face": self.face,
        }
        return own.get(dimension) or _SAME[dimension]


_SAME = {"angle": "deg", "spin": "rpm", "share": "%"}

SYSTEMS: Mapping[str, Units] = MappingProxyType(
    {
        "mph": Units(
            key="mph",
            name="mph, yd",
            speed="mph",
            length="yd",
            temperature="degF",
            altitude="ft",
        ),
        "m/s": Units(
            key="m/s", name="m/s, m", speed="m/s", length="m", temperature="degC", altitude="m"
        ),
        "km/h": Units(
            key="km/h", name="km/h, m", speed="km/h", length="m", temperature="degC", altitude="m"
        ),
    }
)
"""The units that the bench speaks; the first is taken where none is named."""

_PARTS: Final = ("speed", "length", "temperature", "altitude", "face")
_MAY_BE: Final = (
    ("mph", "km/h", "m/s"),
    ("yd", "m"),
    ("degF", "degC"),
    ("ft", "m"),
    ("mm", "in", "cm"),
)


def system_named(key: str) -> Units | None:
    """Units by their key: one of `SYSTEMS`, or each unit by name; None where it is neither.

    Examples
    --------
    >>> system_named("m/s").length, system_named("km/h,yd,degC,m,cm").face, system_named("ells")
    ('m', 'cm', None)
    """
    if key in SYSTEMS:
        return SYSTEMS[key]
    named = key.split(",")
    if len(named) != len(_PARTS):
        return None
    if any(one not in choices for one, choices in zip(named, _MAY_BE, strict=True)):
        return None
    units = dict(zip(_PARTS, named, strict=True))
    name = ", ".join(dict.fromkeys(unit_shown(unit) for unit in named))
    return Units(key=key, name=name, **units)


def system_of(chosen: UnitChoice, speed: str | None = None, length: str | None = None) -> Units:
    """The units of a studio; `speed` and `length` where it has chosen none.

    Examples
    --------
    >>> system_of(UnitChoice()).key, system_of(UnitChoice(speed="km/h", distance="yd")).key
    ('mph', 'km/h,yd,degF,ft,mm')
    """
    plain = SYSTEMS.get(chosen.speed or speed or "")
    if plain is None:
        plain = SYSTEMS["mph" if chosen.in_yards() else "m/s"]
    own = (
        plain.speed,
        chosen.distance or length or plain.length,
        chosen.temperature or (plain.temperature if chosen.distance is None else chosen.heat),
        chosen.altitude or (plain.altitude if chosen.distance is None else chosen.height),
        chosen.small or plain.face,
    )
    for one in SYSTEMS.values():
        if own == tuple(getattr(one, part) for part in _PARTS):
            return one
    found = system_named(",".join(own))
    return plain if found is None else found


@dataclass(frozen=True, slots=True, kw_only=True)
class Ends:
    """Least and most of a field, and one step of its slider, in one unit."""

    low: float
    high: float
    step: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """One number of the bench.

    Attributes
    ----------
    name
        Its name in `leadfoot.desk.flight_bench.INPUTS`.
    label
        Its name on the page.
    dimension
        What kind of quantity it is, as in `Units.of`.
    ends
        By symbol of the unit: what the page takes, wider than an ordinary swing and narrower than
        what the models take (our own choice).
    ways
        Words for a positive, a zero and a negative value of a right-hander.
    turned
        Whether a left-hander's words are the other way round.
    """

    name: str
    label: str
    dimension: str
    ends: Mapping[str, Ends]
    ways: tuple[str, str, str] | None = None
    turned: bool = False

    @property
    def key(self) -> str:
        """Its name in an address: that of the glossary where the glossary has it.

        Examples
        --------
        >>> FIELDS["club_speed"].key
        'club_speed'
        """
        return self.name.rpartition("_")[0]

    def unit(self, units: Units) -> str:
        """Symbol of its unit."""
        return units.of(self.dimension)

    def unit_words(self, units: Units) -> str:
        """Its unit as the page prints it.

        Examples
        --------
        >>> FIELDS["temperature"].unit_words(SYSTEMS["m/s"])
        '°C'
        """
        return unit_shown(self.unit(units))

    def ends_in(self, units: Units) -> Ends:
        """What the page takes, in the coach's unit."""
        return self.ends[self.unit(units)]

    def shown(self, value_si: float, units: Units, *, decimals: int = 2) -> float:
        """A value in the coach's unit as the field shows it, never outside of its ends.

        Examples
        --------
        >>> FIELDS["club_speed"].shown(42.0, SYSTEMS["mph"], decimals=1)
        94.0
        """
        ends = self.ends_in(units)
        value = round(si_into(value_si, self.unit(units)), decimals)
        return min(max(value, ends.low), ends.high) + 0.0  # never -0.0

    def si(self, value: float, units: Units) -> float:
        """A value of the field in SI."""
        return si_from(value, self.unit(units))

    def way(self, value_si: float, hand: Hand) -> str:
        """The word beside the number.

        Examples
        --------
        >>> face = FIELDS["face_angle"]
        >>> face.way(0.03, "right"), face.way(0.03, "left"), face.way(0.0, "left")
        ('right, open', 'right, closed', 'square')
        """
        if self.ways is None:
            return ""
        right, square, left = self.ways
        if value_si == 0.0:
            return square
        if not self.turned:
            return right if value_si > 0.0 else left
        side = "right" if value_si > 0.0 else "left"
        return f"{side}, {right if (value_si > 0.0) == (hand == 'right') else left}"


def _same(unit: str, low: float, high: float, step: float) -> Mapping[str, Ends]:
    return MappingProxyType({unit: Ends(low=low, high=high, step=step)})


def _ends(**by_unit: tuple[float, float, float]) -> Mapping[str, Ends]:
    symbols = {"mps": "m/s", "kmh": "km/h", "inch": "in"}
    return MappingProxyType(
        {
            symbols.get(unit, unit): Ends(low=low, high=high, step=step)
            for unit, (low, high, step) in by_unit.items()
        }
    )


_ANGLE = _same("deg", -15.0, 15.0, 0.5)
_WIND = _ends(mph=(-40.0, 40.0, 1.0), mps=(-18.0, 18.0, 0.5), kmh=(-65.0, 65.0, 1.0))

DELIVERY_FIELDS = (
    Field(
        name="club_speed_mps",
        label="Club speed",
        dimension="speed",
        ends=_ends(mph=(20.0, 140.0, 1.0), mps=(9.0, 63.0, 0.5), kmh=(32.0, 226.0, 1.0)),
    ),
    Field(
        name="attack_angle_rad",
        label="Attack angle",
        dimension="angle",
        ends=_ANGLE,
        ways=("up", "level", "down"),
    ),
    Field(
        name="club_path_rad",
        label="Club path",
        dimension="angle",
        ends=_ANGLE,
        ways=("in-to-out", "straight", "out-to-in"),
        turned=True,
    ),
    Field(
        name="face_angle_rad",
        label="Face angle",
        dimension="angle",
        ends=_ANGLE,
        ways=("open", "square", "closed"),
        turned=True,
    ),
    Field(
        name="dynamic_loft_rad",
        label="Dynamic loft",
        dimension="angle",
        ends=_same("deg", 0.0, 75.0, 0.5),
    ),
    Field(
        name="strike_heel_toe_m",
        label="Strike, heel to toe",
        dimension="face",
        ends=_ends(mm=(-40.0, 40.0, 1.0), cm=(-4.0, 4.0, 0.1), inch=(-1.6, 1.6, 0.05)),
        ways=("toward the toe", "middle", "toward the heel"),
    ),
    Field(
        name="strike_high_low_m",
        label="Strike, low to high",
        dimension="face",
        ends=_ends(mm=(-25.0, 25.0, 1.0), cm=(-2.5, 2.5, 0.1), inch=(-1.0, 1.0, 0.05)),
        ways=("high", "middle", "low"),
    ),
)
AIR_FIELDS = (
    Field(
        name="temperature_k",
        label="Temperature",
        dimension="temperature",
        ends=_ends(degF=(-4.0, 122.0, 1.0), degC=(-20.0, 50.0, 1.0)),
    ),
    Field(
        name="altitude_m",
        label="Altitude",
        dimension="altitude",
        ends=_ends(ft=(-1_300.0, 13_000.0, 100.0), m=(-400.0, 4_000.0, 50.0)),
    ),
    Field(
        name="humidity_frac",
        label="Humidity",
        dimension="share",
        ends=_same("%", 0.0, 100.0, 5.0),
    ),
    Field(
        name="wind_along_mps",
        label="Wind along",
        dimension="speed",
        ends=_WIND,
        ways=("tail wind", "calm", "head wind"),
    ),
    Field(
        name="wind_across_mps",
        label="Wind across",
        dimension="speed",
        ends=_WIND,
        ways=("to the right", "calm", "to the left"),
    ),
)
FIELDS: Mapping[str, Field] = MappingProxyType(
    {field.key: field for field in (*DELIVERY_FIELDS, *AIR_FIELDS)}
)
"""All fields by their name in an address."""

OF_THE_CLUB = ("club_speed", "attack_angle", "dynamic_loft")
"""Fields that another club brings along."""
