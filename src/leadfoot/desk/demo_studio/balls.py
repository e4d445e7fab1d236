"""Balls of the demo studio: from a swing through impact and flight to what an instrument says.

Every size of error, mishit and drift here is an assumption of the demo, none a measurement.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

import numpy as np

from leadfoot.desk.demo_studio.plan import Spread, Swing, Units
from leadfoot.desk.records import Hand
from leadfoot.physics.clubs import Club, club
from leadfoot.physics.flight import Flights, Launch, fly_many
from leadfoot.physics.impact import Delivery, strike
from leadfoot.shots.shot import Reading
from leadfoot.units import si_from, si_into

CLUB_KEYS: Mapping[str, str] = MappingProxyType(
    {"driver": "driver", "hybrid": "hybrid", "5 iron": "iron5", "7 iron": "iron7"}
)
"""Clubs of the demo studio by the name in the book, and their key in the catalogue of heads."""

HEAD_INERTIA_KGM2: Mapping[str, float] = MappingProxyType(
    {"driver": 4.5e-4, "hybrid": 3.0e-4, "5 iron": 2.4e-4, "7 iron": 2.5e-4}
)
"""Inertia of a head about its vertical axis, for strikes off the middle. Invented mid-range values;
the Rules allow 5.9e-4 at most (Equipment Rules, woods). [kg m²]"""

FACE_TWIST_DEG_PER_MM = 0.05
"""A toe strike opens the face by about this much for each mm. Assumed. [deg/mm]"""

COLD_SHARE, COLD_BALLS = 0.03, 5.0
"""Cold, the first ball is this share slower, and that fades over so many balls. Assumed."""

DAY_SPEED_SHARE, DAY_FACE_DEG = 0.006, 0.4
"""How far a day lies from the student's usual, as standard deviations. Assumed."""

TOGETHER = 0.5
"""Correlation of face angle and club path from ball to ball. Assumed."""

INSTRUMENT: Mapping[str, float] = MappingProxyType(
    {
        "club_speed": 0.008,
        "ball_speed": 0.005,
        "spin_rate": 0.04,
        "carry": 0.010,
        "attack_angle": 0.8,
        "club_path": 0.8,
        "face_angle": 1.0,
        "launch_angle": 0.3,
        "launch_direction": 0.4,
        "spin_axis": 1.5,
        "offline": 0.006,
    }
)
"""Error of the instrument: shares of the value (speeds, spin, carry), degrees (angles), share of
the carry (offline). Engineering values, from memory, LOW confidence."""

MISSED_SHARE = 0.02
"""Share of readings that an instrument does not give. Assumed."""

