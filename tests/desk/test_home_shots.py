"""Shots from practice: taken ball by ball, told beside the lesson, used by nothing that judges."""

import json
from contextlib import suppress
from datetime import date

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from leadfoot.coaching.homework import Week
from leadfoot.desk.care import care_for
from leadfoot.desk.club_yardage import yardages
from leadfoot.desk.desk import Desk
from leadfoot.desk.follow_up import begin_test, plan_tests
from leadfoot.desk.history import past_lessons
from leadfoot.desk.home_practice import homework_json, practice_of, practice_sentence
from leadfoot.desk.home_shots import (
    MOST_A_DAY,
    MOST_SHOTS,
    GivenTable,
    balls_hit,
    give_table,
    leave_table_out,
    problems_in,
    read_anew,
    shots_in,
    take_table_back,
)
from leadfoot.desk.homework import give_homework, homework_view, log_session
from leadfoot.desk.homework_records import HomeTable, HomeworkLog
from leadfoot.desk.importing import confirm, receive
from leadfoot.desk.lasting import lasted
from leadfoot.desk.lesson import add_student, lesson_view
from leadfoot.desk.season import season
from leadfoot.desk.speed_straightness import speed_lines
from leadfoot.desk.works import what_works_for_whom
from leadfoot.errors import InputError
from leadfoot.shots.columns import ColumnMapping, ColumnRule
from tests.desk.conftest import NOON, printer
from tests.desk.fake_book import FakeBook
from tests.desk.weeks import days_later, hit, lesson_with

WEEK = Week(days=(0, 2, 5), minutes=45, balls=40, place="range")


def table(*rows: str, header: str = "Club Speed [mph],Carry [yd]") -> bytes:
    return "\n".join([header, *rows]).encode()


def balls(n: int, *, mph: float = 60.0, start: int = 0) -> list[str]:
    return [f"{mph + 0.25 * (k % 7) + 0.01 * k:.2f},{2 * mph + k % 9}" for k in range(start, n)]


@pytest.fixture
def student_id(desk: Desk) -> int:
    return add_student(desk, name="Ada Nowhere", hand="right").id


@pytest.fixture
def plan_id(desk: Desk, student_id: int) -> int:
    lesson = lesson_with(desk, student_id, change="press", gain_mph=4.0, seed=1)
    return give_homework(desk, lesson.id, WEEK, cue="press", criterion="between the posts").id


def given_table(
    desk: Desk, plan_id: int, data: bytes, *, name: str = "range.csv", session: int | None = 1
) -> GivenTable:
    return give_table(
        desk,
        plan_id,
        name=name,
        data=data,
        session=session,
        place="range",
        given_by="student",
    )


def test_good_rows_are_kept_and_bad_ones_told_with_place_and_reason(
    desk: Desk, plan_id: int
) -> None:
    data = table("90.1,201", "ninety,204", "91.5,", ",,", "92.0,198")
    found = given_table(desk, plan_id, data).table
    assert [(one.row, sorted(one.values)) for one in shots_in(found)] == [
        (2, ["carry", "club_speed"]),
        (3, ["carry"]),
        (4, ["club_speed"]),
        (6, ["carry", "club_speed"]),
    ]
    assert shots_in(found)[0].values["carry"].value == 201.0
    assert [(one.row, one.column, one.text) for one in problems_in(found) if one.row == 3] == [
        (3, "Club Speed [mph]", "ninety")
    ]
    assert all(one.reason for one in problems_in(found))
    assert desk.book.home_table(found.id)[1] == data
    assert (found.n_shots, found.session, found.place, found.given_by) == (4, 1, "range", "student")


def test_the_same_file_twice_is_said_and_not_counted_twice(desk: Desk, plan_id: int) -> None:
    first = given_table(desk, plan_id, table(*balls(12)))
    again = given_table(desk, plan_id, table(*balls(12)), name="copy.csv", session=2)
    assert (first.is_new, again.is_new) == (True, False)
    assert again.table == first.table
    # Saved anew by a spreadsheet: other bytes, the same balls.
    saved = given_table(desk, plan_id, table(*balls(12)) + b"\r\n", session=3)
    assert (saved.is_new, saved.table) == (False, first.table)
    assert len(homework_view(desk, plan_id).tables) == 1


