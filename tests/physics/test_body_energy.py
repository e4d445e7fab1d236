"""Where the energy goes: the account closes, its limits are the swing model's, refusals."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from leadfoot.errors import InputError, OutOfRangeError
from leadfoot.physics.body import ASSUMED_OF_BODY, MEAN_MAN_KG, SEGMENTS, Body, middle_body
from leadfoot.physics.body_energy import SAID, account_of, whole_body
from leadfoot.physics.golfer import Golfer, generic_golfer
from leadfoot.physics.hub import STILL, Pull
from leadfoot.physics.lift import Lift
from leadfoot.physics.pendulum import Pendulum
from leadfoot.physics.swing import GRAVITY_MPS2, Swing, swing, with_speed
from leadfoot.physics.tried import Tried
from tests.physics.golfers import golfers, pulls

SPEED_MPS = 42.5
NO_LIFT = Lift(height_m=0.0)


def rng() -> np.random.Generator:
    return np.random.default_rng(5)


def still_body() -> Body:
    """A body of which nothing moves."""
    speeds = dict.fromkeys(("pelvis_radps", "thorax_radps", "shift_mps", "legs_mps", "sink_m"), 0.0)
    return replace(middle_body(), **speeds)


def driven(trunk_radps: float = 8.0) -> tuple[Tried, Swing]:
    golfer = with_speed(generic_golfer("driver"), SPEED_MPS)
    golfer = replace(golfer, drive=replace(golfer.drive, trunk_radps=trunk_radps))
    return Tried(golfer=golfer), swing(golfer, track=True)


@given(golfers, pulls, st.floats(0.0, 0.4), st.tuples(*[st.floats(-30.0, 30.0)] * 2))
def test_the_clubs_energy_is_that_of_two_points(
    golfer: Golfer, pull: Pull, time_s: float, turning: tuple[float, float]
) -> None:
    # half the club's mass on either side of its centre, as far off as its inertia asks
    arms_radps, club_radps = turning
    pendulum = Pendulum(golfer=golfer, hub=pull, weight_mps2=GRAVITY_MPS2)
    arms, club, hub = -0.4, -1.1, pull.at(time_s)
    mass, centre = golfer.club.mass_kg, golfer.club.centre_m
    apart_m = math.sqrt(golfer.club.inertia_kgm2 / mass - centre**2)
    points_j = 0.0
    for out_m in (centre - apart_m, centre + apart_m):
        along = golfer.arms.length_m * arms_radps * math.cos(arms)
        up = golfer.arms.length_m * arms_radps * math.sin(arms)
        along += hub.along_mps + out_m * club_radps * math.cos(club)
        up += hub.up_mps + out_m * club_radps * math.sin(club)
        points_j += 0.5 * (mass / 2.0) * (along**2 + up**2)
    state = (arms, club, arms_radps, club_radps)
    assert pendulum.club_j(time_s, state) == pytest.approx(points_j, rel=1e-9, abs=1e-9)
    assert pendulum.club_j(time_s, state) <= pendulum.kinetic_j(time_s, state) + 1e-6


@given(golfers)
def test_with_the_hub_still_the_rest_is_the_arms(golfer: Golfer) -> None:
    try:
        found = swing(golfer, STILL)
    except OutOfRangeError:
        assume(False)
        raise
    arms_j = 0.5 * golfer.arms.inertia_kgm2 * found.arms_radps**2
    assert found.energy.kinetic_j - found.energy.club_j == pytest.approx(arms_j, rel=1e-6)


def test_a_body_that_does_not_move_leaves_the_work_of_the_swing_model() -> None:
    tried, found = driven()
    account = account_of(found, tried, still_body(), NO_LIFT, passed_on=0.3)
    work_j = found.energy.shoulder_j + found.energy.wrist_j
    assert account.braked_j == found.energy.lost_j == 0.0
    assert account.muscles_j == pytest.approx(work_j, abs=1e-4)
    assert account.turning_j == account.moving_j == account.raised_j == 0.0


def test_a_trunk_that_does_not_turn_gives_the_shoulders_all_their_work() -> None:
    tried, found = driven(trunk_radps=0.0)
    account = account_of(found, tried, still_body(), NO_LIFT, passed_on=0.3)
    assert account.shoulders_j == found.energy.shoulder_j
    assert account.below_shoulders_j == pytest.approx(0.0, abs=1e-4)


def test_what_goes_through_the_trunk_is_torque_times_its_turn() -> None:
    # an even torque, and a trunk that is at its speed at once: 100 N·m over 8 rad/s for the time
    golfer = generic_golfer("driver")
    drive = replace(golfer.drive, fades_at_radps=math.inf, trunk_rise_s=0.01)
    tried = Tried(golfer=replace(golfer, drive=drive))
    found = swing(tried.golfer, track=True)
    account = account_of(found, tried, still_body(), NO_LIFT, passed_on=0.0)
    through_j = found.energy.shoulder_j - account.shoulders_j
    assert through_j == pytest.approx(100.0 * 8.0 * (found.strike_s - 0.005), rel=2e-3)


def test_the_account_closes_part_by_part() -> None:
    tried, found = driven()
    body, lift = middle_body(), Lift(height_m=0.06)
    account = account_of(found, tried, body, lift, passed_on=0.25)
    rise = lift.hub(found.strike_s, math.pi / 2.0).at(found.strike_s)
    below_kg = body.trunk_kg + body.legs_kg
    lost_j = body.turning_j(kept=False) - body.turning_j(kept=True)
    lost_j += body.moving_j(kept=False) - body.moving_j(kept=True)
    sunk_j = below_kg * GRAVITY_MPS2 * body.sink_m
    assert account.braked_j == pytest.approx(sunk_j + 0.75 * lost_j)
    assert account.raised_j == pytest.approx(below_kg * GRAVITY_MPS2 * rise.up_m - sunk_j)
    # whoever stops at the bottom and rises gives the rise, the speeds and what was braked
    given_j = found.energy.shoulder_j + found.energy.wrist_j
    given_j += account.turning_j + account.moving_j + 0.75 * lost_j
    given_j += below_kg * GRAVITY_MPS2 * rise.up_m
    assert account.muscles_j == pytest.approx(given_j, abs=1e-4)
    assert account.net_j == pytest.approx(account.muscles_j - account.braked_j)
    shares = account.below_shoulders_j + account.shoulders_j + account.wrists_j
    assert shares == pytest.approx(account.muscles_j)


def test_what_is_passed_on_need_not_be_given_twice() -> None:
    tried, found = driven()
    none, all_of_it = (
        account_of(found, tried, middle_body(), NO_LIFT, passed_on=share) for share in (0.0, 1.0)
    )
    assert none.muscles_j > all_of_it.muscles_j
    assert none.club_share < all_of_it.club_share
    assert none.net_j == all_of_it.net_j


def test_the_turn_is_that_of_rings_around_the_axis() -> None:
    body = replace(middle_body(), mass_kg=MEAN_MAN_KG, height_m=1.741)
    rings = 0.0
    for name, speed in (
        ("pelvis", body.pelvis_radps),
        ("abdomen", (body.pelvis_radps + body.thorax_radps) / 2.0),
        ("thorax", body.thorax_radps),
    ):
        segment = SEGMENTS[name]
        ring_m = math.sqrt(segment.turn_kgm2 / segment.mass_kg)
        # a ring about its own centre, and the whole carried around the axis
        rings += 0.5 * segment.mass_kg * ((ring_m * speed) ** 2 + (body.axis_m * speed) ** 2)
    head = SEGMENTS["head"].turn_kgm2
    rings += 0.5 * head * body.thorax_radps**2
    assert body.turning_j(kept=False) == pytest.approx(rings)


def test_the_segments_leave_room_for_the_arms() -> None:
    # both arms have 5 to 12 % of a body; the textbook's are 7.3 kg
    body = replace(middle_body(), mass_kg=MEAN_MAN_KG)
    arms_kg = MEAN_MAN_KG - body.trunk_kg - body.legs_kg
    assert arms_kg == pytest.approx(7.3, abs=0.3)


def test_a_range_lies_around_the_middle_and_comes_back() -> None:
    one, again = (whole_body(SPEED_MPS, rng=rng(), n=16) for _ in range(2))
    assert dict(one.ranges) == dict(again.ranges)
    assert tuple(one.ranges) == SAID
    assert one.n_golfers == 16
    for name, (low, high) in one.ranges.items():
        assert low <= getattr(one.middle, name) <= high, name
    assert one.middle.club_share_of_net > one.middle.club_share
    assert one.middle.below_shoulders_share == pytest.approx(
        one.middle.below_shoulders_j / one.middle.muscles_j
    )


def test_a_higher_lift_is_more_work() -> None:
    low, high = (
        whole_body(SPEED_MPS, Lift(height_m=height_m), rng=rng(), n=8).middle
        for height_m in (0.02, 0.09)
    )
    assert high.muscles_j > low.muscles_j + 40.0
    assert high.club_share < low.club_share


def test_what_is_assumed_fits_a_body() -> None:
    for which in (0, 1):
        Body(**{name: ends[which] for name, ends in ASSUMED_OF_BODY.items()})


def test_refusals() -> None:
    tried, _ = driven()
    with pytest.raises(
        InputError, match=r"^The swing has no track, so what went through the trunk"
    ):
        account_of(swing(tried.golfer), tried, middle_body(), NO_LIFT, passed_on=0.5)
    with pytest.raises(OutOfRangeError, match=r"^Club speed is 90 m/s; the swing takes 10 to 70"):
        whole_body(90.0, rng=rng())
    with pytest.raises(InputError, match=r"^3 golfers can't be tried; give 8 to 10,000"):
        whole_body(SPEED_MPS, rng=rng(), n=3)
    with pytest.raises(OutOfRangeError, match=r"^Mass is 500 kg; the body takes 30 to 200"):
        replace(middle_body(), mass_kg=500.0)
    with pytest.raises(OutOfRangeError, match=r"^Pelvis kept is 1.5; the body takes 0 to 1"):
        replace(middle_body(), pelvis_kept=1.5)
