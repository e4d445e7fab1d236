"""Invented students over eight weeks: baselines, a lesson, tests; with two clubs, at two places."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leadfoot.evidence.retention import BlockLevel, Kind, Retention, block_level, retention
from leadfoot.evidence.transfer import (
    PLACE_DAY_DOUBT,
    PLACE_DAY_SD,
    Club,
    Transfer,
    transfer,
)

USUAL_MPH = 1.2
DAY_MPH = 0.8
N_BEFORE, N_WITH, N_TEST = 10, 15, 10


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """How many days with a baseline, of which the last is the lesson, and with a test."""

    n_baselines: int
    n_tests: int


COURSES = (
    Course(n_baselines=1, n_tests=1),
    Course(n_baselines=1, n_tests=2),
    Course(n_baselines=3, n_tests=3),
    Course(n_baselines=5, n_tests=3),
)


def balls(n: int, level_mph: float, sd_mph: float, rng: np.random.Generator) -> NDArray[np.float64]:
    """Club speeds with 8 % mishits, which are short."""
    speeds = rng.normal(level_mph, sd_mph, n)
    missed = rng.random(n) < 0.08
    speeds[missed] -= 2.0 * sd_mph * np.abs(rng.normal(size=int(missed.sum())))
    return speeds


def after_weeks(
    course: Course, gain_mph: float, kept: float, rng: np.random.Generator
) -> Retention:
    """What is said of one student."""
    sd = USUAL_MPH * np.exp(0.15 * rng.normal())
    day_sd = DAY_MPH * np.exp(0.3 * rng.normal())
    days = rng.normal(0.0, day_sd, course.n_baselines + course.n_tests)

    def block(kind: Kind, day: int, above: float, n: int) -> BlockLevel:
        values = balls(n, 95.0 + above + days[day], sd, rng)
        return block_level(values, kind=kind, day=day, usual_sd=USUAL_MPH)

    lesson = course.n_baselines - 1
    blocks = [
        *(block("before", day, 0.0, N_BEFORE) for day in range(course.n_baselines)),
        block("with_change", lesson, gain_mph, N_WITH),
        *(
            block("test", day, kept * gain_mph, N_TEST)
            for day in range(course.n_baselines, len(days))
        ),
    ]
    return retention(blocks, usual_sd=USUAL_MPH)


IRON_MPH, IRON_USUAL_MPH = 80.0, 1.0
"""Another club: slower, with a spread and a day of its own."""


def elsewhere_after_weeks(
    course: Course, gain_mph: float, carried: float, rng: np.random.Generator
) -> Transfer:
    """What is said of one student's other club; ``carried`` is the share of the gain there."""
    sd, day_sd = (value * np.exp(0.2 * rng.normal()) for value in (USUAL_MPH, DAY_MPH))
    lesson = course.n_baselines - 1
    driver_days = rng.normal(0.0, day_sd, course.n_baselines)
    iron_days = rng.normal(0.0, day_sd * IRON_USUAL_MPH / USUAL_MPH, lesson + 1 + course.n_tests)

    def driver(kind: Kind, day: int, above: float, n: int) -> BlockLevel:
        values = balls(n, 95.0 + above + driver_days[day], sd, rng)
        return block_level(values, kind=kind, day=day, usual_sd=USUAL_MPH)

    def iron(kind: Kind, day: int, above: float) -> BlockLevel:
        values = balls(N_TEST, IRON_MPH + above + iron_days[day], sd / 1.2, rng)
        return block_level(values, kind=kind, day=day, usual_sd=IRON_USUAL_MPH)

    home = [
        *(driver("before", day, 0.0, N_BEFORE) for day in range(course.n_baselines)),
        driver("with_change", lesson, gain_mph, N_WITH),
    ]
    there = [
        *(iron("before", day, 0.0) for day in range(lesson + 1)),
        *(iron("test", day, carried * gain_mph) for day in range(lesson + 1, len(iron_days))),
    ]
    return transfer(
        Club(blocks=home, usual_sd=USUAL_MPH), Club(blocks=there, usual_sd=IRON_USUAL_MPH)
    )


WEATHER = 0.6
"""How much days differ outdoors on top of the student's own, in usual spreads: a wind along the
line that differs by 2 m/s moves carries by 0.2 to 1.1 of them (`PLACE_DAY_SD` says from what)."""

WINDY = 1.1
"""Weather that moves days as much as the wind moves a low handicap's 7 iron."""


def at_a_place_after_weeks(
    course: Course,
    gain_mph: float,
    carried: float,
    rng: np.random.Generator,
    *,
    weather: float = WEATHER,
) -> Transfer:
    """What is said of one student's own club at another place.

    The place has a level of its own (another monitor, other balls), a spread of its own, and days
    that differ by the student and by the weather. The day of the change has no balls there.
    """
    sd = USUAL_MPH * np.exp(0.15 * rng.normal())
    day_sd = DAY_MPH * np.exp(0.3 * rng.normal())
    lesson = course.n_baselines - 1
    home_days = rng.normal(0.0, day_sd, course.n_baselines)
    wide = float(np.hypot(day_sd, weather * USUAL_MPH * np.exp(0.3 * rng.normal())))
    place_days = rng.normal(0.0, wide, course.n_baselines + course.n_tests)
    shift, place_sd = rng.normal(0.0, 6.0), sd * np.exp(0.1 + 0.15 * rng.normal())

    def home(kind: Kind, day: int, above: float, n: int) -> BlockLevel:
        values = balls(n, 95.0 + above + home_days[day], sd, rng)
        return block_level(values, kind=kind, day=day, usual_sd=USUAL_MPH)

    def there(kind: Kind, day: int, above: float) -> BlockLevel:
        values = balls(N_TEST, 95.0 + shift + above + place_days[day], place_sd, rng)
        return block_level(values, kind=kind, day=day, usual_sd=USUAL_MPH)

    in_studio = [
        *(home("before", day, 0.0, N_BEFORE) for day in range(course.n_baselines)),
        home("with_change", lesson, gain_mph, N_WITH),
    ]
    elsewhere = [
        *(there("before", day, 0.0) for day in range(course.n_baselines)),
        *(
            there("test", day, carried * gain_mph)
            for day in range(course.n_baselines, len(place_days))
        ),
    ]
    return transfer(
        Club(blocks=in_studio, usual_sd=USUAL_MPH),
        Club(
            blocks=elsewhere,
            usual_sd=USUAL_MPH,
            day_sd=PLACE_DAY_SD * USUAL_MPH,
            day_doubt=PLACE_DAY_DOUBT,
        ),
    )
