"""The swing: its slow twin, its energy, its symmetries, and what is refused."""

import math
from dataclasses import dataclass, replace

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from leadfoot.errors import OutOfRangeError
from leadfoot.physics.golfer import (
    Arms,
    Drive,
    Golfer,
    HeldClub,
    generic_golfer,
    held_club,
    textbook_golfer,
)
from leadfoot.physics.hub import STILL, Hub, HubState, Pull
from leadfoot.physics.swing import COARSE, GRAVITY_MPS2, Swing, swing, with_speed
from tests.naive import swing as naive
from tests.physics.golfers import golfers, pulls, without_torque


def reaches(golfer: Golfer, hub: Hub = STILL) -> Swing:
    """Swing, and leave out a golfer who never brings the club to the ball."""
    try:
        return swing(golfer, hub)
    except OutOfRangeError:
        assume(False)
        raise


def by_the_twin(golfer: Golfer, hub: Hub) -> naive.Struck:
    arms, club = golfer.arms, golfer.club
    return naive.strike(
        naive.Bodies(
            arms_kg=arms.mass_kg,
            arms_centre_m=arms.centre_m,
            arms_m=arms.length_m,
            arms_kgm2=arms.inertia_kgm2,
            club_kg=club.mass_kg,
            club_centre_m=club.centre_m,
            club_m=club.length_m,
            club_kgm2=club.inertia_kgm2,
        ),
        top_rad=golfer.top_rad,
        cock_rad=golfer.cock_rad,
        torques=lambda time_s, radps: (
            golfer.drive.shoulder_nm_at(time_s, radps),
            golfer.drive.wrist_nm_at(time_s),
        ),
        hub_mps2=lambda time_s: hub.at(time_s)[4:],
        weight_mps2=GRAVITY_MPS2 * math.sin(golfer.plane_rad),
    )


@settings(max_examples=12)
@given(golfers, pulls)
def test_the_slow_twin_agrees(golfer: Golfer, pull: Pull) -> None:
    found = reaches(golfer, pull)
    assume(found.energy.lost_j == 0.0 and found.release_s > 0.0)
    twin = by_the_twin(golfer, pull)
    assert found.release_s == pytest.approx(twin.release_s, abs=1e-6)
    assert found.strike_s == pytest.approx(twin.strike_s, abs=1e-6)
    assert found.arms_rad == pytest.approx(twin.arms_rad, abs=1e-5)
    assert found.arms_radps == pytest.approx(twin.arms_radps, abs=1e-4)
    assert found.club_radps == pytest.approx(twin.club_radps, rel=1e-5)


@settings(max_examples=25)
@given(golfers, pulls)
def test_the_energy_balance_closes(golfer: Golfer, pull: Pull) -> None:
    energy = reaches(golfer, pull).energy
    assert abs(energy.gap_j) < 1e-4 * energy.kinetic_j
    assert energy.lost_j >= 0.0


@settings(max_examples=25)
@given(golfers, st.floats(8.0, 15.0))
def test_without_torque_energy_never_grows(golfer: Golfer, start_radps: float) -> None:
    try:
        found = swing(without_torque(golfer), start_radps=start_radps)
    except OutOfRangeError:
        assume(False)
    energy = found.energy
    assert energy.shoulder_j == energy.wrist_j == energy.hub_j == 0.0
    gained = energy.kinetic_j - energy.kinetic_start_j - energy.gravity_j
    assert gained <= 1e-5 * energy.kinetic_j


@dataclass(frozen=True, slots=True, kw_only=True)
class Glide:
    """A hub that moves evenly."""

    along_mps: float
    up_mps: float

    def at(self, time_s: float) -> HubState:
        return HubState(
            self.along_mps * time_s,
            self.up_mps * time_s,
            self.along_mps,
            self.up_mps,
            0.0,
            0.0,
        )


@settings(max_examples=15)
@given(golfers, st.floats(-1.0, 1.0), st.floats(-1.0, 1.0))
def test_an_evenly_moving_hub_changes_nothing_but_where_it_is_seen_from(
    golfer: Golfer, along_mps: float, up_mps: float
) -> None:
    still, carried = reaches(golfer), reaches(golfer, Glide(along_mps=along_mps, up_mps=up_mps))
    assert carried.strike_s == pytest.approx(still.strike_s, abs=1e-6)
    assert carried.club_radps == pytest.approx(still.club_radps, rel=1e-6)
    assert abs(carried.energy.gap_j) < 1e-4 * carried.energy.kinetic_j
    speed = still.club_speed_mps
    expected = math.hypot(
        speed * math.cos(still.arms_rad) + along_mps, speed * math.sin(still.arms_rad) + up_mps
    )
    assert carried.club_speed_mps == pytest.approx(expected, rel=1e-5)


@settings(max_examples=15)
@given(golfers)
def test_more_torque_is_more_speed(golfer: Golfer) -> None:
    drive = replace(golfer.drive, shoulder_nm=1.1 * golfer.drive.shoulder_nm)
    assume(golfer.drive.wrist_nm < 5.0)
    harder = reaches(replace(golfer, drive=drive))
    assert harder.club_speed_mps > reaches(golfer).club_speed_mps


