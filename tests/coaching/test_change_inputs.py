"""What a change is shared out over: no strike leaned on, no part that the readings do not tell."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from leadfoot.coaching.attribution import attribute
from leadfoot.coaching.change_inputs import anywhere, changed_inputs
from leadfoot.coaching.swings import explainable
from leadfoot.errors import InputError
from leadfoot.physics.clubs import club
from leadfoot.physics.monitor import MonitorErrors
from tests.rates.students import changed, readings, some_player

Floats = NDArray[np.float64]
Side = dict[str, Floats]
TOE = 5
CLUB_NUMBERS = ("attack_angle_rad", "club_path_rad", "face_angle_rad", "dynamic_loft_rad")


def two_sides(n: int = 12, *left_out: str) -> tuple[Side, Side, Floats]:
    """What was read of both sides of a 7 iron without the strike, and the true swings of one."""
    rng = np.random.default_rng(3)
    player = some_player("iron7", rng)
    swings = player.swings(n, rng), changed(player, rng).swings(n, rng)
    one, other = (
        {
            name: values
            for name, values in readings(rows, club("iron7"), rng, strike_read=False).items()
            if name not in left_out
        }
        for rows in swings
    )
    return one, other, swings[0]


def reach(found: Floats, true: Floats) -> float:
    """How far a computed strike lies from the middle, as a share of how far the true one does."""
    off = np.abs(true) > 0.008
    return float(np.median(found[off] / true[off]))


def test_a_computed_strike_reaches_nearly_as_far_as_the_true_one() -> None:
    one, other, true = two_sides(1_500)
    free = changed_inputs(one, other, club("iron7")).before.rows[TOE]
    leaning = explainable(one, other, club("iron7")).before.rows[TOE]
    assert reach(free, true[TOE]) > 0.88
    assert reach(leaning, true[TOE]) < 0.76


def test_how_weak_the_strike_that_may_be_anywhere_is_does_not_matter() -> None:
    one, other, _ = two_sides(40)
    usual = anywhere(club("iron7"))
    weaker = replace(
        usual,
        strike_heel_toe_sd_m=3.0 * usual.strike_heel_toe_sd_m,
        strike_high_low_sd_m=3.0 * usual.strike_high_low_sd_m,
    )
    here, there = (
        attribute(told.before, told.after, told.model, n_draws=400).splits["carry"].shares[3]
        for told in (explainable(one, other, club("iron7"), usual=each) for each in (usual, weaker))
    )
    width = here.high_m - here.low_m
    assert there.value_m == pytest.approx(here.value_m, abs=0.05 * width)
    assert there.high_m - there.low_m == pytest.approx(width, rel=0.1)


def test_a_strike_that_was_read_is_taken_as_read_either_way() -> None:
    rng = np.random.default_rng(4)
    side = readings(some_player("driver", rng).swings(20, rng), club("driver"), rng)
    free = changed_inputs(side, side, club("driver")).before.rows
    leaning = explainable(side, side, club("driver")).before.rows
    np.testing.assert_allclose(free[TOE], leaning[TOE], atol=2e-3)


def test_without_path_and_strike_the_ball_itself_is_shared_out() -> None:
    one, other, _ = two_sides(12, "club_path_rad")
    found = changed_inputs(one, other, club("iron7"))
    assert found.depth == "struck"
    assert tuple(found.model.parts) == ("club_speed", "smash_launch_spin", "curve")
    carry, offline = found.model.land(found.before.rows)
    ball = {name: values for name, values in one.items() if name != "club_speed_mps"}
    flown = changed_inputs(ball, ball, club("iron7"))
    assert flown.depth == "ball"
    np.testing.assert_allclose((carry, offline), flown.model.land(flown.before.rows), atol=1e-9)


def test_a_ball_without_spin_axis_is_shared_out_by_the_club_if_all_of_it_was_read() -> None:
    one, other, _ = two_sides(12, "spin_axis_rad")
    found = changed_inputs(one, other, club("iron7"))
    assert found.depth == "delivered"
    assert tuple(found.model.parts) == ("club_speed", "launch", "path", "face")


def test_a_ball_without_spin_axis_and_club_is_taken_as_straight() -> None:
    one, other, _ = two_sides(12, "spin_axis_rad", *CLUB_NUMBERS)
    found = changed_inputs(one, other, club("iron7"))
    assert (found.depth, found.assumed) == ("struck", ("launch_direction_rad", "spin_axis_rad"))
    split = attribute(found.before, found.after, found.model, n_draws=9).splits["offline"]
    assert split.change.value_m == pytest.approx(0.0, abs=1e-9)


def test_shares_add_up_whatever_was_read() -> None:
    for left_out in ((), ("club_path_rad",), ("spin_axis_rad",), ("club_speed_mps",)):
        one, other, _ = two_sides(6, *left_out)
        told = changed_inputs(one, other, club("iron7"))
        for split in attribute(told.before, told.after, told.model, n_draws=4).splits.values():
            whole = sum(share.value_m for share in split.shares)
            assert whole == pytest.approx(split.after_m - split.before_m, abs=1e-9)


def test_the_studios_own_errors_count_in_explaining() -> None:
    one, other, _ = two_sides(12)
    sharp = MonitorErrors(club_path_sd_rad=0.001)
    usual = changed_inputs(one, other, club("iron7")).before.rows
    trusting = changed_inputs(one, other, club("iron7"), errors=sharp).before.rows
    read = one["club_path_rad"]
    assert np.abs(trusting[2] - read).mean() < np.abs(usual[2] - read).mean()


def test_nothing_read_is_refused() -> None:
    with pytest.raises(InputError, match="Neither club speed nor the ball's speed"):
        changed_inputs({"carry_m": np.ones(5)}, {"carry_m": np.ones(5)}, club("driver"))
