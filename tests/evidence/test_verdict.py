from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from leadfoot.errors import OutOfRangeError
from leadfoot.evidence.judgement import Verdict
from leadfoot.evidence.lesson import Order, Planned, Stage
from leadfoot.evidence.mishits import MishitChange
from leadfoot.evidence.pattern import Half, PatternChange
from leadfoot.evidence.settings import JudgeSettings
from leadfoot.evidence.verdict import (
    DirectionShown,
    LevelOdds,
    Weighed,
    decide,
    level_verdict,
    straighter_verdict,
    two_sided_verdict,
)

SETTINGS = JudgeSettings()
SHOWN = DirectionShown.of(SETTINGS, Stage(order="once", n_before=10, n_after=10), alone=True)
HALF = Half(before=1.0, after=0.5, low=-1.0, high=0.2)
UNDECIDED = PatternChange(
    bias=HALF,
    spread=HALF,
    nearer=0.5,
    nearer_clearly=0.4,
    farther_clearly=0.4,
    narrower=0.5,
    narrower_clearly=0.4,
    wider_clearly=0.4,
    misses_less=0.5,
    misses_clearly_less=0.3,
    misses_clearly_more=0.3,
    log_ratio_mean=0.0,
    log_ratio_sd=0.2,
    wider_than_usual=False,
)
STRAIGHTER = replace(UNDECIDED, narrower=0.99, misses_less=0.99, misses_clearly_less=0.98)
WILDER = replace(UNDECIDED, narrower=0.02, misses_less=0.01, misses_clearly_more=0.98)
FEW_MISHITS = MishitChange(
    before=0.08, after=0.08, low=-0.1, high=0.1, odds_fewer=0.5, odds_more=0.2
)


def level(up: float, down: float, *, n_before: int = 10, n_after: int = 10) -> LevelOdds:
    return LevelOdds(
        up=up, down=down, above_zero=0.5 * (up + 1 - down), n_before=n_before, n_after=n_after
    )


LONGER, SHORTER, EVEN, USELESS = (
    level(0.98, 0.0),
    level(0.0, 0.98),
    level(0.4, 0.2),
    level(0.05, 0.5),
)
COLD = replace(level(0.6, 0.0), up_if_warm=0.99)
"""A gain that a cold start might explain."""


def weighed(
    declared: LevelOdds | None = EVEN,
    club_speed: LevelOdds | None = None,
    pattern: PatternChange | None = UNDECIDED,
    *,
    more_mishits: float = 0.2,
    n_pattern: tuple[int, int] = (10, 10),
) -> Weighed:
    return Weighed(
        order="once",
        declared=declared,
        club_speed=club_speed,
        pattern=pattern,
        n_pattern=n_pattern,
        mishits=replace(FEW_MISHITS, odds_more=more_mishits),
        n_mishits=(10, 10),
    )


@pytest.mark.parametrize(
    ("odds", "verdict"),
    [
        (level(0.98, 0.0), "yes"),
        (level(0.96, 0.0), "not_yet"),
        (level(0.0, 0.98, n_after=5), "no"),
        (level(0.09, 0.5), "no"),
        (level(0.09, 0.5, n_after=7), "not_yet"),
        (level(0.99, 0.0, n_after=4), "not_yet"),
        (level(0.99, 0.0, n_before=4), "not_yet"),
        (level(0.0, 0.99, n_before=4), "not_yet"),
    ],
)
def test_a_level(odds: LevelOdds, verdict: Verdict) -> None:
    assert level_verdict(odds, 0.965, SETTINGS) == verdict


@pytest.mark.parametrize(
    ("better", "worse", "fewest", "verdict"),
    [(0.97, 0.0, 5, "yes"), (0.0, 0.97, 5, "no"), (0.9, 0.1, 5, "not_yet"), (1, 0, 4, "not_yet")],
)
def test_two_sides(better: float, worse: float, fewest: int, verdict: Verdict) -> None:
    assert two_sided_verdict(better, worse, fewest, 0.965, SETTINGS) == verdict


def test_straighter_needs_a_smaller_miss_or_a_narrower_pattern_without_a_larger_one() -> None:
    def verdict(pattern: PatternChange, fewest: int = 10) -> Verdict:
        return straighter_verdict(pattern, fewest, SHOWN, SETTINGS)

    assert verdict(STRAIGHTER) == "yes"
    assert verdict(replace(STRAIGHTER, misses_clearly_less=0.9)) == "yes"
    assert verdict(replace(STRAIGHTER, misses_clearly_less=0.9, misses_less=0.6)) == "not_yet"
    assert verdict(replace(STRAIGHTER, narrower=0.5)) == "yes"
    assert verdict(STRAIGHTER, 4) == "not_yet"
    assert verdict(replace(UNDECIDED, nearer_clearly=0.99, misses_less=0.8)) == "yes"
    assert verdict(replace(UNDECIDED, nearer_clearly=0.99, misses_less=0.6)) == "not_yet"
    assert verdict(WILDER) == "no"
    assert verdict(UNDECIDED) == "not_yet"


