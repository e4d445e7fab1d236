"""The arc against worked cases, the rule of thumb, rotated vectors and what the trade does."""

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from leadfoot.physics.arc import Arc
from leadfoot.physics.arc_numbers import arc_from_attack, path_offset_rad, path_offset_small_rad
from leadfoot.physics.clubs import club
from leadfoot.physics.flight import fly
from leadfoot.physics.impact import Delivery, strike
from leadfoot.physics.turf_contact import Lie, Spread, chances, first_contact
from tests.outside.checks import Row, against, each

Vector = NDArray[np.float64]

INCH = 0.0254
MPH = 0.44704
DEG = math.pi / 180.0


@against(model="arc", table="arc_cases", check=35)
@each("arc_cases")
def test_worked_cases(row: Row) -> None:
    arc = arc_from_attack(
        row["attack_angle_deg"] * DEG, plane_rad=row["plane_deg"] * DEG, radius_m=row["radius_m"]
    )
    assert arc.club_path_rad / DEG == pytest.approx(row["offset_deg"], abs=0.001)
    assert arc.low_point_m == pytest.approx(row["low_point_m"], abs=0.0005)
    if "past_low_deg" in row.numbers:
        assert -arc.past_low_rad / DEG == pytest.approx(row["past_low_deg"], abs=0.001)
    if "drop_m" in row.numbers:
        assert arc.drop_m == pytest.approx(row["drop_m"], abs=0.00005)


@against("arc_geometry", model="arc", check=35)
def test_the_linear_rule() -> None:
    # source: arc_geometry (check 35): by the rule of thumb the same case is 2.887 deg
    assert path_offset_small_rad(-5 * DEG, 60 * DEG) / DEG == pytest.approx(2.887, abs=0.0005)
    assert path_offset_rad(-5 * DEG, 60 * DEG) / DEG == pytest.approx(2.895, abs=0.001)


@against("arc_geometry", model="arc")
@pytest.mark.parametrize("plane_deg", [40.0, 60.0, 75.0])
@pytest.mark.parametrize("past_deg", [-8.0, -2.0, 5.0])
def test_against_a_circle_turned_in_space(plane_deg: float, past_deg: float) -> None:
    # source: arc_geometry: a level circle tilted by a rotation matrix about the base line, which
    # is the target line here; numbers by finite steps, none of the formulas of the arc
    plane, past, radius = plane_deg * DEG, past_deg * DEG, 1.6
    tilt = np.array(
        [
            [1.0, 0.0, 0.0],
            [0.0, math.cos(plane), -math.sin(plane)],
            [0.0, math.sin(plane), math.cos(plane)],
        ]
    )

    def place(angle: float) -> Vector:
        """The side away from the player, to the right, is the one that is tilted down."""
        level = np.array([radius * math.sin(angle), 0.0, radius * math.cos(angle)])
        turned: Vector = tilt @ level
        return turned

    step = 1e-6
    motion = place(past + step) - place(past - step)
    motion /= np.linalg.norm(motion)
    arc = Arc(radius_m=radius, plane_rad=plane, low_point_m=-radius * math.sin(past))
    assert arc.attack_angle_rad == pytest.approx(math.asin(motion[1]), abs=1e-8)
    assert arc.club_path_rad == pytest.approx(math.atan2(motion[2], motion[0]), abs=1e-8)


def swing_with_low_point(ahead_in: float, depth_m: float) -> Arc:
    return Arc(radius_m=1.6, plane_rad=60 * DEG, low_point_m=ahead_in * INCH, depth_m=depth_m)


@against("trade", model="arc")
def test_two_inches_ahead_is_good_with_a_seven_iron() -> None:
    # source: trade: about 2 in ahead of the ball is good with a 7-iron. The same swing, the ball
    # moved: ball first at 2 in ahead, turf first at or behind the ball, and fewest mishits there.
    iron, spread = Lie(dynamic_loft_rad=25 * DEG), Spread(low_point_m=0.02, depth_m=0.003)
    assert first_contact(swing_with_low_point(2.0, 0.001), iron).meets == "ball, then turf"
    for ahead_in in (0.0, -2.0):
        assert first_contact(swing_with_low_point(ahead_in, 0.001), iron).meets == "turf, then ball"
    bad = [
        1.0 - chances(swing_with_low_point(ahead_in, -0.003), iron, spread).clean
        for ahead_in in (2.0, 0.0, -2.0)
    ]
    assert bad[0] < bad[1] < bad[2]


@against("trade", model="arc")
def test_a_teed_driver_wants_it_at_or_behind_the_ball() -> None:
    # source: trade: the same swing with a teed driver wants the low point at or behind the ball.
    # At 95 mph the best carry over dynamic loft grows as the low point goes back.
    best = []
    for ahead_in in (3.0, 0.0, -3.0):
        arc = swing_with_low_point(ahead_in, -0.02)
        carries = [
            fly(
                strike(
                    Delivery(
                        club_speed_mps=95 * MPH,
                        dynamic_loft_rad=loft_deg * DEG,
                        attack_angle_rad=arc.attack_angle_rad,
                    ),
                    club("driver"),
                )
            ).carry_m
            for loft_deg in range(8, 22, 2)
        ]
        best.append(max(carries))
    assert best[0] < best[1] < best[2]
    driver = Lie(dynamic_loft_rad=13 * DEG, tee_m=0.04)
    assert first_contact(swing_with_low_point(-2.0, -0.02), driver).meets == "ball alone"
