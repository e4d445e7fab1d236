"""What a coach who looks after every ball hears of length and speed, for thousands of lessons.

The odds come from the compiled look (`tests.rates.twin`), the thresholds and the words from the
settings of the program; `test_characteristics.py` holds them to what `judge` itself says.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from leadfoot.evidence.change import DEFAULT_PRIOR, RETURNED_PRIOR, UNWARMED_PRIOR
from leadfoot.evidence.cold import ASK_FROM, LARGE_COLD_SD, RISING
from leadfoot.evidence.lesson import WARM_AFTER, Planned, Stage, order_of_blocks
from leadfoot.evidence.peak import LevelPrior
from leadfoot.evidence.settings import DEFAULT_SETTINGS, JudgeSettings
from tests.rates.lessons import (
    BALL_PER_CLUB,
    CARRY_YD_PER_MPH,
    MPH,
    REFERENCE,
    USUAL_SI,
    YD,
    Day,
    Plan,
    Truth,
    every_look,
    simulate_values,
)
from tests.rates.twin import Floats, Model, looks_at
from tests.rates.twin_loops import ABOVE_ZERO, BELOW_TRUTH, COLD, DOWN, UP

MIGHT = 0.7
"""Odds of a first glance below which nothing is said."""
DESIGNS: Mapping[str, tuple[int, ...]] = MappingProxyType(
    {
        "10, then 15 with": (10, 15),
        "10, then 30 with": (10, 30),
        "10, 15 with, 15": (10, 15, 15),
        "10, 10 with, 10, 10 with": (10, 10, 10, 10),
        "fives by turns": (5,) * 8,
    }
)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Said:
    """What was said after any ball, one entry a lesson.

    Attributes
    ----------
    longer, worse
        "Longer" or "faster"; "shorter" or "slower".
    unwarned
        The first of them if nobody minded a cold start.
    cold
        A gain was held back because of a cold start.
    first
        Balls with the change at the first "longer"; 0 where it was never said.
    """

    longer: NDArray[np.bool_]
    worse: NDArray[np.bool_]
    unwarned: NDArray[np.bool_]
    cold: NDArray[np.bool_]
    first: NDArray[np.int64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Odds:
    """Every look at every lesson, (lessons, looks, columns), and the odds of a gain if cold."""

    told: Floats
    up_if_cold: Floats


def true_change(key: str, truth: Truth) -> float:
    """In usual standard deviations."""
    ball_mph = BALL_PER_CLUB * truth.club_speed_mph
    si = {
        "club_speed": truth.club_speed_mph * MPH,
        "carry": (CARRY_YD_PER_MPH * ball_mph + truth.carry_yd) * YD,
    }
    return si[key] / USUAL_SI[key]


def glance(key: str, values: Floats, plan: Plan, day: Day) -> NDArray[np.bool_]:
    """The looks at which anything might be said, shape (lessons, looks): a first glance.

    The glance uses one node that is surer than the whole grid; a look whose odds stay below
    `MIGHT` there was never seen to reach a threshold (`test_characteristics.py`).
    """
    quick = Model.of(day.n_history, prior=RETURNED_PRIOR).quick()
    z = values / USUAL_SI[key]
    looks = every_look(plan.with_change)
    found = looks_at(z, plan.with_change, looks, quick, first_ball=plan.first_ball)
    return np.asarray((found[:, :, UP] > MIGHT) | (found[:, :, DOWN] > MIGHT))


def odds_of(
    key: str,
    values: Floats,
    plan: Plan,
    day: Day,
    truth: Truth,
    *,
    wanted: NDArray[np.bool_],
    follow: bool = True,
) -> Odds:
    """The looks at one quantity, each with the prior that its design has by then.

    ``follow`` starts each look from the one before and counts no mishits (`looks_at`).
    """
    with_change = plan.with_change
    looks = every_look(with_change)
    once = np.array([order_of_blocks(with_change[:n]) == "once" for n in looks])
    z = values / USUAL_SI[key]

    def told(prior: LevelPrior, which: NDArray[np.bool_]) -> Floats:
        return looks_at(
            z,
            with_change,
            looks,
            Model.of(day.n_history, prior=prior),
            truth=true_change(key, truth),
            first_ball=plan.first_ball,
            follow=follow,
            wanted=which,
        )

    found = told(DEFAULT_PRIOR, wanted & once)
    if not once.all():
        found[:, ~once] = told(_returned(plan), wanted & ~once)[:, ~once]
    found[~wanted] = 0.0
    up_if_cold = found[:, :, UP].copy()
    if plan.first_ball < WARM_AFTER:
        noticed = once & (found[:, :, COLD] >= RISING) & (found[:, :, UP] >= ASK_FROM)
        again = told(LevelPrior(warm_sd=LARGE_COLD_SD), noticed)[:, :, UP]
        up_if_cold = np.where(noticed, np.fmin(again, up_if_cold), up_if_cold)
    return Odds(told=found, up_if_cold=up_if_cold)


def heard_of(
    n_lessons: int,
    seed: int,
    plan: Plan,
    day: Day,
    truth: Truth,
    *,
    settings: JudgeSettings = DEFAULT_SETTINGS,
) -> Said:
    """Many lessons with the declared distance alone, or with club speed beside it."""
    return both_heard_of(n_lessons, seed, plan, day, truth, settings=settings)[-1]


def both_heard_of(
    n_lessons: int,
    seed: int,
    plan: Plan,
    day: Day,
    truth: Truth,
    *,
    settings: JudgeSettings = DEFAULT_SETTINGS,
) -> list[Said]:
    """The declared distance alone and, where there is club speed, with it beside it."""
    values = simulate_values(np.random.default_rng(seed), n_lessons, plan, day, truth)
    keys = [plan.declared_distance or "carry"]
    if keys[0] != "club_speed" and "club_speed" in plan.quantities:
        keys.append("club_speed")
    wanted = np.any([glance(key, values[key], plan, day) for key in keys], axis=0)
    odds = [odds_of(key, values[key], plan, day, truth, wanted=wanted) for key in keys]
    found = [said(plan, odds[0], None, settings)]
    return found if len(odds) == 1 else [*found, said(plan, odds[0], odds[1], settings)]


def covered(
    n_lessons: int, seed: int, blocks: tuple[int, ...], truth: Truth, day: Day = REFERENCE
) -> NDArray[np.bool_]:
    """Whether the 95 % interval of the change of carry holds the truth at the last ball."""
    plan = Plan(blocks=blocks)
    values = simulate_values(np.random.default_rng(seed), n_lessons, plan, day, truth)["carry"]
    once = order_of_blocks(plan.with_change) == "once"
    prior = DEFAULT_PRIOR if once else _returned(plan)
    # The range rests on the widest part of the prior alone; a stretched range of 95 in 100 is one
    # of a little more.
    widest = replace(prior, change_sd=(max(prior.change_sd),), change_share=(1.0,))
    tail = ndtr(-1.959964 * prior.range_stretch)
    below = looks_at(
        values / USUAL_SI["carry"],
        plan.with_change,
        every_look(plan.with_change)[-1:],
        Model.of(day.n_history, prior=widest),
        truth=true_change("carry", truth),
    )[:, 0, BELOW_TRUTH]
    return np.asarray((below > tail) & (below < 1.0 - tail))


def _returned(plan: Plan) -> LevelPrior:
    """The prior once the old way was hit again."""
    return RETURNED_PRIOR if plan.first_ball >= WARM_AFTER else UNWARMED_PRIOR


def _stage(plan: Plan, n: int) -> Stage:
    """How far the lesson has come after so many balls."""
    so_far = plan.with_change[:n]
    return Stage(
        order=order_of_blocks(so_far),
        n_before=int((~so_far).sum()),
        n_after=int(so_far.sum()),
        warm=plan.first_ball >= WARM_AFTER,
        planned=Planned.of(plan.with_change) if plan.said_before else None,
    )


def said(plan: Plan, declared: Odds, speed: Odds | None, settings: JudgeSettings) -> Said:
    """The words of `leadfoot.evidence.verdict`, over all looks."""
    with_change = plan.with_change
    looks = every_look(with_change)
    stages = [_stage(plan, n) for n in looks]
    shown = np.array([settings.distance(one, beside_speed=speed is not None) for one in stages])
    told = declared.told
    longer = np.asarray(declared.up_if_cold > shown)
    unwarned = np.asarray(told[:, :, UP] > shown)
    worse = np.asarray(told[:, :, DOWN] > settings.loss(shown))
    if speed is not None:
        faster = np.array([settings.speed(one) for one in stages])
        up, above = speed.told[:, :, UP], told[:, :, ABOVE_ZERO]
        not_against = above >= settings.not_against
        longer = longer | ((speed.up_if_cold > faster) & not_against)
        unwarned = unwarned | ((up > faster) & not_against)
        slower = (speed.told[:, :, DOWN] > settings.loss(faster)) & (
            above < 1.0 - settings.not_against
        )
        worse = worse | (slower & ~longer)
    n_after = np.cumsum(with_change)[looks - 1]
    return Said(
        longer=np.asarray(longer.any(axis=1)),
        worse=np.asarray(worse.any(axis=1)),
        unwarned=np.asarray(unwarned.any(axis=1)),
        cold=np.asarray((unwarned & ~longer).any(axis=1)),
        first=np.where(longer.any(axis=1), n_after[longer.argmax(axis=1)], 0),
    )
