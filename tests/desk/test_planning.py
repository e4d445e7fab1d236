"""Plans for lessons of the book: today's balls, earlier lessons, or players in general."""

from datetime import date

import pytest

from leadfoot.desk.desk import Desk
from leadfoot.desk.lesson import add_lesson, block_for, type_shot
from leadfoot.desk.planning import Wanted, plan_for_lesson, plan_for_player
from leadfoot.errors import InputError

BEFORE = ("92 205 4R", "91 203 2L", "92.5 207 9R", "91.4 201 3L", "92.2 206 1R", "91.8 204 6R")


def hit(desk: Desk, lesson_id: int, *lines: str) -> None:
    for line in lines:
        block = block_for(desk, lesson_id, "before")
        type_shot(desk, block.id, line, ("club_speed", "carry", "offline"))


def test_a_lesson_without_any_length_cannot_be_planned(desk: Desk, lesson_id: int) -> None:
    with pytest.raises(InputError) as error:
        plan_for_lesson(desk, lesson_id)
    assert str(error.value) == (
        "No ball before the change has a length or a speed. "
        "Give a table with carry, ball speed or club speed, or the player's own level."
    )


def test_todays_balls_tell_the_spread(desk: Desk, lesson_id: int) -> None:
    hit(desk, lesson_id, *BEFORE)
    plan = plan_for_lesson(desk, lesson_id)
    assert (plan.wanted.quantity, plan.wanted.change, plan.wanted.unit) == ("carry", 8.0, "yd")
    assert plan.source.endswith("Today's 6 balls as usual are added.")
    assert 2.0 < plan.usual_sd < 9.9


def test_a_gain_in_a_unit_of_speed_is_one_of_club_speed(desk: Desk, lesson_id: int) -> None:
    hit(desk, lesson_id, *BEFORE)
    plan = plan_for_lesson(desk, lesson_id, change=1.5, unit="mph", balls=40)
    assert plan.wanted == Wanted(
        quantity="club_speed", change=1.5, unit="mph", balls=40, seed=lesson_id
    )
    assert plan.plan.advised.balls == 40


def test_earlier_lessons_are_remembered(desk: Desk, lesson_id: int) -> None:
    hit(desk, lesson_id, *BEFORE)
    student_id = desk.book.lesson(lesson_id).student_id
    later = add_lesson(desk, student_id, change="push", club="Driver")
    plan = plan_for_lesson(desk, later.id)
    assert plan.source == (
        "The usual spread is learnt from 1 earlier lesson with this club: 6 balls, of today."
    )
    assert desk.book.lesson(lesson_id).held_on == date(2026, 5, 4)
    other = add_lesson(desk, student_id, change="push", club="7 iron")
    with pytest.raises(InputError, match="has a length or a speed"):
        plan_for_lesson(desk, other.id)


def test_only_lengths_and_speeds_are_planned() -> None:
    with pytest.raises(InputError) as error:
        plan_for_player(Wanted(quantity="offline", change=3.0, unit="yd"), typical=5.0)
    assert str(error.value) == (
        "A change of 'offline' can't be planned. Plan for one of: carry, ball_speed, club_speed."
    )