def test_a_file_that_goes_on_growing_gives_only_its_new_balls(desk: Desk, plan_id: int) -> None:
    for n, fresh in ((12, 12), (20, 8), (31, 11)):
        found = given_table(desk, plan_id, table(*balls(n)), session=None)
        assert found.table.n_shots == fresh
    told = problems_in(found.table)[0]
    assert told.text == "the first 20 balls"
    assert told.reason == (
        "They were given before, last in 'range.csv' of 4 May 2026, and are not counted twice."
    )
    assert sum(n for _, n in homework_view(desk, plan_id).hits) == 31


def test_two_balls_alike_may_be_chance(desk: Desk, plan_id: int) -> None:
    given_table(desk, plan_id, table("90,200", "91,201"))
    assert given_table(desk, plan_id, table("90,200", "91,201", "92,202")).table.n_shots == 3


def test_columns_that_the_coach_confirmed_are_understood_so_at_home(
    desk: Desk, plan_id: int
) -> None:
    data = table("180,90", "182,91", "184,92", header="Length,Club Speed [mph]")
    first = given_table(desk, plan_id, data).table
    assert shots_in(first)[0].values["carry"].unit == "yd"
    # In a lesson the coach says that "Length" is in metres.
    lesson_id = homework_view(desk, plan_id).lesson.id
    raw_file = receive(desk, lesson_id, name="studio.csv", data=data)
    rules = (
        ColumnRule(header="Length", role="quantity", quantity="carry", unit="m"),
        ColumnRule(header="Club Speed [mph]", role="quantity", quantity="club_speed", unit="mph"),
    )
    confirm(desk, raw_file.id, mapping_json=ColumnMapping(columns=rules).to_json(), roles={})
    again = read_anew(desk, first.id)
    assert [one.values["carry"].unit for one in shots_in(again)] == ["m", "m", "m"]
    assert desk.book.home_table(first.id)[0] == again


@pytest.mark.parametrize(
    ("data", "expected"),
    [
        (b"", "is empty"),
        (b"\x89PNG\r\n\x1a\n" + bytes(range(256)), ""),
        (table(), "No shots were found in 'range.csv'"),
        (table(*balls(MOST_SHOTS + 1)), "one session has at most 1000"),
    ],
)
def test_what_is_no_table_of_a_session_is_refused_and_not_kept(
    desk: Desk, plan_id: int, data: bytes, expected: str
) -> None:
    with pytest.raises(InputError) as caught:
        given_table(desk, plan_id, data)
    assert expected in str(caught.value)
    assert caught.value.fix
    assert desk.book.home_tables(plan_id) == ()


def test_a_session_or_day_that_cannot_be_is_refused(desk: Desk, plan_id: int) -> None:
    with pytest.raises(InputError, match="The plan has no session 99"):
        given_table(desk, plan_id, table(*balls(5)), session=99)
    for day in (date(2026, 5, 3), date(2026, 5, 5)):
        with pytest.raises(InputError) as caught:
            give_table(
                desk,
                plan_id,
                name="range.csv",
                data=table(*balls(5)),
                session=1,
                place="range",
                given_by="coach",
                done_on=day,
            )
        assert str(caught.value) == (
            f"{day.day} May 2026 is no day of this homework. "
            "Choose a day from 4 May 2026 to 4 May 2026."
        )


def test_nobody_fills_the_book_through_a_link(desk: Desk, plan_id: int) -> None:
    for n in range(MOST_A_DAY):
        given_table(desk, plan_id, table(*balls(5, mph=50.0 + n)), session=None)
    with pytest.raises(InputError, match="20 tables were given for this plan today"):
        given_table(desk, plan_id, table(*balls(5, mph=90.0)), session=None)
    for day in range(1, 5):
        for n in range(MOST_A_DAY):
            given_table(
                days_later(desk, day),
                plan_id,
                table(*balls(5, mph=50.0 + n + day / 8)),
                session=None,
            )
    with pytest.raises(InputError, match="This plan holds 100 tables already"):
        given_table(days_later(desk, 6), plan_id, table(*balls(5, mph=90.0)), session=None)


