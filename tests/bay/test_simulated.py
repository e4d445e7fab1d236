"""The invented student: what was chosen is what happens, and the same seed hits the same balls."""

from collections.abc import Mapping

import numpy as np
import pytest
from numpy.typing import NDArray

from leadfoot.bay.simulated import CHANGES, FAULTS, InventedStudent
from leadfoot.desk.live_shots import read_shots
from leadfoot.desk.records import Hand
from leadfoot.errors import InputError
from leadfoot.shots.shot import Reading

N = 150


def values(balls: tuple[Mapping[str, Reading], ...], key: str) -> NDArray[np.float64]:
    return np.array([ball[key].value for ball in balls if key in ball])


def test_the_same_seed_hits_the_same_balls() -> None:
    student = InventedStudent(seed=7)
    assert student.hit(5).usual == student.hit(5).usual
    assert student.hit(5).usual != InventedStudent(seed=8).hit(5).usual


@pytest.mark.parametrize("fault", FAULTS)
@pytest.mark.parametrize("hand", ["right", "left"])
def test_every_ball_can_be_sent(fault: str, hand: Hand) -> None:
    student = InventedStudent(fault=fault, hand=hand, club="7 iron", units="metres")
    balls = student.hit(20)
    for number in range(20):
        for role in ("before", "with_change", "other"):
            shot = balls.shot(number, role, run="a")
            assert read_shots(shot.as_json()) == (shot,)


def test_a_slice_curves_away_from_the_student() -> None:
    right = values(InventedStudent(fault="slice").hit(N).usual, "offline")
    left = values(InventedStudent(fault="slice", hand="left").hit(N).usual, "offline")
    hook = values(InventedStudent(fault="hook").hit(N).usual, "offline")
    assert np.mean(right) > 8.0
    assert np.mean(left) < -8.0
    assert np.mean(hook) < -8.0


def test_each_change_does_what_it_is_called() -> None:
    def both(fault: str, change: str, key: str) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        balls = InventedStudent(fault=fault, change=change, seed=3).hit(N)
        return values(balls.usual, key), values(balls.changed, key)

    before, after = both("none", "faster", "club_speed")
    assert np.mean(after) - np.mean(before) == pytest.approx(4.0, abs=0.3)
    before, after = both("none", "hurts", "club_speed")
    assert np.mean(after) - np.mean(before) == pytest.approx(-4.0, abs=0.3)
    before, after = both("slice", "squarer", "offline")
    assert np.mean(np.abs(after)) < 0.75 * np.mean(np.abs(before))
    before, after = both("scattered", "steadier", "face_angle")
    assert np.std(after) < 0.8 * np.std(before)
    before, after = both("none", "wilder", "face_angle")
    assert np.std(after) > 1.2 * np.std(before)
    before, after = both("mishits", "cleaner", "carry")
    assert np.std(after) < np.std(before)
    balls = InventedStudent(change="nothing").hit(5)
    assert balls.usual == balls.changed
    assert set(CHANGES) >= {"nothing", "faster", "squarer"}


def test_what_is_not_there_is_named() -> None:
    with pytest.raises(InputError, match=r"There is no fault 'yips'\. Use one of: none, slice"):
        InventedStudent(fault="yips")
    with pytest.raises(InputError, match="There is no change 'magic'"):
        InventedStudent(change="magic")
    with pytest.raises(InputError, match="There is no club 'putter'"):
        InventedStudent(club="putter")
    for n_balls in (0, 501):
        with pytest.raises(InputError, match="Ask for 1 to 500 balls"):
            InventedStudent().hit(n_balls)
