"""Jumps on the desk: asked first, best and mean of three, a change only beyond its error."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from leadfoot.desk import jumps
from leadfoot.desk.desk import Desk
from leadfoot.desk.lesson import add_student
from leadfoot.errors import InputError, OutOfRangeError
from leadfoot.ground.screening import QUESTIONS
from tests.desk.conftest import NOON
from tests.desk.fake_book import FakeBook
from tests.desk.plates import jump_file

TODAY = NOON.date()
NO = {question.key: False for question in QUESTIONS}


@pytest.fixture(params=["in memory", "in a file"])
def either(request: pytest.FixtureRequest, desk: Desk) -> Desk:
    return replace(desk, book=FakeBook()) if request.param == "in memory" else desk


@pytest.fixture
def student_id(either: Desk) -> int:
    return add_student(either, name="Ada Nowhere", hand="right").id


def on(desk: Desk, days: int) -> Desk:
    return replace(desk, clock=lambda: NOON + timedelta(days=days))


def test_nothing_is_taken_before_the_questions(either: Desk, student_id: int) -> None:
    assert not jumps.jump_view(either, student_id).permit.allowed
    with pytest.raises(InputError, match="Nobody asked today's questions yet"):
        jumps.add_measured(either, student_id, name="a.csv", data=jump_file())
    with pytest.raises(InputError, match="Nobody asked"):
        jumps.add_typed(either, student_id, "flight time", flight_s=0.5)


def test_a_yes_blocks_until_a_clinician_clears_it(either: Desk, student_id: int) -> None:
    found = jumps.ask(either, student_id, {**NO, "back_pain_last_year": True}, junior=False)
    assert not found.allowed
    with pytest.raises(InputError, match="No maximal effort until a clinician's clearance"):
        jumps.add_typed(either, student_id, "flight time", flight_s=0.5)
    with pytest.raises(InputError, match="names no clinician"):
        _clear(either, student_id, clinician=" ")
    with pytest.raises(InputError, match="covers no question"):
        _clear(either, student_id, covers=())
    with pytest.raises(InputError, match="begins after today"):
        _clear(either, student_id, on_day=NOON.date() + timedelta(days=1))
    _clear(either, student_id, limits="ten jumps")
    view = jumps.jump_view(either, student_id)
    assert view.permit.allowed
    assert view.permit.limits == ("ten jumps",)
    jumps.add_typed(either, student_id, "flight time", flight_s=0.5)
    jumps.ask(either, student_id, {**NO, "pain_now": True}, junior=False)
    assert not jumps.jump_view(either, student_id).permit.allowed


def test_the_answers_of_yesterday_do_not_hold(either: Desk, student_id: int) -> None:
    jumps.ask(either, student_id, NO, junior=False)
    assert jumps.jump_view(either, student_id).permit.allowed
    assert not jumps.jump_view(on(either, 1), student_id).permit.allowed


def test_a_jump_from_a_file_is_kept_with_its_method(either: Desk, student_id: int) -> None:
    jumps.ask(either, student_id, NO, junior=False)
    data = jump_file()
    kept = jumps.add_measured(either, student_id, name="a.csv", data=data)
    assert (kept.kind, kept.done_on) == ("impulse", NOON.date())
    assert kept.jump_file_id is not None
    assert either.book.jump_file(kept.jump_file_id)[1] == data
    assert '"threshold_n": 20.0' in kept.values_json
    assert kept.height_m == pytest.approx(jumps.measured(data).height_m)
    with pytest.raises(InputError, match="is here already"):
        jumps.add_measured(either, student_id, name="again.csv", data=data)


def test_what_holds_no_jump_says_so(either: Desk, student_id: int) -> None:
    jumps.ask(either, student_id, NO, junior=False)
    with pytest.raises(InputError):
        jumps.add_measured(either, student_id, name="a.csv", data=b"Fz\n1\n2\n")
    with pytest.raises(OutOfRangeError):
        jumps.add_typed(either, student_id, "flight time", flight_s=5.0)
    assert either.book.jumps(student_id) == ()


def test_best_mean_change_and_trend(either: Desk, student_id: int) -> None:
    for month, size in enumerate((1.0, 1.02, 1.25)):
        there = on(either, 31 * month)
        jumps.ask(there, student_id, NO, junior=False)
        for step in (0.0, 0.01, 0.02):
            jumps.add_typed(
                there, student_id, "reach", standing_m=2.2, jumping_m=2.2 + 0.4 * size + step
            )
    (kind,) = jumps.jump_view(on(either, 62), student_id).kinds
    first, second, third = kind.days
    assert first.summed is not None
    assert (round(first.summed.best_m, 3), round(first.summed.mean_m, 3)) == (0.42, 0.41)
    assert first.change is None
    assert second.change is not None
    assert not second.change.real
    assert third.change is not None
    assert third.change.real
    assert kind.trend is not None
    assert kind.trend.enough
    assert "% a month" in kind.trend_said


def test_kinds_are_never_mixed_and_a_jump_can_be_left_out(either: Desk, student_id: int) -> None:
    jumps.ask(either, student_id, NO, junior=False)
    one = jumps.add_typed(either, student_id, "flight time", flight_s=0.5, mass_kg=80.0)
    jumps.add_typed(either, student_id, "reach", standing_m=2.2, jumping_m=2.6)
    view = jumps.jump_view(either, student_id)
    assert [kind.kind for kind in view.kinds] == ["flight time", "reach"]
    assert '"estimate"' in one.values_json
    jumps.leave_out_jump(either, one.id, "a stumble")
    (day,) = jumps.jump_view(either, student_id).kinds[0].days
    assert day.summed is None
    with pytest.raises(InputError, match="without a reason"):
        jumps.leave_out_jump(either, one.id, "")


def test_falling_heights_say_stop(either: Desk, student_id: int) -> None:
    jumps.ask(either, student_id, NO, junior=False)
    for flight_s in (0.55, 0.5, 0.5, 0.5):
        jumps.add_typed(either, student_id, "flight time", flight_s=flight_s)
    assert jumps.jump_view(either, student_id).stop


def _clear(
    desk: Desk,
    student_id: int,
    *,
    clinician: str = "Dr Nobody, licence 1",
    on_day: date = TODAY,
    covers: tuple[str, ...] = ("back_pain_last_year",),
    limits: str = "",
) -> None:
    jumps.record_clearance(
        desk,
        student_id,
        clinician=clinician,
        on_day=on_day,
        until_day=None,
        covers=covers,
        limits=limits,
    )
