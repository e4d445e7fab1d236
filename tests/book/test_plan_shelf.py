"""Running plans in both kinds of book: one a lesson, kept over a restart, gone with the student."""

from collections.abc import Callable

import pytest

from leadfoot.book.store import SqlBook
from leadfoot.errors import NotInBookError
from tests.book.samples import AT, some_block


def test_one_plan_runs_and_a_restart_keeps_it(reopen: Callable[[], SqlBook]) -> None:
    book = reopen()
    lesson_id = some_block(book).lesson_id
    assert book.running_plan(lesson_id) is None
    seen = book.last_change()
    book.start_plan(lesson_id, plan_json="{}", from_place=0, by_itself=False, at=AT)
    plan = book.start_plan(lesson_id, plan_json="[1]", from_place=3, by_itself=True, at=AT)
    assert (plan.plan_json, plan.from_place, plan.by_itself, plan.started_at) == (
        "[1]", 3, True, AT,
    )  # fmt: skip
    assert set(book.changes_since(seen).values()) == {lesson_id}
    again = reopen()
    assert again.running_plan(lesson_id) == plan
    again.stop_plan(lesson_id, at=AT)
    assert again.running_plan(lesson_id) is None
    assert [one.plan_json for one in again.plans(lesson_id)] == ["{}", "[1]"]
    assert all(one.stopped_at == AT for one in again.plans(lesson_id))
    change = again.last_change()
    again.stop_plan(lesson_id, at=AT)
    assert again.last_change() == change
    with pytest.raises(NotInBookError):
        again.start_plan(99, plan_json="{}", from_place=0, by_itself=False, at=AT)
