"""The hub's way: speeds and accelerations belong to the places, and bad paths are refused."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from leadfoot.errors import InputError, OutOfRangeError
from leadfoot.physics.hub import PEAK_OF_SMOOTH, STILL, Hub, Pull, Together, Traced

TIME_S = np.linspace(0.0, 0.5, 26)
HUBS: dict[str, Hub] = {
    "still": STILL,
    "smooth": Pull(up_m=0.08, along_m=-0.03, start_s=0.05, duration_s=0.3),
    "steady": Pull(up_m=0.08, start_s=0.05, duration_s=0.3, kind="steady"),
    "traced": Traced(TIME_S, 0.02 * np.sin(5.0 * TIME_S), 0.05 * (1.0 - np.cos(6.0 * TIME_S))),
    "together": Together(
        parts=(
            Pull(up_m=0.05, start_s=0.0, duration_s=0.3),
            Pull(up_m=0.0, along_m=0.1, start_s=0.1, duration_s=0.2),
        )
    ),
}


@pytest.mark.parametrize("name", list(HUBS))
@given(time_s=st.floats(0.0513, 0.3487))
def test_speed_and_acceleration_are_slopes(name: str, time_s: float) -> None:
    hub, step = HUBS[name], 1e-5
    before, here, after = (hub.at(time_s + offset) for offset in (-step, 0.0, step))
    for place, speed, change in ((0, 2, 4), (1, 3, 5)):
        assert here[speed] == pytest.approx((after[place] - before[place]) / (2 * step), abs=1e-5)
        # between two pieces of a path the acceleration has a kink, so it is met loosely
        assert here[change] == pytest.approx((after[speed] - before[speed]) / (2 * step), abs=2e-2)


def test_a_smooth_move_goes_from_rest_to_rest_and_peaks_where_it_says() -> None:
    pull = Pull(up_m=0.08, start_s=0.1, duration_s=0.2)
    assert pull.at(0.0) == (0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    assert pull.at(0.4)[:4] == (0.0, 0.08, 0.0, 0.0)
    greatest = max(pull.at(time_s).up_mps2 for time_s in np.linspace(0.1, 0.3, 20_001))
    assert greatest == pytest.approx(PEAK_OF_SMOOTH * 0.08 / 0.2**2, rel=1e-6)


def test_a_steady_move_keeps_its_last_speed() -> None:
    pull = Pull(up_m=0.08, start_s=0.1, duration_s=0.2, kind="steady")
    assert pull.at(0.2).up_mps2 == pytest.approx(4.0)
    assert pull.at(0.5)[1::2] == pytest.approx((0.24, 0.8, 0.0))


def test_a_traced_path_starts_at_nothing_and_rests_outside() -> None:
    hub = Traced(TIME_S, 0.3 + 0.0 * TIME_S, 0.7 + 0.1 * TIME_S)
    assert hub.at(-1.0) == (0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    assert hub.at(2.0).up_m == pytest.approx(0.05)
    assert hub.at(2.0).up_mps == 0.0
    assert hub.at(0.25).up_m == pytest.approx(0.025, abs=1e-6)


@pytest.mark.parametrize(
    ("time_s", "up_m", "text"),
    [
        (
            TIME_S[:3],
            TIME_S[:3],
            "A path of the hub needs at least 4 times with a place for each; there are 3 times and "
            "3 places. Give arrays of one length.",
        ),
        (
            TIME_S,
            TIME_S * math.nan,
            "The path of the hub holds NaN or infinity. Leave gaps out.",
        ),
        (TIME_S[::-1], TIME_S, "The times of the hub's path do not grow. Sort them."),
    ],
)
def test_a_path_that_is_none_is_refused(
    time_s: np.ndarray[tuple[int], np.dtype[np.float64]],
    up_m: np.ndarray[tuple[int], np.dtype[np.float64]],
    text: str,
) -> None:
    with pytest.raises(InputError) as refused:
        Traced(time_s, up_m, up_m)
    assert str(refused.value) == text


def test_a_move_out_of_range_is_refused() -> None:
    with pytest.raises(OutOfRangeError) as refused:
        Pull(up_m=math.nan, start_s=0.0, duration_s=0.2)
    assert str(refused.value) == (
        "Up is nan m; a move of the hub takes -0.5 to 0.5 m. Check the value and its unit."
    )
    with pytest.raises(OutOfRangeError, match="Duration is 0 s; a move of the hub takes"):
        Pull(up_m=0.1, start_s=0.0, duration_s=0.0)