_UNITS: Mapping[Units, Mapping[str, str]] = MappingProxyType(
    {
        "yards": {"speed": "mph", "length": "yd"},
        "metres": {"speed": "km/h", "length": "m"},
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ball:
    """One ball as it truly was: the delivery, the launch, and whether it was a mishit."""

    delivery: Delivery
    launch: Launch
    mishit: bool


def hit_balls(
    swings: Sequence[tuple[Swing, Spread]],
    *,
    club_name: str,
    hand: Hand,
    already_hit: int,
    rng: np.random.Generator,
) -> list[Ball]:
    """Hit one ball for each swing, in order, on one day.

    Parameters
    ----------
    swings
        Middle and spread of the swing for each ball.
    club_name
        A key of `CLUB_KEYS`.
    hand
        The student's hand: a left-hander's balls are the mirror image.
    already_hit
        Balls of the day before these: the student is that much warmer.
    rng
        Where chance comes from.

    Examples
    --------
    >>> from leadfoot.desk.demo_studio.plan import studio
    >>> ada = studio()[0]
    >>> ball, = hit_balls([(ada.swing, ada.spread)], club_name="driver", hand="right",
    ...                   already_hit=0, rng=np.random.default_rng(1))
    >>> 30.0 < ball.delivery.club_speed_mps < 40.0
    True
    """
    day_speed = 1.0 + rng.normal(0.0, DAY_SPEED_SHARE)
    day_face = rng.normal(0.0, DAY_FACE_DEG)
    balls = []
    for number, (swing, spread) in enumerate(swings):
        cold = 1.0 - COLD_SHARE * math.exp(-(already_hit + number) / COLD_BALLS)
        today = replace(
            swing,
            speed_mph=swing.speed_mph * day_speed * cold,
            face_deg=swing.face_deg + day_face,
        )
        balls.append(_hit(today, spread, club_name=club_name, hand=hand, rng=rng))
    return balls


def _hit(
    swing: Swing, spread: Spread, *, club_name: str, hand: Hand, rng: np.random.Generator
) -> Ball:
    head = club(CLUB_KEYS[club_name])
    path_draw, own_draw = rng.normal(size=2)
    face_draw = TOGETHER * path_draw + math.sqrt(1.0 - TOGETHER**2) * own_draw
    toe_mm = rng.normal(0.0, spread.strike_mm)
    speed_mph = swing.speed_mph * (1.0 + spread.speed_share * rng.normal())
    attack = swing.attack_deg + spread.attack_deg * rng.normal()
    loft = swing.loft_deg + spread.loft_deg * rng.normal()
    path = swing.path_deg + spread.path_deg * path_draw
    face = swing.face_deg + spread.face_deg * face_draw + FACE_TWIST_DEG_PER_MM * toe_mm
    side = 1.0 if hand == "right" else -1.0
    delivery = Delivery(
        club_speed_mps=si_from(speed_mph, "mph"),
        attack_angle_rad=math.radians(attack),
        dynamic_loft_rad=math.radians(max(loft, attack + 4.0)),
        club_path_rad=math.radians(side * path),
        face_angle_rad=math.radians(side * face),
    )
    launch = strike(delivery, _struck_at(head, toe_mm, HEAD_INERTIA_KGM2[club_name]))
    mishit = bool(rng.random() < spread.mishits)
    if mishit:
        launch = _mishit(launch, is_driver=club_name == "driver", rng=rng)
    return Ball(delivery=delivery, launch=launch, mishit=mishit)


def _struck_at(head: Club, toe_mm: float, inertia_kgm2: float) -> Club:
    """The head as heavy as it seems to a ball that meets it off the middle: 1/M + b²/I.

    The demo counts no other turning of the head: no gear effect.
    """
    offset_m = 1e-3 * min(abs(toe_mm), 40.0)
    seems_kg = 1.0 / (1.0 / head.head_mass_kg + offset_m**2 / inertia_kgm2)
    return replace(head, head_mass_kg=seems_kg, shaft_mass_kg=0.0, inertia=None)


def _mishit(launch: Launch, *, is_driver: bool, rng: np.random.Generator) -> Launch:
    """A thin, fat or heeled ball: slower, lower or higher, off line. All sizes are assumed."""
    thin = rng.random() < 0.5
    slower = rng.uniform(0.72, 0.88)
    turned = math.radians(rng.normal(0.0, 5.0))
    angle = launch.launch_angle_rad * (rng.uniform(0.25, 0.6) if thin else rng.uniform(0.9, 1.3))
    spin = launch.spin_rate_radps * (rng.uniform(0.5, 0.8) if thin else rng.uniform(0.7, 1.1))
    tilt = math.radians(rng.normal(0.0, 12.0 if is_driver else 6.0))
    return Launch(
        ball_speed_mps=launch.ball_speed_mps * slower,
        launch_angle_rad=max(angle, math.radians(1.0)),
        launch_direction_rad=launch.launch_direction_rad + turned,
        spin_rate_radps=spin,
        spin_axis_rad=launch.spin_axis_rad + tilt,
    )


def flights_of(balls: Sequence[Ball]) -> Flights:
    """Fly all balls in still standard air.

    Examples
    --------
    >>> len(flights_of([]))
    0
    """
    launches = [ball.launch for ball in balls]
    return fly_many(
        [launch.ball_speed_mps for launch in launches],
        [launch.launch_angle_rad for launch in launches],
        [launch.spin_rate_radps for launch in launches],
        [launch.launch_direction_rad for launch in launches],
        [launch.spin_axis_rad for launch in launches],
    )


def read_balls(
    balls: Sequence[Ball], *, units: Units, rng: np.random.Generator
) -> list[dict[str, Reading]]:
    """What an instrument says of each ball: with its error, rounded, now and then with a gap.

    Returns
    -------
    list of dict
        Quantity key to reading, in people's units.

    Examples
    --------
    >>> read_balls([], units="yards", rng=np.random.default_rng(1))
    []
    """
    flights = flights_of(balls)
    return [
        _read(ball, float(flights.carry_m[k]), float(flights.offline_m[k]), units=units, rng=rng)
        for k, ball in enumerate(balls)
    ]


def _read(
    ball: Ball, carry_m: float, offline_m: float, *, units: Units, rng: np.random.Generator
) -> dict[str, Reading]:
    delivery, launch = ball.delivery, ball.launch
    speed, length = _UNITS[units]["speed"], _UNITS[units]["length"]
    shares = {
        "club_speed": (delivery.club_speed_mps, speed, 1),
        "ball_speed": (launch.ball_speed_mps, speed, 1),
        "spin_rate": (launch.spin_rate_radps, "rpm", -1),
        "carry": (carry_m, length, 1),
    }
    angles = {
        "attack_angle": delivery.attack_angle_rad,
        "club_path": delivery.club_path_rad,
        "face_angle": delivery.face_angle_rad,
        "launch_angle": launch.launch_angle_rad,
        "launch_direction": launch.launch_direction_rad,
        "spin_axis": launch.spin_axis_rad,
    }
    found = {}
    for key, (value, unit, digits) in shares.items():
        seen = value * (1.0 + INSTRUMENT[key] * rng.normal())
        found[key] = Reading(value=round(si_into(seen, unit), digits), unit=unit)
    for key, angle in angles.items():
        seen = math.degrees(angle) + INSTRUMENT[key] * rng.normal()
        found[key] = Reading(value=round(seen, 1), unit="deg")
    seen = offline_m + INSTRUMENT["offline"] * carry_m * rng.normal()
    found["offline"] = Reading(value=round(si_into(seen, length), 1), unit=length)
    gaps = rng.random(len(found)) < MISSED_SHARE
    kept = ("club_speed", "carry", "offline")
    return {
        key: reading
        for (key, reading), gap in zip(found.items(), gaps, strict=True)
        if key in kept or not gap
    }
