"""Invented students over eight weeks: baselines, a lesson with a gain, tests without the cue."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leadfoot.evidence.retention import BlockLevel, Kind, Retention, block_level, retention

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
