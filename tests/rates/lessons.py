"""Simulated lessons with a known truth, invented and seeded: what the error rates are measured on.

A lesson has club speed, ball speed and carry, which hang together, and offline, which does not hang
on them. Each strays from ball to ball, from day to day, drifts, starts cold, and has mishits. All
sizes are assumptions (no real lessons were at hand); the names of the kinds say what differs.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from leadfoot.evidence.judgement import LessonShots, Track, UsualSpread

Floats = NDArray[np.float64]
MPH = 0.44704
YD = 0.9144

USUAL_SI: Mapping[str, float] = MappingProxyType(
    {
        "club_speed": 1.2 * MPH,
        "ball_speed": 2.6 * MPH,
        "carry": 8.0 * YD,
        "offline": 12.0 * YD,
    }
)
"""Usual shot-to-shot standard deviations of the simulated student."""
LEVEL_SI: Mapping[str, float] = MappingProxyType(
    {"club_speed": 95.0 * MPH, "ball_speed": 137.0 * MPH, "carry": 215.0 * YD, "offline": 5.0 * YD}
)
BALL_PER_CLUB = 1.45
"""Gain of ball speed for a gain of club speed: a typical smash factor."""
CARRY_YD_PER_MPH = 1.8
"""Gain of carry for a gain of ball speed of 1 mph, driver."""
SPEED_IN_BALL = BALL_PER_CLUB * 1.2 / 2.6
"""Correlation of club speed and ball speed from ball to ball, which follows from the two above."""
BALL_IN_CARRY = CARRY_YD_PER_MPH * 2.6 / 8.0
"""Correlation of ball speed and carry from ball to ball, likewise."""
WARM_BALLS = 6.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    """How a lesson strays; lengths and speeds in usual standard deviations.

    Attributes
    ----------
    spread_doubt
        Standard deviation of the logarithm of the day's spread around the usual one.
    spread
        Factor on the spread that the program does not know of.
    mishits, speed_mishits
        Share of balls struck badly (carry 4.4 short, ball speed 3 slow, both give or take 1.5;
        offline 3 times as far), and of swings 4 too slow, give or take 1.5.
    slope, slope_sd
        Drift a ball, the same in every lesson, and random.
    warm, warm_sd
        Cold start, likewise.
    memory
        Correlation of a ball with the next.
    tails
        Degrees of freedom of heavy tails (of the same variance); None for normal balls.
    rounding
        Values are rounded to this.
    wander
        Random move of the mean of offline between before and after.
    n_history
        Earlier shots that the program is told of.
    """

    spread_doubt: float = 0.15
    spread: float = 1.0
    mishits: float = 0.08
    speed_mishits: float = 0.03
    slope: float = 0.0
    slope_sd: float = 0.01
    warm: float = 0.0
    warm_sd: float = 0.3
    memory: float = 0.1
    tails: float | None = None
    rounding: float = 0.1
    wander: float = 0.15
    n_history: int = 60


REFERENCE = Day()
CLEAN = Day(
    spread_doubt=0.0,
    mishits=0.0,
    speed_mishits=0.0,
    slope_sd=0.0,
    warm_sd=0.0,
    memory=0.0,
    rounding=1e-9,
    wander=0.0,
)
HEAVY = replace(REFERENCE, mishits=0.0, speed_mishits=0.0, tails=3.0)
"""Heavy tails whose plain standard deviation is the usual spread. What the judging itself would
learn as the usual spread of such balls is about 0.68 of that."""
DAYS: Mapping[str, Day] = MappingProxyType(
    {
        "clean": CLEAN,
        "reference": REFERENCE,
        "new student": replace(REFERENCE, spread_doubt=0.35, n_history=0),
        "drift +.02 sd a ball": replace(REFERENCE, slope=0.02, slope_sd=0.0),
        "cold start 1 sd": replace(REFERENCE, warm=1.0, warm_sd=0.0),
        "spread 1.3 x usual": replace(REFERENCE, spread=1.3),
        "t3 tails": replace(HEAVY, spread=1 / 0.68),
        "15 % mishits": replace(REFERENCE, mishits=0.15),
        "memory .3": replace(REFERENCE, memory=0.3),
        "t3 tails, history a plain sd": HEAVY,
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Truth:
    """What the change really does.

    Attributes
    ----------
    club_speed_mph
        Gain of club speed, with its consequences for ball speed and carry.
    carry_yd
        Gain of carry beside that.
    offline_yd
        Mean offline before and with the change.
    narrower
        Factor on the spread of offline.
    more_mishits
        Share of mishits that the change adds.
    """

    club_speed_mph: float = 0.0
    carry_yd: float = 0.0
    offline_yd: tuple[float, float] = (5.0, 5.0)
    narrower: float = 1.0
    more_mishits: float = 0.0


NO_CHANGE = Truth()


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """Which balls are hit with the change, and which quantities are measured.

    ``first_ball`` is the number of the first ball that counts: balls hit to get warm come before.
    ``said_before``: the judging is told of the blocks before the change.
    """

    blocks: tuple[int, ...] = (10, 15)
    quantities: tuple[str, ...] = ("club_speed", "carry", "offline")
    declared_distance: str | None = "carry"
    declared_direction: str | None = "offline"
    first_ball: int = 0
    said_before: bool = False

    @property
    def with_change(self) -> NDArray[np.bool_]:
        """Blocks before and with the change by turns."""
        return np.repeat(np.arange(len(self.blocks)) % 2 == 1, self.blocks)


PLANS: Mapping[str, Plan] = MappingProxyType(
    {
        "10 before, 15 with": Plan(),
        "10 before, 30 with": Plan(blocks=(10, 30)),
        "10, 15, 15 before again": Plan(blocks=(10, 15, 15)),
        "10, 10, 10, 10": Plan(blocks=(10, 10, 10, 10)),
        "fives by turns": Plan(blocks=(5,) * 8),
        "club speed only": Plan(
            quantities=("club_speed",), declared_distance="club_speed", declared_direction=None
        ),
        "carry only": Plan(quantities=("carry",), declared_direction=None),
        "offline only": Plan(quantities=("offline",), declared_distance=None),
    }
)


def simulate(
    rng: np.random.Generator, plan: Plan, day: Day = REFERENCE, truth: Truth = NO_CHANGE
) -> LessonShots:
    """One lesson with a known truth."""
    return lesson_of(simulate_values(rng, 1, plan, day, truth), 0, plan, day)


def lesson_of(values: Mapping[str, Floats], place: int, plan: Plan, day: Day) -> LessonShots:
    """One of many simulated lessons, as the judging takes it."""
    n = len(plan.with_change)
    return LessonShots(
        with_change=plan.with_change,
        ball_number=plan.first_ball + np.arange(n, dtype=np.float64),
        tracks={key: _track(key, values[key][place], day) for key in plan.quantities},
        declared_distance=plan.declared_distance,
        declared_direction=plan.declared_direction,
        planned=plan.with_change if plan.said_before else None,
    )


def simulate_values(
    rng: np.random.Generator,
    n_lessons: int,
    plan: Plan,
    day: Day = REFERENCE,
    truth: Truth = NO_CHANGE,
) -> dict[str, Floats]:
    """The four quantities of many lessons in SI, each of shape (lessons, balls)."""
    with_change = plan.with_change
    number = plan.first_ball + np.arange(len(with_change), dtype=np.float64)
    stray = _correlated(rng, n_lessons, number, day)
    sd = {key: stray[key] * USUAL_SI[key] for key in stray}
    ball_mph = BALL_PER_CLUB * truth.club_speed_mph
    carry_yd = CARRY_YD_PER_MPH * ball_mph + truth.carry_yd
    wander = day.wander * USUAL_SI["offline"] * rng.standard_normal((n_lessons, 1))
    gain: dict[str, Floats | float] = {
        "club_speed": truth.club_speed_mph * MPH,
        "ball_speed": ball_mph * MPH,
        "carry": carry_yd * YD,
        "offline": (truth.offline_yd[1] - truth.offline_yd[0]) * YD + wander,
    }
    level = {**LEVEL_SI, "offline": truth.offline_yd[0] * YD}
    sd["offline"] = sd["offline"] * np.where(with_change, truth.narrower, 1.0)
    misses = _mishits(rng, n_lessons, with_change, day, truth)
    return {
        key: _rounded(key, level[key] + sd[key] + gain[key] * with_change + misses[key], day)
        for key in sd
    }


def first_balls(lesson: LessonShots, n: int) -> LessonShots:
    """The lesson as it stood after n balls."""
    return LessonShots(
        with_change=lesson.with_change[:n],
        ball_number=lesson.ball_number[:n],
        tracks={
            key: Track(quantity=key, values=track.values[:n], aim=track.aim, usual=track.usual)
            for key, track in lesson.tracks.items()
        },
        declared_distance=lesson.declared_distance,
        declared_direction=lesson.declared_direction,
        planned=lesson.planned,
    )


def looks(lesson: LessonShots, fewest: int = 5) -> list[int]:
    """Numbers of balls after which the coach looks: every ball from the fifth on either side."""
    return [int(n) for n in every_look(lesson.with_change, fewest)]


def every_look(with_change: NDArray[np.bool_], fewest: int = 5) -> NDArray[np.int64]:
    """The same for a design."""
    enough = (np.cumsum(with_change) >= fewest) & (np.cumsum(~with_change) >= fewest)
    return np.arange(int(np.argmax(enough)) + 1, len(with_change) + 1)


def _rounded(key: str, values: Floats, day: Day) -> Floats:
    grain = day.rounding * USUAL_SI[key]
    return np.asarray(np.round(values / grain) * grain)


def _track(key: str, values: Floats, day: Day) -> Track:
    return Track(
        quantity=key,
        values=values,
        aim="nearer_zero" if key == "offline" else "more",
        usual=UsualSpread(sd=USUAL_SI[key], n_shots=day.n_history),
    )


def _correlated(
    rng: np.random.Generator, n_lessons: int, number: Floats, day: Day
) -> dict[str, Floats]:
    """The four quantities in usual standard deviations, without gains and mishits."""
    speed, strike, flight, offline = (_own(rng, n_lessons, number, day) for _ in range(4))
    ball = SPEED_IN_BALL * speed + np.sqrt(1 - SPEED_IN_BALL**2) * strike
    carry = BALL_IN_CARRY * ball + np.sqrt(1 - BALL_IN_CARRY**2) * flight
    steady = day.slope * number - day.warm * np.exp(-number / WARM_BALLS)
    return {
        "club_speed": speed + steady,
        "ball_speed": ball + steady,
        "carry": carry + steady,
        "offline": offline + day.slope * number,
    }


def _own(rng: np.random.Generator, n_lessons: int, number: Floats, day: Day) -> Floats:
    """Series of unit variance with the day's random scale, memory, drift and cold start."""
    shape = (n_lessons, len(number))
    if day.tails is None:
        e = rng.standard_normal(shape)
    else:
        e = rng.standard_t(day.tails, shape) / np.sqrt(day.tails / (day.tails - 2))
    for i in range(1, len(number)):
        e[:, i] = day.memory * e[:, i - 1] + np.sqrt(1 - day.memory**2) * e[:, i]
    scale, drift, cold = rng.standard_normal((3, n_lessons, 1))
    return np.asarray(
        day.spread * np.exp(day.spread_doubt * scale) * e
        + day.slope_sd * drift * number
        - day.warm_sd * cold * np.exp(-number / WARM_BALLS)
    )


def _mishits(
    rng: np.random.Generator,
    n_lessons: int,
    with_change: NDArray[np.bool_],
    day: Day,
    truth: Truth,
) -> dict[str, Floats]:
    shape = (n_lessons, len(with_change))
    struck_badly = rng.random(shape) < day.mishits + truth.more_mishits * with_change
    slow = rng.random(shape) < day.speed_mishits
    away = 12.0 * YD * 2.8 * rng.standard_normal(shape)  # added to 1 sd, it makes 3
    lost = rng.standard_normal((3, *shape))
    return {
        "club_speed": slow * USUAL_SI["club_speed"] * (-4.0 + 1.5 * lost[0]),
        "ball_speed": struck_badly * USUAL_SI["ball_speed"] * (-3.0 + 1.5 * lost[1]),
        "carry": struck_badly * USUAL_SI["carry"] * (-35.0 / 8.0 + 1.5 * lost[2]),
        "offline": (rng.random(shape) < day.mishits) * away,
    }
