"""Tests after a lesson: planned, due, hit, called off; and what lasted."""

import json
from datetime import timedelta

import numpy as np
import pytest

from leadfoot.desk.desk import Desk
from leadfoot.desk.follow_up import (
    begin_test,
    drop_test,
    due_tests,
    hit_in,
    lessons_of_tests,
    plan_tests,
)
from leadfoot.desk.lasting import lasted
from leadfoot.desk.lesson import add_lesson, add_student
from leadfoot.errors import InputError
from tests.desk.weeks import days_later, hit, lesson_with


@pytest.fixture
def student_id(desk: Desk) -> int:
    return add_student(desk, name="Ada Nowhere", hand="right").id


def some_weeks(desk: Desk, student_id: int, *, gain: float, left: float, tests: int = 2) -> int:
    """Two earlier lessons, one with a gain, and tests one, three weeks later; the lesson's id."""
    lesson_with(desk, student_id, change="grip", gain_mph=0.0, seed=1)
    lesson_with(days_later(desk, 7), student_id, change="stance", gain_mph=0.0, seed=2)
    there = days_later(desk, 14)
    lesson = lesson_with(there, student_id, change="press", gain_mph=gain, seed=3)
    planned = plan_tests(there, lesson.id)
    rng = np.random.default_rng(4)
    for test, days in zip(planned[:tests], (8, 23), strict=False):
        later = days_later(there, days)
        done = begin_test(later, test.id)
        (block,) = desk.book.blocks(done.id)
        hit(later, block.id, 92.0 + left, 14, rng)
    return lesson.id


def test_the_usual_tests_are_planned_once(desk: Desk, student_id: int) -> None:
    lesson = lesson_with(desk, student_id, change="press", gain_mph=3.0, seed=1)
    planned = plan_tests(desk, lesson.id)
    assert [(one.kind, (one.due_from - lesson.held_on).days) for one in planned] == [
        ("retention", 7),
        ("retention", 21),
        ("transfer", 21),
    ]
    assert plan_tests(desk, lesson.id) == planned
    assert plan_tests(desk, lesson.id, ["week"]) == planned[:1]
    with pytest.raises(InputError, match="There is no usual test 'year'"):
        plan_tests(desk, lesson.id, ["year"])


def test_a_lesson_without_a_change_has_nothing_to_test(desk: Desk, student_id: int) -> None:
    lesson = add_lesson(desk, student_id)
    with pytest.raises(InputError) as caught:
        plan_tests(desk, lesson.id)
    assert str(caught.value) == "The lesson names no change to test. Write down what was changed."


def test_a_test_is_coming_due_and_overdue(desk: Desk, student_id: int) -> None:
    lesson = lesson_with(desk, student_id, change="press", gain_mph=3.0, seed=1)
    plan_tests(desk, lesson.id, ["week"])
    days = (0, 6, 7, 10, 11)
    states = [due_tests(days_later(desk, day))[0].state for day in days]
    assert states == ["coming", "coming", "due", "due", "overdue"]
    (due,) = due_tests(days_later(desk, 11))
    assert (due.student.name, due.days_left) == ("Ada Nowhere", -1)
    drop_test(desk, due.test.id)
    assert due_tests(days_later(desk, 11)) == ()


def test_a_test_begins_a_lesson_with_a_block_without_the_cue(desk: Desk, student_id: int) -> None:
    lesson = lesson_with(desk, student_id, change="press", gain_mph=3.0, seed=1)
    (test,) = plan_tests(desk, lesson.id, ["week"])
    with pytest.raises(InputError, match="on the day of the lesson"):
        begin_test(desk, test.id)
    done = begin_test(days_later(desk, 8), test.id)
    assert (done.held_on, done.title, done.change, done.club) == (
        lesson.held_on + timedelta(days=8),
        "Test: press",
        "",
        "driver",
    )
    assert [block.role for block in desk.book.blocks(done.id)] == ["before"]
    assert lessons_of_tests(desk, lesson) == (done,)
    assert due_tests(days_later(desk, 8)) == ()
    with pytest.raises(InputError, match="was hit already"):
        begin_test(days_later(desk, 9), test.id)


def test_a_lesson_of_the_book_can_be_the_test(desk: Desk, student_id: int) -> None:
    lesson = lesson_with(desk, student_id, change="press", gain_mph=3.0, seed=1)
    (test,) = plan_tests(desk, lesson.id, ["week"])
    later = lesson_with(days_later(desk, 9), student_id, change="next", gain_mph=0.0, seed=2)
    assert hit_in(desk, test.id, later.id).done_lesson_id == later.id
    other = add_student(desk, name="Bo Nowhere", hand="right")
    alien = lesson_with(days_later(desk, 9), other.id, change="", gain_mph=0.0, seed=2)
    for wrong in (alien.id, lesson.id):
        with pytest.raises(InputError, match="That lesson can't be the test"):
            hit_in(desk, test.id, wrong)


def test_a_large_gain_that_is_there_lasted(desk: Desk, student_id: int) -> None:
    found = lasted(desk, some_weeks(desk, student_id, gain=6.0, left=6.0))
    speed = next(one for one in found.quantities if one.quantity == "club_speed")
    assert speed.answer == "lasted"
    assert speed.sentence.startswith("It lasted: about ")
    assert speed.kept is not None
    assert 0.7 < speed.kept < 1.3
    assert speed.left_low < 6.0 < speed.left_high
    assert (speed.n_baselines, speed.n_tests, speed.n_test_balls) == (3, 2, 28)


def test_a_gain_that_went_has_not_lasted(desk: Desk, student_id: int) -> None:
    found = lasted(desk, some_weeks(desk, student_id, gain=6.0, left=0.0))
    assert {one.answer for one in found.quantities} <= {"gone", "cannot_tell"}
    assert found.quantities[0].left_low < 0.0 < found.quantities[0].left_high + 1.0


def test_no_gain_is_nothing_to_keep(desk: Desk, student_id: int) -> None:
    found = lasted(desk, some_weeks(desk, student_id, gain=0.0, left=0.0))
    assert {one.answer for one in found.quantities} <= {"nothing_to_keep", "cannot_tell"}


def test_without_a_test_it_says_what_it_waits_for(desk: Desk, student_id: int) -> None:
    found = lasted(desk, some_weeks(desk, student_id, gain=3.0, left=3.0, tests=0))
    assert found.quantities == ()
    assert found.sentence == "No test without the cue was hit yet with this club."


def test_the_published_form_is_json(desk: Desk, student_id: int) -> None:
    form = lasted(desk, some_weeks(desk, student_id, gain=4.0, left=2.0)).as_json()
    assert json.loads(json.dumps(form, allow_nan=False))["schema"] == "leadfoot.lasted/1"
