"""Tests with another club, or elsewhere: against their own baseline, or plainly not judged."""

import json

import numpy as np
import pytest

from leadfoot.desk.desk import Desk
from leadfoot.desk.elsewhere import HIT_A_BASELINE, OTHER_PLACE
from leadfoot.desk.follow_up import begin_test, hit_in, plan_tests
from leadfoot.desk.lasting import lasted
from leadfoot.desk.lesson import add_lesson, add_student
from tests.desk.weeks import days_later, hit, lesson_with


@pytest.fixture
def student_id(desk: Desk) -> int:
    return add_student(desk, name="Ada Nowhere", hand="right").id


def iron_days(desk: Desk, student_id: int, n_days: int) -> None:
    """Days on which the 7 iron was hit as usual."""
    for day in range(n_days):
        there = days_later(desk, 2 * day)
        lesson = add_lesson(there, student_id, club="7 iron")
        block = desk.book.add_block(lesson.id, label="as usual", role="before")
        hit(there, block.id, 80.0, 14, np.random.default_rng(20 + day), club="7i")


def weeks_with(desk: Desk, student_id: int, *, club: str, mph: float) -> int:
    """A gain with the driver, and a test elsewhere three weeks later; the lesson of the change."""
    there = days_later(desk, 14)
    lesson = lesson_with(there, student_id, change="press", gain_mph=6.0, seed=3)
    (test,) = plan_tests(there, lesson.id, ["elsewhere"])
    for day in (22, 24, 26):
        later = days_later(there, day)
        if day == 22:
            done = begin_test(later, test.id, club=club)
        else:
            done = add_lesson(later, student_id, club=club or "driver")
            desk.book.add_block(done.id, label="as usual", role="before")
            (again, *_) = [one for one in desk.book.planned_tests(lesson.id) if one.id == test.id]
            copy = desk.book.plan_test(
                lesson.id,
                kind="transfer",
                due_from=again.due_from,
                due_to=again.due_to,
                club=None,
                words="again",
            )
            hit_in(later, copy.id, done.id)
        (block,) = desk.book.blocks(done.id)
        hit(later, block.id, mph, 14, np.random.default_rng(day), club=club or "driver")
    return lesson.id


def test_a_gain_is_seen_with_another_club_by_its_own_baseline(desk: Desk, student_id: int) -> None:
    iron_days(desk, student_id, 3)
    found = lasted(desk, weeks_with(desk, student_id, club="7 iron", mph=86.0))
    assert found.quantities == ()
    (iron,) = found.elsewhere
    assert (iron.club, iron.answer) == ("7 iron", "carried_over")
    assert "carried over to the 7 iron: about" in iron.sentence
    speed = next(one for one in iron.quantities if one.quantity == "club_speed")
    assert speed.above == pytest.approx(6.0, abs=1.5)
    assert (speed.n_baselines, speed.n_tests, speed.n_test_balls) == (3, 3, 42)
    form = json.loads(json.dumps(found.as_json(), allow_nan=False))
    assert form["elsewhere"][0]["answer"] == "carried_over"


def test_the_level_of_the_first_club_never_stands_in(desk: Desk, student_id: int) -> None:
    """The iron at the driver's speed with the change: without its own baseline nothing is told."""
    found = lasted(desk, weeks_with(desk, student_id, club="7 iron", mph=98.0))
    assert found.quantities == ()
    (iron,) = found.elsewhere
    assert iron.answer == "no_baseline"
    assert iron.sentence == (
        "Cannot tell with the 7 iron: no baseline with this club from before the change."
    )
    assert iron.do_next == HIT_A_BASELINE


def test_a_gain_that_did_not_carry_over_is_not_said_to(desk: Desk, student_id: int) -> None:
    iron_days(desk, student_id, 3)
    (iron,) = lasted(desk, weeks_with(desk, student_id, club="7 iron", mph=80.0)).elsewhere
    assert iron.answer in {"not_seen", "cannot_tell"}


def test_the_same_club_elsewhere_has_no_baseline(desk: Desk, student_id: int) -> None:
    found = lasted(desk, weeks_with(desk, student_id, club="", mph=98.0))
    assert found.quantities == ()
    (driver,) = found.elsewhere
    assert driver.answer == "no_baseline"
    assert driver.sentence == (
        "Cannot tell elsewhere with the driver: no baseline from there is in the book."
    )
    assert driver.do_next == OTHER_PLACE


def test_balls_of_another_club_in_a_retention_test_do_not_count(
    desk: Desk, student_id: int
) -> None:
    lesson = lesson_with(desk, student_id, change="press", gain_mph=6.0, seed=3)
    (test,) = plan_tests(desk, lesson.id, ["week"])
    later = days_later(desk, 8)
    (block,) = desk.book.blocks(begin_test(later, test.id).id)
    hit(later, block.id, 98.0, 14, np.random.default_rng(1), club="3 wood")
    found = lasted(desk, lesson.id)
    assert found.sentence == "No test without the cue was hit yet with this club."
    assert [one.answer for one in found.elsewhere] == ["no_baseline"]
