"""Impact, inverse: its own answer makes the ball again, and what it does not know it says."""

import dataclasses
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from leadfoot.errors import OutOfRangeError
from leadfoot.physics.clubs import club, clubs
from leadfoot.physics.delivery import DELIVERY_RANGES, Deliveries, Delivery, deliveries
from leadfoot.physics.explanation import EXPLAINED_FLAGS, Explained, one_of
from leadfoot.physics.impact import Launches, strike, strike_many
from leadfoot.physics.inverse import NOTHING_KNOWN, Known, explain, explain_many
from leadfoot.physics.launch import LAUNCH_RANGES, Launch
from leadfoot.physics.monitor import USUAL, MonitorErrors

Series = NDArray[np.float64]

balls = st.builds(
    Launch,
    ball_speed_mps=st.floats(1.0, 95.0),
    launch_angle_rad=st.floats(-0.5, 1.3),
    launch_direction_rad=st.floats(-1.0, 1.0),
    spin_rate_radps=st.floats(0.0, 1_500.0),
    spin_axis_rad=st.floats(-math.pi, math.pi),
)
some_club = st.sampled_from(list(clubs().values()))
hands = st.sampled_from(["right", "left"])
KINDS = ("driver", "hybrid", "iron7", "sand_wedge")


def swings(key: str, n: int, rng: np.random.Generator) -> Deliveries:
    """Ordinary swings, spread as the usual swing says."""
    struck = club(key)
    usual = USUAL[struck.club_class]
    return deliveries(
        rng.uniform(30.0, 50.0, n),
        rng.normal(0.9 * struck.loft_rad, 0.03, n),
        rng.normal(usual.attack_middle_rad, usual.attack_sd_rad, n),
        rng.normal(0.0, usual.path_sd_rad, n),
        rng.normal(0.0, 0.05, n),
        strike_heel_toe_m=on_face(
            rng.normal(0.0, usual.strike_heel_toe_sd_m, n), struck.face_width_m
        ),
        strike_high_low_m=on_face(
            rng.normal(0.0, usual.strike_high_low_sd_m, n), struck.face_height_m
        ),
    )


def on_face(place_m: Series, size_m: float) -> Series:
    return np.clip(place_m, -0.48 * size_m, 0.48 * size_m)


def explained(launches: Launches, key: str, known: Known = NOTHING_KNOWN) -> Explained:
    numbers = {name: getattr(launches, name) for name in LAUNCH_RANGES}
    return explain_many(**numbers, club=club(key), known=known)


@given(balls, some_club, hands)
def test_the_answer_sent_forward_is_the_ball_or_there_is_no_answer(
    ball: Launch, struck: object, hand: str
) -> None:
    one = struck if struck in clubs().values() else club("driver")
    side = "left" if hand == "left" else "right"
    found = explain(ball, one, hand=side)  # type: ignore[arg-type]
    if found.delivery is None:
        assert set(found.flags) & set(EXPLAINED_FLAGS[:3])
        assert math.isnan(found.sd.face_angle_rad)
        return
    again = strike(found.delivery, one, hand=side)  # type: ignore[arg-type]
    assert again.ball_speed_mps == pytest.approx(ball.ball_speed_mps, rel=1e-9)
    assert again.launch_angle_rad == pytest.approx(ball.launch_angle_rad, abs=1e-9)
    assert again.launch_direction_rad == pytest.approx(ball.launch_direction_rad, abs=1e-9)
    assert again.spin_rate_radps == pytest.approx(ball.spin_rate_radps, rel=1e-9, abs=1e-6)
    if ball.spin_rate_radps > 1.0:
        assert math.cos(again.spin_axis_rad - ball.spin_axis_rad) == pytest.approx(1.0, abs=1e-12)


@pytest.mark.parametrize("key", list(clubs()))
def test_every_ball_of_an_ordinary_swing_is_explained_exactly(key: str) -> None:
    launches = strike_many(swings(key, 400, np.random.default_rng(2)), club(key))
    found = explained(launches, key)
    again = strike_many(found.delivery, club(key))
    off = np.abs(again.rows() - launches.rows()) / np.maximum(1.0, np.abs(launches.rows()))
    assert np.isfinite(found.delivery.rows()).all()
    assert off.max() < 1e-9


