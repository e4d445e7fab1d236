"""Lessons kept for many pages: judged once for each state of the book, and never stale."""

import pytest

from leadfoot.desk import lesson as deeds
from leadfoot.desk.desk import Desk
from leadfoot.errors import NotInBookError
from leadfoot.web.views import MOST_KEPT, Views
from tests.web.lessons import give_lesson


def test_many_pages_get_one_answer(desk: Desk) -> None:
    given = give_lesson(desk, n_before=5, n_with=5)
    views = Views(desk)
    assert views.of(given.lesson.id) is views.of(given.lesson.id)


def test_a_change_is_seen_at_once(desk: Desk) -> None:
    given = give_lesson(desk, n_before=5, n_with=5)
    views = Views(desk)
    change, view = views.of(given.lesson.id)
    deeds.leave_out(desk, view.shots[0].id, "a bird")
    later, after = views.of(given.lesson.id)
    assert later > change
    assert after.shots[0].left_out_reason == "a bird"
    desk.book.change_student(given.student.id, name="Other", hand="left", goals="", cautions="")
    assert views.of(given.lesson.id)[1].student.name == "Other"


def test_only_so_many_are_kept(desk: Desk) -> None:
    student = deeds.add_student(desk, name="Many", hand="right")
    ids = [deeds.add_lesson(desk, student.id).id for _ in range(MOST_KEPT + 3)]
    views = Views(desk)
    first = views.of(ids[0])[1]
    for lesson_id in ids[1:]:
        views.of(lesson_id)
    assert views.of(ids[-1])[1] is views.of(ids[-1])[1]
    assert views.of(ids[0])[1] is not first


def test_what_is_not_there_is_not_kept(desk: Desk) -> None:
    with pytest.raises(NotInBookError):
        Views(desk).of(77)


def test_a_ball_in_a_later_lesson_leaves_the_earlier_answers(desk: Desk) -> None:
    given = give_lesson(desk)
    views = Views(desk)
    _, first = views.of(given.lesson.id)
    later = deeds.add_lesson(desk, given.student.id, change="feet together", club="driver")
    block = deeds.block_for(desk, later.id, "before")
    deeds.type_shot(desk, block.id, "92 200 1R", ("club_speed", "carry", "offline"))
    change, kept = views.of(given.lesson.id)
    assert kept is first
    assert change == desk.book.last_change()
    _, new = views.of(later.id)
    deeds.leave_out(desk, first.shots[0].id, "the instrument misread it")
    assert views.of(given.lesson.id)[1] is not first
    assert views.of(later.id)[1] is not new