@pytest.mark.parametrize(
    ("case", "decision", "reasons"),
    [
        (weighed(LONGER), "keep", ("longer",)),
        (weighed(EVEN, pattern=STRAIGHTER), "keep", ("straighter",)),
        (weighed(LONGER, pattern=STRAIGHTER), "keep", ("longer", "straighter")),
        (weighed(EVEN, level(0.99, 0.0)), "keep", ("faster",)),
        (weighed(None, level(0.99, 0.0), None), "keep", ("faster",)),
        (weighed(EVEN, level(0.97, 0.0)), "hit_more", ()),
        (weighed(COLD), "hit_more", ("cold_start",)),
        (weighed(EVEN, COLD), "hit_more", ("cold_start",)),
        (weighed(level(0.2, 0.5), level(0.99, 0.0)), "keep", ("faster",)),
        (weighed(level(0.1, 0.8), level(0.99, 0.0)), "hit_more", ()),
        (weighed(LONGER, pattern=WILDER), "drop", ("longer", "wilder")),
        (
            weighed(LONGER, pattern=replace(UNDECIDED, narrower=0.02)),
            "keep",
            ("longer", "wider"),
        ),
        (
            weighed(LONGER, pattern=replace(UNDECIDED, wider_clearly=0.8)),
            "keep",
            ("longer", "maybe_wider"),
        ),
        (weighed(EVEN, pattern=replace(UNDECIDED, narrower=0.02)), "hit_more", ()),
        (weighed(LONGER, more_mishits=0.96), "drop", ("longer", "more_mishits")),
        (weighed(LONGER, more_mishits=0.8), "hit_more", ("longer", "maybe_more_mishits")),
        (
            weighed(LONGER, pattern=replace(UNDECIDED, misses_clearly_more=0.8)),
            "hit_more",
            ("longer", "maybe_wilder"),
        ),
        (
            weighed(level(0.0, 0.8, n_after=7), pattern=STRAIGHTER),
            "hit_more",
            ("straighter", "maybe_shorter"),
        ),
        (weighed(SHORTER, pattern=STRAIGHTER), "hit_more", ("straighter", "shorter", "trade")),
        (weighed(SHORTER), "drop", ("shorter",)),
        (weighed(level(0.1, 0.6), level(0.0, 0.99)), "drop", ("slower",)),
        (weighed(level(0.1, 0.6), level(0.0, 0.97)), "hit_more", ()),
        (weighed(EVEN, level(0.0, 0.99)), "drop", ("slower",)),
        (weighed(level(0.8, 0.1), level(0.0, 0.99)), "hit_more", ()),
        (weighed(level(0.1, 0.6), level(0.0, 0.99, n_after=4)), "hit_more", ()),
        (
            weighed(level(0.1, 0.6), level(0.0, 0.99), STRAIGHTER),
            "hit_more",
            ("straighter", "slower", "trade"),
        ),
        (weighed(EVEN, pattern=WILDER), "drop", ("wilder",)),
        (weighed(USELESS), "drop", ("not_worth_it",)),
        (weighed(USELESS, pattern=replace(UNDECIDED, misses_less=0.8)), "hit_more", ()),
        (weighed(USELESS, level(0.6, 0.1)), "hit_more", ()),
        (weighed(EVEN), "hit_more", ()),
        (weighed(None, None, None), "hit_more", ("no_comparison",)),
        (
            weighed(level(0.99, 0.0, n_after=4), pattern=None),
            "hit_more",
            ("too_early",),
        ),
    ],
)
def test_the_decision_and_its_reasons(
    case: Weighed, decision: str, reasons: tuple[str, ...]
) -> None:
    found = decide(case, SETTINGS)
    assert (found.decision, found.reasons) == (decision, reasons)


@pytest.mark.parametrize(
    ("declared", "pattern", "verdict"),
    [
        (LONGER, STRAIGHTER, "yes"),
        (LONGER, UNDECIDED, "not_yet"),
        (LONGER, WILDER, "no"),
        (SHORTER, UNDECIDED, "no"),
        (EVEN, UNDECIDED, "not_yet"),
        (LONGER, None, "not_yet"),
    ],
)
def test_both_asks_for_each(
    declared: LevelOdds, pattern: PatternChange | None, verdict: Verdict
) -> None:
    found = decide(weighed(declared, pattern=pattern), SETTINGS)
    assert found.both.verdict == verdict
    if pattern is None:
        assert found.both.odds is None
    else:
        assert found.both.odds == pytest.approx(declared.above_zero * pattern.misses_less)


def test_orders_that_tell_more_ask_for_more() -> None:
    found = [SETTINGS.for_order(0.965, order) for order in ("once", "and_back", "twice")]
    assert found == pytest.approx([0.965, 0.97375, 0.9755])
    close = weighed(level(0.96, 0.0))
    assert decide(close, SETTINGS).decision == "keep"
    assert decide(replace(close, order="alternating"), SETTINGS).decision == "hit_more"


