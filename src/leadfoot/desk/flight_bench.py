"""The flight bench: one delivery with one club through one air, and what the ball does then."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache
from types import MappingProxyType

from leadfoot.physics.air import STANDARD_AIR, Air, pressure_pa_at
from leadfoot.physics.ball import REGRESSION
from leadfoot.physics.clubs import Club, club
from leadfoot.physics.delivery import DELIVERY_RANGES, Delivery, Hand, many_of
from leadfoot.physics.flight import Flight, Wind, fly
from leadfoot.physics.impact import strike, strike_many
from leadfoot.physics.launch import Launch
from leadfoot.physics.many import use_loop
from leadfoot.physics.monitor import USUAL
from leadfoot.quantities import ClubClass

SLID = "the ball slid on the face"
"""Flag of a ball that never gripped the face."""
BESIDE_THE_FACE = "met beside the face"
"""Flag of a strike whose place lies outside the face of the club."""

USUAL_SPEED_MPS, USUAL_SPEED_LENGTH_M = 42.0, 1.143
"""Club speed of a mid-range golfer with a club of that length. Common practice, no source."""
_SPEED_BY_LENGTH = 35.0  # m/s for each metre of length; common practice, no source
_FIRST_LENGTH_M = 0.94  # of a club whose length is not known: that of a 7 iron

USUAL_LEAN_RAD: Mapping[ClubClass, float] = MappingProxyType(
    {
        "driver": math.radians(3.0),
        "wood": math.radians(0.0),
        "hybrid": math.radians(-3.0),
        "iron": math.radians(-6.0),
        "wedge": math.radians(-8.0),
    }
)
"""Dynamic loft less static loft, by class of club: a driver's shaft bends forward, the hands lead
with an iron. Common practice, no source. [rad]"""

WEATHER_INPUTS = ("temperature_k", "altitude_m", "humidity_frac")
"""What makes the air thick or thin; the wind stands apart."""
WIND_INPUTS = ("wind_along_mps", "wind_across_mps")
INPUTS = (*DELIVERY_RANGES, *WEATHER_INPUTS, *WIND_INPUTS)
"""Every number that the bench takes, by its name in `Delivery` or in `Weather`."""

MOST_KEPT = 400
"""Flights that are kept: a slider moved there and back is not flown twice (our own choice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Weather:
    """The air and the wind.

    Attributes
    ----------
    temperature_k, altitude_m, humidity_frac
        The pressure is that of the standard atmosphere at this altitude. [K], [m], [-]
    wind_along_mps, wind_across_mps
        At 10 m above the ground; toward the target and toward the right are positive. [m/s]

    Examples
    --------
    >>> Weather().air == STANDARD_AIR
    True
    """

    temperature_k: float = STANDARD_AIR.temperature_k
    altitude_m: float = 0.0
    humidity_frac: float = STANDARD_AIR.humidity_frac
    wind_along_mps: float = 0.0
    wind_across_mps: float = 0.0

    @property
    def air(self) -> Air:
        """The air without its wind."""
        return Air(
            temperature_k=self.temperature_k,
            pressure_pa=pressure_pa_at(self.altitude_m),
            humidity_frac=self.humidity_frac,
        )

    @property
    def wind(self) -> Wind:
        """The wind."""
        return Wind(along_mps=self.wind_along_mps, across_mps=self.wind_across_mps)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """What is tried: a generic club by its key, a delivery, the weather, and the player's hand.

    The hand says on which side the toe is; directions are right of the target for both hands.
    """

    club_key: str
    delivery: Delivery
    weather: Weather = field(default_factory=Weather)
    hand: Hand = "right"
    own_club: Club | None = None
    """The club itself where it is the studio's own and no generic one."""

    @property
    def club(self) -> Club:
        """The club."""
        return self.own_club or club(self.club_key)

    def value(self, name: str) -> float:
        """One of `INPUTS`, in SI."""
        record = self.delivery if name in DELIVERY_RANGES else self.weather
        number: float = getattr(record, name)
        return number

    def having(self, **numbers: float) -> "Bench":
        """The same with other numbers of `INPUTS`.

        Raises
        ------
        OutOfRangeError
            If the delivery can't have one of them.

        Examples
        --------
        >>> usual_bench("driver").having(face_angle_rad=0.02, altitude_m=900.0).weather.altitude_m
        900.0
        """
        ours = {name: value for name, value in numbers.items() if name in DELIVERY_RANGES}
        rest = {name: value for name, value in numbers.items() if name not in DELIVERY_RANGES}
        return replace(
            self, delivery=replace(self.delivery, **ours), weather=replace(self.weather, **rest)
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BenchFlight:
    """How a ball leaves and flies; ``flags`` says where the models have no data."""

    launch: Launch
    flight: Flight
    flags: tuple[str, ...]

    @property
    def numbers(self) -> Mapping[str, float]:
        """What the bench shows, in SI, by key of the glossary."""
        launch, flight = self.launch, self.flight
        return {
            "carry": flight.carry_m,
            "total": flight.total_m,
            "offline": flight.offline_m,
            "apex": flight.apex_m,
            "landing_angle": flight.landing_angle_rad,
            "ball_speed": launch.ball_speed_mps,
            "launch_angle": launch.launch_angle_rad,
            "launch_direction": launch.launch_direction_rad,
            "spin_rate": launch.spin_rate_radps,
            "spin_axis": launch.spin_axis_rad,
        }


def usual_bench(
    club_key: str,
    *,
    hand: Hand = "right",
    weather: Weather | None = None,
    own_club: Club | None = None,
) -> Bench:
    """The usual swing of a club, square and from the middle of the face.

    Parameters
    ----------
    club_key
        Key or name of a generic club.
    hand
        The player's hand.
    weather
        The air; None: standard air.
    own_club
        The club itself where it is the studio's own.

    Raises
    ------
    InputError
        If there is no such club.

    Notes
    -----
    Invented mid-range values: the speed falls in a straight line with the length of the club, the
    attack angle is the middle of `USUAL`, the loft leans by `USUAL_LEAN_RAD`.

    Examples
    --------
    >>> swing = usual_bench("iron7").delivery
    >>> round(swing.club_speed_mps, 1), round(math.degrees(swing.dynamic_loft_rad), 1)
    (34.9, 26.0)
    """
    head = own_club or club(club_key)
    shorter_m = USUAL_SPEED_LENGTH_M - (head.length_m or _FIRST_LENGTH_M)
    return Bench(
        club_key=club_key,
        delivery=Delivery(
            club_speed_mps=USUAL_SPEED_MPS - _SPEED_BY_LENGTH * shorter_m,
            attack_angle_rad=USUAL[head.club_class].attack_middle_rad,
            dynamic_loft_rad=head.loft_rad + USUAL_LEAN_RAD[head.club_class],
        ),
        weather=weather or Weather(),
        hand=hand,
        own_club=own_club,
    )


def bench_flight(bench: Bench) -> BenchFlight:
    """Strike the ball and fly it, with its way through the air.

    Raises
    ------
    InputError
        If the ball can't be struck or flown.

    Examples
    --------
    >>> found = bench_flight(usual_bench("driver"))
    >>> round(found.flight.carry_m), found.flags
    (189, ())
    """
    # Until the compiled loop is ready balls fly in NumPy, and land some 0.2 mm beside: two flights
    # that are compared must be of one kind, so a kept one of the other kind is flown anew.
    wind = bench.weather.wind
    windy = bool(wind.along_mps or wind.across_mps)
    return _flown(bench, by_loop=use_loop(REGRESSION, windy=windy, n=1))


@lru_cache(maxsize=MOST_KEPT)
def _flown(bench: Bench, *, by_loop: bool) -> BenchFlight:  # noqa: ARG001  (a key of what is kept)
    launch = strike(bench.delivery, bench.club, hand=bench.hand)
    flight = fly(launch, air=bench.weather.air, wind=bench.weather.wind, path=True)
    flags = [*flight.flags]
    if strike_many(many_of(bench.delivery), bench.club, hand=bench.hand).slid[0]:
        flags.append(SLID)
    if _beside_the_face(bench):
        flags.append(BESIDE_THE_FACE)
    return BenchFlight(launch=launch, flight=flight, flags=tuple(flags))


def _beside_the_face(bench: Bench) -> bool:
    swing, head = bench.delivery, bench.club
    return (
        abs(swing.strike_heel_toe_m) > head.face_width_m / 2.0
        or abs(swing.strike_high_low_m) > head.face_height_m / 2.0
    )
