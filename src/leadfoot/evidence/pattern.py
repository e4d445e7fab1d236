"""Where the balls go: how bias and spread about the target line changed, kept apart.

The balls before and with the change have each a mean and a spread, counted in the student's usual
spread ``s``, with mishits to either side (`leadfoot.evidence.noise`). Held possible beforehand:
``log(spread before / s) ~ N(0, doubt²)``, ``log(with / before) ~ N(0, 0.3²)``, mean before
``~ N(0, 3²)``, mean with the change less mean before ``~ N(0, 0.7²)``, and a wander of 0.15 of the
mean from block to block that is nobody's doing. The two spreads are summed over a grid; the two
means are normal at each of its points. What mixes means and spreads (the average miss) is read
off a fixed, even set of draws, so the same balls always give the same answer.
"""

import math
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr, ndtri

from leadfoot.evidence.judgement import UsualSpread
from leadfoot.evidence.lesson import Seen
from leadfoot.evidence.noise import DIRECTION_NOISE, Floats, Noise, split
from leadfoot.evidence.usual import scale_doubt, spread_today

RATIO_DOUBT = 0.3
"""How far the change may make the pattern narrower or wider, as a standard deviation of the
logarithm. Assumed."""
SHIFT_SD = 0.7
"""How far the change may move the mean, in usual spreads. Assumed."""
WANDER_SD = 0.15
"""How far the mean moves between blocks by itself, in usual spreads. Assumed."""
LEVEL_SD = 3.0
"""How far the mean may lie from the target, in usual spreads. Assumed."""
NEARER_SD = 0.1
"""A mean is nearer the target if it is so by this much, in usual spreads."""
MISS_SHARE = 0.95
"""An average miss counts as smaller if it is below this share of the one before."""

FURTHEST_SD = 1000.0
STEP = 0.1
LOG_SPREADS: Floats = -1.3 + STEP * np.arange(24, dtype=np.float64)
"""Nodes of the grid over the logarithm of each spread: 0.27 to 2.7 usual spreads."""
N_DRAWS = 1024


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
        Probability that the mean lies nearer the target; by more than `NEARER_SD`; farther.
    narrower
        Probability that the spread is smaller.
    misses_less, misses_clearly_less, misses_clearly_more
        Probability that the average miss is smaller; below `MISS_SHARE` of the one before; the
        other way round.
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
    misses_less: float
    misses_clearly_less: float
    misses_clearly_more: float
    log_ratio_mean: float
    log_ratio_sd: float
    wider_than_usual: bool


def pattern_change(
    balls: Seen, usual: UsualSpread, *, noise: Noise = DIRECTION_NOISE
) -> PatternChange:
    """Posterior of bias and spread of a direction quantity.

    Parameters
    ----------
    balls
        At least one ball before and one with the change; the order within them plays no part.
    usual
        The student's usual spread of this quantity.
    noise
        The mishit part.

    Examples
    --------
    >>> offline = np.array([9.0, 14, 3, 11, 7, 12, 2, -1, 1, 3, 0, -2, 2, 1])
    >>> balls = Seen(values=offline, with_change=np.arange(14) >= 7, ball_number=np.arange(14.0))
    >>> found = pattern_change(balls, UsualSpread(sd=5.0, n_shots=80))
    >>> found.nearer > 0.95, found.narrower > 0.95
    (True, False)
    """
    unit_si, wider = spread_today(balls, usual)
    z = np.clip(balls.values / unit_si, -FURTHEST_SD, FURTHEST_SD)
    before = _block(z[~balls.with_change], noise)
    after = _block(z[balls.with_change], noise)
    weight = _cell_weights(before, after, scale_doubt(usual.n_shots))
    mean_before, mean_after, spread_before, spread_after = _draw(weight, before, after)
    ratio_mean, ratio_sd = _log_ratio(weight)
    near_before, near_after = np.abs(mean_before), np.abs(mean_after)
    miss_before = average_miss(mean_before, spread_before)
    miss_after = average_miss(mean_after, spread_after)
    return PatternChange(
        bias=_half(mean_before, mean_after, unit_si),
        spread=_half(spread_before, spread_after, unit_si),
        nearer=_share(near_after < near_before),
        nearer_clearly=_share(near_after < near_before - NEARER_SD),
        farther_clearly=_share(near_after > near_before + NEARER_SD),
        narrower=_narrower(weight),
        misses_less=_share(miss_after < miss_before),
        misses_clearly_less=_share(miss_after < MISS_SHARE * miss_before),
        misses_clearly_more=_share(MISS_SHARE * miss_after > miss_before),
        log_ratio_mean=ratio_mean,
        log_ratio_sd=ratio_sd,
        wider_than_usual=wider,
    )


def average_miss(mean: Floats, sd: Floats) -> Floats:
    """Mean distance from zero of a normal: ``E|x|``, in the unit of the arguments.

    Notes
    -----
    ``sd √(2/π) exp(-m²/2sd²) + m (1 - 2 Φ(-m/sd))``, the mean of the folded normal distribution
    (F. C. Leone, L. S. Nelson and R. B. Nottingham, Technometrics 3:543-550, 1961).

    Examples
    --------
    >>> average_miss(np.array([0.0, 3.0]), np.array([1.0, 1.0])).round(4)
    array([0.7979, 3.0008])
    """
    place = mean / sd
    folded: Floats = sd * math.sqrt(2 / math.pi) * np.exp(-0.5 * place**2) + mean * (
        1.0 - 2.0 * ndtr(-place)
    )
    return folded


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Block:
    """Mean, its variance and log evidence of a block at each spread of the grid, shape (24,)."""

    mean: Floats
    variance: Floats
    log_evidence: Floats


