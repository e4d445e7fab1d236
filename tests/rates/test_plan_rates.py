"""The plan's chances against simulated lessons judged by the real engine after every ball.

The plan knows the usual spread and its doubt; the day is the reference day of lessons.py with the
doubt that the plan takes.
"""

from dataclasses import replace

import numpy as np
import pytest

from leadfoot.evidence.judgement import UsualSpread
from leadfoot.evidence.next_step import next_step
from leadfoot.evidence.plan import PlannedOrder, plan_lesson
from leadfoot.evidence.usual import scale_doubt
from tests.rates.lessons import (
    MPH,
    REFERENCE,
    USUAL_SI,
    Day,
    Plan,
    Truth,
    first_balls,
    simulate,
)
from tests.rates.looking import answers, many, share

SPEED_ONLY = Plan(
    quantities=("club_speed",), declared_distance="club_speed", declared_direction=None
)
WITHIN = 0.05


def planned(mph: float, n_balls: int, n_history: int) -> dict[str, PlannedOrder]:
    usual = UsualSpread(sd=USUAL_SI["club_speed"], n_shots=n_history)
    plan = plan_lesson(mph * MPH, usual, n_balls=n_balls)
    return {order.pattern: order for order in (plan.advised, *plan.others)}


def day_for(n_history: int) -> Day:
    return replace(REFERENCE, spread_doubt=scale_doubt(n_history), n_history=n_history)


def shown(order: PlannedOrder, mph: float, day: Day, n_lessons: int, seed: int) -> float:
    """Share of simulated lessons in which it is shown after any ball."""
    assert not order.blocks[0].with_change
    blocks = tuple(block.balls for block in order.blocks)
    lesson = replace(SPEED_ONLY, blocks=blocks, said_before=True)
    lessons = many(n_lessons, seed, lesson, day, Truth(club_speed_mph=mph))
    return share(lessons, "longer")


def room(chance: float, n_lessons: int) -> float:
    """How far a simulated share may lie from a chance that is true to within five points."""
    return WITHIN + 2.6 * float(np.sqrt(chance * (1 - chance) / n_lessons))


@pytest.mark.parametrize("pattern", ["once", "fives"])
def test_a_planned_chance_comes_true(pattern: str) -> None:
    order = planned(2.0, 20, 60)["twice" if pattern == "fives" else pattern]
    found = shown(order, 2.0, day_for(60), 60, 41)
    assert found == pytest.approx(order.chance, abs=room(order.chance, 60))


@pytest.mark.rates
@pytest.mark.parametrize("pattern", ["once", "and_back", "twice", "fives"])
@pytest.mark.parametrize("mph", [1.0, 2.0, 3.0])
@pytest.mark.parametrize(("n_balls", "n_history"), [(20, 60), (30, 60), (30, 0)])
def test_planned_chances_come_true(pattern: str, mph: float, n_balls: int, n_history: int) -> None:
    orders = planned(mph, n_balls, n_history)
    if pattern not in orders:
        assert n_balls == 20
        return
    order = orders[pattern]
    found = shown(order, mph, day_for(n_history), 400, 42)
    assert found == pytest.approx(order.chance, abs=room(order.chance, 400))


@pytest.mark.rates
def test_planned_chances_are_right_within_five_points_on_average() -> None:
    """All orders together, where chance plays a smaller part: no bias beyond the promise."""
    off = [
        shown(order, mph, day_for(60), 250, 43 + place) - order.chance
        for mph in (1.0, 2.0)
        for place, order in enumerate(planned(mph, 30, 60).values())
        if not order.blocks[0].with_change
    ]
    assert abs(np.mean(off)) < 0.03


@pytest.mark.rates
@pytest.mark.parametrize("back", [False, True], ids=["on", "back"])
def test_the_chance_of_the_next_five_balls_comes_true(back: bool) -> None:
    rng = np.random.default_rng(45)
    blocks = (10, 8, 5) if back else (10, 13)
    plan = Plan(blocks=blocks, quantities=("carry",), declared_direction=None)
    said: list[float] = []
    came: list[bool] = []
    while len(said) < 400:
        gain_yd = float(rng.random() < 0.5) * 8.0 * (0.8 + 0.6 * rng.standard_normal())
        lesson = simulate(rng, plan, REFERENCE, Truth(carry_yd=gain_yd))
        told = {n: answer.longer.verdict for n, answer in answers(lesson) if n >= 18}
        step = next_step(first_balls(lesson, 18))
        if told[18] == "not_yet" and step is not None:
            said.append(step.chance_without if back else step.chance_with)
            came.append(any(verdict != "not_yet" for n, verdict in told.items() if n > 18))
    assert np.mean(came) == pytest.approx(np.mean(said), abs=0.10)