@pytest.mark.parametrize("key", KINDS)
def test_where_the_strike_is_known_the_swing_comes_back(key: str) -> None:
    truth = swings(key, 200, np.random.default_rng(3))
    launches = strike_many(truth, club(key))
    known = Known(
        strike_heel_toe_m=truth.strike_heel_toe_m, strike_high_low_m=truth.strike_high_low_m
    )
    exact = MonitorErrors(strike_sd_m=1e-9)
    numbers = {name: getattr(launches, name) for name in LAUNCH_RANGES}
    found = explain_many(**numbers, club=club(key), known=known, errors=exact)
    gripped = ~launches.slid
    assert gripped.sum() > 150
    for name in DELIVERY_RANGES:
        assert getattr(found.delivery, name)[gripped] == pytest.approx(
            getattr(truth, name)[gripped], rel=1e-6, abs=1e-6
        ), name


def read(truth: Series, errors: Series, rng: np.random.Generator) -> Series:
    """What a monitor with such errors says."""
    return np.asarray(truth + errors * rng.standard_normal(truth.shape))


@pytest.mark.parametrize("key", ["driver", "iron7"])
@pytest.mark.parametrize("sees", ["ball and club", "ball and speed", "ball"])
def test_the_stated_uncertainty_is_the_true_one(key: str, sees: str) -> None:
    rng = np.random.default_rng(4)
    n = 3_000
    truth = swings(key, n, rng)
    launches = strike_many(truth, club(key))
    err = MonitorErrors()
    seen = explain_many(
        read(launches.ball_speed_mps, err.ball_speed_share * launches.ball_speed_mps, rng),
        read(launches.launch_angle_rad, np.full(n, err.launch_angle_sd_rad), rng),
        np.abs(
            read(
                launches.spin_rate_radps,
                err.spin_rate_share * launches.spin_rate_radps + err.spin_rate_floor_radps,
                rng,
            )
        ),
        read(launches.launch_direction_rad, np.full(n, err.launch_direction_sd_rad), rng),
        read(launches.spin_axis_rad, np.full(n, err.spin_axis_sd_rad), rng),
        club=club(key),
        known=known_of(truth, sees, err, rng),
    )
    for name in DELIVERY_RANGES:
        off = (getattr(seen.delivery, name) - getattr(truth, name)) / getattr(seen.sd, name)
        within = float(np.mean(np.abs(off[np.isfinite(off)]) < 1.96))
        # A line stands for a curve and the strike has bounds, so a few per cent are allowed.
        assert 0.88 < within < 0.995, (name, within)


def known_of(truth: Deliveries, sees: str, err: MonitorErrors, rng: np.random.Generator) -> Known:
    if sees == "ball":
        return NOTHING_KNOWN
    speed = read(truth.club_speed_mps, err.club_speed_share * truth.club_speed_mps, rng)
    if sees == "ball and speed":
        return Known(club_speed_mps=speed)
    n = len(truth)
    return Known(
        club_speed_mps=speed,
        attack_angle_rad=read(truth.attack_angle_rad, np.full(n, err.attack_angle_sd_rad), rng),
        club_path_rad=read(truth.club_path_rad, np.full(n, err.club_path_sd_rad), rng),
    )


def test_a_heel_strike_and_a_face_error_make_the_same_ball_and_it_says_so() -> None:
    ball = Launch(
        ball_speed_mps=64.0,
        launch_angle_rad=0.21,
        launch_direction_rad=0.0,
        spin_rate_radps=280.0,
        spin_axis_rad=0.15,
    )
    driver = club("driver")
    found = explain(ball, driver, known=Known(club_speed_mps=45.0, attack_angle_rad=0.0))
    assert found.delivery is not None
    assert EXPLAINED_FLAGS[6] in found.flags
    assert found.same_ball[0].startswith("1 mm nearer the toe with the face 0.")
    # Follow the direction that is not told, with the strike held there: the ball is the same.
    for toe_m in (-0.008, 0.008):
        place = Known(strike_heel_toe_m=toe_m, strike_high_low_m=found.delivery.strike_high_low_m)
        exact = MonitorErrors(strike_sd_m=1e-9)
        other = explain(ball, driver, known=place, errors=exact).delivery
        assert other is not None
        moved = toe_m - found.delivery.strike_heel_toe_m
        turned = other.face_angle_rad - found.delivery.face_angle_rad
        assert turned == pytest.approx(found.face_per_toe_radpm * moved, rel=0.05)
        again = strike(other, driver)
        assert again.spin_axis_rad == pytest.approx(ball.spin_axis_rad, abs=1e-9)
        assert again.launch_direction_rad == pytest.approx(0.0, abs=1e-9)