def test_the_club_that_falls_back_on_the_stop_loses_energy_and_the_balance_still_closes() -> None:
    golfer = textbook_golfer()
    pulled_back = replace(golfer, drive=Drive(shoulder_nm=100.0, wrist_nm=-40.0, wrist_from_s=0.17))
    found = swing(pulled_back)
    assert found.energy.lost_j > 0.0
    assert abs(found.energy.gap_j) < 1e-3
    assert found.strike_s > swing(golfer).strike_s


def test_a_pull_while_the_club_comes_through_adds_and_one_too_early_costs() -> None:
    golfer = with_speed(generic_golfer("driver"), 42.5)
    still = swing(golfer)
    late = Pull(up_m=0.05, start_s=still.strike_s - 0.16, duration_s=0.24)
    early = Pull(up_m=0.05, start_s=still.strike_s - 0.32, duration_s=0.2)
    assert swing(golfer, late).club_speed_mps > still.club_speed_mps + 0.5
    assert swing(golfer, early).club_speed_mps < still.club_speed_mps


def test_a_coarse_tolerance_is_near_enough_for_one_of_many() -> None:
    golfer = generic_golfer()
    fine, coarse = swing(golfer), swing(golfer, tolerance=COARSE)
    assert coarse.club_speed_mps == pytest.approx(fine.club_speed_mps, rel=1e-4)


def test_the_track_runs_from_the_top_to_the_strike() -> None:
    found = swing(generic_golfer(), Pull(up_m=0.05, start_s=0.1, duration_s=0.2), track=True)
    track = found.track
    assert track is not None
    assert track.time_s[[0, -1]] == pytest.approx([0.0, found.strike_s])
    assert track.club_speed_mps[-1] == pytest.approx(found.club_speed_mps, rel=1e-6)
    assert track.arms_rad[-1] == pytest.approx(track.club_rad[-1], abs=1e-6)
    assert (np.diff(track.club_rad) >= 0.0).all()
    assert track.hub_up_m[-1] > 0.03
    assert swing(generic_golfer()).track is None


def test_a_torque_is_found_for_a_speed() -> None:
    golfer = with_speed(generic_golfer("driver"), 47.0)
    assert swing(golfer).club_speed_mps == pytest.approx(47.0, abs=1e-4)
    hub = Pull(up_m=0.05, start_s=0.15, duration_s=0.25)
    pushed = with_speed(generic_golfer("driver"), 47.0, hub)
    assert swing(pushed, hub).club_speed_mps == pytest.approx(47.0, abs=1e-4)
    assert pushed.drive.shoulder_nm < golfer.drive.shoulder_nm


def test_clubs_of_the_catalogue_in_the_hands() -> None:
    driver, iron = held_club("driver"), held_club("iron7")
    assert driver.length_m > iron.length_m
    assert 0.27 < driver.mass_kg < iron.mass_kg < 0.45


def test_an_inertia_about_the_centre_of_mass_is_refused() -> None:
    with pytest.raises(OutOfRangeError) as refused:
        HeldClub(mass_kg=0.4, centre_m=0.825, length_m=1.1, inertia_kgm2=0.08)
    assert str(refused.value) == (
        "Inertia of the club is 0.08 kg·m²; about the joint it is at least mass times distance "
        "squared, 0.272 kg·m². Give it about the joint: add mass times distance squared to one "
        "about the centre of mass."
    )


def test_a_swing_that_never_arrives_is_refused() -> None:
    golfer = replace(textbook_golfer(), drive=Drive(shoulder_nm=0.0))
    with pytest.raises(OutOfRangeError) as refused:
        swing(golfer, gravity_mps2=0.0)
    assert str(refused.value) == (
        "Arms and club do not come into line within 2 s of the downswing. "
        "Check the torques, the angle at the top and the hub's path."
    )


@pytest.mark.parametrize(
    ("make", "text"),
    [
        (
            lambda: Drive(shoulder_nm=math.nan),
            "Shoulder torque is nan N·m; the swing takes 0 to 1000 N·m. "
            "Check the value and its unit.",
        ),
        (
            lambda: Drive(shoulder_nm=100.0, wrist_nm=math.inf),
            "Wrist torque is inf N·m; the swing takes -100 to 100 N·m. "
            "Check the value and its unit.",
        ),
        (
            lambda: Arms(mass_kg=7.3, centre_m=0.8, length_m=0.62, inertia_kgm2=5.0),
            "Centre is 0.8 m; the rod of the arms takes 0 to 0.62 m. Check the value and its unit.",
        ),
        (
            lambda: replace(textbook_golfer(), cock_rad=120.0),
            "Wrist cock is 120 rad; the swing takes 0.1 to 2.8 rad. Check the value and its unit.",
        ),
        (
            lambda: swing(textbook_golfer(), gravity_mps2=-9.81),
            "Gravity is -9.81 m/s²; the swing takes 0 to 20 m/s². Check the value and its unit.",
        ),
        (
            lambda: swing(textbook_golfer(), start_radps=math.nan),
            "Start speed is nan rad/s; the swing takes 0 to 50 rad/s. "
            "Check the value and its unit.",
        ),
        (
            lambda: with_speed(textbook_golfer(), 0.0),
            "Club speed is 0 m/s; the swing takes 10 to 70 m/s. Check the value and its unit.",
        ),
    ],
)
def test_what_no_swing_can_be_is_refused(make: object, text: str) -> None:
    assert callable(make)
    with pytest.raises(OutOfRangeError) as refused:
        make()
    assert str(refused.value) == text
