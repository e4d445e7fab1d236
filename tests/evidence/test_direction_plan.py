"""The thresholds of direction where the comparison was planned before the change."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from leadfoot.evidence.judge import judge
from leadfoot.evidence.judgement import LessonShots, Verdict
from leadfoot.evidence.lesson import Order, Planned, Stage
from leadfoot.evidence.outlook import direction_ahead
from leadfoot.evidence.posteriors import posteriors
from leadfoot.evidence.settings import DirectionClaim, JudgeSettings
from leadfoot.evidence.verdict import DirectionShown
from tests.evidence.shots import lesson_of

SETTINGS = JudgeSettings()
CLAIMS: tuple[DirectionClaim, ...] = ("straighter", "narrower", "nearer")
ONCE = Planned(order="once", n_before=10, n_after=30)
ORDERS: tuple[Order, ...] = ("once", "and_back", "twice", "alternating")

plans = st.builds(
    Planned,
    order=st.sampled_from(ORDERS),
    n_before=st.integers(1, 60),
    n_after=st.integers(1, 60),
)


def stage_of(
    n_before: int, n_after: int, planned: Planned | None = None, order: Order = "once"
) -> Stage:
    return Stage(order=order, n_before=n_before, n_after=n_after, planned=planned)


def doubt(claim: DirectionClaim, stage: Stage, *, alone: bool = True) -> float:
    return 1.0 - SETTINGS.for_direction(claim, stage, alone=alone)


@pytest.mark.parametrize(
    ("plan", "doubts"),
    [
        # The threshold's own doubt, by the factor of the order, the balls before and the size.
        (Planned(order="once", n_before=20, n_after=20), (0.037 * 2.5, 0.042 * 1.75, 0.044 * 1.4)),
        (ONCE, (0.037 * 2.5 / 3**0.5, 0.042 * 1.75, 0.044 * 1.4)),
        (
            Planned(order="once", n_before=5, n_after=20),
            (0.037 * 2.5 / 2, 0.042 * 1.75 * 40 / 28 / 2**0.5, 0.044 * 1.4),
        ),
        (
            Planned(order="and_back", n_before=25, n_after=15),
            (0.037 * 1.55 * 1.5**0.5, 0.042 * 1.7 * 1.5**0.5, 0.044 * 1.2),
        ),
        (
            Planned(order="twice", n_before=40, n_after=40),
            (0.037 * 1.55 / 2, 0.042 * 1.7 / 2, 0.044 * 1.2 / 2),
        ),
    ],
)
def test_what_a_plan_allows_at_its_last_ball(plan: Planned, doubts: tuple[float, ...]) -> None:
    stage = stage_of(plan.n_before, plan.n_after, plan, plan.order)
    assert [doubt(claim, stage) for claim in CLAIMS] == pytest.approx(doubts)


def test_a_short_way_back_allows_less() -> None:
    def at_end(way_back: float) -> list[float]:
        plan = Planned(order="and_back", n_before=15, n_after=15, way_back=way_back)
        return [doubt(claim, stage_of(15, 15, plan, "and_back")) for claim in (*CLAIMS, "wilder")]

    assert at_end(0.125) == pytest.approx([one * 0.5 for one in at_end(1.0)[:3]] + at_end(1.0)[3:])
    assert at_end(2.0) == at_end(1.0)


def test_on_the_way_it_spends_with_the_sixth_power_of_what_is_told() -> None:
    at_end = doubt("narrower", stage_of(10, 30, ONCE))
    for n_after in range(5, 31):
        told = (10 * n_after / (10 + n_after)) / 7.5
        found = doubt("narrower", stage_of(10, n_after, ONCE))
        assert found == pytest.approx(at_end * told**6)


@given(plans, st.booleans())
def test_the_longer_a_planned_lesson_the_milder_it_gets(plan: Planned, alone: bool) -> None:
    """Ball by ball, with the change last, and never past even odds."""
    shown = [
        DirectionShown.of(SETTINGS, stage_of(plan.n_before, n_after, plan, plan.order), alone=alone)
        for n_after in range(1, plan.n_after + 1)
    ]
    for claim in (*CLAIMS, "wilder"):
        odds = [getattr(one, claim) for one in shown]
        assert all(later <= now for now, later in pairwise(odds))
        assert odds[-1] > 0.8


@given(plans, st.sampled_from(CLAIMS), st.integers(5, 60), st.integers(5, 60), st.booleans())
def test_a_plan_that_was_left_counts_no_more(
    plan: Planned, claim: DirectionClaim, n_before: int, n_after: int, alone: bool
) -> None:
    stage = stage_of(n_before, n_after, plan, "alternating")
    if stage.follows is None:
        left = doubt(claim, stage, alone=alone)
        assert left == doubt(claim, replace(stage, planned=None), alone=alone)


@given(plans, st.integers(1, 60), st.integers(1, 60))
def test_a_loss_is_asked_for_as_without_a_plan_where_blocks_do_not_return(
    plan: Planned, n_before: int, n_after: int
) -> None:
    stage = stage_of(n_before, n_after, replace(plan, order="once"))
    assert doubt("wilder", stage) == doubt("wilder", replace(stage, planned=None))


def test_a_loss_is_asked_for_late_where_they_do() -> None:
    plan = Planned(order="twice", n_before=20, n_after=20)
    found = [doubt("wilder", stage_of(n, n, plan, "twice")) for n in (10, 20)]
    assert found == pytest.approx([0.045 * 1.25 / 2**6, 0.045 * 1.25])


@given(plans, st.sampled_from(CLAIMS))
def test_claims_beside_it_share_the_doubt(plan: Planned, claim: DirectionClaim) -> None:
    stage = stage_of(plan.n_before, plan.n_after, plan, plan.order)
    assert doubt(claim, stage, alone=False) == pytest.approx(0.6 * doubt(claim, stage))


@pytest.mark.parametrize(
    ("order", "n_after", "doubts"),
    [
        ("once", 15, (0.0555, 0.063, 0.066, 0.045)),
        ("once", 16, (0.037, 0.042, 0.044, 0.045)),
        ("and_back", 15, (0.01665, 0.042, 0.022, 0.04275)),
        ("twice", 20, (0.0296, 0.042, 0.0264, 0.0162)),
        ("alternating", 20, (0.02405, 0.0336, 0.0154, 0.01485)),
    ],
)
def test_what_is_allowed_without_a_plan(
    order: Order, n_after: int, doubts: tuple[float, ...]
) -> None:
    stage = stage_of(20, n_after, order=order)
    found = [doubt(claim, stage) for claim in (*CLAIMS, "wilder")]
    assert found == pytest.approx(doubts)


@pytest.mark.parametrize("claim", [*CLAIMS, "wilder"])
@pytest.mark.parametrize("order", ORDERS[1:])
def test_a_long_return_without_a_plan_allows_less(order: Order, claim: DirectionClaim) -> None:
    found = [doubt(claim, stage_of(n, n, order=order)) for n in (10, 20, 40)]
    assert found[1] == found[0]
    assert found[2] == pytest.approx(found[0] / 32)


def test_the_next_looks_after_a_return_are_asked_as_they_will_be() -> None:
    balls = np.repeat([False, True, False], [6, 6, 6])
    back = replace(
        lesson(12, planned_after=None),
        with_change=balls,
        ball_number=np.arange(18.0),
    )
    offline = replace(back.tracks["offline"], values=back.tracks["offline"].values[:18])
    back = replace(back, tracks={"offline": offline})
    ahead = direction_ahead("narrower", back, posteriors(back), SETTINGS)
    twice = [doubt("narrower", stage_of(12, 6 + n, order="twice")) for n in (1, 22, 23)]
    assert 1.0 - ahead[[0, 21, 22]] == pytest.approx(twice)
    assert twice[2] < twice[1] == twice[0]


def lesson(n_after: int, *, planned_after: int | None, narrower: float = 0.62) -> LessonShots:
    """Ten balls and so many with the change; a fixed scatter, with the change narrower."""
    scatter = np.random.default_rng(5).standard_normal(40)
    offline = np.where(np.arange(40) < 10, 12.0 * scatter, 12.0 * narrower * scatter)
    changed = np.arange(10 + n_after) >= 10
    shots = lesson_of(
        changed.tolist(), {"offline": offline[: 10 + n_after].tolist()}, direction="offline"
    )
    planned = None if planned_after is None else np.arange(10 + planned_after) >= 10
    return replace(shots, planned=planned)


def test_the_odds_ahead_are_those_of_the_plan_and_then_those_of_none() -> None:
    ahead = {
        planned: direction_ahead(
            "narrower",
            lesson(12, planned_after=planned),
            posteriors(lesson(12, planned_after=planned)),
            SETTINGS,
        )
        for planned in (20, None)
    }
    assert ahead[None] == pytest.approx(np.full(SETTINGS.horizon, 0.958))
    plan = Planned(order="once", n_before=10, n_after=20)
    meant = [
        SETTINGS.for_direction("narrower", stage_of(10, n, plan), alone=True) for n in range(13, 21)
    ]
    assert ahead[20][:8] == pytest.approx(meant)
    assert ahead[20][8:] == pytest.approx(np.full(SETTINGS.horizon - 8, 0.958))


@pytest.mark.parametrize(
    ("n_after", "narrower", "planned", "unplanned"),
    [(20, 0.62, "yes", "not_yet"), (14, 0.55, "not_yet", "yes")],
    ids=["milder at its end", "stricter on the way"],
)
def test_the_answer_stands_at_the_thresholds_of_the_plan(
    n_after: int, narrower: float, planned: Verdict, unplanned: Verdict
) -> None:
    for planned_after, verdict in ((20, planned), (None, unplanned)):
        shots = lesson(n_after, planned_after=planned_after, narrower=narrower)
        answer = judge(shots)
        assert answer.spread is not None
        assert answer.straighter.verdict == verdict
        assert answer.spread.verdict == verdict