def test_a_session_is_done_by_its_shots_and_its_balls_count_once(
    desk: Desk, plan_id: int, student_id: int
) -> None:
    given_table(desk, plan_id, table(*balls(30)), session=2)
    view = homework_view(desk, plan_id)
    assert (view.done, sorted(view.done_sessions), view.shots_of(2)) == (1, [2], 30)
    assert care_for(desk, student_id).balls_by_week[-1] == 28 + 30
    for session, n_balls, expected in ((2, 44, 44), (2, 10, 30), (1, 10, 40)):
        log_session(
            desk,
            plan_id,
            session=session,
            n_balls=n_balls,
            n_counted=0,
            n_met=0,
            pain=False,
            notes="",
            logged_by="student",
        )
        assert care_for(desk, student_id).balls_by_week[-1] == 28 + expected
    leave_table_out(desk, 1, "somebody else's")
    assert care_for(desk, student_id).balls_by_week[-1] == 28 + 20
    assert homework_view(desk, plan_id).done_sessions == {1, 2}


def test_a_table_is_left_out_with_a_reason_and_taken_back(desk: Desk, plan_id: int) -> None:
    kept = given_table(desk, plan_id, table(*balls(9))).table
    with pytest.raises(InputError, match="without a reason"):
        leave_table_out(desk, kept.id, " ")
    assert leave_table_out(desk, kept.id, " not mine ").left_out_reason == "not mine"
    view = homework_view(desk, plan_id)
    assert (view.done, practice_of(desk, view), view.hits) == (0, (), ())
    assert take_table_back(desk, kept.id) == kept
    assert len(practice_of(desk, homework_view(desk, plan_id))) == 1


def test_practice_stands_beside_the_lesson(desk: Desk, plan_id: int) -> None:
    header = "Club,Club Speed [mph],Carry [yd],Spin Rate [rpm]"
    solid = [f"Driver,{93 + 0.3 * (k % 5):.1f},{222 + k % 6},2{600 + k}" for k in range(12)]
    rows = [*solid, "Driver,92.8,95,2700", "7 iron,80.1,150,6400", "7 iron,80.9,,6500"]
    given_table(desk, plan_id, table(*rows, header=header))
    driver, iron = practice_of(desk, homework_view(desk, plan_id))
    assert practice_sentence(driver) == (
        "13 balls with the driver at the range, 1 of them clearly mishit."
    )
    assert (iron.club, iron.n_balls, iron.n_mishits) == ("7 iron", 2, 0)
    carry, speed, spin = driver.quantities
    assert (carry.quantity, carry.unit, carry.n) == ("carry", "yd", 13)
    # The topped ball hardly moves the level; the middle eight in ten hold it away too.
    assert 222.0 < carry.level < 227.0
    assert carry.level_low is not None
    assert carry.level_high is not None
    assert carry.level_low < carry.level < carry.level_high
    assert 150.0 < carry.low < carry.high < 228.0
    assert carry.lesson_before is not None
    assert carry.lesson_with is not None
    assert carry.lesson_before == pytest.approx(2.4 * 92.0, abs=6.0)
    assert speed.lesson_with == pytest.approx(96.0, abs=1.5)
    assert (spin.quantity, spin.lesson_before, spin.lesson_with) == ("spin_rate", None, None)
    assert [one.lesson_before for one in iron.quantities] == [None] * 3
    assert iron.quantities[0].n == 1


def test_practice_enters_nothing_that_judges(desk: Desk, plan_id: int, student_id: int) -> None:
    """Absurd practice (a third slower, eight mishits) moves no answer by a bit."""
    first = desk.book.lessons(student_id)[0]
    (test, *_) = plan_tests(desk, first.id)
    later = days_later(desk, 10)
    begun = begin_test(later, test.id)
    hit(later, later.book.blocks(begun.id)[0].id, 95.0, 12, np.random.default_rng(5))

    def everything() -> list[str]:
        lessons = desk.book.lessons(student_id)
        views = [lesson_view(later, one.id) for one in lessons]
        shown = season(later, student_id, quantity="carry")
        assert shown is not None
        return [
            *(repr(view.answer and view.answer.as_json()) for view in views),
            *(repr(dict(past_lessons(later, one))) for one in lessons),
            *(repr(lasted(later, one.id)) for one in lessons),
            repr(what_works_for_whom(later)),
            repr(yardages(later, student_id)),
            repr(speed_lines(later, student_id)),
            repr([one for one in shown.points if one.kind != "practice"]),
        ]

    before = everything()
    rows = [*balls(40, mph=60.0), *(f"61,{n}" for n in range(8))]
    give_table(
        later,
        plan_id,
        name="range.csv",
        data=table(*rows),
        session=1,
        place="range",
        given_by="student",
    )
    assert everything() == before