def test_a_flat_face_shows_its_angle_wherever_it_is_struck() -> None:
    launch = strike(
        Delivery(club_speed_mps=38.0, dynamic_loft_rad=0.45, face_angle_rad=0.03), club("iron7")
    )
    found = explain(launch, club("iron7"))
    assert found.delivery is not None
    assert found.delivery.face_angle_rad == pytest.approx(0.03, abs=1e-9)
    assert found.face_per_toe_radpm == pytest.approx(0.0, abs=1e-6)
    assert found.same_ball[0].startswith("1 mm nearer the toe with the path 0.")


def test_a_measured_club_tells_the_strike() -> None:
    truth = Delivery(
        club_speed_mps=45.0, dynamic_loft_rad=0.22, strike_heel_toe_m=0.015, club_path_rad=0.05
    )
    launch = strike(truth, club("driver"))
    known = Known(club_speed_mps=45.0, attack_angle_rad=0.0, club_path_rad=0.05)
    found = explain(launch, club("driver"), known=known)
    assert found.delivery is not None
    assert found.same_ball == ()
    assert found.flags == ()
    assert found.delivery.strike_heel_toe_m == pytest.approx(0.015, abs=0.003)
    assert found.sd.strike_heel_toe_m < 0.006


def test_a_slow_ball_alone_does_not_say_heel_or_toe() -> None:
    iron = club("iron7")
    launch = strike(
        Delivery(
            club_speed_mps=38.0,
            dynamic_loft_rad=0.45,
            attack_angle_rad=-0.07,
            strike_heel_toe_m=0.02,
        ),
        iron,
    )
    found = explain(launch, iron, known=Known(club_speed_mps=38.0, attack_angle_rad=-0.07))
    assert "heel and toe explain it alike" in found.flags
    assert found.sd.strike_heel_toe_m >= abs(found.delivery.strike_heel_toe_m)  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("launch", "flag"),
    [
        (
            Launch(ball_speed_mps=30.0, launch_angle_rad=0.4, spin_rate_radps=2_000.0),
            EXPLAINED_FLAGS[1],
        ),
        (
            Launch(ball_speed_mps=119.0, launch_angle_rad=0.4, spin_rate_radps=900.0),
            EXPLAINED_FLAGS[2],
        ),
        (
            Launch(ball_speed_mps=50.0, launch_angle_rad=-1.2, spin_rate_radps=100.0),
            EXPLAINED_FLAGS[2],
        ),
    ],
)
def test_a_ball_that_no_delivery_makes_is_said_to_be_one(launch: Launch, flag: str) -> None:
    found = explain(launch, club("iron7"))
    assert found.delivery is None
    assert found.flags[0] == flag
    assert found.same_ball == ()


@pytest.mark.parametrize(
    ("row", "value"),
    [(0, math.nan), (0, 0.0), (0, -3.0), (0, math.inf), (1, math.nan), (3, -1.0), (3, math.inf)],
)
def test_a_ball_that_is_none_is_nan_and_leaves_the_others(row: int, value: float) -> None:
    given = np.array([[60.0], [0.2], [0.0], [300.0], [0.0]]) * np.ones(3)
    given[row, 1] = value
    speed, angle, direction, spin, axis = given
    found = explain_many(speed, angle, spin, direction, axis, club=club("driver"))
    assert np.isfinite(found.delivery.rows()).all(axis=0).tolist() == [True, False, True]
    assert found.flags_of(1) == (EXPLAINED_FLAGS[0],)
    assert found.flags_of(0) == found.flags_of(2)


