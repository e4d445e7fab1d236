"""From force to rise: known pushes give known heights, and records that can't are refused."""

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from leadfoot.errors import InputError, LeadfootError, OutOfRangeError
from leadfoot.physics.rise import Rise, com_rise
from leadfoot.physics.swing import GRAVITY_MPS2

RATE_HZ = 1000
TIME_S = np.arange(0.0, 3.0, 1.0 / RATE_HZ)


def recorded(force_n: np.ndarray[Any, np.dtype[np.float64]], **other: float) -> Rise:
    times = {"quiet_from_s": 0.0, "quiet_to_s": 1.0, "until_s": 2.9} | other
    return com_rise(TIME_S, force_n, **times)


@given(st.floats(400.0, 1_200.0), st.floats(0.01, 0.15), st.floats(0.15, 0.5))
def test_a_known_rise_comes_back(weight_n: float, height_m: float, duration_s: float) -> None:
    """The force of a smooth rise, by hand from its closed form."""
    x = np.clip((TIME_S - 2.0) / duration_s, 0.0, 1.0)
    change = 60.0 * x * (1.0 - x) * (1.0 - 2.0 * x) * height_m / duration_s**2
    rise = recorded(weight_n * (1.0 + change / GRAVITY_MPS2))
    assert rise.weight_n == pytest.approx(weight_n)
    assert rise.height_m[-1] == pytest.approx(height_m, rel=5e-3)
    assert rise.speed_mps[-1] == pytest.approx(0.0, abs=5e-3)
    assert rise.greatest_force_share == pytest.approx(1.0 + change.max() / GRAVITY_MPS2)
    assert rise.flags == ()


def test_the_error_of_the_weight_grows_with_the_square_of_time() -> None:
    rise = recorded(np.full_like(TIME_S, 784.532))
    assert rise.height_error_m[0] == 0.0
    assert rise.height_error_m[-1] == pytest.approx(0.7 / 80.0 * 1.9**2 / 2.0, rel=0.01)
    noisy = recorded(784.532 + 8.0 * np.sin(40.0 * TIME_S))
    assert noisy.height_error_m[-1] > rise.height_error_m[-1]


def test_a_short_quiet_stance_is_flagged() -> None:
    rise = recorded(np.full_like(TIME_S, 784.532), quiet_from_s=0.5)
    assert rise.flags == ("quiet stance shorter than a second",)


def flat(value: float = 800.0) -> np.ndarray[Any, np.dtype[np.float64]]:
    return np.full_like(TIME_S, value)


@pytest.mark.parametrize(
    ("force_n", "times", "kind", "text"),
    [
        (
            flat()[:5],
            {},
            InputError,
            "The force has 5 values for 3000 times; it needs at least 10 and as many of both. "
            "Give two columns of one length.",
        ),
        (
            flat(math.nan),
            {},
            InputError,
            "The force record holds NaN or infinity. Leave gaps out.",
        ),
        (
            flat(-800.0),
            {},
            OutOfRangeError,
            "Weight in quiet stance is -800 N; a golfer weighs at least 100 N. "
            "Give the force in newton, of both feet together, up positive.",
        ),
        (
            800.0 + 100.0 * np.sin(9.0 * TIME_S),
            {},
            OutOfRangeError,
            "Force in the quiet stance varies by 69 N, 8 % of the weight. "
            "Choose a stretch in which the golfer stands still.",
        ),
        (
            flat(),
            {"until_s": 9.0},
            InputError,
            "Quiet stance from 0 to 1 s and the end at 9 s do not lie in this order inside the "
            "record, 0 to 2.999 s. Check the times and their zero.",
        ),
        (
            flat(),
            {"quiet_to_s": 0.1},
            OutOfRangeError,
            "The quiet stance lasts 0.1 s; weighing needs at least 0.25 s. "
            "Choose a longer stretch; a second is better.",
        ),
    ],
)
def test_a_record_that_can_not_be_used_is_refused(
    force_n: np.ndarray[Any, np.dtype[np.float64]],
    times: dict[str, float],
    kind: type[LeadfootError],
    text: str,
) -> None:
    with pytest.raises(kind) as refused:
        recorded(force_n, **times)
    assert str(refused.value) == text


def test_a_long_way_from_quiet_to_strike_is_refused() -> None:
    time_s = np.arange(0.0, 10.0, 0.01)
    with pytest.raises(OutOfRangeError) as refused:
        com_rise(time_s, 0.0 * time_s + 800.0, quiet_from_s=0.0, quiet_to_s=1.0, until_s=9.0)
    assert str(refused.value) == (
        "From quiet stance to the end are 8 s; after 4 s the height has drifted too far. "
        "Choose a quiet stance nearer to the swing."
    )
    with pytest.raises(InputError, match="times of the force record do not grow"):
        com_rise(time_s[::-1], 0.0 * time_s + 800.0, quiet_from_s=0.0, quiet_to_s=1.0, until_s=2.0)
