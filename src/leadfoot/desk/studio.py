"""What a studio has set, as every deed of the desk uses it: units, air, monitor, clubs."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import Literal

from leadfoot.desk.flight_bench import Weather
from leadfoot.desk.records import StoredShot
from leadfoot.language.numbers import number
from leadfoot.language.say import say
from leadfoot.physics.air import STANDARD_AIR, Air, altitude_m_at
from leadfoot.physics.best import Surroundings
from leadfoot.physics.clubs import Club, clubs
from leadfoot.physics.conditions import STUDIO, Conditions
from leadfoot.physics.monitor import MonitorErrors
from leadfoot.quantities import glossary
from leadfoot.shots.shot import Reading
from leadfoot.units import si_into

UnitKind = Literal["speed", "distance", "small", "temperature", "altitude", "pressure"]
"""What a studio chooses a unit for; a small length is a place on the face, or the low point."""

UNIT_CHOICES: Mapping[UnitKind, tuple[str, ...]] = MappingProxyType(
    {
        "speed": ("mph", "km/h", "m/s"),
        "distance": ("yd", "m"),
        "small": ("in", "mm", "cm"),
        "temperature": ("degF", "degC"),
        "altitude": ("ft", "m"),
        "pressure": ("hPa", "inHg"),
    }
)
"""The units that each kind may have."""

_SMALL = frozenset({"in", "mm", "cm"})


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitChoice:
    """The units of a studio; None where each lesson is shown as its own balls were read.

    Examples
    --------
    >>> metric = UnitChoice(speed="km/h", distance="m")
    >>> metric.of("carry"), metric.of("club_speed"), metric.of("low_point"), metric.of("spin_rate")
    ('m', 'km/h', None, None)
    """

    speed: str | None = None
    distance: str | None = None
    small: str | None = None
    temperature: str | None = None
    altitude: str | None = None
    pressure: str | None = None

    def of(self, quantity: str) -> str | None:
        """The unit that was chosen for a quantity; None where none was."""
        known = glossary()[quantity]
        if known.dimension == "speed":
            return self.speed
        if known.dimension == "length":
            return self.small if known.unit in _SMALL else self.distance
        return None

    def usual(self, quantity: str) -> str | None:
        """The unit of a quantity where no ball says one: that chosen, else the glossary's.

        Examples
        --------
        >>> UnitChoice(distance="m").usual("carry"), UnitChoice().usual("carry")
        ('m', 'yd')
        """
        return self.of(quantity) or glossary()[quantity].unit

    def in_yards(self) -> bool:
        """Whether lengths of shots are spoken of in yards where nothing else says."""
        if self.distance is not None:
            return self.distance == "yd"
        return self.speed in {None, "mph"}

    @property
    def heat(self) -> str:
        """The unit of temperatures; as with the lengths where none was chosen."""
        return self.temperature or ("degF" if self.in_yards() else "degC")

    @property
    def height(self) -> str:
        """The unit of altitudes; as with the lengths where none was chosen."""
        return self.altitude or ("ft" if self.in_yards() else "m")

    @property
    def weight_of_air(self) -> str:
        """The unit of pressures of air."""
        return self.pressure or "hPa"


@dataclass(frozen=True, slots=True, kw_only=True)
class Studio:
    """What a studio has set.

    Attributes
    ----------
    units
        In which it speaks.
    conditions
        Its air; the wind is calm.
    errors
        What its monitor may be off by.
    own_clubs
        Its own clubs by key, beside the generic ones.
    """

    units: UnitChoice = field(default_factory=UnitChoice)
    conditions: Conditions = STUDIO
    errors: MonitorErrors = field(default_factory=MonitorErrors)
    own_clubs: Mapping[str, Club] = field(default_factory=lambda: MappingProxyType({}))

    @property
    def air(self) -> Air:
        """The air that a ball flies through here."""
        return self.conditions.air

    @property
    def around(self) -> Surroundings:
        """The standard ball in the air of the studio."""
        return Surroundings(air=self.air)

    @property
    def weather(self) -> Weather:
        """The air as the flight bench takes it: its pressure as an altitude."""
        stated = self.conditions
        altitude_m = stated.altitude_m
        if altitude_m is None:
            pressure_pa = stated.pressure_pa
            altitude_m = 0.0 if pressure_pa is None else altitude_m_at(pressure_pa)
        return Weather(
            temperature_k=stated.temperature_k,
            altitude_m=altitude_m,
            humidity_frac=stated.humidity_frac,
        )

    @property
    def clubs(self) -> Mapping[str, Club]:
        """Every club that may be chosen: the studio's own first, then the generic ones."""
        return MappingProxyType({**self.own_clubs, **clubs()}) if self.own_clubs else clubs()

    def own_named(self, name: str | None) -> str | None:
        """Key of the studio's own club of this name; None where there is none."""
        return next(
            (key for key, one in self.own_clubs.items() if same_name(one.name, name or "")), None
        )

    @property
    def air_words(self) -> str:
        """Which air a computed flight goes through, as pages say it.

        Examples
        --------
        >>> Studio().air_words
        'still standard air'
        >>> Studio(units=UnitChoice(distance="m"), conditions=Conditions(temperature_k=301.15,
        ...     altitude_m=600.0)).air_words
        'the still air of the studio (28 °C, 600 m up, humidity 50 %)'
        """
        if self.air == STANDARD_AIR:
            return say("still standard air")
        return say(
            "the still air of the studio ({air})", air=conditions_words(self.conditions, self.units)
        )

    def shown(self, shots: Iterable[StoredShot]) -> tuple[StoredShot, ...]:
        """Balls as they are shown: in the units of the studio, where it has chosen any."""
        if (self.units.speed, self.units.distance, self.units.small) == (None, None, None):
            return tuple(shots)
        return tuple(replace(shot, values=self._values(shot.values)) for shot in shots)

    def _values(self, values: Mapping[str, Reading]) -> Mapping[str, Reading]:
        return MappingProxyType(
            {key: in_unit(reading, self.units.of(key)) for key, reading in values.items()}
        )


