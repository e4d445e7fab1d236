"""The best of a swing, and what a delivery leaves on the table."""

import dataclasses
import math

import numpy as np
import pytest

from leadfoot.errors import OutOfRangeError
from leadfoot.physics.air import Air
from leadfoot.physics.best import (
    NEARLY_M,
    Surroundings,
    best_loft,
    best_lofts_rad,
    reach_rad,
)
from leadfoot.physics.clubs import club
from leadfoot.physics.delivery import Delivery, deliveries
from leadfoot.physics.flight import fly, fly_many
from leadfoot.physics.impact import strike, strike_many
from leadfoot.physics.launch import Wind
from leadfoot.physics.left_over import left_over, left_over_many


def carry_m(loft_rad: float, speed_mps: float, attack_rad: float, key: str) -> float:
    delivery = Delivery(
        club_speed_mps=speed_mps, attack_angle_rad=attack_rad, dynamic_loft_rad=loft_rad
    )
    return fly(strike(delivery, club(key))).carry_m


@pytest.mark.parametrize(("key", "attack_deg"), [("driver", 3.0), ("wood3", -2.0), ("iron7", -4.0)])
def test_no_other_loft_goes_farther(key: str, attack_deg: float) -> None:
    attack = math.radians(attack_deg)
    best = best_loft(43.0, attack, club(key))
    low, high = (float(end[0]) for end in reach_rad(np.array([attack]), club(key)))
    launches = strike_many(deliveries(43.0, np.linspace(low, high, 60), attack), club(key))
    others = fly_many(
        launches.ball_speed_mps, launches.launch_angle_rad, launches.spin_rate_radps
    ).carry_m
    assert best.carry_m >= np.nanmax(others) - 0.02
    assert carry_m(best.delivery.dynamic_loft_rad, 43.0, attack, key) == pytest.approx(best.carry_m)


def test_the_window_loses_one_yard_at_its_ends() -> None:
    best = best_loft(45.0, 0.0, club("driver"))
    for end in (best.least_loft_rad, best.most_loft_rad):
        assert best.carry_m - carry_m(end, 45.0, 0.0, "driver") == pytest.approx(NEARLY_M, abs=0.1)
    assert best.least_loft_rad < best.delivery.dynamic_loft_rad < best.most_loft_rad


def test_total_wants_less_loft_than_carry() -> None:
    carry = best_loft(45.0, 0.0, club("driver"))
    total = best_loft(45.0, 0.0, club("driver"), goal="total")
    assert total.delivery.dynamic_loft_rad < carry.delivery.dynamic_loft_rad
    assert total.total_m > carry.total_m
    assert total.carry_m < carry.carry_m


def test_a_slow_swing_wants_more_loft() -> None:
    slow, fast = best_lofts_rad(np.array([32.0, 52.0]), np.zeros(2), club("driver"))
    assert slow > fast + math.radians(2.0)


def test_where_hands_cannot_bring_enough_loft_it_is_said() -> None:
    best = best_loft(14.0, 0.0, club("driver"))
    assert best.at_limit
    assert best.delivery.dynamic_loft_rad == pytest.approx(math.radians(22.5), abs=2e-3)


def test_thin_air_counts() -> None:
    high = Surroundings(air=Air(temperature_k=293.15, pressure_pa=80_000.0))
    assert (
        best_loft(45.0, 0.0, club("driver"), around=high).carry_m
        > best_loft(45.0, 0.0, club("driver")).carry_m + 5.0
    )


def test_wind_counts_and_the_best_in_it_is_the_best() -> None:
    calm = best_loft(45.0, 0.0, club("driver"))
    for along_mps in (-7.0, 7.0):
        around = Surroundings(wind=Wind(along_mps=along_mps))
        best = best_loft(45.0, 0.0, club("driver"), around=around)
        assert (best.carry_m > calm.carry_m) is (along_mps > 0.0)
        lofts = best.delivery.dynamic_loft_rad + np.radians([-2.0, -1.0, 0.0, 1.0, 2.0])
        launches = strike_many(deliveries(45.0, lofts), club("driver"))
        others = fly_many(
            launches.ball_speed_mps,
            launches.launch_angle_rad,
            launches.spin_rate_radps,
            wind_along_mps=along_mps,
        ).carry_m
        assert best.carry_m == pytest.approx(others[2])
        assert best.carry_m >= others.max() - 0.02


def test_a_tail_wind_wants_more_loft_than_a_head_wind() -> None:
    # Into the wind spin lifts more and costs more; from behind it lifts less.
    lofts = [
        best_loft(
            45.0, 0.0, club("driver"), around=Surroundings(wind=Wind(along_mps=along_mps))
        ).delivery.dynamic_loft_rad
        for along_mps in (-7.0, 0.0, 7.0)
    ]
    assert lofts[0] < lofts[1] < lofts[2]


