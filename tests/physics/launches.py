"""Launches for the property tests: anything a monitor could send."""

import math

from hypothesis import strategies as st

from leadfoot.physics.launch import Launch

RPM = math.pi / 30.0


def anything() -> st.SearchStrategy[Launch]:
    """Any launch that is not refused."""
    return st.builds(
        Launch,
        ball_speed_mps=st.floats(0.1, 120.0),
        launch_angle_rad=st.floats(-1.5, 1.5),
        launch_direction_rad=st.floats(-1.5, 1.5),
        spin_rate_radps=st.floats(0.0, 2_000.0),
        spin_axis_rad=st.floats(-3.1, 3.1),
    )


def struck() -> st.SearchStrategy[Launch]:
    """Balls as clubs strike them: up into the air, with backspin."""
    return st.builds(
        Launch,
        ball_speed_mps=st.floats(20.0, 85.0),
        launch_angle_rad=st.floats(0.08, 0.7),
        launch_direction_rad=st.floats(-0.3, 0.3),
        spin_rate_radps=st.floats(150.0, 1_000.0),
        spin_axis_rad=st.floats(-0.5, 0.5),
    )
