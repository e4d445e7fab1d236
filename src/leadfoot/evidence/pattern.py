"""Where the balls go: how bias and spread about the target line changed, kept apart.

The balls before and with the change have each a mean and a spread, counted in the student's usual
spread ``s``. Held possible beforehand: ``log(spread before / s) ~ N(0, doubt²)``,
``log(with / before) ~ N(0, 0.3²)``, mean before ``~ N(0, 3²)``, mean with the change less mean
before ``~ N(0, 0.7²)``, a wander of the mean from block to block and a steady drift from ball to
ball that are nobody's doing. The two spreads are summed over a grid; means and drift are normal at
each of its points. Balls stray by a t (`leadfoot.evidence.blocks`), so mishits stay in the sums.
"""

import math
from dataclasses import dataclass

import numpy as np

from leadfoot.errors import InputError
from leadfoot.evidence.blocks import LOG_SPREADS, STEP, weigh_blocks
from leadfoot.evidence.judgement import UsualSpread
from leadfoot.evidence.lesson import Seen
from leadfoot.evidence.misses import Cells, miss_odds
from leadfoot.evidence.mixture import mixture_ends
from leadfoot.evidence.pairs import (
    DEFAULT_PATTERN_PRIOR,
    Pairs,
    PatternPrior,
    pairs_of,
    ratio_odds,
)
from leadfoot.evidence.usual import scale_doubt, spread_today

FURTHEST_SD = 1000.0
"""A ball further than this from the target counts as this far; keeps the sums finite."""
NINETY = (0.05, 0.95)
"""Shares of the mass below the ends of the central 90 %."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Half:
    """Bias or spread in SI; ``low`` and ``high`` hold the change with 90 % probability."""

    before: float
    after: float
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PatternChange:
    """What changed in one direction quantity.

    Attributes
    ----------
    bias, spread
        Means (right positive) and standard deviations of the solid balls.
    nearer, nearer_clearly, farther_clearly
        Probability that the mean lies nearer the target; by more than
        `leadfoot.evidence.misses.NEARER_SD`; farther.
    narrower, narrower_clearly, wider_clearly
        Probability that the spread is smaller; by more than 5 in 100; larger.
    misses_less, misses_clearly_less, misses_clearly_more
        Probability that the average miss is smaller; below `leadfoot.evidence.misses.MISS_SHARE`
        of the one before; the other way round.
    log_ratio_mean, log_ratio_sd
        Mean and standard deviation of the logarithm of the spread with the change over the one
        before.
    wider_than_usual
        True if the usual spread was raised because today's balls stray much more.
    """

    bias: Half
    spread: Half
    nearer: float
    nearer_clearly: float
    farther_clearly: float
    narrower: float
    narrower_clearly: float
    wider_clearly: float
    misses_less: float
    misses_clearly_less: float
    misses_clearly_more: float
    log_ratio_mean: float
    log_ratio_sd: float
    wider_than_usual: bool


def pattern_change(
    balls: Seen, usual: UsualSpread, *, prior: PatternPrior = DEFAULT_PATTERN_PRIOR
) -> PatternChange:
    """Posterior of bias and spread of a direction quantity.

    Parameters
    ----------
    balls
        At least one ball before and one with the change, in any order of blocks; with a
        ``slope_sd`` of 0 the order within a block plays no part.
    usual
        The student's usual spread of this quantity.
    prior
        The model's assumptions.

    Raises
    ------
    InputError
        If a side has no ball, or a ball has no number.

    Examples
    --------
    >>> offline = np.array([9.0, 14, 3, 11, 7, 12, 2, -1, 1, 3, 0, -2, 2, 1])
    >>> balls = Seen(values=offline, with_change=np.arange(14) >= 7, ball_number=np.arange(14.0))
    >>> found = pattern_change(balls, UsualSpread(sd=5.0, n_shots=80))
    >>> found.nearer > 0.95, found.narrower > 0.95
    (True, False)
    """
    _check(balls)
    unit_si, wider = spread_today(balls, usual)
    z = np.clip(balls.values / unit_si, -FURTHEST_SD, FURTHEST_SD)
    blocks = weigh_blocks(z, balls, tails=prior.tails)
    doubt = scale_doubt(usual.n_shots)
    table = pairs_of(blocks, -0.5 * (LOG_SPREADS[:, None] / doubt) ** 2, prior)
    return change_in(table, unit_si, wider_than_usual=wider)


def _check(balls: Seen) -> None:
    if balls.fewest == 0:
        raise InputError(
            f"There are {balls.n_before} balls before and {balls.n_after} with the change.",
            fix="Give at least one ball on either side.",
        )
    if not np.isfinite(balls.values).all():
        place = int(np.argmin(np.isfinite(balls.values)))
        raise InputError(
            f"The ball {place} has the value {balls.values[place]}.",
            fix="Leave the ball away where it has no value.",
        )


def change_in(table: Pairs, unit_si: float, *, wider_than_usual: bool) -> PatternChange:
    """Read the change off the weighed pairs of spreads, as one record in SI."""
    cells = table.heaviest()
    odds = miss_odds(cells)
    ratio = ratio_odds(table.weight)
    return PatternChange(
        bias=_bias(cells, unit_si),
        spread=_spread(cells, unit_si),
        nearer=odds.nearer,
        nearer_clearly=odds.nearer_clearly,
        farther_clearly=odds.farther_clearly,
        narrower=ratio.narrower,
        narrower_clearly=ratio.narrower_clearly,
        wider_clearly=ratio.wider_clearly,
        misses_less=odds.misses_less,
        misses_clearly_less=odds.misses_clearly_less,
        misses_clearly_more=odds.misses_clearly_more,
        log_ratio_mean=ratio.mean,
        log_ratio_sd=ratio.sd,
        wider_than_usual=wider_than_usual,
    )


def _bias(cells: Cells, unit_si: float) -> Half:
    before, after = (float(cells.weight @ m) for m in (cells.mean_before, cells.mean_after))
    shift = cells.mean_after - cells.mean_before
    sd = np.sqrt(cells.variance_before + cells.variance_after - 2.0 * cells.lean)
    low, high = mixture_ends(cells.weight, shift, sd, NINETY)
    return Half(
        before=unit_si * before, after=unit_si * after, low=unit_si * low, high=unit_si * high
    )


def _spread(cells: Cells, unit_si: float) -> Half:
    before = np.exp(LOG_SPREADS[cells.before])
    after = np.exp(LOG_SPREADS[cells.after])
    # A cell is not a point: its own width is that of two even places, a triangle.
    width = np.full(len(before), STEP / math.sqrt(6.0)) * 0.5 * (before + after)
    low, high = mixture_ends(cells.weight, after - before, width, NINETY)
    return Half(
        before=unit_si * float(cells.weight @ before),
        after=unit_si * float(cells.weight @ after),
        low=unit_si * low,
        high=unit_si * high,
    )
