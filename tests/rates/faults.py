"""Invented students with one planted fault, of a size that a coach would call a fault."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from leadfoot.coaching.swings import land_balls
from leadfoot.physics.best import STANDARD, best_lofts_rad
from leadfoot.physics.clubs import club
from tests.rates.students import readings

Floats = NDArray[np.float64]
Rng = np.random.Generator

_DEG = np.pi / 180.0
SPEED, ATTACK, PATH, FACE, LOFT, TOE, HIGH = range(7)
SPEED_MPS = {"driver": (42.0, 3.0), "iron7": (36.0, 2.5)}
"""Club speed over students: middle and standard deviation. Invented."""
ATTACK_RAD = {"driver": (0.0, 1.5 * _DEG), "iron7": (-4.0 * _DEG, 0.9 * _DEG)}
MIDDLES_SD = np.array([0.0, 0.0, 1.5 * _DEG, 1.0 * _DEG, 1.2 * _DEG, 0.003, 0.002])
"""How the middles of students without a fault differ. Invented."""
BALLS_SD = np.array([0.012, 0.9 * _DEG, 1.3 * _DEG, 1.6 * _DEG, 1.1 * _DEG, 0.008, 0.005])
"""From ball to ball; that of speed as a share. Between the low and the high handicaps of
`leadfoot.evidence.usual`."""


@dataclass(slots=True, kw_only=True)
class Student:
    """One student, to be given a fault."""

    club_key: str
    middle: Floats
    sd: Floats
    face_with_path: float = 0.3
    goal: float | None = None
    groups_rad: float = 0.0
    mishits: float = 0.0


def sound(key: str, rng: Rng) -> Student:
    """A student without a fault."""
    middle, between = SPEED_MPS[key]
    speed = middle + between * rng.normal()
    attack = ATTACK_RAD[key][0] + ATTACK_RAD[key][1] * rng.normal()
    loft = club(key).loft_rad - 0.1
    if key == "driver":
        found = best_lofts_rad(np.array([speed]), np.array([attack]), club(key))
        loft = float(found[0]) - 1.0 * _DEG
    own = np.array([speed, attack, 0.0, 0.0, loft, 0.0, 0.0]) + MIDDLES_SD * rng.normal(size=7)
    sd = BALLS_SD * np.exp(0.15 * rng.normal(size=7))
    sd[SPEED] *= speed
    return Student(club_key=key, middle=own, sd=sd, goal=speed * (1.0 + 0.01 * rng.normal()))


def _either(rng: Rng) -> float:
    return 1.0 if rng.random() < 0.5 else -1.0


def _speed_short(student: Student, _: Rng) -> None:
    student.goal = student.middle[SPEED] * 1.08


def _speed_uneven(student: Student, _: Rng) -> None:
    student.sd[SPEED] = 0.06 * student.middle[SPEED]


def _strike_side(student: Student, rng: Rng) -> None:
    student.middle[TOE] = 0.020 * _either(rng)


def _strike_height(student: Student, rng: Rng) -> None:
    student.middle[HIGH] = 0.020 if rng.random() < 0.5 else -0.014


def _strike_spread(student: Student, _: Rng) -> None:
    student.sd[TOE] = 0.025


def _speed_lost(student: Student, rng: Rng) -> None:
    student.middle[TOE], student.sd[TOE] = 0.028 * _either(rng), 0.010


def _low_point_back(student: Student, _: Rng) -> None:
    student.middle[ATTACK] = 1.5 * _DEG


def _too_steep(student: Student, _: Rng) -> None:
    student.middle[ATTACK] = -9.5 * _DEG


def _driver_down(student: Student, _: Rng) -> None:
    student.middle[ATTACK] = -7.5 * _DEG


def _loft_high(student: Student, _: Rng) -> None:
    student.middle[LOFT] += 7.5 * _DEG


def _loft_low(student: Student, _: Rng) -> None:
    student.middle[LOFT] -= 6.0 * _DEG


def _face_off(student: Student, rng: Rng) -> None:
    student.middle[FACE], student.middle[PATH] = 5.0 * _DEG * _either(rng), 0.0


def _path_off(student: Student, rng: Rng) -> None:
    student.middle[PATH], student.middle[FACE] = 7.5 * _DEG * _either(rng), 0.0


def _aim_off(student: Student, rng: Rng) -> None:
    student.middle[[PATH, FACE]] = 5.0 * _DEG * _either(rng)


def _face_spread(student: Student, _: Rng) -> None:
    student.sd[FACE], student.face_with_path = 6.5 * _DEG, 0.0


def _path_spread(student: Student, _: Rng) -> None:
    student.sd[PATH] = 7.5 * _DEG


def _two_patterns(student: Student, _: Rng) -> None:
    student.groups_rad = 13.0 * _DEG


def _mishits(student: Student, _: Rng) -> None:
    student.mishits = 0.3


@dataclass(frozen=True, slots=True, kw_only=True)
class Planted:
    """A fault: its size in words, the clubs it is planted with, and how."""

    size: str
    clubs: tuple[str, ...]
    plant: Callable[[Student, Rng], None]
    strike_read: bool = True


BOTH, IRON, DRIVER = ("driver", "iron7"), ("iron7",), ("driver",)
FAULTS: Mapping[str, Planted] = MappingProxyType(
    {
        "speed_short": Planted(size="goal 8 % above the middle", clubs=BOTH, plant=_speed_short),
        "speed_uneven": Planted(
            size="club speed varies by 6 % (sound: 1.2 %)", clubs=BOTH, plant=_speed_uneven
        ),
        "strike_side": Planted(size="20 mm toward heel or toe", clubs=BOTH, plant=_strike_side),
        "strike_height": Planted(
            size="20 mm above or 14 mm below the middle", clubs=DRIVER, plant=_strike_height
        ),
        "strike_spread": Planted(
            size="25 mm from heel to toe (sound: 8 mm)", clubs=BOTH, plant=_strike_spread
        ),
        "speed_lost": Planted(
            size="28 mm toward heel or toe, strike not read",
            clubs=DRIVER,
            plant=_speed_lost,
            strike_read=False,
        ),
        "low_point_back": Planted(
            size="attack 1.5° up with a 7 iron: low point 1.9 in behind",
            clubs=IRON,
            plant=_low_point_back,
        ),
        "too_steep": Planted(size="attack 9.5° down (sound: 4°)", clubs=IRON, plant=_too_steep),
        "driver_down": Planted(
            size="attack 7.5° down (sound 0°)", clubs=DRIVER, plant=_driver_down
        ),
        "loft_high": Planted(size="7.5° more than a sound one", clubs=BOTH, plant=_loft_high),
        "loft_low": Planted(size="6° less than a sound one", clubs=DRIVER, plant=_loft_low),
        "face_off": Planted(size="5° open or closed, path square", clubs=BOTH, plant=_face_off),
        "path_off": Planted(size="7.5° left or right, face square", clubs=BOTH, plant=_path_off),
        "aim_off": Planted(size="face and path 5° left or right", clubs=BOTH, plant=_aim_off),
        "face_spread": Planted(
            size="face varies by 6.5° (sound: 1.6°)", clubs=BOTH, plant=_face_spread
        ),
        "path_spread": Planted(
            size="path varies by 7.5° (sound: 1.3°)", clubs=DRIVER, plant=_path_spread
        ),
        "two_patterns": Planted(
            size="two groups of balls, face to path 13° apart", clubs=BOTH, plant=_two_patterns
        ),
        "mishits": Planted(
            size="three balls in ten leave with 60 to 80 % of the speed", clubs=BOTH, plant=_mishits
        ),
    }
)
"""What is planted; the key is the finding that should come first."""
SOUND = Planted(size="no fault", clubs=BOTH, plant=lambda _student, _rng: None)


def student_with(fault: Planted, rng: Rng) -> Student:
    """A student with this fault and no other."""
    key = fault.clubs[int(rng.integers(len(fault.clubs)))]
    student = sound(key, rng)
    fault.plant(student, rng)
    return student


def baseline(student: Student, n: int, rng: Rng, *, strike_read: bool) -> dict[str, Floats]:
    """What a monitor reads of n balls, errors and all."""
    away = rng.normal(size=(7, n))
    tied = student.face_with_path
    away[FACE] = tied * away[PATH] + np.sqrt(1.0 - tied**2) * away[FACE]
    swings = student.middle[:, np.newaxis] + student.sd[:, np.newaxis] * away
    if student.groups_rad:
        upper = rng.permutation(n) < round(n * rng.uniform(0.4, 0.6))
        swings[FACE] += np.where(upper, 0.5, -0.5) * student.groups_rad
    swings[HIGH] = np.clip(swings[HIGH], -0.024, 0.024)
    swings[TOE] = np.clip(swings[TOE], -0.048, 0.048)
    struck = club(student.club_key)
    read = readings(swings, struck, rng, strike_read=strike_read)
    bad = rng.permutation(n) < round(student.mishits * n)
    if bad.any():
        read["ball_speed_mps"][bad] *= rng.uniform(0.6, 0.8, int(bad.sum()))
        read["launch_angle_rad"][bad] *= rng.uniform(0.3, 1.0, int(bad.sum()))
        names = (
            "ball_speed_mps", "launch_angle_rad", "launch_direction_rad", "spin_rate_radps",
            "spin_axis_rad",
        )  # fmt: skip
        balls = np.stack([read[name] for name in names])
        read["carry_m"][bad], read["offline_m"][bad] = land_balls(balls[:, bad], around=STANDARD)
    return read
