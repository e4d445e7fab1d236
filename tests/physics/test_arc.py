"""The arc: each number from the others, mirrored for left-handers, and what is refused."""

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from leadfoot.errors import InputError, OutOfRangeError
from leadfoot.physics.arc import Arc
from leadfoot.physics.arc_numbers import (
    arc_from_attack,
    low_point_m_from,
    path_offset_rad,
    path_offset_small_rad,
    plane_rad_from,
    radius_m_from,
)

DEG = math.pi / 180.0

arcs = st.builds(
    Arc,
    radius_m=st.floats(0.8, 2.5),
    plane_rad=st.floats(0.6, 1.3),
    swing_direction_rad=st.floats(-0.3, 0.3),
    low_point_m=st.floats(-0.4, 0.4),
    depth_m=st.floats(-0.02, 0.02),
    hand=st.sampled_from(["right", "left"]),
)


@given(arcs)
def test_each_number_comes_back_from_the_others(arc: Arc) -> None:
    attack = arc.attack_angle_rad
    assert low_point_m_from(attack, arc.plane_rad, arc.radius_m) == pytest.approx(
        arc.low_point_m, abs=1e-12
    )
    again = arc_from_attack(
        attack,
        plane_rad=arc.plane_rad,
        radius_m=arc.radius_m,
        club_path_rad=arc.club_path_rad,
        depth_m=arc.depth_m,
        hand=arc.hand,
    )
    assert again.swing_direction_rad == pytest.approx(arc.swing_direction_rad, abs=1e-12)
    if abs(arc.low_point_m) > 1e-3:
        assert radius_m_from(arc.low_point_m, attack, arc.plane_rad) == pytest.approx(
            arc.radius_m, rel=1e-9
        )
        plane = plane_rad_from(arc.club_path_rad, arc.swing_direction_rad, attack, arc.hand)
        assert plane == pytest.approx(arc.plane_rad, rel=1e-9)


@given(arcs, st.floats(-0.3, 0.3))
def test_angles_are_those_of_the_way_itself(arc: Arc, along_m: float) -> None:
    """The attack angle and the path against the slope between two near points of the arc."""
    small = 1e-6
    before, after = (np.array(arc.at(along_m + step).position_m) for step in (-small, small))
    motion = (after - before) / np.linalg.norm(after - before)
    here = arc.at(along_m)
    assert here.attack_angle_rad == pytest.approx(math.asin(motion[1]), abs=1e-6)
    assert here.club_path_rad == pytest.approx(math.atan2(motion[2], motion[0]), abs=1e-6)


@given(arcs)
def test_the_arc_is_a_circle_in_its_plane_and_lowest_at_its_low_point(arc: Arc) -> None:
    places = np.array([arc.at(arc.low_point_m + step).position_m for step in (-0.3, 0.0, 0.3)])
    assert places[1, 1] == pytest.approx(-arc.depth_m, abs=1e-12)
    assert places[0, 1] == pytest.approx(places[2, 1], abs=1e-12)
    assert places[0, 1] > places[1, 1]
    normal = np.cross(places[1] - places[0], places[2] - places[0])
    normal /= np.linalg.norm(normal)
    assert abs(normal[1]) == pytest.approx(math.cos(arc.plane_rad), abs=1e-9)
    sides = [np.linalg.norm(places[k] - places[k - 1]) for k in range(3)]
    area = 0.5 * np.linalg.norm(np.cross(places[1] - places[0], places[2] - places[0]))
    assert math.prod(sides) / (4.0 * area) == pytest.approx(arc.radius_m, rel=1e-6)


@given(arcs, st.floats(-0.3, 0.3))
def test_a_left_hander_is_the_mirror_image(arc: Arc, along_m: float) -> None:
    mirrored = replace(
        arc,
        swing_direction_rad=-arc.swing_direction_rad,
        hand="left" if arc.hand == "right" else "right",
    )
    assert mirrored.attack_angle_rad == arc.attack_angle_rad
    assert mirrored.club_path_rad == pytest.approx(-arc.club_path_rad, abs=1e-12)
    here, there = arc.at(along_m), mirrored.at(along_m)
    x, y, z = here.position_m
    assert there.position_m == pytest.approx((x, y, -z), abs=1e-12)
    assert there.club_path_rad == pytest.approx(-here.club_path_rad, abs=1e-12)