USUAL_STUDIO = Studio()
"""A studio that has set nothing."""


def in_unit(reading: Reading, unit: str | None) -> Reading:
    """A reading in another unit of its kind; None leaves it.

    Examples
    --------
    >>> in_unit(Reading(value=100.0, unit="yd"), "m").unit
    'm'
    """
    if unit is None or reading.unit in {None, unit}:
        return reading
    return Reading(value=si_into(reading.si, unit), unit=unit)


def conditions_numbers(conditions: Conditions, units: UnitChoice) -> str:
    """An air in numbers alone: temperature, altitude or pressure, humidity.

    Examples
    --------
    >>> conditions_numbers(Conditions(altitude_m=600.0), UnitChoice(distance="m"))
    '20 °C, 600 m, 50 %'
    """
    warm, where, humid = _air_numbers(conditions, units)
    return f"{warm}, {where}, {humid}"


def same_name(one: str, other: str) -> bool:
    """Whether two names of clubs differ by case and blanks alone.

    Examples
    --------
    >>> same_name("Old  Driver", "old driver"), same_name("old driver", "driver")
    (True, False)
    """
    return one.casefold().split() == other.casefold().split()


def conditions_words(conditions: Conditions, units: UnitChoice) -> str:
    """An air in words, in the units of a studio."""
    warm, where, humid = _air_numbers(conditions, units)
    if conditions.pressure_pa is not None:
        return say("{warm}, {pressure}, humidity {humid}", warm=warm, pressure=where, humid=humid)
    if not conditions.altitude_m:
        return say("{warm}, at the sea, humidity {humid}", warm=warm, humid=humid)
    return say("{warm}, {height} up, humidity {humid}", warm=warm, height=where, humid=humid)


def _air_numbers(conditions: Conditions, units: UnitChoice) -> tuple[str, str, str]:
    warm = f"{number(si_into(conditions.temperature_k, units.heat))} °{units.heat[-1]}"
    if conditions.pressure_pa is not None:
        unit = units.weight_of_air
        where = (
            f"{number(si_into(conditions.pressure_pa, unit), 2 if unit == 'inHg' else 0)} {unit}"
        )
    else:
        height_m = conditions.altitude_m or 0.0
        where = f"{number(si_into(height_m, units.height))} {units.height}"
    return warm, where, f"{number(100.0 * conditions.humidity_frac)} %"
