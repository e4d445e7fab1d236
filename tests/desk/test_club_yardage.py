"""How far every club goes: what counts, what fades, what the air of a place does, what is said."""

import math
from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest

from leadfoot.desk import lesson as deeds
from leadfoot.desk.club_yardage import yardages
from leadfoot.desk.desk import Desk
from leadfoot.desk.flight_bench import Weather
from leadfoot.desk.yardage import ClubYardage, Yardages
from leadfoot.errors import OutOfRangeError, ReportError
from leadfoot.physics.air import STANDARD_AIR
from leadfoot.physics.flight import fly_many
from tests.web.bag import CARRIES_YD, ball, fill_bag

HIGH = Weather(temperature_k=303.15, altitude_m=1500.0)


def of(found: Yardages, club: str) -> ClubYardage:
    return next(one for one in found.clubs if one.club == club)


def test_every_club_has_its_middle_and_its_range(desk: Desk) -> None:
    found = yardages(desk, fill_bag(desk).id)
    assert [one.club for one in found.clubs] == list(CARRIES_YD)
    for one in found.clubs:
        assert found.shown(one.carry.middle) == pytest.approx(CARRIES_YD[one.club], abs=4.0)
        assert one.carry.low < one.carry.middle_low < one.carry.middle < one.carry.high
        assert one.total is not None
        assert one.total.middle > one.carry.middle
        assert one.place_carry is None
        assert (one.basis, one.carry.n, one.n_lessons) == ("measured", 24, 2)


def test_the_air_of_a_place_is_that_of_each_balls_own_flight(desk: Desk) -> None:
    student = fill_bag(desk)
    found = yardages(desk, student.id, weather=HIGH)
    iron = of(found, "7 iron")
    assert iron.place_carry is not None
    assert iron.n_flown == 24
    shots = [
        shot
        for lesson in desk.book.lessons(student.id)
        for shot in desk.book.shots(lesson.id)
        if shot.club == "7 iron"
    ]
    rows = [
        np.array([shot.values[key].si for shot in shots])
        for key in ("ball_speed", "launch_angle", "spin_rate")
    ]
    ratio = fly_many(*rows, air=HIGH.air).carry_m / fly_many(*rows, air=STANDARD_AIR).carry_m
    moved = iron.place_carry.middle / iron.carry.middle
    assert moved == pytest.approx(float(np.median(ratio)), abs=0.004)
    assert moved > 1.02  # thinner air: the ball flies farther (docs/explain/air.md)


def test_where_no_flight_is_known_the_usual_swing_gives_the_ratio(desk: Desk) -> None:
    found = yardages(desk, fill_bag(desk, with_ball=False).id, weather=HIGH)
    for one in found.clubs:
        assert one.n_flown == 0
        assert one.place_carry is not None
        assert 1.0 < one.place_carry.middle / one.carry.middle < 1.12


def test_an_unknown_club_has_no_carry_there(desk: Desk) -> None:
    student = fill_bag(desk, days_ago=(0,))
    lesson = desk.book.lessons(student.id)[0]
    block = desk.book.add_block(lesson.id, label="odd", role="before")
    rng = np.random.default_rng(1)
    for _ in range(8):
        shot = replace(ball(rng, "x", 120.0, with_ball=False), club="the long one")
        desk.book.add_shot(block.id, shot, at=desk.clock())
    found = yardages(desk, student.id, weather=HIGH)
    assert of(found, "the long one").place_carry is None
    assert all("nan" not in each.said for each in found.between)


def test_old_balls_fade_by_the_half_life(desk: Desk) -> None:
    student = fill_bag(desk, days_ago=(360,))
    lesson = desk.book.add_lesson(
        student_id=student.id,
        held_on=desk.clock().date() - timedelta(days=0),
        title="now",
        change="",
        club="7 iron",
    )
    block = desk.book.add_block(lesson.id, label="before", role="before")
    rng = np.random.default_rng(3)
    for _ in range(12):
        shot = ball(rng, "7 iron", 155.0, with_ball=False)
        desk.book.add_shot(block.id, shot, at=desk.clock())
    short, long = (
        of(yardages(desk, student.id, half_life_days=days), "7 iron") for days in (30.0, 1e9)
    )
    assert short.carry.middle / 0.9144 > 152.0
    assert 143.0 < long.carry.middle / 0.9144 < 152.0
    assert short.carry.n_alike < long.carry.n_alike
    with pytest.raises(OutOfRangeError, match="The half-life is 0 days"):
        yardages(desk, student.id, half_life_days=0.0)


def test_warm_ups_and_balls_left_out_do_not_count(desk: Desk) -> None:
    student = fill_bag(desk, days_ago=(0,))
    lesson = desk.book.lessons(student.id)[0]
    blocks = desk.book.blocks(lesson.id)
    deeds.set_role(desk, blocks[0].id, "other")
    shot = next(s for s in desk.book.shots(lesson.id) if s.club == "7 iron")
    deeds.leave_out(desk, shot.id, "a bird")
    found = yardages(desk, student.id)
    assert "driver" not in [one.club for one in found.clubs]
    assert of(found, "7 iron").carry.n == 11


def test_too_few_balls_are_named_and_not_guessed(desk: Desk) -> None:
    found = yardages(desk, fill_bag(desk, n=2).id)
    assert found.clubs == ()
    assert dict(found.too_few) == dict.fromkeys(CARRIES_YD, 4)
    with pytest.raises(ReportError, match="no printer for the card of Bea Bagful"):
        desk.card_printer(found, paper="a4")


def test_gaps_and_overlaps_are_said(desk: Desk) -> None:
    between = {each.shorter: each for each in yardages(desk, fill_bag(desk).id).between}
    assert between["5 iron"].empty_m is not None
    assert "no usual ball of either for" in between["5 iron"].said
    near = between["8 iron"]
    assert near.empty_m is None
    # The 7 iron goes 4 yd farther with a spread of 6 each: P(N(4, 6√2) < 0).
    truth = 0.5 * math.erfc(4.0 / 6.0 / 2.0)
    assert near.farther_anyway == pytest.approx(truth, abs=0.15)
    assert "the 8 iron goes farther" in near.said