def test_the_season_tells_practice_apart(desk: Desk, plan_id: int, student_id: int) -> None:
    assert season(desk, student_id) is None
    later = days_later(desk, 3)
    give_table(
        later,
        plan_id,
        name="range.csv",
        data=table(*balls(25, mph=90.0)),
        session=1,
        place="Hill Farm",
        given_by="student",
    )
    found = season(later, student_id, quantity="club_speed", decisions={1: "keep"})
    assert found is not None
    assert [(one.kind, one.n_balls, one.place) for one in found.points] == [
        ("before", 14, ""),
        ("with_change", 14, ""),
        ("practice", 25, "Hill Farm"),
    ]
    practice = found.points[-1]
    assert practice.decision == ""
    assert practice.day == date(2026, 5, 7)
    assert practice.low < practice.level < practice.high
    leave_table_out(later, 1, "wrong")
    assert season(later, student_id) is None


def test_the_published_form_holds_every_ball(desk: Desk, plan_id: int) -> None:
    given_table(desk, plan_id, table("90.1,201", "ninety,204"))
    form = homework_json(desk, homework_view(desk, plan_id))
    assert form["schema"] == "leadfoot.homework_done/1"
    assert form["sessions_done"] == [1]
    (kept,) = form["tables"]
    assert kept["shots"][1]["values"] == {"carry": {"value": 204.0, "unit": "yd"}}
    assert kept["problems"][0]["row"] == 3
    assert form["practice"][0]["n_balls"] == 2
    assert "not a test" in form["practice_is"]
    json.dumps(form, allow_nan=False)


@given(
    logs=st.lists(
        st.tuples(st.integers(1, 4), st.integers(0, 60)), max_size=4, unique_by=lambda t: t[0]
    ),
    tables=st.lists(
        st.tuples(st.one_of(st.none(), st.integers(1, 4)), st.integers(0, 60), st.booleans()),
        max_size=6,
    ),
)
def test_no_ball_is_counted_twice_and_none_is_lost(
    logs: list[tuple[int, int]], tables: list[tuple[int | None, int, bool]]
) -> None:
    written = [a_log(session, n) for session, n in logs]
    kept = [a_table(session, n, out=out) for session, n, out in tables]
    total = sum(n for _, n in balls_hit(written, kept))
    by_log = sum(n for _, n in logs)
    by_table = sum(n for _, n, out in tables if not out)
    assert max(by_log, by_table) <= total <= by_log + by_table


def a_log(session: int, n_balls: int) -> HomeworkLog:
    return HomeworkLog(
        id=1,
        homework_id=1,
        session=session,
        done_on=date(2026, 3, 3),
        n_balls=n_balls,
        n_counted=0,
        n_met=0,
        pain=False,
        notes="",
        logged_by="student",
        logged_at=NOON,
    )


def a_table(session: int | None, n_shots: int, *, out: bool) -> HomeTable:
    return HomeTable(
        id=1,
        homework_id=1,
        session=session,
        done_on=date(2026, 3, 3),
        place="range",
        name="",
        digest="",
        size_bytes=0,
        shots_json="[]",
        n_shots=n_shots,
        problems_json="[]",
        left_out_reason="why" if out else None,
        given_by="student",
        given_at=NOON,
    )


@settings(max_examples=40, deadline=None)
@given(
    rows=st.lists(
        st.tuples(
            st.one_of(st.floats(), st.sampled_from(["", "x", "1e308", "-0", "0"])),
            st.one_of(st.floats(allow_nan=False), st.integers()),
        ),
        min_size=1,
        max_size=9,
    )
)
def test_any_numbers_are_told_or_refused(rows: list[tuple[object, object]]) -> None:
    desk = Desk(book=FakeBook(), clock=lambda: NOON, printer=printer, version="1.2.3")
    student = add_student(desk, name="Ada", hand="right")
    lesson = lesson_with(desk, student.id, change="press", gain_mph=4.0, seed=1)
    plan = give_homework(desk, lesson.id, WEEK, cue="press", criterion="x")
    with suppress(InputError):
        given_table(desk, plan.id, table(*(f"{one},{two}" for one, two in rows)))
    form = homework_json(desk, homework_view(desk, plan.id))
    assert json.dumps(form, allow_nan=False)
    season(desk, student.id)
