"""Plans for home: what holds for every week a student may have."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from leadfoot.coaching.homework import (
    MOST_BALLS,
    SECONDS_A_BALL,
    HomePlan,
    Week,
    load_jump,
    next_difficulty,
    plan_homework,
    spread_days,
)
from leadfoot.coaching.homework_rules import RULES
from leadfoot.errors import OutOfRangeError

WEEKS = st.builds(
    Week,
    days=st.sets(st.integers(0, 6), min_size=1).map(lambda days: tuple(sorted(days))),
    minutes=st.integers(10, 180),
    balls=st.integers(8, 200),
    place=st.sampled_from(["range", "net", "no_club"]),
    usual_balls=st.one_of(st.none(), st.integers(0, 500)),
)


def plan(week: Week, n_weeks: int = 3) -> HomePlan:
    return plan_homework(
        week, cue="press the block", criterion="between the posts", n_weeks=n_weeks
    )


@given(WEEKS, st.integers(1, 8))
def test_no_session_holds_more_than_the_week_does(week: Week, n_weeks: int) -> None:
    for session in plan(week, n_weeks).sessions:
        assert session.n_balls <= min(week.balls, MOST_BALLS)
        assert session.n_balls * SECONDS_A_BALL <= week.minutes * 60
        assert session.day in week.days
        assert all(block.n > 0 for block in session.blocks)


@given(WEEKS)
def test_a_test_never_has_the_cue_or_numbers_and_ends_the_session(week: Week) -> None:
    for session in plan(week).sessions:
        tests = [block for block in session.blocks if block.kind == "test"]
        assert len(tests) == (0 if week.place == "no_club" else 1)
        assert not any(block.with_cue or block.with_numbers for block in tests)
        if tests:
            assert session.blocks[-1] is tests[0]
        assert any(block.with_cue for block in session.blocks)
        assert not session.blocks[0].with_cue


@given(WEEKS)
def test_mixing_begins_in_the_second_week(week: Week) -> None:
    for session in plan(week).sessions:
        if session.week == 1:
            assert all(block.kind != "mixed" for block in session.blocks)


@given(WEEKS)
def test_sessions_are_numbered_and_at_most_four_a_week(week: Week) -> None:
    found = plan(week)
    assert [one.number for one in found.sessions] == list(range(1, len(found.sessions) + 1))
    for place in range(found.n_weeks):
        days = [one.day for one in found.sessions if one.week == place + 1]
        assert len(days) == len(set(days)) <= 4


@given(WEEKS)
def test_without_a_ball_no_ball_is_counted(week: Week) -> None:
    found = plan(week)
    assert (sum(found.balls_by_week()) == 0) == (week.place == "no_club") == (not found.counts)
    assert ("difficulty" in {rule.key for rule in found.rules}) == found.counts


def test_the_days_lie_as_far_apart_as_they_can() -> None:
    assert spread_days([0, 1, 2, 3, 4]) == (0, 2, 3, 4)
    assert spread_days([0, 3, 5]) == (0, 3, 5)
    assert spread_days([2, 2]) == (2,)


def test_equal_blocks_are_told_once() -> None:
    (first, *_) = plan(Week(days=(0,), minutes=60, balls=60, place="range")).sessions
    assert [(times, block.n) for times, block in first.runs()] == [(1, 10), (4, 5), (1, 10)]


def test_every_rule_has_a_label_and_a_source() -> None:
    assert {rule.label for rule in RULES.values()} == {"inference", "rule of thumb", "house rule"}
    assert all(rule.source and rule.text for rule in RULES.values())
    assert set(plan(Week(days=(0,), minutes=30, balls=30, place="net")).rules) == set(
        RULES.values()
    )


def test_a_jump_of_the_load_is_warned_of_in_the_plan() -> None:
    days = (0, 2, 4, 6)
    calm = plan(Week(days=days, minutes=60, balls=50, place="range", usual_balls=200))
    jump = plan(Week(days=days, minutes=60, balls=50, place="range", usual_balls=60))
    assert not any("build up" in str(note) for note in calm.notes)
    assert any("200 balls a week" in note and "house rule" in note for note in map(str, jump.notes))


@pytest.mark.parametrize(
    ("by_week", "warned"),
    [
        ([100], False),
        ([100, 150], False),
        ([100, 151], True),
        ([0, 59], False),
        ([0, 61], True),
        ([400, 100, 100, 100, 100, 151], True),
    ],
)
def test_a_jump_of_what_was_hit_is_warned_of(by_week: list[int], warned: bool) -> None:
    assert (load_jump(by_week) is not None) == warned


@given(st.integers(0, 60), st.integers(0, 60))
def test_more_met_is_never_answered_with_something_easier(met: int, more: int) -> None:
    order = ("ease", "stay", "harden")
    n = 60
    low, high = sorted((met, more))
    assert order.index(next_difficulty(low, n)) <= order.index(next_difficulty(high, n))


def test_a_few_balls_say_nothing() -> None:
    assert next_difficulty(9, 9) == "count_more"


@pytest.mark.parametrize(
    ("week", "says"),
    [
        (
            Week(days=(), minutes=30, balls=40, place="range"),
            "The days [] are no days of a week. "
            "Name one day or more, 0 for Monday to 6 for Sunday.",
        ),
        (
            Week(days=(1,), minutes=5, balls=40, place="range"),
            "5 minutes a session can't be planned. Give 10 to 180 minutes.",
        ),
        (
            Week(days=(1,), minutes=30, balls=4, place="net"),
            "4 balls in 30 minutes are too few for a session. "
            "Give 8 balls or more, or choose a place without a ball.",
        ),
        (
            Week(days=(1,), minutes=30, balls=999, place="net"),
            "999 balls a session can't be planned. Give 0 to 200 balls.",
        ),
    ],
)
def test_a_week_that_cannot_be_says_so(week: Week, says: str) -> None:
    with pytest.raises(OutOfRangeError) as caught:
        plan(week)
    assert str(caught.value) == says


def test_the_published_form_is_plain_json() -> None:
    found = plan(Week(days=(0, 3), minutes=40, balls=40, place="range")).as_json()
    assert found["schema"] == "leadfoot.homework/1"
    assert json.loads(json.dumps(found)) == json.loads(json.dumps(found))
    assert found["sessions"][0]["blocks"][-1]["kind"] == "test"
