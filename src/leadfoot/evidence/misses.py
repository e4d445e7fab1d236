"""Odds that mix means and spreads: who lies nearer the target, who misses it by less.

Two sides, each with a mean and a spread; the spreads lie in the cells of a grid, the means are
normal in each cell. Which mean lies nearer is a matter of quadrants of their sum and difference,
summed exactly. For the average miss the mean before is set to Gauss-Hermite nodes and the mean with
the change integrated in closed form. The odds are smooth in the balls, the same every time, and
left and right are exact mirror images.
"""

import math
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from leadfoot.evidence.blocks import LOG_SPREADS, STEP
from leadfoot.evidence.noise import Floats

NEARER_SD = 0.1
"""A mean is nearer the target if it is so by this much, in usual spreads. A choice."""
MISS_SHARE = 0.95
"""An average miss counts as smaller if it is below this share of the one before. A choice."""

N_MEANS = 5
"""Gauss-Hermite nodes of the mean before in each cell."""
WITHIN = (-0.25, 0.25)
"""Places of the spread with the change within its cell, in steps of the grid. With these two and
the nodes the odds are good to 0.001 on average and 0.013 at worst (against 41 nodes, 32 places)."""
LIGHTEST = 3e-3
"""Cells below this share of the heaviest are left away: about three parts in a thousand in all."""

