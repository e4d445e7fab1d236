"""Tests with another club, or elsewhere: against their own baseline, or plainly not judged."""

import json

import numpy as np
import pytest

from leadfoot.coaching.homework import Week
from leadfoot.desk.desk import Desk
from leadfoot.desk.elsewhere import HIT_A_BASELINE, HIT_A_BASELINE_THERE, SAME_PLACE
from leadfoot.desk.follow_up import begin_test, hit_in, plan_tests
from leadfoot.desk.home_shots import give_table
from leadfoot.desk.homework import give_homework
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
        "Cannot tell elsewhere with the driver: the book has this test in the studio, where the "
        "change was made."
    )
    assert driver.do_next == SAME_PLACE


def place_days(desk: Desk, student_id: int, n_days: int, *, mph: float = 90.0) -> None:
    """Days on which the driver was hit as usual at the range."""
    for day in range(n_days):
        there = days_later(desk, 2 * day)
        lesson = add_lesson(there, student_id, club="driver", place="range")
        block = desk.book.add_block(lesson.id, label="as usual", role="before")
        hit(there, block.id, mph + 0.2 * (day % 2), 14, np.random.default_rng(40 + day))


def place_weeks(desk: Desk, student_id: int, *, mph: float, place: str = "range") -> int:
    """A gain in the studio, and three tests with the same club at another place."""
    there = days_later(desk, 14)
    lesson = lesson_with(there, student_id, change="press", gain_mph=6.0, seed=3)
    for day in (22, 24, 26):
        later = days_later(there, day)
        test = desk.book.plan_test(
            lesson.id,
            kind="transfer",
            due_from=later.clock().date(),
            due_to=later.clock().date(),
            club=None,
            words="on the course",
        )
        done = begin_test(later, test.id, place=place)
        (block,) = desk.book.blocks(done.id)
        hit(later, block.id, mph, 14, np.random.default_rng(day))
    return lesson.id


def test_a_gain_is_seen_at_another_place_by_its_own_baseline(desk: Desk, student_id: int) -> None:
    place_days(desk, student_id, 3)
    lesson_id = place_weeks(desk, student_id, mph=96.0, place=" At the  Range ")
    found = lasted(desk, lesson_id)
    assert found.quantities == ()
    (driver,) = found.elsewhere
    assert (driver.club, driver.place, driver.answer) == ("driver", "range", "carried_over")
    assert "It carried over to the driver at the range: about" in driver.sentence
    speed = next(one for one in driver.quantities if one.quantity == "club_speed")
    assert speed.above == pytest.approx(6.0, abs=1.5)
    assert (speed.n_baselines, speed.n_tests, speed.n_test_balls) == (3, 3, 42)
    form = json.loads(json.dumps(found.as_json(), allow_nan=False))
    assert form["elsewhere"][0]["place"] == "range"


def test_the_level_of_the_studio_never_stands_in(desk: Desk, student_id: int) -> None:
    """The range at the studio's level with the change: without its own baseline nothing is told."""
    (driver,) = lasted(desk, place_weeks(desk, student_id, mph=98.0)).elsewhere
    assert driver.answer == "no_baseline"
    assert driver.sentence == (
        "Cannot tell with the driver at the range: no balls hit there as usual from before the "
        "change."
    )
    assert driver.do_next == HIT_A_BASELINE_THERE


def test_a_gain_that_stayed_in_the_studio_is_not_said_to_be_there(
    desk: Desk, student_id: int
) -> None:
    place_days(desk, student_id, 3)
    (driver,) = lasted(desk, place_weeks(desk, student_id, mph=90.0)).elsewhere
    assert driver.answer in {"not_seen", "cannot_tell"}


def test_a_retention_test_elsewhere_says_nothing_of_what_lasted(
    desk: Desk, student_id: int
) -> None:
    """Nor do balls of the range change what is usual in the studio."""
    lesson = lesson_with(desk, student_id, change="press", gain_mph=6.0, seed=3)
    (week, month) = plan_tests(desk, lesson.id, ["week", "month"])
    later = days_later(desk, 8)
    (block,) = desk.book.blocks(begin_test(later, week.id).id)
    hit(later, block.id, 98.0, 14, np.random.default_rng(1))
    before = lasted(desk, lesson.id)
    assert before.quantities[0].n_tests == 1
    place_days(days_later(desk, -9), student_id, 2, mph=70.0)
    much_later = days_later(desk, 22)
    (block,) = desk.book.blocks(begin_test(much_later, month.id, place="Hill Farm").id)
    hit(much_later, block.id, 60.0, 14, np.random.default_rng(2))
    after = lasted(desk, lesson.id)
    assert after.quantities == before.quantities
    (driver,) = after.elsewhere
    assert (driver.place, driver.answer) == ("Hill Farm", "no_baseline")


def test_practice_at_a_place_is_no_baseline_there(desk: Desk, student_id: int) -> None:
    there = days_later(desk, 1)
    lesson = lesson_with(there, student_id, change="old", gain_mph=0.0, seed=2)
    week = Week(days=(0, 2), minutes=45, balls=40, place="range")
    plan = give_homework(there, lesson.id, week, cue="old", criterion="straight")
    rows = "\n".join(f"{90 + k % 3}.{k % 9}" for k in range(30))
    give_table(
        there,
        plan.id,
        name="range.csv",
        data=f"Club Speed [mph]\n{rows}\n".encode(),
        session=1,
        place="range",
        given_by="student",
    )
    (driver,) = lasted(desk, place_weeks(desk, student_id, mph=96.0)).elsewhere
    assert driver.answer == "no_baseline"


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