@given(arcs)
def test_the_ball_is_where_distances_are_counted_from(arc: Arc) -> None:
    x, y, z = arc.at(0.0).position_m
    assert (x, z) == (0.0, 0.0)
    assert y == pytest.approx(arc.edge_height_m, abs=1e-12)
    assert arc.edge_height_m == pytest.approx(arc.drop_m - arc.depth_m, abs=1e-15)


def test_a_right_hander_who_hits_down_moves_right_of_the_swing_direction() -> None:
    assert path_offset_rad(-4 * DEG, 60 * DEG) > 0.0
    assert path_offset_rad(-4 * DEG, 60 * DEG, "left") < 0.0
    assert path_offset_rad(+4 * DEG, 60 * DEG) < 0.0


def test_the_rule_of_thumb_is_near_for_small_angles_and_short_for_steep_ones() -> None:
    for attack, most in ((-1, 1e-5), (-5, 1.5e-4), (-10, 1.4e-3)):
        exact = path_offset_rad(attack * DEG, 60 * DEG)
        small = path_offset_small_rad(attack * DEG, 60 * DEG)
        assert 0.0 < exact - small < most


def test_without_a_depth_the_edge_touches_the_ground_at_the_ball() -> None:
    arc = arc_from_attack(-4 * DEG, plane_rad=62 * DEG, radius_m=1.6)
    assert arc.edge_height_m == 0.0
    assert arc.depth_m == arc.drop_m > 0.0


@pytest.mark.parametrize(
    ("numbers", "text"),
    [
        (
            {"radius_m": math.nan},
            "Radius is nan m; the arc takes 0.5 to 3 m. Check the value and its unit.",
        ),
        (
            {"plane_rad": 60.0},
            "Plane is 60 rad; the arc takes 0.349066 to 1.48353 rad. Check the value and its unit.",
        ),
        (
            {"low_point_m": 4.0},
            "Low point is 4 m; an arc of this radius takes -1.12 to 1.12 m. "
            "Check the value and its unit.",
        ),
        (
            {"depth_m": math.inf},
            "Depth is inf m; the arc takes -0.3 to 0.2 m. Check the value and its unit.",
        ),
    ],
)
def test_what_no_arc_can_be_is_refused(numbers: dict[str, Any], text: str) -> None:
    with pytest.raises(OutOfRangeError) as refused:
        replace(Arc(radius_m=1.6, plane_rad=1.0), **numbers)
    assert str(refused.value) == text


def test_numbers_that_belong_to_no_arc_are_refused() -> None:
    with pytest.raises(InputError) as refused:
        radius_m_from(0.1, 3 * DEG, 1.0)
    assert str(refused.value) == (
        "A low point 0.1 m ahead of the ball does not go with an attack angle of 3 deg: the head "
        "moves down until the low point and up after it. "
        "Check both signs, or give one of the two and the radius."
    )
    with pytest.raises(InputError) as refused:
        plane_rad_from(-2 * DEG, 0.0, -4 * DEG)
    assert str(refused.value) == (
        "Attack angle -4 deg and a club path -2 deg right of the swing direction do not belong to "
        "one plane of a right-handed swing. "
        "Check the signs and the hand, or give the plane instead of one of them."
    )
    with pytest.raises(OutOfRangeError) as refused:
        low_point_m_from(-50 * DEG, 60 * DEG, 1.6)
    assert str(refused.value) == (
        "Attack angle is -50 deg; on a plane of 60 deg it can be up to 37.3 deg either way. "
        "Check both angles and their units."
    )
    with pytest.raises(OutOfRangeError, match="is never that steep"):
        path_offset_rad(-65 * DEG, 60 * DEG)
    with pytest.raises(OutOfRangeError, match="Attack angle is nan deg"):
        low_point_m_from(math.nan, 1.0, 1.6)
    with pytest.raises(InputError, match="Both swing direction and club path are given"):
        arc_from_attack(
            -0.1, plane_rad=1.0, radius_m=1.6, swing_direction_rad=0.0, club_path_rad=0.0
        )
    with pytest.raises(OutOfRangeError, match="Distance from low point is 2 m"):
        Arc(radius_m=1.6, plane_rad=1.0).at(2.0)
