"""Straighter over several lessons: the lessons that are pooled, and what they say."""

from datetime import timedelta

import numpy as np
import pytest

from leadfoot.desk.desk import Desk
from leadfoot.desk.lesson import block_for, lesson_view, type_shot
from leadfoot.desk.records import Lesson
from leadfoot.desk.several import newest_of_each, several_lessons


def add(desk: Desk, student_id: int, week: int, change: str, club: str = "driver") -> Lesson:
    day = desk.clock().date() + timedelta(days=7 * week)
    return desk.book.add_lesson(
        student_id=student_id, held_on=day, title="Lesson", change=change, club=club
    )


def hit(desk: Desk, lesson: Lesson, sd: tuple[float, float], seed: int) -> None:
    rng = np.random.default_rng(seed)
    for role, spread in (("before", sd[0]), ("with_change", sd[1])):
        block = block_for(desk, lesson.id, role)  # type: ignore[arg-type]
        for offline in rng.normal(0.0, spread, 12):
            side = "R" if offline >= 0 else "L"
            type_shot(desk, block.id, f"210 {abs(offline):.1f}{side}", ("carry", "offline"))


def weeks(desk: Desk, lesson_id: int, n: int, sd: tuple[float, float]) -> Lesson:
    student_id = desk.book.lesson(lesson_id).student_id
    for week in range(n):
        lesson = add(desk, student_id, week, "Press " if week % 2 else "press")
        hit(desk, lesson, sd, week)
    return lesson


def test_half_the_spread_shows_over_several_lessons(desk: Desk, lesson_id: int) -> None:
    last = weeks(desk, lesson_id, 4, (20.0, 8.0))
    found = several_lessons(desk, last)
    assert found is not None
    assert (found.quantity, found.unit, found.n_lessons) == ("offline", "yd", 4)
    assert (found.n_before, found.n_after) == (48, 48)
    assert found.verdict == "yes"
    assert found.spread_before > 1.5 * found.spread_after
    assert found.sentence.startswith(
        "Over 4 lessons with this change (48 balls before, 48 with it) straighter is shown: "
    )
    answer = lesson_view(desk, last.id).answer
    assert answer is not None
    assert answer.notes[0] == found.sentence
    assert answer.several == found
    assert answer.as_json()["straighter"]["several_lessons"] == found.as_json()


def test_the_same_spread_is_not_shown(desk: Desk, lesson_id: int) -> None:
    found = several_lessons(desk, weeks(desk, lesson_id, 3, (15.0, 15.0)))
    assert found is not None
    assert found.verdict == "not_yet"
    assert "is not shown yet" in found.sentence


@pytest.mark.parametrize(
    ("change", "club"), [("something else", "driver"), ("press", "7 iron"), ("", "driver")]
)
def test_only_lessons_of_one_change_and_club_are_pooled(
    desk: Desk, lesson_id: int, change: str, club: str
) -> None:
    student_id = desk.book.lesson(lesson_id).student_id
    first = add(desk, student_id, 1, "press")
    hit(desk, first, (15.0, 15.0), 1)
    other = add(desk, student_id, 2, change, club)
    hit(desk, other, (15.0, 15.0), 2)
    assert several_lessons(desk, first) is None
    assert several_lessons(desk, other) is None


def test_the_newest_lesson_of_each_change_that_was_tried_again(desk: Desk, lesson_id: int) -> None:
    student_id = desk.book.lesson(lesson_id).student_id
    once = add(desk, student_id, 0, "once")
    late = add(desk, student_id, 5, "press")
    other_club = [add(desk, student_id, week, "PRESS ", "7 iron") for week in (1, 2)]
    early = add(desk, student_id, 3, " Press")
    assert newest_of_each([once, late, *other_club, early]) == [late, other_club[1]]
    assert newest_of_each([once, late]) == []
