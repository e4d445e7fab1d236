"""Whether the remembered spread and the day-to-day wander lie where the memory says they do."""

import numpy as np
import pytest
from scipy import stats

from tests.rates.remembered import student


def test_the_true_spread_lies_where_it_is_said_to() -> None:
    rng = np.random.default_rng(61)
    off = np.array([student(rng, n_lessons=4).off for _ in range(100)])
    inside = int((np.abs(off) < stats.norm.ppf(0.95)).sum())
    assert stats.binom.ppf(0.005, 100, 0.90) <= inside <= stats.binom.ppf(0.995, 100, 0.90)


@pytest.mark.rates
@pytest.mark.parametrize("n_lessons", [1, 3, 8])
def test_ranges_of_the_spread_hold_nine_in_ten(n_lessons: int) -> None:
    rng = np.random.default_rng(62)
    off = np.array([student(rng, n_lessons=n_lessons).off for _ in range(1000)])
    assert (np.abs(off) < stats.norm.ppf(0.95)).mean() == pytest.approx(0.90, abs=0.03)
    assert off.mean() == pytest.approx(0.0, abs=0.12)


@pytest.mark.rates
@pytest.mark.parametrize("n_lessons", [3, 8])
def test_ranges_of_the_wander_hold_nine_in_ten(n_lessons: int) -> None:
    rng = np.random.default_rng(63)
    students = [student(rng, n_lessons=n_lessons) for _ in range(600)]
    inside = np.mean([one.wander_in_range for one in students])
    assert inside == pytest.approx(0.90, abs=0.04)


@pytest.mark.rates
@pytest.mark.parametrize("wander_sd", [0.3, 1.0, 2.0])
def test_the_wander_is_recovered_from_many_days(wander_sd: float) -> None:
    rng = np.random.default_rng(64)
    found = []
    for _ in range(80):
        one = student(rng, n_lessons=20, wander_sd=wander_sd)
        assert one.memory.day_to_day is not None
        found.append(one.memory.day_to_day.sd / one.own_sd)
    assert np.mean(found) == pytest.approx(wander_sd, rel=0.12)
