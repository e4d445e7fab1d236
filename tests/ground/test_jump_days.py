"""Jumps over days: only a change beyond the test's own spread is called one."""

import numpy as np
import pytest

from leadfoot.errors import InputError
from leadfoot.ground.jump_days import LIMITS, JumpDay, change_between, change_of_days, trend


def test_a_height_is_said_to_have_changed_only_beyond_nine_per_cent() -> None:
    assert not change_between(0.300, 0.3269).real
    assert change_between(0.300, 0.3271).real
    assert change_between(0.300, 0.2729).real
    assert change_between(0.300, 0.31).said == (
        "Height: +3.3 % cannot be told from the 9.0 % by which a test varies of itself."
    )
    assert change_between(0.300, 0.25).said == (
        "Height fell by 16.7 %, more than the 9.0 % by which a test varies of itself."
    )
    assert change_between(2000.0, 2100.0, "peak force").real
    assert LIMITS["height"] == 0.09


def test_luck_alone_is_seldom_called_a_change() -> None:
    """With the published spread from test to test, a change of 9 % by luck is one in four at most.

    1.5 times the spread of one test is 1.06 of that of a difference: the limit is modest, and the
    page says so.
    """
    rng = np.random.default_rng(5)
    one, other = 0.35 * np.exp(rng.normal(0.0, 0.058, (2, 4000)))
    wrong = np.mean([change_between(a, b).real for a, b in zip(one, other, strict=True)])
    assert 0.2 <= wrong <= 0.32


def test_days_of_different_methods_are_not_compared() -> None:
    one = JumpDay(day=0.0, heights_m=(0.3,))
    other = JumpDay(day=7.0, heights_m=(0.4,), kind="reach", threshold_n=None)
    with pytest.raises(InputError) as error:
        change_of_days(one, other)
    assert str(error.value) == (
        "The heights were found in different ways: impulse (20 N), reach (0 N). "
        "Compare only jumps of one method and threshold."
    )
    with pytest.raises(InputError, match="different ways"):
        trend([one, JumpDay(day=9.0, heights_m=(0.3,), threshold_n=10.0)])


def test_the_range_of_a_trend_holds_the_truth_nine_times_in_ten() -> None:
    rng = np.random.default_rng(8)
    held = []
    for _ in range(1500):
        days = np.sort(rng.uniform(0.0, 240.0, 8))
        truth = float(rng.normal(0.0, 0.01))
        heights = 0.35 * np.exp(truth * days / 30.4375 + rng.normal(0.0, 0.0564, 8))
        found = trend(
            [
                JumpDay(day=float(d), heights_m=(float(h),))
                for d, h in zip(days, heights, strict=True)
            ]
        )
        held.append(found.low <= np.expm1(truth) <= found.high)
    assert 0.88 <= np.mean(held) <= 0.96


def test_a_trend_of_two_weeks_is_not_enough() -> None:
    days = [JumpDay(day=7.0 * k, heights_m=(0.3,)) for k in range(3)]
    assert not trend(days).enough
    with pytest.raises(InputError, match="two days at least"):
        trend(days[:1])


@pytest.mark.parametrize("heights", [(), (0.0,), (35.0,)])
def test_impossible_heights_are_refused(heights: tuple[float, ...]) -> None:
    with pytest.raises(InputError, match=r"heights are 0 to 1\.5 m"):
        JumpDay(day=0.0, heights_m=heights)
