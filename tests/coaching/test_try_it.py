"""Trying a change: nothing moved is nothing changed, planted levers are found, and refusals."""

import numpy as np
import pytest

from leadfoot.coaching.swings import explainable
from leadfoot.coaching.try_it import N_SWINGS, Swinger, Trial, levers, swinger, tried
from leadfoot.errors import InputError, OutOfRangeError
from leadfoot.physics.clubs import club
from leadfoot.physics.delivery import DELIVERY_RANGES
from tests.rates.students import MIDDLE, Player, readings

SD = np.array([0.4, 0.015, 0.015, 0.02, 0.015, 0.005, 0.004])


def player(**moved: float) -> Player:
    place = {"face": 3, "path": 2, "speed": 0}
    middle, sd = MIDDLE["driver"].copy(), SD.copy()
    for name, value in moved.items():
        if name.startswith("wide_"):
            sd[place[name.removeprefix("wide_")]] *= value
        else:
            middle[place[name]] += value
    return Player(middle=middle, sd=sd, face_with_path=0.0)


def of(who: Player, n: int = 30) -> Swinger:
    rng = np.random.default_rng(3)
    read = readings(who.swings(n, rng), club("driver"), rng)
    told = explainable(read, read, club("driver"))
    return swinger(told, [told.before])


def test_two_hundred_balls_about_where_the_student_hits_them() -> None:
    student = of(player())
    found = tried(student)
    assert len(found.carry_m) == N_SWINGS
    carry, offline = student.told.model.land(student.told.before.rows)
    assert found.mean_carry_m == pytest.approx(float(np.nanmean(carry)), abs=2.0)
    assert found.miss_m == pytest.approx(float(np.nanmean(np.abs(offline))), rel=0.3)


def test_the_same_trial_gives_the_same_balls() -> None:
    student = of(player())
    np.testing.assert_array_equal(tried(student).offline_m, tried(student, Trial()).offline_m)


def test_faster_is_longer_and_steadier_is_straighter() -> None:
    student = of(player())
    today = tried(student)
    assert (
        tried(student, Trial(moved={"club_speed_mps": 1.0})).mean_carry_m > today.mean_carry_m + 4
    )
    steadier = tried(student, Trial(spread={"face_angle_rad": 0.3}))
    assert steadier.miss_m < today.miss_m
    assert steadier.in_fairway >= today.in_fairway


def test_no_spread_at_all_is_one_ball_two_hundred_times() -> None:
    found = tried(of(player()), Trial(spread=dict.fromkeys(DELIVERY_RANGES, 0.0)))
    assert found.offline_m.std() < 1e-9


def test_a_wider_fairway_holds_more_balls() -> None:
    student = of(player(wide_face=2.0))
    shares = [tried(student, fairway_m=width).in_fairway for width in (10.0, 20.0, 40.0, 80.0)]
    assert shares == sorted(shares)
    assert 0.0 < shares[0] < shares[-1] <= 1.0


@pytest.mark.parametrize(
    ("who", "part", "kind"),
    [
        (player(face=0.06), "face", "middle"),
        (player(wide_face=3.0), "face", "middle spread"),
        (player(wide_path=4.0), "path", "middle spread"),
    ],
)
def test_the_planted_lever_comes_first(who: Player, part: str, kind: str) -> None:
    rng = np.random.default_rng(3)
    read = readings(who.swings(40, rng), club("driver"), rng)
    told = explainable(read, read, club("driver"))
    found = levers(swinger(told, [told.before]), told.before)
    assert found.levers[0].part == part
    assert found.levers[0].kind in kind
    assert found.levers[0].miss_saved_share > 0.1
    assert found.all_m < found.today_m


@pytest.mark.parametrize("off", [0.0, 0.03, 0.05, 0.12])
def test_what_halves_the_miss_does_so_together_or_nothing_is_named(off: float) -> None:
    student = of(player(face=off))
    found = levers(student, student.told.before)
    assert bool(found.halved_by) == (found.all_m <= 0.5 * found.today_m)
    if found.halved_by:
        moved: dict[str, float] = {}
        spread: dict[str, float] = {}
        for lever in found.halved_by:
            moved |= lever.trial.moved
            spread |= lever.trial.spread
        together = tried(student, Trial(moved=moved, spread=spread))
        assert together.miss_m <= 0.5 * found.today_m


def test_an_unknown_input_is_refused() -> None:
    with pytest.raises(InputError, match="'grip' is no input of a delivery"):
        Trial(moved={"grip": 1.0})


def test_a_spread_beyond_all_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="The spread of face_angle_rad is to be 9 times"):
        Trial(spread={"face_angle_rad": 9.0})


def test_a_fairway_without_width_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="The fairway is 0 m wide"):
        tried(of(player()), fairway_m=0.0)


def test_a_swing_that_was_not_read_is_refused() -> None:
    rng = np.random.default_rng(3)
    read = readings(player().swings(12, rng), club("driver"), rng)
    del read["club_speed_mps"]
    told = explainable(read, read, club("driver"))
    with pytest.raises(InputError, match="The swing was not read"):
        swinger(told, [told.before])


def test_few_balls_are_refused() -> None:
    with pytest.raises(InputError, match="7 balls can be explained; it takes 8"):
        of(player(), 7)
