"""Impact: what must hold for every strike, and what is refused."""

import dataclasses
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from leadfoot.errors import InputError, OutOfRangeError
from leadfoot.physics.ball import STANDARD_BALL, Ball
from leadfoot.physics.clubs import Club, Restitution, club, clubs
from leadfoot.physics.contact import Spot, impulse, spot
from leadfoot.physics.delivery import DELIVERY_RANGES, Delivery, direction
from leadfoot.physics.delivery import deliveries as deliveries_of
from leadfoot.physics.flight import fly
from leadfoot.physics.impact import face_axes, strike, strike_many
from leadfoot.quantities import quantity
from tests.naive import impact as naive

Series = NDArray[np.float64]

deliveries = st.builds(
    Delivery,
    club_speed_mps=st.floats(5.0, 60.0),
    attack_angle_rad=st.floats(-0.2, 0.2),
    club_path_rad=st.floats(-0.2, 0.2),
    face_angle_rad=st.floats(-0.2, 0.2),
    dynamic_loft_rad=st.floats(0.05, 1.0),
    strike_heel_toe_m=st.floats(-0.03, 0.03),
    strike_high_low_m=st.floats(-0.02, 0.02),
)
centred = st.builds(
    Delivery,
    club_speed_mps=st.floats(5.0, 60.0),
    club_path_rad=st.floats(-0.2, 0.2),
    face_angle_rad=st.floats(-0.2, 0.2),
    dynamic_loft_rad=st.floats(0.05, 1.0),
)
some_club = st.sampled_from(list(clubs().values()))


def mirror_image(delivery: Delivery) -> Delivery:
    return dataclasses.replace(
        delivery, club_path_rad=-delivery.club_path_rad, face_angle_rad=-delivery.face_angle_rad
    )


@given(deliveries, some_club)
def test_a_left_hander_is_the_mirror_image(delivery: Delivery, struck: Club) -> None:
    here = strike(delivery, struck)
    there = strike(mirror_image(delivery), struck, hand="left")
    assert here.ball_speed_mps == there.ball_speed_mps
    assert here.launch_angle_rad == there.launch_angle_rad
    assert here.spin_rate_radps == there.spin_rate_radps
    assert here.launch_direction_rad == -there.launch_direction_rad
    assert math.cos(here.spin_axis_rad + there.spin_axis_rad) == pytest.approx(1.0)


@given(deliveries, some_club)
def test_turned_path_face_and_strike_turn_the_ball(delivery: Delivery, struck: Club) -> None:
    other = dataclasses.replace(
        mirror_image(delivery), strike_heel_toe_m=-delivery.strike_heel_toe_m
    )
    here, there = strike(delivery, struck), strike(other, struck)
    assert here.ball_speed_mps == pytest.approx(there.ball_speed_mps)
    assert here.launch_angle_rad == pytest.approx(there.launch_angle_rad)
    assert here.spin_rate_radps == pytest.approx(there.spin_rate_radps)
    assert here.launch_direction_rad == pytest.approx(-there.launch_direction_rad, abs=1e-12)
    assert math.cos(here.spin_axis_rad + there.spin_axis_rad) == pytest.approx(1.0)


@given(deliveries, some_club, st.floats(0.0, 0.4))
def test_no_energy_comes_out_of_an_impact(
    delivery: Delivery, struck: Club, extra_spin_share: float
) -> None:
    push, where, velocity = pushed(delivery, struck, extra_spin_share)
    assert struck.inertia is not None
    ball = STANDARD_BALL
    spin = 2.5 / ball.radius_m * np.cross(push, where.normal[:, 0]) / ball.mass_kg
    turn = np.linalg.inv(struck.inertia.rows()) @ np.cross(where.arm_m[:, 0], -push)
    slower = velocity - push / struck.mass_kg
    after = (
        0.5 * push @ push / ball.mass_kg
        + 0.5 * ball.inertia_kgm2 * spin @ spin
        + 0.5 * struck.mass_kg * slower @ slower
        + 0.5 * turn @ np.array(struck.inertia.rows()) @ turn
    )
    assert after <= 0.5 * struck.mass_kg * velocity @ velocity