LEAST_MISS = math.sqrt(2.0 / math.pi)
"""Average miss of a standard normal about the target, in its spreads."""
_HALF = np.polynomial.legendre.leggauss(3)
QUADRANT_NODES: tuple[Floats, Floats] = (0.5 * (_HALF[0] + 1.0), 0.5 * _HALF[1] / (2.0 * math.pi))
"""Gauss-Legendre nodes over 0 to 1 and their weights, divided by 2π."""
N_TABLE = 1024
ROOTS_PER_ONE = 425.0
"""The table ends at a miss of 6.6 spreads; beyond, a mean and its average miss are one number."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Cells:
    """Cells of the two spreads with the means in each, every array of shape (cells,).

    ``before`` and ``after`` are the nodes of `LOG_SPREADS`; ``lean`` is the covariance of the two
    means; all in usual spreads.
    """

    weight: Floats
    before: NDArray[np.intp]
    after: NDArray[np.intp]
    mean_before: Floats
    mean_after: Floats
    variance_before: Floats
    variance_after: Floats
    lean: Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class MissOdds:
    """The odds; see `leadfoot.evidence.pattern.PatternChange` for what each means."""

    nearer: float
    nearer_clearly: float
    farther_clearly: float
    misses_less: float
    misses_clearly_less: float
    misses_clearly_more: float


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
    folded: Floats = sd * LEAST_MISS * np.exp(-0.5 * place**2) + mean * (1.0 - 2.0 * ndtr(-place))
    return folded


def mean_with_miss(miss: Floats) -> Floats:
    """How far off the mean of a standard normal lies whose average miss is this; 0 for none.

    The inverse of `average_miss` at a spread of 1, from a table even in ``√(miss - √(2/π))``, where
    it is smooth; good to 1e-5.

    Examples
    --------
    >>> mean_with_miss(np.array([0.5, 0.7978846, 1.1666303, 9.0])).round(3)
    array([0., 0., 1., 9.])
    """
    mean = inverse_table()
    place = np.sqrt(np.maximum(miss - LEAST_MISS, 0.0)) * ROOTS_PER_ONE
    low = np.minimum(place, N_TABLE - 2).astype(np.intp)
    found = mean[low] + (place - low) * (mean[low + 1] - mean[low])
    return np.where(place > N_TABLE - 2, miss, found)


@cache
def inverse_table() -> Floats:
    """The mean at even nodes of ``√(miss - √(2/π))``, by Newton steps."""
    root = np.arange(N_TABLE) / ROOTS_PER_ONE
    miss = LEAST_MISS + root**2
    mean = root * math.sqrt(2.0 / LEAST_MISS)
    for _ in range(50):
        slope = np.maximum(1.0 - 2.0 * ndtr(-mean), 1e-9)
        mean = np.maximum(mean - (average_miss(mean, np.ones(N_TABLE)) - miss) / slope, 0.0)
    mean[0] = 0.0
    return mean


def miss_odds(cells: Cells) -> MissOdds:
    """Sum the odds over the cells.

    Examples
    --------
    >>> one, node = np.ones(1), np.array([13])
    >>> cells = Cells(weight=one, before=node, after=node, mean_before=1.0 * one,
    ...     mean_after=0.2 * one, variance_before=0.01 * one, variance_after=0.01 * one,
    ...     lean=0.0 * one)
    >>> found = miss_odds(cells)
    >>> found.nearer_clearly > 0.99, found.misses_clearly_less > 0.99
    (True, True)
    """
    nearer, nearer_clearly, farther_clearly = _quadrants(cells)
    less, clearly_less, not_clearly_more = _misses_below(cells, (1.0, MISS_SHARE, 1 / MISS_SHARE))
    return MissOdds(
        nearer=nearer,
        nearer_clearly=nearer_clearly,
        farther_clearly=farther_clearly,
        misses_less=less,
        misses_clearly_less=clearly_less,
        misses_clearly_more=1.0 - not_clearly_more,
    )


def _quadrants(cells: Cells) -> tuple[float, float, float]:
    """Odds that the mean lies nearer, clearly nearer, clearly farther.

    Notes
    -----
    With u the difference and v the sum of the two means, ``|after| < |before| - c`` where both
    exceed c or both lie below -c, and ``|after| > |before| + c`` where one does each. Quadrants of
    the bivariate normal by Gauss-Legendre nodes over its correlation (Z. Drezner and
    G. O. Wesolowsky, J. Stat. Comput. Simul. 35:101-107, 1990, from memory), which is small here.
    """
    both = cells.variance_before + cells.variance_after
    sd_u, sd_v = np.sqrt(both - 2.0 * cells.lean), np.sqrt(both + 2.0 * cells.lean)
    r = (cells.variance_before - cells.variance_after) / (sd_u * sd_v)
    u = (cells.mean_before - cells.mean_after) / sd_u
    v = (cells.mean_before + cells.mean_after) / sd_v
    c, d = NEARER_SD / sd_u, NEARER_SD / sd_v
    above = above_zero(
        np.stack((u, -u, u - c, -u - c, -u - c, u - c)),
        np.stack((v, -v, v - d, -v - d, v - d, -v - d)),
        np.stack((r, r, r, r, -r, -r)),
    )
    odds = np.clip((above[::2] + above[1::2]) @ cells.weight, 0.0, 1.0)
    return float(odds[0]), float(odds[1]), float(odds[2])


def above_zero(h: Floats, k: Floats, correlation: Floats) -> Floats:
    """Probability that two normals of means h and k and variance 1 are both above 0.

    Good to 1e-7 for correlations up to 0.4, to 1e-4 up to 0.7.

    Examples
    --------
    >>> above_zero(np.array([0.0]), np.array([0.0]), np.array([0.5])).round(5)
    array([0.33333])
    """
    node, weight = QUADRANT_NODES
    r = np.multiply.outer(node, correlation)
    rest = 1.0 - r * r
    bulge = np.exp((r * (h * k) - 0.5 * (h * h + k * k)) / rest) / np.sqrt(rest)
    both = ndtr(h) * ndtr(k) + correlation * np.tensordot(weight, bulge, axes=1)
    return np.asarray(both, dtype=np.float64)


def _misses_below(cells: Cells, shares: tuple[float, ...]) -> list[float]:
    """Odds that the average miss is below each share of the one before."""
    node, node_weight = mean_nodes()
    root = np.sqrt(cells.variance_before)
    slope = cells.lean / root
    rest = np.sqrt(cells.variance_after - slope * slope)[:, None, None]
    size = np.abs(cells.mean_before[:, None] + root[:, None] * node)
    after = (cells.mean_after[:, None] + slope[:, None] * node)[:, :, None]
    spread = np.exp(LOG_SPREADS[cells.before])[:, None]
    narrow = np.exp(-LOG_SPREADS[cells.after][:, None] - STEP * np.array(WITHIN))[:, None, :]
    miss = average_miss(size, spread)[:, :, None] * narrow
    limit = mean_with_miss(np.multiply.outer(np.array(shares), miss)) / narrow
    inside = ndtr((limit - after) / rest) - ndtr((-limit - after) / rest)
    within = np.maximum(inside, 0.0).sum(axis=3) / len(WITHIN)
    odds = (within @ node_weight) @ cells.weight
    return [float(one) for one in np.clip(odds, 0.0, 1.0)]


@cache
def mean_nodes() -> tuple[Floats, Floats]:
    """Gauss-Hermite nodes of a standard normal and their weights, exactly even."""
    node, weight = np.polynomial.hermite_e.hermegauss(N_MEANS)
    node, weight = 0.5 * (node - node[::-1]), 0.5 * (weight + weight[::-1])
    return node, weight / weight.sum()
