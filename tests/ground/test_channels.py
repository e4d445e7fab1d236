"""Plates against their slow twin, and against properties that hold for every plate."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from leadfoot.errors import InputError
from leadfoot.ground.c3d import read_c3d
from leadfoot.ground.channels import (
    Push,
    calibrated,
    centre_and_twist,
    push_of_eight,
    push_of_placed,
    push_of_six,
)
from leadfoot.ground.choices import Choices
from leadfoot.ground.recording import Plate, Recording
from leadfoot.ground.together import cop_together, free_moment_together
from tests.ground.c3d_files import Made, written
from tests.naive import plates as naive

FORCE = st.floats(min_value=-900.0, max_value=900.0)
BEARING = st.floats(min_value=100.0, max_value=2500.0)
PLACE = st.floats(min_value=-0.4, max_value=0.4)
DEPTH = st.floats(min_value=-0.1, max_value=0.0)
TWIST = st.floats(min_value=-60.0, max_value=60.0)


@given(
    channels=st.lists(FORCE, min_size=8, max_size=8),
    a=st.floats(min_value=0.05, max_value=0.5),
    b=st.floats(min_value=0.05, max_value=0.5),
    depth=DEPTH,
)
def test_eight_sensors_one_by_one(channels: list[float], a: float, b: float, depth: float) -> None:
    push = push_of_eight(np.array(channels)[:, None], np.array([a, b, depth]))
    force, moment = naive.eight(channels, a, b, depth)
    assert push.force_n[:, 0] == pytest.approx(force, abs=1e-9)
    assert push.moment_nm[:, 0] == pytest.approx(moment, abs=1e-9)


@given(
    force=st.tuples(FORCE, FORCE, BEARING),
    moment=st.tuples(FORCE, FORCE, FORCE),
    origin=st.tuples(PLACE, PLACE, DEPTH),
)
def test_six_channels_and_their_place(
    force: naive.Vector, moment: naive.Vector, origin: naive.Vector
) -> None:
    push = push_of_six(np.array(force)[:, None], np.array(moment)[:, None], np.array(origin))
    about = naive.six(force, moment, origin)
    assert push.moment_nm[:, 0] == pytest.approx(about, abs=1e-9)
    place_m, twist_nm = centre_and_twist(push, np.array([True]))
    assert [*place_m[:, 0], twist_nm[0]] == pytest.approx(
        naive.place_and_twist(force, about), abs=1e-6
    )


@given(force=st.tuples(FORCE, FORCE, BEARING), x=PLACE, y=PLACE, twist=TWIST)
def test_a_place_there_and_back(force: naive.Vector, x: float, y: float, twist: float) -> None:
    push = push_of_placed(np.array(force)[:, None], np.array([[x], [y]]), np.array([twist]))
    place_m, twist_nm = centre_and_twist(push, np.array([True]))
    assert [*place_m[:, 0], twist_nm[0]] == pytest.approx([x, y, twist], abs=1e-9)
    turned = Push(force_n=-push.force_n, moment_nm=-push.moment_nm)
    other_m, other_nm = centre_and_twist(turned, np.array([True]))
    assert other_m[:, 0] == pytest.approx(place_m[:, 0], abs=1e-12)
    assert other_nm[0] == pytest.approx(-twist_nm[0], abs=1e-9)


@given(
    first=st.tuples(st.tuples(FORCE, FORCE, BEARING), PLACE, PLACE, TWIST),
    second=st.tuples(st.tuples(FORCE, FORCE, BEARING), PLACE, PLACE, TWIST),
)
def test_two_plates_are_one_big_plate(
    first: tuple[naive.Vector, float, float, float],
    second: tuple[naive.Vector, float, float, float],
) -> None:
    recording = Recording(
        rate_hz=1000.0,
        plates=tuple(
            Plate(
                name="plate",
                foot=None,
                force_n=np.array([force]),
                cop_m=np.array([[x, y]]),
                free_moment_nm=np.array([twist]),
            )
            for force, x, y, twist in (first, second)
        ),
    )
    x, y, twist = naive.together([first, second])
    assert cop_together(recording)[0] == pytest.approx([x, y], abs=1e-9)
    assert free_moment_together(recording)[0] == pytest.approx(twist, abs=1e-6)


@given(
    kind=st.sampled_from([1, 2, 3, 4]),
    angle_rad=st.floats(min_value=-3.14, max_value=3.14),
    is_down=st.booleans(),
    centre=st.tuples(st.floats(-3000.0, 3000.0), st.floats(-3000.0, 3000.0)),
    force=st.tuples(FORCE, FORCE, BEARING),
    off=st.tuples(PLACE, PLACE),
    twist=TWIST,
)
def test_a_plate_anywhere_gives_the_truth(
    *,
    kind: int,
    angle_rad: float,
    is_down: bool,
    centre: tuple[float, float],
    force: naive.Vector,
    off: tuple[float, float],
    twist: float,
) -> None:
    c, s = np.cos(angle_rad), np.sin(angle_rad)
    x_axis, z_axis = np.array([c, s, 0.0]), np.array([0.0, 0.0, -1.0 if is_down else 1.0])
    middle = np.array([*centre, 0.0])
    made = Made(
        force_n=np.tile(force, (12, 1)),
        place_mm=np.tile(middle[:2] + 1000.0 * np.array(off), (12, 1)),
        twist_nmm=np.full(12, 1000.0 * twist),
        kind=kind,
        axes=np.stack([x_axis, np.cross(z_axis, x_axis), z_axis], axis=1),
        centre_mm=middle,
    )
    choices = Choices(target="+y", sign=1, length_unit="mm", moment_unit="N·mm", force_unit="N")
    (plate,) = read_c3d(written([made]), choices).plates
    assert plate.force_n[0] == pytest.approx(force, abs=1e-3)
    assert 1000.0 * plate.cop_m[0] == pytest.approx(made.place_mm[0], abs=0.02)
    assert plate.free_moment_nm[0] == pytest.approx(twist, abs=0.02)


def test_matrices_that_are_none() -> None:
    with pytest.raises(InputError, match="of type 4 has 5 numbers"):
        calibrated(np.ones((6, 3)), np.ones(5))
    with pytest.raises(InputError, match="mixes its channels beyond telling"):
        calibrated(np.ones((6, 3)), np.ones(36))