def pushed(
    delivery: Delivery, struck: Club, extra_spin_share: float
) -> tuple[Series, Spot, Series]:
    """The impulse on the ball, where it acts, and the head's velocity, in the axes of the face."""
    axes = face_axes(np.array([delivery.dynamic_loft_rad]), np.array([delivery.face_angle_rad]))
    head = delivery.club_speed_mps * direction(
        np.array([delivery.attack_angle_rad]), np.array([delivery.club_path_rad])
    )
    where = spot(
        struck, np.array([delivery.strike_heel_toe_m]), np.array([delivery.strike_high_low_m])
    )
    velocity = np.einsum("ijn,in->jn", axes, head)
    push, _ = impulse(velocity, where, struck, STANDARD_BALL, extra_spin_share)
    return push[:, 0], where, velocity[:, 0]


@given(deliveries, some_club)
def test_the_ball_is_pushed_away_and_never_harder_along_the_face_than_friction_allows(
    delivery: Delivery, struck: Club
) -> None:
    push, where, _ = pushed(delivery, struck, 0.0)
    press = float(push @ where.normal[:, 0])
    rub = float(np.linalg.norm(push - press * where.normal[:, 0]))
    assert press > 0.0
    assert rub <= struck.friction * press * (1.0 + 1e-12)


@given(deliveries, some_club)
def test_the_twin_that_steps_through_the_contact_agrees(delivery: Delivery, struck: Club) -> None:
    ours = strike(delivery, struck)
    velocity, spin = naive.strike(delivery, struck)
    assert ours.ball_speed_mps == pytest.approx(float(np.linalg.norm(velocity)), rel=1e-9)
    assert ours.spin_rate_radps == pytest.approx(float(np.linalg.norm(spin)), rel=1e-9, abs=1e-6)
    assert math.sin(ours.launch_angle_rad) * ours.ball_speed_mps == pytest.approx(
        float(velocity[1]), abs=1e-9
    )
    assert math.tan(ours.launch_direction_rad) == pytest.approx(
        float(velocity[2] / velocity[0]), abs=1e-9
    )


@given(centred, some_club)
def test_the_ball_starts_between_path_and_face(delivery: Delivery, struck: Club) -> None:
    launch = strike(delivery, plain_head(struck))
    low, high = sorted((delivery.club_path_rad, delivery.face_angle_rad))
    assert low - 1e-9 <= launch.launch_direction_rad <= high + 1e-9


def plain_head(struck: Club) -> Club:
    """The same head, but one that does not turn."""
    return dataclasses.replace(struck, inertia=None)


def test_a_toe_strike_draws_and_a_heel_strike_fades() -> None:
    flat = dataclasses.replace(club("driver"), bulge_m=math.inf, roll_m=math.inf)
    sane = Delivery(club_speed_mps=45.0, dynamic_loft_rad=0.2)
    toe = dataclasses.replace(sane, strike_heel_toe_m=0.015)
    heel = dataclasses.replace(sane, strike_heel_toe_m=-0.015)
    assert strike(toe, flat).spin_axis_rad < -0.2
    assert strike(heel, flat).spin_axis_rad > 0.2
    assert strike(toe, flat, hand="left").spin_axis_rad > 0.2
    middle = strike(sane, flat).ball_speed_mps
    assert strike(toe, flat).ball_speed_mps < middle > strike(heel, flat).ball_speed_mps


def test_bulge_starts_a_toe_strike_right_and_takes_curve_away() -> None:
    round_face = club("driver")
    flat = dataclasses.replace(round_face, bulge_m=math.inf)
    toe = Delivery(club_speed_mps=45.0, dynamic_loft_rad=0.2, strike_heel_toe_m=0.015)
    assert strike(toe, round_face).launch_direction_rad > strike(toe, flat).launch_direction_rad
    assert strike(toe, round_face).spin_axis_rad > strike(toe, flat).spin_axis_rad


def test_high_on_a_driver_launches_higher_and_spins_less() -> None:
    sane = Delivery(club_speed_mps=45.0, dynamic_loft_rad=0.22)
    high = strike(dataclasses.replace(sane, strike_high_low_m=0.012), club("driver"))
    low = strike(dataclasses.replace(sane, strike_high_low_m=-0.012), club("driver"))
    assert high.launch_angle_rad > low.launch_angle_rad
    assert high.spin_rate_radps < 0.8 * low.spin_rate_radps


