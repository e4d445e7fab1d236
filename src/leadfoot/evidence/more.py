"""How many more balls: the chance that the next ones bring an answer.

As balls come in, the posterior mean walks without drift, and its variance falls by as much as the
walk's grows (a martingale). How fast the variance falls follows from the information of the balls
planned, drift terms included; so the walk to the thresholds can be drawn before a ball is hit.
"""

import math
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

from leadfoot.evidence.change import LevelChange, LevelPrior, design, prior_for
from leadfoot.evidence.lesson import Seen
from leadfoot.evidence.misses import MISS_SHARE
from leadfoot.evidence.noise import Floats
from leadfoot.evidence.pattern import PatternChange
from leadfoot.evidence.usual import BALLS_PER_LOG

MISS_PER_LOG = 0.57
"""The mean distance from the line of n balls around it has a logarithm with variance 0.57 / n: the
half-normal distribution, π/2 - 1. Fewer where the bias is large, so it is on the safe side."""
N_PATHS = 256
"""Walks, each with its mirror image: the chance is known to about ±0.02."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Limits:
    """When a verdict falls: all in usual standard deviations and probabilities.

    Attributes
    ----------
    worth_sd
        The change counts if it exceeds this.
    shown
        Probability above which it is shown: one number, or one for each ball ahead.
    loss
        The same for a loss, of more than `worth_sd`.
    given_up
        Probability below which it is given up, from `patience` balls with the change on.
    fewest, patience
        Balls with the change below which nothing is shown, or given up.
    """

    worth_sd: float
    shown: float | Floats
    loss: float | Floats
    given_up: float
    fewest: int
    patience: int


def chance_of_answer(
    change: LevelChange,
    balls: Seen,
    limits: Limits,
    *,
    n_more: int,
    with_change: bool = True,
    prior: LevelPrior | None = None,
) -> Floats:
    """Chance of a verdict within 1, 2, ... `n_more` further balls, shape (n_more,).

    The balls are hit with the change or, where `with_change` is False, without it again.

    Examples
    --------
    >>> from leadfoot.evidence.change import level_change
    >>> from leadfoot.evidence.judgement import UsualSpread
    >>> balls = Seen(values=np.array([44.1, 44.9, 44.4, 44.6, 44.5, 44.9, 45.4, 44.8, 45.2, 45.0]),
    ...              with_change=np.arange(10) >= 5, ball_number=np.arange(10.0))
    >>> found = level_change(balls, UsualSpread(sd=0.54, n_shots=80))
    >>> limits = Limits(worth_sd=0.2, shown=0.97, loss=0.97, given_up=0.1, fewest=5, patience=8)
    >>> chance = chance_of_answer(found, balls, limits, n_more=20)
    >>> bool(chance[4] < chance[19])
    True
    """
    ahead = np.full(n_more, with_change)
    sds = np.sqrt(_variances_ahead(change, balls, ahead, prior or prior_for(balls)))
    fall = np.maximum(change.sd**2 - np.concatenate(([change.sd**2], sds**2)), 0.0)
    walk = change.mean + np.cumsum(np.sqrt(np.diff(fall)) * _steps(n_more), axis=1)
    n_after = balls.n_after + np.arange(1, n_more + 1) * with_change
    # Each limit as a place of the walk, so that the walks are only compared.
    never = np.where(n_after >= limits.fewest, 0.0, np.inf)
    above = limits.worth_sd + sds * ndtri(limits.shown) + never
    below = -limits.worth_sd - sds * ndtri(limits.loss) - never
    patient = n_after >= limits.patience
    over = np.where(patient, limits.worth_sd + sds * ndtri(limits.given_up), -np.inf)
    answered = np.logical_or.accumulate((walk > above) | (walk < np.maximum(below, over)), axis=1)
    return np.asarray(answered.mean(axis=0), dtype=np.float64)


def on_or_back(
    change: LevelChange, balls: Seen, limits_on: Limits, limits_back: Limits, *, n_more: int = 5
) -> tuple[float, float]:
    """Chance of a verdict after so many more balls with the change, and after as many without it.

    `limits_back` are those of the order of blocks that going back makes.

    Examples
    --------
    >>> from leadfoot.evidence.change import level_change
    >>> from leadfoot.evidence.judgement import UsualSpread
    >>> values = np.array([44.1, 44.9, 44.4, 44.6, 44.5, *np.tile([44.9, 45.4, 44.8], 5)])
    >>> balls = Seen(values=values, with_change=np.arange(20) >= 5, ball_number=np.arange(20.0))
    >>> found = level_change(balls, UsualSpread(sd=0.54, n_shots=80))
    >>> limits = Limits(worth_sd=0.2, shown=0.97, loss=0.97, given_up=0.1, fewest=5, patience=8)
    >>> on, back = on_or_back(found, balls, limits, limits)
    >>> on < back
    True
    """
    on = chance_of_answer(change, balls, limits_on, n_more=n_more)[-1]
    back = chance_of_answer(change, balls, limits_back, n_more=n_more, with_change=False)[-1]
    return float(on), float(back)


def chance_narrower(
    pattern: PatternChange, balls: Seen, shown: float | Floats, *, n_more: int
) -> Floats:
    """Chance that the pattern is shown to be narrower, or wider, within `n_more` further balls.

    `shown` is one number, or one for each ball ahead.

    The same walk, for the logarithm of the ratio of the spreads. A ball's information about it is
    that of a robust standard deviation (`leadfoot.evidence.usual.BALLS_PER_LOG`).

    Examples
    --------
    >>> from leadfoot.evidence.judgement import UsualSpread
    >>> from leadfoot.evidence.pattern import pattern_change
    >>> balls = Seen(values=np.array([9.0, -14, 3, 11, -7, 2, -1, 1, 3, 0]),
    ...              with_change=np.arange(10) >= 5, ball_number=np.arange(10.0))
    >>> found = pattern_change(balls, UsualSpread(sd=8.0, n_shots=80))
    >>> chance = chance_narrower(found, balls, 0.97, n_more=30)
    >>> bool(0.0 < chance[9] < chance[29] < 1.0)
    True
    """
    ahead = balls.n_after + np.arange(0.0, n_more + 1.0)
    told = 1.0 / (BALLS_PER_LOG / balls.n_before + BALLS_PER_LOG / ahead)
    variance = 1.0 / (1.0 / pattern.log_ratio_sd**2 + told - told[0])
    sds = np.sqrt(variance[1:])
    step = np.sqrt(np.maximum(-np.diff(variance), 0.0))
    walk = pattern.log_ratio_mean + np.cumsum(step * _steps(n_more), axis=1)
    answered = np.logical_or.accumulate(np.abs(walk) / sds > ndtri(shown), axis=1)
    return np.asarray(answered.mean(axis=0), dtype=np.float64)


def chance_smaller_miss(
    pattern: PatternChange, balls: Seen, shown: float | Floats, *, n_more: int
) -> Floats:
    """Chance that the average miss is shown to be smaller, or larger, within `n_more` balls.

    `shown` is one number, or one for each ball ahead.

    So a bias that may still show is not forgotten. The logarithm of the average miss before over
    the one with the change is taken as normal, with the two odds that the pattern tells of it; a
    ball's information about it is that of a mean of distances from the line.

    Examples
    --------
    >>> from leadfoot.evidence.judgement import UsualSpread
    >>> from leadfoot.evidence.pattern import pattern_change
    >>> balls = Seen(values=np.array([9.0, 14, 3, 11, 7, 2, -1, 6, 3, 5]),
    ...              with_change=np.arange(10) >= 5, ball_number=np.arange(10.0))
    >>> found = pattern_change(balls, UsualSpread(sd=8.0, n_shots=80))
    >>> chance = chance_smaller_miss(found, balls, 0.97, n_more=30)
    >>> bool(0.0 < chance[9] < chance[29] < 1.0)
    True
    """
    less = float(ndtri(np.clip(pattern.misses_clearly_less, 1e-6, 1.0 - 1e-6)))
    more = float(ndtri(np.clip(pattern.misses_clearly_more, 1e-6, 1.0 - 1e-6)))
    margin = -math.log(MISS_SHARE)
    sd = 2.0 * margin / max(-(less + more), 0.05)
    mean = sd * less + margin
    ahead = balls.n_after + np.arange(0.0, n_more + 1.0)
    told = 1.0 / (MISS_PER_LOG / balls.n_before + MISS_PER_LOG / ahead)
    variance = 1.0 / (1.0 / sd**2 + told - told[0])
    sds = np.sqrt(variance[1:])
    step = np.sqrt(np.maximum(-np.diff(variance), 0.0))
    walk = mean + np.cumsum(step * _steps(n_more), axis=1)
    place = ndtri(shown)
    shown_at = ((walk - margin) / sds > place) | ((walk + margin) / sds < -place)
    answered = np.logical_or.accumulate(shown_at, axis=1)
    return np.asarray(answered.mean(axis=0), dtype=np.float64)


def _variances_ahead(
    change: LevelChange, balls: Seen, planned: NDArray[np.bool_], prior: LevelPrior
) -> Floats:
    """Posterior variance of the change after each planned ball, falling, shape (planned,)."""
    n_more = len(planned)
    ahead = Seen(
        values=np.concatenate((balls.values, np.zeros(n_more))),
        with_change=np.concatenate((balls.with_change, planned)),
        ball_number=np.concatenate(
            (balls.ball_number, balls.ball_number[-1] + np.arange(1.0, n_more + 1.0))
        ),
    )
    terms = design(ahead, prior)
    n = len(balls.values)
    flat = np.array([1 / prior.level_sd**2, 0.0, 1 / prior.slope_sd**2, 1 / prior.warm_sd**2])
    outer = change.information * terms[:, :, None] * terms[:, None, :]
    now = np.diag(flat) + outer[:n].sum(axis=0)
    then = now + np.cumsum(outer[n:], axis=0)
    told_now = 1.0 / np.linalg.inv(now)[1, 1]
    told_then = 1.0 / np.linalg.inv(then)[:, 1, 1]
    gain = np.maximum.accumulate(np.maximum(told_then - told_now, 0.0))
    return np.asarray(1.0 / (1.0 / change.sd**2 + gain), dtype=np.float64)


@cache
def _steps(n_more: int) -> Floats:
    """Standard normal steps, the same every time, each walk with its mirror image."""
    half = np.random.default_rng(20_260).standard_normal((N_PATHS, n_more))
    return np.concatenate((half, -half))