def test_what_is_missing_is_assumed_and_said() -> None:
    found = one_of(explain_many(64.0, 0.2, 280.0, club=club("driver")), 0)
    assert found.flags[-5:] == EXPLAINED_FLAGS[10:]
    assert found.delivery is not None
    again = strike(found.delivery, club("driver"))
    assert again.spin_axis_rad == pytest.approx(0.0, abs=1e-9)
    told = one_of(explain_many(64.0, 0.2, 280.0, 0.0, 0.0, club=club("driver")), 0)
    assert told.sd.club_path_rad < found.sd.club_path_rad
    assert told.sd.face_angle_rad < found.sd.face_angle_rad


def test_readings_that_contradict_the_ball_are_said_to() -> None:
    launch = strike(Delivery(club_speed_mps=45.0, dynamic_loft_rad=0.22), club("driver"))
    fits = explain(launch, club("driver"), known=Known(club_speed_mps=45.0, club_path_rad=0.0))
    assert "readings do not fit together" not in fits.flags
    assert fits.misfit < 3.0
    wrong = explain(launch, club("driver"), known=Known(club_speed_mps=36.0, club_path_rad=0.0))
    assert "readings do not fit together" in wrong.flags


def test_a_ball_that_slid_is_at_the_limit() -> None:
    lob = club("lob_wedge")
    swing = deliveries(33.0, 1.15)
    launches = strike_many(swing, lob)
    assert launches.slid[0]
    found = explained(launches, "lob_wedge")
    assert EXPLAINED_FLAGS[3] in found.flags_of(0)
    assert found.friction_needed[0] == pytest.approx(lob.friction)
    assert found.delivery.dynamic_loft_rad[0] - found.delivery.attack_angle_rad[0] < 1.15


def test_better_readings_tell_more() -> None:
    launch = strike(Delivery(club_speed_mps=45.0, dynamic_loft_rad=0.22), club("driver"))
    known = Known(club_speed_mps=45.0, attack_angle_rad=0.0, club_path_rad=0.0)
    plain = MonitorErrors()
    half = MonitorErrors(
        **{
            field.name: 0.5 * getattr(plain, field.name)
            for field in dataclasses.fields(MonitorErrors)
        }
    )
    coarse = explain(launch, club("driver"), known=known)
    fine = explain(launch, club("driver"), known=known, errors=half)
    for name in DELIVERY_RANGES:
        assert getattr(fine.sd, name) < getattr(coarse.sd, name), name


@given(balls)
def test_a_left_hander_is_explained_as_the_mirror_image(ball: Launch) -> None:
    image = dataclasses.replace(
        ball,
        launch_direction_rad=-ball.launch_direction_rad,
        spin_axis_rad=-ball.spin_axis_rad,
    )
    right = explain(ball, club("driver"))
    left = explain(image, club("driver"), hand="left")
    assert right.flags == left.flags
    if right.delivery is not None and left.delivery is not None:
        assert left.delivery.face_angle_rad == -right.delivery.face_angle_rad
        assert left.delivery.strike_heel_toe_m == right.delivery.strike_heel_toe_m
        assert left.face_per_toe_radpm == -right.face_per_toe_radpm


def test_one_by_one_is_the_same_as_many() -> None:
    launches = strike_many(swings("driver", 20, np.random.default_rng(6)), club("driver"))
    many = explained(launches, "driver")
    for k in range(20):
        launch = Launch(**{name: float(getattr(launches, name)[k]) for name in LAUNCH_RANGES})
        one = explain(launch, club("driver"))
        assert one.delivery is not None
        assert one.delivery.strike_heel_toe_m == pytest.approx(
            many.delivery.strike_heel_toe_m[k], abs=2e-6
        )
        assert one.delivery.face_angle_rad == pytest.approx(
            many.delivery.face_angle_rad[k], abs=1e-5
        )


def test_a_reading_of_the_club_that_is_none_is_refused() -> None:
    with pytest.raises(OutOfRangeError) as refused:
        Known(attack_angle_rad=[0.0, 4.0])
    assert str(refused.value) == (
        "Attack angle is 4; the impact model takes -0.7 to 0.7 rad. "
        "Check the value and its unit, or leave it out."
    )