def test_spin_stops_rising_where_the_ball_slides() -> None:
    lofts = np.radians(np.arange(30.0, 81.0, 5.0))
    many = strike_many(deliveries_of(35.0, lofts), club("lob_wedge"))
    assert not many.slid[0]
    assert many.slid[-1]
    peak = int(np.argmax(many.spin_rate_radps))
    assert 0 < peak < len(lofts) - 1
    assert many.slid[peak + 1 :].all()


def test_many_are_the_same_as_one_by_one() -> None:
    rng = np.random.default_rng(5)
    n = 40
    many = deliveries_of(
        rng.uniform(20.0, 50.0, n),
        rng.uniform(0.1, 0.9, n),
        rng.normal(0.0, 0.05, n),
        rng.normal(0.0, 0.05, n),
        rng.normal(0.0, 0.05, n),
        strike_heel_toe_m=rng.normal(0.0, 0.01, n),
        strike_high_low_m=rng.normal(0.0, 0.008, n),
    )
    together = strike_many(many, club("hybrid"), hand="left", extra_spin_share=0.1)
    for k in range(n):
        alone = Delivery(**{name: float(getattr(many, name)[k]) for name in DELIVERY_RANGES})
        one = strike(alone, club("hybrid"), hand="left", extra_spin_share=0.1)
        assert one.ball_speed_mps == pytest.approx(together.ball_speed_mps[k], rel=1e-12)
        assert one.spin_axis_rad == pytest.approx(together.spin_axis_rad[k], abs=1e-12)


@pytest.mark.parametrize("name", list(DELIVERY_RANGES))
@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf, 1e9])
def test_a_row_that_cannot_be_struck_is_nan_and_leaves_the_others(name: str, value: float) -> None:
    sane = {key: np.full(3, 0.01) for key in DELIVERY_RANGES} | {
        "club_speed_mps": np.full(3, 40.0),
        "dynamic_loft_rad": np.full(3, 0.3),
    }
    sane[name][1] = value
    many = strike_many(deliveries_of(**sane), club("driver"))
    assert np.isfinite(many.rows()).all(axis=0).tolist() == [True, False, True]


def test_a_face_right_of_the_path_curves_right() -> None:
    launch = strike(
        Delivery(club_speed_mps=42.0, dynamic_loft_rad=0.25, face_angle_rad=0.03), club("driver")
    )
    assert launch.spin_axis_rad > 0.0
    assert fly(launch).offline_m > 70.0 * launch.launch_direction_rad


def test_a_springier_cover_spins_more() -> None:
    delivery = Delivery(club_speed_mps=40.0, dynamic_loft_rad=0.45)
    struck = plain_head(club("iron7"))
    plain = strike(delivery, struck)
    springy = strike(delivery, struck, extra_spin_share=0.3)
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
    # Longer clubs are swung faster; 40 m/s for each metre is about an average man (assumed).
    carries = []
    for key, one in clubs().items():
        assert one.length_m is not None
        attack = 0.0 if key == "driver" else -0.05
        loft = one.loft_rad * (1.3 if key == "driver" else 0.85)
        speed = 40.0 * one.length_m
        delivery = Delivery(club_speed_mps=speed, dynamic_loft_rad=loft, attack_angle_rad=attack)
        carries.append(fly(strike(delivery, one)).carry_m)
    assert carries == sorted(carries, reverse=True)


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
        (
            {"strike_heel_toe_m": 12.0},
            "Strike heel toe is 12 m; the impact model takes -0.06 to 0.06 m. "
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
        strike(away, club("sand_wedge"))
    assert str(refused.value) == (
        "The face looks away from the ball: its spin loft is 103 deg. "
        "Check attack angle, club path, face angle and dynamic loft."
    )


def test_an_unknown_club_is_refused() -> None:
    with pytest.raises(InputError) as refused:
        club("putter")
    assert str(refused.value) == (
        "Club 'putter' is not in the catalogue. "
        "Use one of: driver wood3 wood5 hybrid iron4 iron5 iron6 iron7 iron8 iron9 "
        "pitching_wedge gap_wedge sand_wedge lob_wedge."
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
