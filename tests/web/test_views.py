"""Lessons kept for many pages: judged once for each state of the book, and never stale."""

import pytest

from leadfoot.desk import lesson as deeds
from leadfoot.desk.desk import Desk
from leadfoot.desk.lesson import LessonView
from leadfoot.errors import NotInBookError
from leadfoot.web.packed import PackedPage
from leadfoot.web.views import MOST_KEPT, MOST_SHEETS, Views
from tests.web.lessons import give_lesson


def test_many_pages_get_one_answer(desk: Desk) -> None:
    given = give_lesson(desk, n_before=5, n_with=5)
    views = Views(desk)
    assert views.of(given.lesson.id)[1] is views.of(given.lesson.id)[1]


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


def test_a_page_is_rendered_once_for_all_who_ask_in_the_same_way(desk: Desk) -> None:
    given = give_lesson(desk, n_before=5, n_with=5)
    views = Views(desk)
    asked: list[int] = []

    def render(change: int, _: LessonView) -> PackedPage:
        asked.append(change)
        return PackedPage(b"a page " * 100, b"key")

    def shown(how: str) -> PackedPage:
        with views.turn(given.lesson.id) as turn:
            return turn.shown(how, render)

    first = shown("laptop")
    assert shown("laptop") is first
    shown("tablet")
    assert len(asked) == 2
    give_lesson(desk, name="Other", n_before=1, n_with=1)  # a new student concerns every page
    shown("laptop")
    assert len(asked) == 3
    for n in range(2 * MOST_SHEETS):
        shown(str(n))
    shown("laptop")
    assert len(asked) == 4 + 2 * MOST_SHEETS


def test_all_pages_of_a_turn_show_one_state_and_the_next_turn_the_newer(desk: Desk) -> None:
    given = give_lesson(desk, n_before=5, n_with=5)
    views = Views(desk)

    def render(change: int, view: LessonView) -> PackedPage:
        deeds.leave_out(desk, next(iter(view.shots)).id, "a bird")
        return PackedPage(str(change).encode(), b"key")

    def texts() -> tuple[bytes, bytes]:
        with views.turn(given.lesson.id) as turn:
            return tuple(turn.shown(how, render).plain(b"") for how in ("a", "b"))  # type: ignore[return-value]

    first, second = texts()
    assert first == second
    assert texts()[0] != first


def test_an_answer_is_judged_once_and_kept(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    given = give_lesson(desk, n_before=5, n_with=5)
    views, judged = Views(desk), []
    whole = deeds.lesson_view

    def counted(desk: Desk, lesson_id: int) -> LessonView:
        judged.append(lesson_id)
        return whole(desk, lesson_id)

    monkeypatch.setattr("leadfoot.web.views.lesson_view", counted)
    block = deeds.block_for(desk, given.lesson.id, "with_change")
    deeds.type_shot(desk, block.id, "92 200 1R", ("club_speed", "carry", "offline"))
    views.keep_answer(given.lesson.id)
    n_kept = len(desk.book.judgements(given.lesson.id))
    change, view = views.of(given.lesson.id)
    assert len(judged) == 1
    assert change == desk.book.last_change()
    views.keep_answer(given.lesson.id)  # the same answer is not kept twice
    assert len(desk.book.judgements(given.lesson.id)) == n_kept
    # What somebody else did in between is not taken for our own.
    kept = deeds.keep_answer

    def with_another(desk: Desk, view: LessonView) -> bool:
        deeds.leave_out(desk, view.shots[1].id, "a bird")
        return kept(desk, view)

    monkeypatch.setattr("leadfoot.web.views.keep_answer", with_another)
    deeds.leave_out(desk, view.shots[0].id, "a bird")
    views.keep_answer(given.lesson.id)
    assert views.of(given.lesson.id)[1].shots[1].left_out_reason == "a bird"
