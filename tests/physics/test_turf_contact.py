"""Ball and turf: what meets what first, and chances that add up and agree with many thrown arcs."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from leadfoot.errors import OutOfRangeError
from leadfoot.physics.arc import Arc
from leadfoot.physics.turf_contact import (
    FAT_FROM_M,
    THIN_UNDER_M,
    Lie,
    Spread,
    chances,
    first_contact,
)

IRON = Lie(dynamic_loft_rad=math.radians(25.0))
ARC = Arc(radius_m=1.6, plane_rad=1.05, low_point_m=0.05, depth_m=0.001)

arcs = st.builds(
    Arc,
    radius_m=st.floats(1.0, 2.0),
    plane_rad=st.floats(0.7, 1.2),
    low_point_m=st.floats(-0.15, 0.2),
    depth_m=st.floats(-0.02, 0.02),
)
lies = st.builds(Lie, dynamic_loft_rad=st.floats(0.05, 1.0), tee_m=st.floats(0.0, 0.06))
spreads = st.builds(
    Spread,
    low_point_m=st.floats(0.002, 0.06),
    depth_m=st.floats(0.001, 0.01),
    together=st.floats(-0.8, 0.8),
)


@given(arcs, lies)
def test_the_edge_lies_on_the_face_and_on_the_arc(arc: Arc, lie: Lie) -> None:
    strike = first_contact(arc, lie)
    loft, radius_m = lie.dynamic_loft_rad, lie.ball.radius_m
    # the face runs up from the edge, leaning back; it ends up one radius from the ball's middle
    face = np.array([-math.sin(loft), math.cos(loft)])
    touch = np.array([strike.edge_m, strike.edge_height_m]) + strike.on_face_m * face
    middle = np.array([0.0, lie.tee_m + radius_m])
    assert np.linalg.norm(touch - middle) == pytest.approx(radius_m, abs=1e-9)
    assert float((touch - middle) @ face) == pytest.approx(0.0, abs=1e-9)
    assert arc.at(strike.edge_m).position_m[1] == pytest.approx(strike.edge_height_m, abs=1e-9)


@given(arcs, lies)
def test_turf_begins_and_ends_at_ground_level(arc: Arc, lie: Lie) -> None:
    strike = first_contact(arc, lie)
    if strike.turf_from_m is None or strike.turf_to_m is None:
        assert arc.depth_m <= 0.0
        assert strike.meets == "ball alone"
        assert strike.turf_before_ball_m == 0.0
        return
    for place in (strike.turf_from_m, strike.turf_to_m):
        assert arc.at(place).position_m[1] == pytest.approx(0.0, abs=1e-9)
    assert strike.turf_from_m <= arc.low_point_m <= strike.turf_to_m
    assert (strike.turf_before_ball_m > 0.0) == (strike.meets == "turf, then ball")


@given(arcs, lies, spreads)
def test_chances_are_shares_that_add_up(arc: Arc, lie: Lie, spread: Spread) -> None:
    found = chances(arc, lie, spread)
    for share in (found.fat, found.thin, found.clean):
        assert -1e-12 <= share <= 1.0 + 1e-12
    assert found.fat + found.thin + found.clean == pytest.approx(1.0, abs=1e-9)


@given(arcs, lies, spreads)
def test_a_higher_arc_is_never_fatter_and_a_deeper_one_never_thinner(
    arc: Arc, lie: Lie, spread: Spread
) -> None:
    middle = chances(arc, lie, spread)
    deeper = chances(replace(arc, depth_m=arc.depth_m + 0.003), lie, spread)
    assert deeper.fat >= middle.fat - 1e-9
    assert deeper.thin <= middle.thin + 1e-9


@pytest.mark.parametrize(
    ("low_point_m", "depth_m", "tee_m", "together"),
    [(0.05, 0.001, 0.0, 0.0), (-0.05, 0.002, 0.0, 0.6), (0.1, -0.004, 0.005, -0.6)],
)
def test_chances_agree_with_thrown_arcs(
    low_point_m: float, depth_m: float, tee_m: float, together: float
) -> None:
    """The slow twin: 1,500 arcs, each looked at alone."""
    rng = np.random.default_rng(7)
    arc = replace(ARC, low_point_m=low_point_m, depth_m=depth_m)
    lie = replace(IRON, tee_m=tee_m)
    spread = Spread(low_point_m=0.02, depth_m=0.004, together=together)
    one, other = rng.standard_normal((2, 1_500))
    lows = low_point_m + 0.02 * one
    depths = depth_m + 0.004 * (together * one + math.sqrt(1.0 - together**2) * other)
    fat = thin = 0
    for low, depth in zip(lows, depths, strict=True):
        strike = first_contact(replace(arc, low_point_m=float(low), depth_m=float(depth)), lie)
        if strike.turf_before_ball_m > FAT_FROM_M:
            fat += 1
        elif strike.on_face_m < THIN_UNDER_M:
            thin += 1
    found = chances(arc, lie, spread)
    for share, count in ((found.fat, fat), (found.thin, thin)):
        error = math.sqrt(share * (1.0 - share) / 1_500)
        assert count / 1_500 == pytest.approx(share, abs=4.0 * error + 5e-4)


def test_a_tee_saves_from_thin_and_not_from_fat() -> None:
    spread = Spread(low_point_m=0.02, depth_m=0.004)
    turf, tee = chances(ARC, IRON, spread), chances(ARC, replace(IRON, tee_m=0.01), spread)
    assert tee.thin < 0.2 * turf.thin
    assert tee.fat > 0.5 * turf.fat


def test_less_spread_is_cleaner() -> None:
    middle = replace(ARC, depth_m=-0.003)
    wide = chances(middle, IRON, Spread(low_point_m=0.03, depth_m=0.006))
    narrow = chances(middle, IRON, Spread(low_point_m=0.01, depth_m=0.002))
    assert narrow.fat < wide.fat
    assert narrow.thin < wide.thin


def test_the_limits_of_fat_and_thin_can_be_moved() -> None:
    spread = Spread(low_point_m=0.02, depth_m=0.004)
    usual = chances(ARC, IRON, spread)
    assert chances(ARC, IRON, spread, fat_from_m=0.0).fat > usual.fat
    assert chances(ARC, IRON, spread, thin_under_m=0.0).thin < usual.thin


@pytest.mark.parametrize(
    ("make", "text"),
    [
        (
            lambda: Spread(low_point_m=0.0, depth_m=0.004),
            "Spread of low point is 0 m; the arc takes 0.0005 to 0.2 m. "
            "Check the value and its unit.",
        ),
        (
            lambda: Spread(low_point_m=0.02, depth_m=math.nan),
            "Spread of depth is nan m; the arc takes 0.0005 to 0.05 m. "
            "Check the value and its unit.",
        ),
        (
            lambda: Spread(low_point_m=0.02, depth_m=0.004, together=1.0),
            "Correlation is 1; the arc takes -0.99 to 0.99. Check the value and its unit.",
        ),
        (
            lambda: Lie(dynamic_loft_rad=25.0),
            "Dynamic loft is 25 rad; the strike takes -0.2 to 1.3 rad. "
            "Check the value and its unit.",
        ),
        (
            lambda: Lie(dynamic_loft_rad=0.4, tee_m=-0.01),
            "Tee is -0.01 m; the strike takes 0 to 0.12 m. Check the value and its unit.",
        ),
    ],
)
def test_what_no_strike_can_be_is_refused(make: object, text: str) -> None:
    assert callable(make)
    with pytest.raises(OutOfRangeError) as refused:
        make()
    assert str(refused.value) == text
