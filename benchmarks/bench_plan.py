"""A plan, and a student's memory, beside one judgement of a lesson."""

import numpy as np
from pytest_benchmark.fixture import BenchmarkFixture

from leadfoot.evidence.judge import judge
from leadfoot.evidence.judgement import UsualSpread
from leadfoot.evidence.memory import PastLesson, remember
from leadfoot.evidence.plan import plan_lesson
from tests.rates.lessons import Plan, simulate

USUAL = UsualSpread(sd=0.54, n_shots=60)
START = UsualSpread(sd=8.0)


def past(seed: int = 3) -> list[list[PastLesson]]:
    """Five lessons of two blocks in fifteen quantities."""
    rng = np.random.default_rng(seed)
    lessons = []
    for _ in range(15):
        blocks = [(rng.normal(200, 6, 10), rng.normal(204, 6, 10)) for _ in range(5)]
        lessons.append([PastLesson(age_days=20.0, blocks=two, baseline=two[0]) for two in blocks])
    return lessons


def learn(quantities: list[list[PastLesson]]) -> None:
    for lessons in quantities:
        remember(lessons, start=START, aim="more")


def test_plan_of_thirty_balls(benchmark: BenchmarkFixture) -> None:
    assert benchmark(plan_lesson, 0.9, USUAL, n_balls=30).advised.chance > 0


def test_plan_of_sixty_balls(benchmark: BenchmarkFixture) -> None:
    assert benchmark(plan_lesson, 0.9, USUAL, n_balls=60).advised.chance > 0


def test_memory_of_a_known_student(benchmark: BenchmarkFixture) -> None:
    quantities = past()
    learn(quantities)
    benchmark(learn, quantities)


def test_memory_the_first_time(benchmark: BenchmarkFixture) -> None:
    seeds = iter(range(100, 200))
    benchmark.pedantic(learn, setup=lambda: ((past(next(seeds)),), {}), rounds=10)


def test_one_judgement(benchmark: BenchmarkFixture) -> None:
    lesson = simulate(np.random.default_rng(1), Plan())
    assert benchmark(judge, lesson).outcomes
