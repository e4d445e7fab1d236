"""Plans for home, private links, sessions, planned tests, cautions and cue names in the book."""

from datetime import date, timedelta
from typing import get_args

import pytest

from leadfoot.book.sql_book import SqlBook
from leadfoot.desk.homework_records import TestKind
from leadfoot.errors import BookError, NotInBookError
from tests.book.samples import AT, some_block

LATER = AT + timedelta(days=30)


def test_a_plan_its_link_and_its_sessions(book: SqlBook) -> None:
    lesson = book.lesson(some_block(book).lesson_id)
    plan = book.add_homework(lesson.id, plan_json="{}", at=AT)
    assert book.homework_of(lesson.student_id) == (plan,) == (book.homework(plan.id),)
    link = book.add_link(plan.id, digest="0f" * 32, at=AT, expires_at=LATER)
    assert book.link_by_digest("0f" * 32) == link
    assert book.link_by_digest("ff" * 32) is None
    gone = book.withdraw_link(link.id, at=AT)
    assert gone.withdrawn_at == AT
    assert book.withdraw_link(link.id, at=LATER) == gone
    assert book.links(plan.id) == (gone,)
    log = book.add_homework_log(
        plan.id,
        session=2,
        done_on=date(2026, 3, 3),
        n_balls=50,
        n_counted=20,
        n_met=11,
        pain=True,
        notes="left knee",
        logged_by="student",
        at=AT,
    )
    assert book.homework_logs(plan.id) == (log,)
    assert set(book.changes_since(0, lesson.id).values()) == {lesson.id}


def test_the_digest_of_a_link_stands_once(book: SqlBook) -> None:
    plan = book.add_homework(some_block(book).lesson_id, plan_json="{}", at=AT)
    book.add_link(plan.id, digest="0f" * 32, at=AT, expires_at=LATER)
    with pytest.raises(BookError):
        book.add_link(plan.id, digest="0f" * 32, at=AT, expires_at=LATER)


def test_more_than_all_balls_cannot_meet_the_criterion(book: SqlBook) -> None:
    plan = book.add_homework(some_block(book).lesson_id, plan_json="{}", at=AT)
    with pytest.raises(BookError):
        book.add_homework_log(
            plan.id,
            session=1,
            done_on=date(2026, 3, 3),
            n_balls=9,
            n_counted=9,
            n_met=10,
            pain=False,
            notes="",
            logged_by="coach",
            at=AT,
        )
    assert book.homework_logs(plan.id) == ()


def test_tests_are_due_done_or_dropped(book: SqlBook) -> None:
    lesson_id = some_block(book).lesson_id
    days = [date(2026, 4, 1), date(2026, 3, 9)]
    later, sooner = (
        book.plan_test(
            lesson_id, kind=kind, due_from=day, due_to=day + timedelta(3), club=None, words="words"
        )
        for kind, day in zip(reversed(get_args(TestKind)), days, strict=True)
    )
    assert book.planned_tests() == (sooner, later) == book.planned_tests(lesson_id)
    assert book.tests_of(book.lesson(lesson_id).student_id) == (sooner, later)
    other = book.add_student(name="Other", hand="left", goals="", cautions="", invented=True, at=AT)
    assert book.tests_of(other.id) == ()
    with pytest.raises(NotInBookError):
        book.tests_of(99)
    done = book.settle_test(sooner.id, done_lesson_id=lesson_id, dropped=False)
    assert (done.done_lesson_id, done.dropped) == (lesson_id, False)
    assert book.settle_test(later.id, done_lesson_id=None, dropped=True).dropped
    assert book.settle_test(sooner.id, done_lesson_id=None, dropped=False) == sooner
    with pytest.raises(NotInBookError):
        book.settle_test(sooner.id, done_lesson_id=99, dropped=False)
    assert book.planned_test(sooner.id) == sooner


def test_a_caution_stands_once_a_lesson(book: SqlBook) -> None:
    lesson_id = some_block(book).lesson_id
    first = book.give_caution(lesson_id, key="warm_up", text="Warm up.", at=AT)
    assert book.give_caution(lesson_id, key="warm_up", text="Warm up.", at=LATER) == first
    other = book.give_caution(lesson_id, key="warm_up", text="Warm up longer.", at=LATER)
    assert book.cautions_given(lesson_id) == (first, other)


def test_a_merge_can_be_taken_back(book: SqlBook) -> None:
    book.merge_cue("press", "press the foot", at=AT)
    assert book.cue_names() == {"press": "press the foot"}
    book.merge_cue("press", "press", at=LATER)
    assert book.cue_names() == {}


def test_the_latest_of_an_own_drill_holds(book: SqlBook) -> None:
    book.save_own_drill("own_rope", '{"n":1}', at=AT)
    book.save_own_drill("own_stick", '{"n":2}', at=AT)
    book.save_own_drill("own_rope", '{"n":3}', at=LATER)
    assert book.own_drills() == {"own_rope": '{"n":3}', "own_stick": '{"n":2}'}
    book.save_own_drill("own_stick", None, at=LATER)
    assert book.own_drills() == {"own_rope": '{"n":3}'}
    assert set(book.changes_since(0).values()) == {0}


def test_what_is_not_there_is_said(book: SqlBook) -> None:
    for call in (book.homework, book.homework_of, book.links, book.homework_logs):
        with pytest.raises(NotInBookError):
            call(7)
    with pytest.raises(NotInBookError):
        book.planned_test(7)
    with pytest.raises(NotInBookError):
        book.withdraw_link(7, at=AT)
