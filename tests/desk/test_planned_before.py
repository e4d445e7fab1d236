"""Which plan counts as said before the change: by when it was started, and by nothing after it."""

import pytest

from leadfoot.desk import lesson as deeds
from leadfoot.desk import switching
from leadfoot.desk.planned_before import planned_before
from tests.desk.test_running_plan import NOON, Lesson

BACK = ((False, 5), (True, 6), (False, 5))
ON_THE_WAY = (
    "As the blocks were planned, the looks on the way ask for more than the last ones. So far the "
    "balls tell 26 % of what the whole plan can tell."
)
MEANT = (False,) * 5 + (True,) * 6 + (False,) * 5


def planned(lesson: Lesson) -> tuple[bool, ...] | None:
    book = lesson.desk.book
    return planned_before(book.plans(lesson.id), book.blocks(lesson.id), book.shots(lesson.id))


def begun(n_usual: int = 0) -> Lesson:
    lesson = Lesson()
    lesson.hit(n_usual)
    lesson.start(*BACK, by_itself=False, pattern="and_back")
    lesson.hit(5 - n_usual)
    switching.switch_block(lesson.desk, lesson.id, "with_change")
    return lesson


@pytest.mark.parametrize("n_usual", [0, 3])
def test_a_plan_from_before_the_change_counts_and_usual_balls_are_of_it(n_usual: int) -> None:
    lesson = begun(n_usual)
    assert planned(lesson) == MEANT
    lesson.hit(6, 99.0)
    assert planned(lesson) == MEANT


def test_nothing_planned_is_no_plan() -> None:
    lesson = Lesson()
    lesson.hit(5)
    assert planned(lesson) is None


def test_a_plan_that_comes_after_the_change_was_seen_does_not_count() -> None:
    lesson = Lesson()
    lesson.hit(5)
    switching.switch_block(lesson.desk, lesson.id, "with_change")
    lesson.hit(1, 99.0)
    lesson.start(*BACK, by_itself=False, pattern="and_back")
    assert planned(lesson) is None


def test_a_plan_can_not_be_unsaid_once_balls_were_seen() -> None:
    lesson = begun()
    lesson.hit(2, 99.0)
    lesson.desk.book.stop_plan(lesson.id, at=NOON)
    assert planned(lesson) == MEANT
    lesson.start((False, 5), (True, 5), by_itself=False, pattern="once")
    assert planned(lesson) == MEANT


def test_a_left_out_ball_with_the_change_was_seen_as_well() -> None:
    lesson = Lesson()
    lesson.hit(5)
    switching.switch_block(lesson.desk, lesson.id, "with_change")
    lesson.hit(1, 99.0)
    last = lesson.desk.book.shots(lesson.id)[-1]
    lesson.desk.book.leave_out(last.id, reason="topped")
    lesson.start(*BACK, by_itself=False, pattern="and_back")
    assert planned(lesson) is None


def test_balls_as_usual_before_a_drawn_order_stand_in_front_of_it() -> None:
    lesson = Lesson()
    lesson.hit(4)
    lesson.start((False, 5), (True, 5), by_itself=False, pattern="drawn")
    assert planned(lesson) == (False,) * 9 + (True,) * 5


def test_the_answer_waits_longer_on_the_way_of_a_plan() -> None:
    """Five balls that nearly show a gain are enough without a plan, and too few on its way."""
    said = {}
    for with_plan in (True, False):
        lesson = Lesson()
        if with_plan:
            lesson.start((False, 20), (True, 20), (False, 20), by_itself=False, pattern="and_back")
        for speed in (93.2, 94.6, 94.1, 95.0, 93.6, 94.4, 94.9, 93.5):
            lesson.hit(1, speed)
        switching.switch_block(lesson.desk, lesson.id, "with_change")
        for speed in (96.2, 97.1, 95.7, 96.6, 96.8, 95.9):
            lesson.hit(1, speed)
        answer = deeds.lesson_view(lesson.desk, lesson.id).answer
        assert answer is not None
        said[with_plan] = answer.decision
        assert (ON_THE_WAY in answer.notes) is with_plan
    assert said == {True: "hit_more", False: "keep"}
