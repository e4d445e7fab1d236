"""Balls that are kept are those of the book, after every change of it."""

from collections.abc import Callable

import numpy as np
import pytest

from leadfoot.desk import lesson as deeds
from leadfoot.desk.desk import Desk
from leadfoot.desk.past_balls import past_balls
from leadfoot.desk.records import Lesson

FIELDS = ("club_speed", "carry", "offline")


def a_lesson(desk: Desk) -> Lesson:
    student = deeds.add_student(desk, name="Ida Invented", hand="right")
    lesson = deeds.add_lesson(desk, student.id, change="soft block", club="driver")
    hit(desk, lesson)
    return lesson


def hit(desk: Desk, lesson: Lesson) -> int:
    block = deeds.block_for(desk, lesson.id, "before")
    n = len(desk.book.shots(lesson.id))
    return deeds.type_shot(desk, block.id, f"9{n} 20{n} 1R", FIELDS).id


def is_of_the_book(desk: Desk, *lessons: Lesson) -> None:
    ids = [lesson.id for lesson in lessons]
    kept, there = past_balls(desk, ids), desk.book.counted_of(ids)
    assert kept.keys() == there.keys()
    for lesson_id, balls in kept.items():
        np.testing.assert_array_equal(balls.values, there[lesson_id].values)
        assert balls.roles == there[lesson_id].roles


def leave_last_out(desk: Desk, lesson: Lesson) -> None:
    deeds.leave_out(desk, desk.book.shots(lesson.id)[-1].id, "slipped")


def change_role(desk: Desk, lesson: Lesson) -> None:
    deeds.set_role(desk, desk.book.blocks(lesson.id)[0].id, "with_change")


@pytest.mark.parametrize("deed", [hit, leave_last_out, change_role])
def test_a_change_is_read_anew(desk: Desk, deed: Callable[[Desk, Lesson], object]) -> None:
    first, second = a_lesson(desk), a_lesson(desk)
    hit(desk, first)
    is_of_the_book(desk, first, second)
    deed(desk, first)
    is_of_the_book(desk, first, second)


def test_what_did_not_change_is_not_read_again(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    first, second = a_lesson(desk), a_lesson(desk)
    past_balls(desk, [first.id, second.id])
    asked: list[int] = []
    read = desk.book.counted_of

    def counted_of(lesson_ids: list[int]) -> object:
        asked.extend(lesson_ids)
        return read(lesson_ids)

    monkeypatch.setattr(desk.book, "counted_of", counted_of)
    past_balls(desk, [first.id, second.id])
    assert asked == []
    hit(desk, second)
    past_balls(desk, [first.id, second.id])
    assert asked == [second.id]
