"""The missing rise of drag: smooth, only for slow balls, and never good for a carry."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from leadfoot.physics.ball import AIR_MODELS, REGRESSION
from leadfoot.physics.flight import fly
from leadfoot.physics.launch import Launch
from leadfoot.physics.slow_drag import still_drag_coefficient, with_the_rise
from tests.physics.launches import RPM


def test_the_two_pieces_join_without_a_step() -> None:
    reynolds = np.linspace(3e4, 2.2e5, 4_001)
    drag = still_drag_coefficient(reynolds)
    assert np.abs(np.diff(drag)).max() < 2e-3
    assert 0.17 < drag.min() < drag.max() < 0.53


@given(st.floats(0.0, 1.0), st.floats(1e5, 3e5), st.sampled_from(list(AIR_MODELS)))
def test_a_fast_ball_meets_nothing_of_it(spin: float, reynolds: float, key: str) -> None:
    model, ball = AIR_MODELS[key], (np.array([spin]), np.array([reynolds]))
    assert with_the_rise(model).coefficients(*ball) == model.coefficients(*ball)


def test_it_costs_a_wedge_most_and_a_drive_next_to_nothing() -> None:
    lost = []
    for speed, angle, spin in ((70.0, 0.19, 2_600.0), (53.0, 0.31, 6_500.0), (30.0, 0.61, 9_000.0)):
        ball = Launch(ball_speed_mps=speed, launch_angle_rad=angle, spin_rate_radps=spin * RPM)
        slowed = fly(ball, model=with_the_rise(REGRESSION)).carry_m
        lost.append(1.0 - slowed / fly(ball).carry_m)
    assert 0.0 < lost[0] < 0.01
    assert 0.07 < lost[1] < lost[2] < 0.14
