"""The whole answer after every ball, for thousands of lessons.

Odds by the compiled looks at lengths (`tests.rates.twin`) and at direction
(`tests.rates.straight_loop`), claims and decisions by the program itself. `test_judging_rates.py`
holds what comes out to what the live judging says, lesson by lesson.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from leadfoot.evidence.judgement import UsualSpread
from leadfoot.evidence.lesson import WARM_AFTER, Planned, order_of_blocks
from leadfoot.evidence.mishits import (
    PRIOR_MISHITS,
    PRIOR_SOLID,
    MishitChange,
    mishit_change,
)
from leadfoot.evidence.pattern import Half, PatternChange
from leadfoot.evidence.posteriors import MISHITS_SEEN_IN
from leadfoot.evidence.settings import DEFAULT_SETTINGS
from leadfoot.evidence.verdict import Decided, LevelOdds, Weighed, decide
from tests.rates.distance import Odds, odds_of
from tests.rates.lessons import (
    NO_CHANGE,
    REFERENCE,
    USUAL_SI,
    Day,
    Plan,
    Truth,
    every_look,
    simulate_values,
)
from tests.rates.looking import Heard, heard_in
from tests.rates.straight_loop import WHAT, looks_in
from tests.rates.twin import Floats
from tests.rates.twin_loops import ABOVE_ZERO, DOWN, HITS_AFTER, HITS_BEFORE, UP

_UNSEEN = Half(before=math.nan, after=math.nan, low=math.nan, high=math.nan)
"""Sizes and ranges, of which no decision asks."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class AllOdds:
    """Every look at every lesson of one kind: by length or speed, and of the direction."""

    plan: Plan
    levels: Mapping[str, Odds]
    pattern: Floats | None


def all_odds(values: Mapping[str, Floats], plan: Plan, day: Day, truth: Truth) -> AllOdds:
    """The looks at all quantities of these lessons."""
    with_change, looks = plan.with_change, every_look(plan.with_change)
    lengths = [key for key in plan.quantities if key != "offline"]
    every = np.ones((len(values["carry"]), len(looks)), dtype=np.bool_)
    levels = {
        key: odds_of(key, values[key], plan, day, truth, wanted=every, follow=False)
        for key in lengths
    }
    pattern = None
    if "offline" in plan.quantities:
        usual = UsualSpread(sd=USUAL_SI["offline"], n_shots=day.n_history)
        pattern = looks_in(values["offline"], with_change, looks, usual)
    return AllOdds(plan=plan, levels=levels, pattern=pattern)


def decided(
    odds: AllOdds, lesson: int, plans: Sequence[Planned | None]
) -> Iterator[tuple[int, list[Decided]]]:
    """The answer after each ball of one lesson: balls so far, and what each plan makes of them."""
    for look, n in enumerate(every_look(odds.plan.with_change)):
        weighed = _weighed(odds, (lesson, look), odds.plan.with_change[:n])
        yield int(n), [decide(_planned(weighed, one), DEFAULT_SETTINGS) for one in plans]


def heard_of_each(odds: AllOdds, n_lessons: int) -> tuple[list[Heard], list[Heard]]:
    """What the lessons come to without a plan, and with their blocks planned before the change."""
    with_change = odds.plan.with_change
    heard: tuple[list[Heard], list[Heard]] = ([], [])
    for lesson in range(n_lessons):
        told = list(decided(odds, lesson, (None, Planned.of(with_change))))
        for place, list_of in enumerate(heard):
            list_of.append(heard_in(with_change, [(n, answer[place]) for n, answer in told]))
    return heard


def heard_both_ways(
    n_lessons: int, seed: int, plan: Plan, day: Day = REFERENCE, truth: Truth = NO_CHANGE
) -> tuple[list[Heard], list[Heard]]:
    """Many lessons of one kind, without a plan and with one."""
    values = simulate_values(np.random.default_rng(seed), n_lessons, plan, day, truth)
    return heard_of_each(all_odds(values, plan, day, truth), n_lessons)


def _weighed(odds: AllOdds, at: tuple[int, int], so_far: NDArray[np.bool_]) -> Weighed:
    plan = odds.plan
    counts = (int((~so_far).sum()), int(so_far.sum()))
    levels = {key: _level(one, at, counts, plan) for key, one in odds.levels.items()}
    source = next((key for key in MISHITS_SEEN_IN if key in odds.levels), None)
    distance, direction = plan.declared_distance, plan.declared_direction
    return Weighed(
        order=order_of_blocks(so_far),
        declared=levels.get(distance or ""),
        club_speed=levels.get("club_speed") if distance != "club_speed" else None,
        pattern=_pattern(odds.pattern[at]) if odds.pattern is not None and direction else None,
        n_pattern=counts if odds.pattern is not None and direction else (0, 0),
        mishits=_mishits(odds.levels[source].told[at], counts) if source else None,
        n_mishits=counts if source else (0, 0),
    )


def _planned(weighed: Weighed, planned: Planned | None) -> Weighed:
    """The same balls as part of a plan."""
    declared, speed = (
        replace(one, planned=planned) if one else None
        for one in (weighed.declared, weighed.club_speed)
    )
    return replace(weighed, declared=declared, club_speed=speed, planned=planned)


def _level(odds: Odds, at: tuple[int, int], counts: tuple[int, int], plan: Plan) -> LevelOdds:
    told = odds.told[at]
    return LevelOdds(
        up=float(odds.up_if_cold[at]),
        up_if_warm=float(told[UP]),
        down=float(told[DOWN]),
        above_zero=float(told[ABOVE_ZERO]),
        n_before=counts[0],
        n_after=counts[1],
        warm=plan.first_ball >= WARM_AFTER,
    )


def _pattern(odds: Floats) -> PatternChange:
    told = dict(zip(WHAT, odds.tolist(), strict=True))
    return PatternChange(
        **told,
        bias=_UNSEEN,
        spread=_UNSEEN,
        log_ratio_mean=math.nan,
        log_ratio_sd=math.nan,
        wider_than_usual=False,
    )


def _mishits(told: Floats, counts: tuple[int, int]) -> MishitChange | None:
    """The shares rest on how many mishits there were on either side, and not on which balls.

    None where the share is thought no larger with the change: no doubt of more can arise then.
    """
    hits, balls = told[[HITS_BEFORE, HITS_AFTER]], np.array(counts)
    before, after = (PRIOR_MISHITS + hits) / (PRIOR_MISHITS + PRIOR_SOLID + balls)
    if after <= before:
        return None
    return mishit_change(np.repeat(hits / balls, counts), np.repeat([False, True], counts))