def test_two_claims_share_what_one_has_alone() -> None:
    once, back = (Stage(order=order, n_before=15, n_after=15) for order in ("once", "and_back"))
    assert SETTINGS.distance(once, beside_speed=False) == pytest.approx(0.953)
    assert SETTINGS.distance(once, beside_speed=True) == pytest.approx(0.976)
    assert SETTINGS.distance(back, beside_speed=True) == SETTINGS.speed(back)
    close = level(0.97, 0.0)
    assert decide(weighed(close), SETTINGS).decision == "keep"
    assert decide(weighed(close, EVEN), SETTINGS).decision == "hit_more"


def test_a_plan_spends_its_doubt_late() -> None:
    plan = Planned(order="and_back", n_before=25, n_after=15)

    def shown(order: Order, n_before: int, n_after: int, planned: Planned | None = plan) -> float:
        stage = Stage(order=order, n_before=n_before, n_after=n_after, planned=planned)
        return SETTINGS.distance(stage, beside_speed=False)

    looks = [shown("once", 10, n) for n in range(5, 16)]
    looks += [shown("and_back", 10 + n, 15) for n in range(1, 16)]
    assert all(later < now for now, later in pairwise(looks))
    assert looks[0] > shown("once", 10, 5, None)
    assert looks[-1] < shown("and_back", 25, 15, None)
    half = Planned(order="and_back", n_before=20, n_after=20)
    doubts = [1.0 - shown(order, 10, 10, half) for order in ("once", "and_back")]
    assert doubts == pytest.approx([0.047 * 1.64 * 0.5**4, 0.047 * 1.64 * 0.5**3])


@pytest.mark.parametrize(("balls", "share"), [(20, 1.0), (40, 1.0), (60, (2 / 3) ** 0.5)])
def test_a_long_plan_that_comes_back_allows_less(balls: int, share: float) -> None:
    plan = Planned(order="twice", n_before=balls // 2, n_after=balls // 2)
    stage = Stage(order="twice", n_before=balls // 2, n_after=balls // 2, planned=plan)
    doubt = 1.0 - SETTINGS.distance(stage, beside_speed=False)
    assert doubt == pytest.approx(0.047 * 1.64 * share)


@pytest.mark.parametrize(
    ("blocks", "way_back", "share"),
    [
        ((10, 15, 15), 1.5, 1.0),
        ((15, 10, 15), 1.0, 1.0),
        ((16, 15, 2), 0.125, 0.5),
        ((8, 8, 4, 12), 0.5, 0.5 ** (1 / 3)),
    ],
)
def test_a_plan_with_a_short_way_back_allows_less(
    blocks: tuple[int, ...], way_back: float, share: float
) -> None:
    changed = np.repeat(np.arange(len(blocks)) % 2 == 1, blocks)
    for first in (changed, ~changed):
        plan = Planned.of(first)
        assert plan.way_back == way_back
        stage = Stage(order=plan.order, n_before=plan.n_before, n_after=plan.n_after, planned=plan)
        doubt = 1.0 - SETTINGS.distance(stage, beside_speed=False)
        assert doubt == pytest.approx(0.047 * 1.64 * share)


@pytest.mark.parametrize(
    ("planned_with", "warm", "at_end"),
    [(10, True, 1.2), (11, True, 1.0), (15, False, 1.95), (16, False, 1.0)],
)
def test_one_block_each_has_a_plan_while_it_is_short(
    planned_with: int, *, warm: bool, at_end: float
) -> None:
    plan = Planned(order="once", n_before=10, n_after=planned_with)
    stage = Stage(order="once", n_before=10, n_after=planned_with, warm=warm, planned=plan)
    shown = SETTINGS.distance(stage, beside_speed=False)
    assert 1.0 - shown == pytest.approx(0.047 * at_end)


@pytest.mark.parametrize(
    ("order", "n_before", "n_after"),
    [("twice", 12, 12), ("and_back", 26, 15), ("alternating", 5, 5)],
)
def test_a_plan_that_was_left_counts_no_more(order: Order, n_before: int, n_after: int) -> None:
    plan = Planned(order="and_back", n_before=25, n_after=15)
    stage = Stage(order=order, n_before=n_before, n_after=n_after, planned=plan)
    assert stage.follows is None
    for beside_speed in (True, False):
        assert SETTINGS.distance(stage, beside_speed=beside_speed) == SETTINGS.distance(
            replace(stage, planned=None), beside_speed=beside_speed
        )


def test_senseless_thresholds_are_refused() -> None:
    with pytest.raises(OutOfRangeError) as caught:
        JudgeSettings(longer=1.0)
    assert str(caught.value) == (
        "The threshold longer is 1; it lies between 0.5 and 1. Give a probability such as 0.97."
    )
    with pytest.raises(OutOfRangeError) as caught:
        JudgeSettings(fewest=0)
    assert str(caught.value) == (
        "fewest is 0, horizon 30, worth_sd 0.2. "
        "Give at least one ball for each, and a worth_sd of 0 or more."
    )
