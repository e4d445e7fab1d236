import numpy as np
import pytest

from leadfoot.evidence.next_step import next_step
from tests.evidence.shots import lesson_of

STEADY = np.tile([0.0, 0.4, -0.4, 0.7, -0.7], 8)


def after(n_before: int, n_with: int, *, change_sd: float = 0.0) -> float:
    with_change = np.arange(n_before + n_with) >= n_before
    values = 200.0 + 7.3 * (STEADY[: n_before + n_with] + change_sd * with_change)
    step = next_step(lesson_of(with_change, {"carry": values}, distance="carry"))
    assert step is not None
    assert step.chance == max(step.chance_with, step.chance_without)
    assert step.with_change == (step.chance_with >= step.chance_without)
    return step.chance_with - step.chance_without


def test_few_balls_with_the_change_ask_for_more_of_them() -> None:
    assert after(20, 5, change_sd=0.7) > 0


def test_after_many_with_the_change_going_back_tells_more() -> None:
    assert after(10, 20, change_sd=0.7) < 0


@pytest.mark.parametrize("n_with", [0, 4])
def test_too_few_balls_have_no_next_step_yet(n_with: int) -> None:
    with_change = np.arange(10 + n_with) >= 10
    values = 200.0 + np.arange(10.0 + n_with) % 3.0
    assert next_step(lesson_of(with_change, {"carry": values}, distance="carry")) is None


def test_directions_alone_have_none() -> None:
    with_change = np.arange(20) >= 10
    lesson = lesson_of(with_change, {"offline": STEADY[:20]}, direction="offline")
    assert next_step(lesson) is None
