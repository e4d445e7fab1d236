"""What a push is worth: ranges around the middle, the same seed the same answer, no promise."""

import math

import numpy as np
import pytest

from leadfoot.errors import InputError, OutOfRangeError
from leadfoot.physics.golfer import generic_golfer
from leadfoot.physics.lift import Lift
from leadfoot.physics.push import (
    CAUTIONS,
    body_worth,
    push_sensitivity,
    push_worth,
    trace_worth,
)
from leadfoot.physics.rise import Rise, com_rise
from leadfoot.physics.swing import GRAVITY_MPS2, with_speed

SPEED_MPS = 42.5
LIFT = Lift(height_m=0.06)


def rng() -> np.random.Generator:
    return np.random.default_rng(11)


def risen(lift: Lift, strike_s: float, weight_n: float = 784.532) -> Rise:
    """The rise that a force plate would give for a lift."""
    time_s = np.arange(0.0, strike_s + 0.6, 0.001)
    hub = lift.hub(strike_s, math.pi / 2.0)
    change = np.array([hub.at(float(now)).up_mps2 for now in time_s])
    force_n = weight_n * (1.0 + change / GRAVITY_MPS2)
    return com_rise(time_s, force_n, quiet_from_s=0.0, quiet_to_s=1.0, until_s=strike_s + 0.4)


def test_no_push_is_worth_nothing() -> None:
    worth = push_worth(SPEED_MPS, Lift(height_m=0.0), rng=rng(), n=8)
    assert worth.gain_mps == pytest.approx(0.0, abs=1e-6)
    assert worth.low_mps == pytest.approx(0.0, abs=0.01)
    assert worth.high_mps == pytest.approx(0.0, abs=0.01)


@pytest.mark.parametrize("club_key", ["driver", "iron7"])
def test_a_range_lies_around_the_middle_and_comes_back(club_key: str) -> None:
    one = push_worth(SPEED_MPS, LIFT, rng=rng(), club_key=club_key, n=16)
    again = push_worth(SPEED_MPS, LIFT, rng=rng(), club_key=club_key, n=16)
    assert one.low_mps < one.gain_mps < one.high_mps
    assert (one.low_mps, one.high_mps) == (again.low_mps, again.high_mps)
    assert one.n_golfers == 16
    assert one.without_push.club_speed_mps == pytest.approx(SPEED_MPS, abs=1e-4)
    assert one.gain_mps == one.with_push.club_speed_mps - one.without_push.club_speed_mps


def test_a_harder_push_is_worth_more() -> None:
    gains = [
        push_worth(SPEED_MPS, Lift(height_m=height_m), rng=rng(), n=8).gain_mps
        for height_m in (0.02, 0.05, 0.09)
    ]
    assert gains[0] < gains[1] < gains[2]


def test_the_recorded_push_is_worth_what_the_same_lift_is() -> None:
    recorded = trace_worth(SPEED_MPS, risen(LIFT, 1.9), 1.9, rng=rng(), n=8)
    assert recorded.with_push.club_speed_mps == pytest.approx(SPEED_MPS, abs=0.01)
    lifted = push_worth(recorded.without_push.club_speed_mps, LIFT, rng=rng(), n=8)
    assert recorded.gain_mps == pytest.approx(lifted.gain_mps, abs=0.05)


def test_the_body_is_worth_more_than_the_lift_alone() -> None:
    body = body_worth(SPEED_MPS, LIFT, rng=rng(), n=8)
    assert body.with_push.club_speed_mps == pytest.approx(SPEED_MPS, abs=0.01)
    assert body.gain_mps > 2.0 * push_worth(SPEED_MPS, LIFT, rng=rng(), n=8).gain_mps


def test_sensitivity_grows_with_the_height_and_peaks_before_the_strike() -> None:
    golfer = with_speed(generic_golfer(), SPEED_MPS)
    heights_m = np.array([0.0, 0.03, 0.06])
    leads_s = np.array([-0.06, -0.03, 0.0, 0.03, 0.06, 0.09, 0.12])
    gains = push_sensitivity(golfer, heights_m, leads_s)
    assert gains.shape == (3, 7)
    assert gains[0] == pytest.approx(np.zeros(7), abs=1e-3)
    assert (gains[2, :5] > gains[1, :5]).all()
    assert 0.0 <= leads_s[int(gains[2].argmax())] <= 0.09
    assert gains[2, -1] < 0.0


def test_how_hard_a_lift_pushes() -> None:
    assert Lift(height_m=0.06, duration_s=0.12).greatest_force_share == pytest.approx(
        1.0 + 4.0 * (Lift(height_m=0.06, duration_s=0.24).greatest_force_share - 1.0)
    )


def test_cautions_defer_to_those_who_are_licensed() -> None:
    assert any("physician or physiotherapist" in text for text in CAUTIONS)
    assert any("warm up" in text for text in CAUTIONS)


def test_what_no_push_can_be_is_refused() -> None:
    with pytest.raises(OutOfRangeError) as refused:
        Lift(height_m=math.nan)
    assert str(refused.value) == (
        "Height is nan m; a lift takes -0.1 to 0.3 m. Check the value and its unit."
    )
    with pytest.raises(OutOfRangeError, match="Club speed is nan m/s; the swing takes 10 to 70"):
        push_worth(math.nan, LIFT, rng=rng())
    with pytest.raises(InputError) as unfit:
        push_worth(SPEED_MPS, LIFT, rng=rng(), n=2)
    assert str(unfit.value) == "2 golfers can't be tried; give 8 to 10,000. Change n."
    with pytest.raises(InputError) as late:
        trace_worth(SPEED_MPS, risen(LIFT, 1.9), 4.0, rng=rng())
    assert str(late.value) == (
        "The strike at 4 s needs the rise from 0.6 s before to 0.05 s after; it is known from 1 to "
        "2.299 s. Check the time of the strike, and end the quiet stance before the downswing."
    )