def _block(z: Floats, noise: Noise) -> _Block:
    scale = np.exp(LOG_SPREADS)[:, None]
    mean = np.full(len(LOG_SPREADS), np.median(z))
    for _ in range(40):
        parts = split(z - mean[:, None], scale, noise)
        step = parts.score.sum(axis=1) / np.maximum(
            parts.curvature.sum(axis=1), 0.25 * parts.weight.sum(axis=1)
        )
        mean = mean + step
        if np.abs(step).max() < 1e-4:
            break
    parts = split(z - mean[:, None], scale, noise)
    # A block that splits into two heaps has no peak here; a quarter of the expected sharpness
    # then stands for a broad one.
    sharpness = np.maximum(parts.curvature.sum(axis=1), 0.25 * parts.weight.sum(axis=1))
    return _Block(
        mean=mean,
        variance=1.0 / sharpness,
        log_evidence=parts.log_density.sum(axis=1) - 0.5 * np.log(sharpness),
    )


def _cell_weights(before: _Block, after: _Block, doubt: float) -> Floats:
    """Posterior weight of each pair of spreads, shape (24 before, 24 after)."""
    log_ratio = LOG_SPREADS[None, :] - LOG_SPREADS[:, None]
    variance = before.variance[:, None] + after.variance[None, :] + SHIFT_SD**2 + WANDER_SD**2
    gap = after.mean[None, :] - before.mean[:, None]
    log_weight = (
        before.log_evidence[:, None]
        + after.log_evidence[None, :]
        - 0.5 * (LOG_SPREADS[:, None] / doubt) ** 2
        - 0.5 * (log_ratio / RATIO_DOUBT) ** 2
        - 0.5 * np.log(variance)
        - 0.5 * gap**2 / variance
    )
    weight: Floats = np.exp(log_weight - log_weight.max())
    return np.asarray(weight / weight.sum(), dtype=np.float64)


@cache
def _even_draws() -> tuple[Floats, Floats, Floats]:
    """Places along the cells (n,), standard normals (n, 2) and jitters in ±0.5 (n, 2).

    A generalised golden ratio sequence: even, and the same every time. (Additive recurrence with
    the root of x⁵ = x + 1; common practice, no source.)
    """
    golden = 1.0
    for _ in range(60):
        golden = (1.0 + golden) ** 0.2
    steps = np.arange(1, N_DRAWS + 1)[:, None] / golden ** np.arange(1, 5)
    even = np.clip((0.5 + steps) % 1.0, 1e-5, 1.0 - 1e-5)
    places = (np.arange(N_DRAWS) + 0.5) / N_DRAWS
    return places, ndtri(even[:, :2]), even[:, 2:] - 0.5


def _draw(weight: Floats, before: _Block, after: _Block) -> tuple[Floats, Floats, Floats, Floats]:
    """Draws of both means and both spreads, each with its mirror image in the means."""
    places, normals, jitter = _even_draws()
    size = len(LOG_SPREADS)
    cell = np.minimum(np.searchsorted(np.cumsum(weight), places), size * size - 1)
    i, j = cell // size, cell % size
    tie = 1.0 / SHIFT_SD**2
    precision_before, precision_after = (
        1.0 / before.variance[i],
        1.0 / (after.variance[j] + WANDER_SD**2),
    )
    a11, a22 = precision_before + 1.0 / LEVEL_SD**2 + tie, precision_after + tie
    b1, b2 = before.mean[i] * precision_before, after.mean[j] * precision_after
    determinant = a11 * a22 - tie * tie
    centre_before = (a22 * b1 + tie * b2) / determinant
    centre_after = (a11 * b2 + tie * b1) / determinant
    root = np.sqrt(a22 / determinant)
    lean = tie / determinant / root
    rest = np.sqrt(a11 / determinant - lean * lean)
    away_before = root * normals[:, 0]
    away_after = lean * normals[:, 0] + rest * normals[:, 1]
    spread_before = np.exp(LOG_SPREADS[i] + STEP * jitter[:, 0])
    spread_after = np.exp(LOG_SPREADS[j] + STEP * jitter[:, 1])
    return (
        np.concatenate((centre_before + away_before, centre_before - away_before)),
        np.concatenate((centre_after + away_after, centre_after - away_after)),
        np.tile(spread_before, 2),
        np.tile(spread_after, 2),
    )


def _log_ratio(weight: Floats) -> tuple[float, float]:
    """Mean and standard deviation of the logarithm of the ratio of the spreads."""
    log_ratio = LOG_SPREADS[None, :] - LOG_SPREADS[:, None]
    mean = float((weight * log_ratio).sum())
    return mean, math.sqrt(float((weight * (log_ratio - mean) ** 2).sum()) + STEP**2 / 6)


def _narrower(weight: Floats) -> float:
    """Probability that the spread is smaller: the cells below the diagonal, half of those on it."""
    return float(np.clip(np.tril(weight, -1).sum() + 0.5 * np.trace(weight), 0.0, 1.0))


def _share(draws: NDArray[np.bool_]) -> float:
    return float(draws.mean())


def _half(before: Floats, after: Floats, unit_si: float) -> Half:
    low, high = np.quantile(after - before, (0.05, 0.95))
    return Half(
        before=unit_si * float(before.mean()),
        after=unit_si * float(after.mean()),
        low=unit_si * float(low),
        high=unit_si * float(high),
    )
