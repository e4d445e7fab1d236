"""A look at a lesson: one judgement, and the parts of it, beside a bootstrap of the same balls."""

from collections.abc import Callable
from time import process_time

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture
from scipy import stats

from leadfoot.evidence.change import level_change
from leadfoot.evidence.judge import judge
from leadfoot.evidence.judgement import LessonShots
from leadfoot.evidence.lesson import seen
from leadfoot.evidence.more import Limits, chance_of_answer
from leadfoot.evidence.pattern import pattern_change
from tests.rates.lessons import Plan, Truth, simulate

LIMITS = Limits(worth_sd=0.2, shown=0.965, given_up=0.1, fewest=5, patience=8)


@pytest.fixture
def lesson() -> LessonShots:
    """Ten balls before and fifteen with the change: speeds, carry, offline."""
    plan = Plan(quantities=("club_speed", "ball_speed", "carry", "offline"))
    return simulate(np.random.default_rng(1), plan, truth=Truth(carry_yd=4.0))


def test_judge(benchmark: BenchmarkFixture, lesson: LessonShots) -> None:
    assert benchmark(judge, lesson).outcomes


def test_level_change(benchmark: BenchmarkFixture, lesson: LessonShots) -> None:
    track = lesson.tracks["carry"]
    assert benchmark(level_change, seen(lesson, track), track.usual).sd > 0


def test_pattern_change(benchmark: BenchmarkFixture, lesson: LessonShots) -> None:
    track = lesson.tracks["offline"]
    assert benchmark(pattern_change, seen(lesson, track), track.usual).spread.before > 0


def test_pattern_change_takes_a_share_of_a_bootstrap(
    benchmark: BenchmarkFixture, lesson: LessonShots
) -> None:
    """Both in one run: the ratio does not hang on the machine. A look takes about 0.6 of it."""
    track = lesson.tracks["offline"]
    balls = seen(lesson, track)
    sides = balls.values[balls.with_change], balls.values[~balls.with_change]

    def seconds(work: Callable[[], object]) -> float:
        times = []
        for _ in range(30):
            start = process_time()
            work()
            times.append(process_time() - start)
        return float(np.median(times))

    def bootstrap() -> object:
        draws = np.random.default_rng(0).integers(len(sides[0]), size=(4999, len(sides[0])))
        others = np.random.default_rng(1).integers(len(sides[1]), size=(4999, len(sides[1])))
        return sides[0][draws].std(axis=1) / sides[1][others].std(axis=1)

    def look() -> object:
        return pattern_change(balls, track.usual)

    benchmark(look)
    benchmark.extra_info["share of a bootstrap"] = seconds(look) / seconds(bootstrap)


def test_chance_of_answer(benchmark: BenchmarkFixture, lesson: LessonShots) -> None:
    track = lesson.tracks["carry"]
    balls = seen(lesson, track)
    found = level_change(balls, track.usual)
    assert len(benchmark(chance_of_answer, found, balls, LIMITS, n_more=30)) == 30


def test_bootstrap_of_the_same_balls(benchmark: BenchmarkFixture, lesson: LessonShots) -> None:
    balls = seen(lesson, lesson.tracks["carry"])
    sides = balls.values[balls.with_change], balls.values[~balls.with_change]

    def resampled() -> float:
        found = stats.bootstrap(
            sides,
            lambda a, b, axis: a.mean(axis=axis) - b.mean(axis=axis),
            n_resamples=4999,
            method="percentile",
            rng=np.random.default_rng(0),
        )
        return float(found.standard_error)

    assert benchmark(resampled) > 0
