"""Impact: what must hold for every strike, and what is refused."""

import dataclasses
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from leadfoot.errors import InputError, OutOfRangeError
from leadfoot.physics.ball import STANDARD_BALL, Ball
from leadfoot.physics.clubs import Club, Restitution, club, clubs
from leadfoot.physics.flight import fly
from leadfoot.physics.impact import Delivery, strike
from leadfoot.quantities import quantity

deliveries = st.builds(
    Delivery,
    club_speed_mps=st.floats(5.0, 60.0),
    attack_angle_rad=st.floats(-0.2, 0.2),
    club_path_rad=st.floats(-0.2, 0.2),
    face_angle_rad=st.floats(-0.2, 0.2),
    dynamic_loft_rad=st.floats(0.05, 1.0),
)
some_club = st.sampled_from(list(clubs().values()))


@given(deliveries, some_club)
def test_in_the_mirror(delivery: Delivery, struck: Club) -> None:
    other = dataclasses.replace(
        delivery, club_path_rad=-delivery.club_path_rad, face_angle_rad=-delivery.face_angle_rad
    )
    here, there = strike(delivery, struck), strike(other, struck)
    assert here.ball_speed_mps == pytest.approx(there.ball_speed_mps)
    assert here.launch_angle_rad == pytest.approx(there.launch_angle_rad)
    assert here.spin_rate_radps == pytest.approx(there.spin_rate_radps)
    assert here.launch_direction_rad == pytest.approx(-there.launch_direction_rad, abs=1e-12)
    assert math.cos(here.spin_axis_rad + there.spin_axis_rad) == pytest.approx(1.0)


@given(deliveries, some_club)
def test_no_energy_comes_out_of_an_impact(delivery: Delivery, struck: Club) -> None:
    launch = strike(delivery, struck)
    ball = STANDARD_BALL
    moving = 0.5 * ball.mass_kg * launch.ball_speed_mps**2
    turning = 0.5 * ball.inertia_kgm2 * launch.spin_rate_radps**2
    head_before = 0.5 * struck.head_mass_kg * delivery.club_speed_mps**2
    assert moving + turning < head_before


@given(deliveries, some_club)
def test_the_ball_starts_between_path_and_face(delivery: Delivery, struck: Club) -> None:
    flat = dataclasses.replace(delivery, attack_angle_rad=0.0)
    launch = strike(flat, struck)
    low, high = sorted((flat.club_path_rad, flat.face_angle_rad))
    assert low - 1e-9 <= launch.launch_direction_rad <= high + 1e-9


def test_a_face_right_of_the_path_curves_right() -> None:
    launch = strike(
        Delivery(club_speed_mps=42.0, dynamic_loft_rad=0.25, face_angle_rad=0.03), club("driver")
    )
    assert launch.spin_axis_rad > 0.0
    assert fly(launch).offline_m > 70.0 * launch.launch_direction_rad


def test_a_springier_cover_spins_more() -> None:
    delivery = Delivery(club_speed_mps=40.0, dynamic_loft_rad=0.45)
    plain = strike(delivery, club("iron7"))
    springy = strike(delivery, club("iron7"), extra_spin_share=0.3)
    assert springy.spin_rate_radps == pytest.approx(1.3 * plain.spin_rate_radps)


def test_restitution_falls_with_speed_and_stays_a_restitution() -> None:
    wood = Restitution(value=0.83)
    assert wood.at(30.0) > wood.at(40.5) == 0.83 > wood.at(50.0)
    assert wood.at(500.0) == 0.3
    assert Restitution(value=0.94).at(0.0) == 0.95


@pytest.mark.parametrize("key", list(clubs()))
def test_generic_clubs_are_plausible(key: str) -> None:
    one = clubs()[key]
    low, high = quantity("dynamic_loft").plausible_si(one.club_class)
    assert low < one.loft_rad < high
    speed = 38.0
    delivery = Delivery(
        club_speed_mps=speed, dynamic_loft_rad=0.85 * one.loft_rad, attack_angle_rad=-0.04
    )
    smash = strike(delivery, one).ball_speed_mps / speed
    low, high = quantity("smash_factor").plausible_si(one.club_class)
    assert low < smash < high


def test_longer_clubs_carry_farther() -> None:
    carries = []
    for key, one in clubs().items():
        attack = 0.0 if key == "driver" else -0.05
        loft = one.loft_rad * (1.3 if key == "driver" else 0.85)
        delivery = Delivery(club_speed_mps=38.0, dynamic_loft_rad=loft, attack_angle_rad=attack)
        carries.append(fly(strike(delivery, one)).carry_m)
    assert carries[1:] == sorted(carries[1:], reverse=True)


@pytest.mark.parametrize(
    ("change", "text"),
    [
        (
            {"club_speed_mps": math.nan},
            "Club speed is nan m/s; the impact model takes 0.1 to 80 m/s. "
            "Check the value and its unit.",
        ),
        (
            {"dynamic_loft_rad": 12.0},
            "Dynamic loft is 12 rad; the impact model takes -0.2 to 1.4 rad. "
            "Check the value and its unit.",
        ),
    ],
)
def test_a_delivery_out_of_range_is_refused(change: dict[str, float], text: str) -> None:
    sane = {"club_speed_mps": 40.0, "dynamic_loft_rad": 0.3}
    with pytest.raises(OutOfRangeError) as refused:
        Delivery(**{**sane, **change})
    assert str(refused.value) == text


def test_a_face_that_looks_away_is_refused() -> None:
    away = Delivery(
        club_speed_mps=40.0, dynamic_loft_rad=1.3, attack_angle_rad=-0.5, club_path_rad=0.0
    )
    with pytest.raises(OutOfRangeError) as refused:
        strike(away, club("wedge"))
    assert str(refused.value) == (
        "The face looks away from the ball: its spin loft is 103 deg. "
        "Check attack angle, club path, face angle and dynamic loft."
    )


def test_an_unknown_club_is_refused() -> None:
    with pytest.raises(InputError) as refused:
        club("putter")
    assert str(refused.value) == (
        "Club 'putter' is not in the catalogue. "
        "Use one of: driver wood5 hybrid iron5 iron7 iron9 wedge."
    )


def test_a_head_in_grams_is_refused() -> None:
    with pytest.raises(OutOfRangeError) as refused:
        Club(
            name="mine",
            club_class="iron",
            head_mass_kg=270.0,
            loft_rad=0.5,
            restitution=Restitution(value=0.76),
        )
    assert str(refused.value) == (
        "Head mass of mine is 270 kg; heads weigh 0.1 to 0.5 kg. "
        "Check the unit: a driver's head weighs about 0.2 kg."
    )


def test_a_ball_in_grams_is_refused() -> None:
    with pytest.raises(OutOfRangeError) as refused:
        Ball(mass_kg=45.9)
    assert str(refused.value) == (
        "Ball mass_kg is 45.9; it lies between 0.03 and 0.07. "
        "Check the unit, or use the standard ball."
    )


def test_spin_loft_of_a_square_strike_is_loft_less_attack() -> None:
    delivery = Delivery(club_speed_mps=40.0, dynamic_loft_rad=0.5, attack_angle_rad=-0.07)
    assert delivery.spin_loft_rad == pytest.approx(0.57)
    assert np.isclose(strike(delivery, club("iron7")).spin_axis_rad, 0.0)