def test_what_is_left_in_a_cross_wind_still_adds_up() -> None:
    around = Surroundings(wind=Wind(across_mps=6.0))
    swing = Delivery(
        club_speed_mps=45.0, dynamic_loft_rad=0.2, face_angle_rad=0.04, strike_heel_toe_m=0.01
    )
    left = left_over(swing, club("driver"), around=around)
    assert left.loft_m + left.strike_m + left.direction_m == pytest.approx(left.whole_m)
    assert left.whole_m == pytest.approx(left.best.carry_m - left.carry_m)
    assert left.carry_m != left_over(swing, club("driver")).carry_m


def test_the_parts_add_up() -> None:
    rng = np.random.default_rng(11)
    n = 60
    swings = deliveries(
        rng.uniform(30.0, 55.0, n),
        rng.uniform(0.12, 0.35, n),
        rng.uniform(-0.08, 0.08, n),
        rng.uniform(-0.06, 0.06, n),
        rng.uniform(-0.06, 0.06, n),
        strike_heel_toe_m=rng.uniform(-0.02, 0.02, n),
        strike_high_low_m=rng.uniform(-0.015, 0.015, n),
    )
    left = left_over_many(swings, club("driver"))
    assert np.allclose(left.loft_m + left.strike_m + left.direction_m, left.whole_m, atol=1e-9)
    # A fault of face and path can make up for a wrong loft, but not by much.
    assert (left.loft_m > -2.0).all()
    assert (left.best_m > 90.0).all()


def test_the_whole_is_best_less_delivered() -> None:
    swing = Delivery(club_speed_mps=42.0, dynamic_loft_rad=0.2, face_angle_rad=0.05)
    left = left_over(swing, club("driver"))
    assert left.best.carry_m - left.carry_m == pytest.approx(left.whole_m, abs=1e-9)


def test_the_best_delivery_leaves_nothing() -> None:
    best = best_loft(45.0, 0.02, club("driver"))
    left = left_over(best.delivery, club("driver"))
    for part in (left.loft_m, left.strike_m, left.direction_m, left.whole_m):
        assert part == pytest.approx(0.0, abs=1e-6)


def test_one_fault_alone_is_charged_with_all_of_it() -> None:
    best = best_loft(45.0, 0.0, club("driver")).delivery
    open_face = left_over(dataclasses.replace(best, face_angle_rad=0.08), club("driver"))
    assert open_face.direction_m == pytest.approx(open_face.whole_m)
    assert open_face.whole_m > 5.0
    toe = left_over(dataclasses.replace(best, strike_heel_toe_m=0.02), club("driver"))
    assert toe.strike_m == pytest.approx(toe.whole_m)
    low = left_over(dataclasses.replace(best, dynamic_loft_rad=0.15), club("driver"))
    assert low.loft_m == pytest.approx(low.whole_m)


def test_a_strike_high_on_the_driver_can_gain() -> None:
    best = best_loft(45.0, -0.05, club("driver")).delivery
    high = left_over(
        dataclasses.replace(best, strike_high_low_m=0.008, dynamic_loft_rad=0.16), club("driver")
    )
    assert high.strike_m < 0.0


def test_a_left_hander_leaves_as_much() -> None:
    swing = Delivery(
        club_speed_mps=45.0, dynamic_loft_rad=0.2, face_angle_rad=0.05, strike_heel_toe_m=0.01
    )
    mirrored = dataclasses.replace(swing, face_angle_rad=-0.05)
    right = left_over(swing, club("driver"))
    left = left_over(mirrored, club("driver"), hand="left")
    assert left.whole_m == pytest.approx(right.whole_m, abs=1e-6)
    assert left.strike_m == pytest.approx(right.strike_m, abs=1e-6)


def test_many_are_the_same_as_one_by_one_and_a_bad_row_stays_alone() -> None:
    swings = deliveries([45.0, math.nan, 38.0], [0.2, 0.2, 0.3], face_angle_rad=[0.02, 0.0, -0.04])
    many = left_over_many(swings, club("driver"), goal="total")
    assert np.isnan(many.whole_m).tolist() == [False, True, False]
    for k in (0, 2):
        one = left_over(
            Delivery(
                club_speed_mps=float(swings.club_speed_mps[k]),
                dynamic_loft_rad=float(swings.dynamic_loft_rad[k]),
                face_angle_rad=float(swings.face_angle_rad[k]),
            ),
            club("driver"),
            goal="total",
        )
        assert one.whole_m == pytest.approx(many.whole_m[k], abs=1e-6)
        assert one.loft_m == pytest.approx(many.loft_m[k], abs=1e-6)


def test_a_swing_that_is_none_is_refused() -> None:
    with pytest.raises(OutOfRangeError) as refused:
        best_loft(math.nan, 0.0, club("driver"))
    assert str(refused.value) == (
        "Club speed is nan m/s; the impact model takes 0.1 to 80 m/s. Check the value and its unit."
    )
