import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from leadfoot.errors import OutOfRangeError
from leadfoot.evidence.judgement import UsualSpread
from leadfoot.evidence.plan import LessonPlan, balls_of, plan_lesson
from leadfoot.evidence.plan_walks import DEFAULT_STRAYING, ball_information, walks
from leadfoot.evidence.settings import JudgeSettings

SPEED = UsualSpread(sd=0.54, n_shots=60)
TEN_AND_TEN = np.arange(20) >= 10


def orders(plan: LessonPlan) -> dict[str, float]:
    return {order.pattern: order.chance for order in (plan.advised, *plan.others)}


@given(n_balls=st.integers(10, 60), seed=st.integers(0, 1000))
def test_every_order_uses_the_balls_there_are(n_balls: int, seed: int) -> None:
    plan = plan_lesson(0.9, SPEED, n_balls=n_balls, seed=seed)
    for order in (plan.advised, *plan.others):
        assert order.balls == n_balls or (order.pattern == "drawn" and n_balls - order.balls < 10)
        balls = balls_of(order.blocks)
        assert min(sum(balls), len(balls) - sum(balls)) >= 5
        kinds = [block.with_change for block in order.blocks]
        assert all(a != b for a, b in pairwise(kinds))
        assert 0 <= order.chance <= 1
        assert order.expected_balls <= order.balls
        assert order.likely_balls is None or order.likely_balls <= order.balls
    fixed = [order.blocks for order in (plan.advised, *plan.others) if order.seed is None]
    assert len(set(fixed)) == len(fixed)


@given(small=st.floats(0.05, 3.0), factor=st.floats(1.0, 3.0))
def test_a_larger_change_is_shown_more_often_and_sooner(small: float, factor: float) -> None:
    found = walks(TEN_AND_TEN, 0.23)
    assert found.chance(small) <= found.chance(small * factor)
    assert (found.balls(small) >= found.balls(small * factor)).all()


def test_the_smallest_change_likely_shown_is_shown_with_that_chance() -> None:
    found = walks(TEN_AND_TEN, 0.23)
    for chance in (0.3, 0.5, 0.8):
        assert found.chance(found.smallest(chance)) == pytest.approx(chance, abs=0.003)


def test_a_plan_knows_no_units() -> None:
    inches = plan_lesson(0.9 / 0.0254, UsualSpread(sd=0.54 / 0.0254, n_shots=60))
    metres = plan_lesson(0.9, SPEED)
    assert orders(inches) == pytest.approx(orders(metres))
    assert inches.advised.smallest_likely_si * 0.0254 == pytest.approx(
        metres.advised.smallest_likely_si
    )


def test_nothing_is_shown_where_nothing_is_expected_more_often_than_promised() -> None:
    plan = plan_lesson(1e-9, SPEED, n_balls=40)
    assert max(orders(plan).values()) < 0.05


def test_going_back_tells_more_than_going_on_and_many_changes_the_most() -> None:
    chance = orders(plan_lesson(0.7, SPEED, n_balls=40))
    assert chance["once"] < chance["and_back"] < chance["fives"]


def test_fewer_changes_of_block_are_advised_where_they_do_as_well() -> None:
    plan = plan_lesson(0.9, SPEED, n_balls=40)
    assert plan.advised.pattern == "and_back"
    assert plan.advised.chance > max(order.chance for order in plan.others) - 0.03


def test_a_new_student_needs_a_larger_change() -> None:
    new = plan_lesson(0.9, replace(SPEED, n_shots=0))
    known = plan_lesson(0.9, SPEED)
    assert new.advised.smallest_likely_si > known.advised.smallest_likely_si


def test_stricter_odds_show_less() -> None:
    strict = JudgeSettings(alone=0.99)
    assert (
        plan_lesson(0.9, SPEED, settings=strict).advised.chance
        < plan_lesson(0.9, SPEED).advised.chance
    )


def test_memory_from_ball_to_ball_fools_more_often() -> None:
    forgetful = walks(TEN_AND_TEN, 0.23, straying=replace(DEFAULT_STRAYING, memory=0))
    mindful = walks(TEN_AND_TEN, 0.23, straying=replace(DEFAULT_STRAYING, memory=0.5))
    assert forgetful.chance(0.0) < mindful.chance(0.0)


def test_too_few_balls_on_one_side_show_nothing() -> None:
    found = walks([False] * 10 + [True] * 4, 0.23)
    assert (found.chance(20.0), found.smallest(0.8), found.balls_for(20.0, 0.1)) == (
        0.0,
        math.inf,
        None,
    )
    assert (found.balls(20.0) == 14).all()


def test_a_ball_tells_less_than_one_that_is_never_mishit() -> None:
    assert 0.8 < ball_information() < 0.92


def test_the_lot_decides_the_drawn_order_alone() -> None:
    one, other = (plan_lesson(0.9, SPEED, n_balls=40, seed=seed) for seed in (1, 2))
    drawn = [
        next(order for order in (plan.advised, *plan.others) if order.pattern == "drawn")
        for plan in (one, other)
    ]
    assert [order.seed for order in drawn] == [1, 2]
    assert drawn[0].blocks != drawn[1].blocks
    assert orders(one)["fives"] == orders(other)["fives"]


@pytest.mark.parametrize(
    ("change_si", "usual", "n_balls", "says"),
    [
        (0.9, SPEED, 9, "9 balls can't be planned. Give 10 to 60 balls"),
        (0.9, SPEED, 61, "61 balls can't be planned."),
        (0.0, SPEED, 30, "A change of 0 can't be planned with a usual spread of 0.54 (SI)."),
        (-1.0, SPEED, 30, "A change of -1 can't be planned"),
        (math.nan, SPEED, 30, "A change of nan can't be planned"),
        (11.0, SPEED, 30, "above 0, and at most 20 usual spreads."),
        (0.9, UsualSpread(sd=0.0), 30, "The usual spread is 0 from 0 shots."),
        (0.9, UsualSpread(sd=1.0, n_shots=-1), 30, "The usual spread is 1 from -1 shots."),
    ],
)
def test_what_cannot_be_planned_is_refused(
    change_si: float, usual: UsualSpread, n_balls: int, says: str
) -> None:
    with pytest.raises(OutOfRangeError) as error:
        plan_lesson(change_si, usual, n_balls=n_balls)
    assert says in str(error.value)
