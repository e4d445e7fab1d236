"""Two blocks with heavy tails: the difference of their means and of their spreads.

Both blocks follow Student's t with a mean and a scale each and common tails; all priors are nearly
flat. One look, no drift, any two blocks. What it adds to a t test: far balls are borne, and the
difference of the spreads comes along.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import gammaln

from leadfoot.errors import InputError
from leadfoot.evidence.second.numbers import finite_numbers

Floats = NDArray[np.float64]
_NODES = 81
_N_TAILS = 36
_N_DRAWS = 60_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """Posterior mean, the shortest range that holds a probability, and the odds to be above 0."""

    mean: float
    low: float
    high: float
    above_zero: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TGroups:
    """What two blocks say: differences are with the change less before.

    Attributes
    ----------
    means, spreads
        Difference of the means, and of the scales of the t.
    size
        Difference of the means over the root of the mean squared scale.
    tails
        Posterior mean of the degrees of freedom: below 10 there are far balls.
    """

    means: Estimate
    spreads: Estimate
    size: Estimate
    tails: float


def t_groups(before: ArrayLike, with_change: ArrayLike, *, probability: float = 0.95) -> TGroups:
    """Estimate both blocks together.

    Parameters
    ----------
    before, with_change
        Shapes (m,) and (n,), at least three balls each, not all the same within either.
    probability
        Probability that the ranges hold, in (0, 1).

    Raises
    ------
    InputError
        If there are too few balls, or a block has no spread.

    Notes
    -----
    J. K. Kruschke, Journal of Experimental Psychology: General 142:573-603, 2013: flat means and
    scales, tails ``1 + Exp(29)``. Summed over a grid here, and what mixes the parameters read off
    fixed even draws, so that the same balls always give the same answer.

    Examples
    --------
    >>> found = t_groups([90.0, 91, 89, 92, 90, 91], [93.0, 93, 92, 96, 94, 93])
    >>> round(found.means.mean, 1), round(found.means.above_zero, 3)
    (2.9, 0.993)
    """
    blocks = [
        finite_numbers(values, name, fewest=3)
        for values, name in ((before, "before"), (with_change, "with_change"))
    ]
    if any(np.ptp(block) == 0.0 for block in blocks):
        raise InputError(
            "All balls of a block are the same, so it has no spread.",
            fix="Give values as measured, not rounded to one number.",
        )
    beyond = np.exp(np.linspace(math.log(0.03), math.log(180.0), _N_TAILS))
    tails = 1.0 + beyond
    grids = [[_grid(block, one) for one in tails] for block in blocks]
    log_weight = np.array([sum(side[k].log_evidence for side in grids) for k in range(len(tails))])
    log_weight += np.log(beyond) - beyond / 29.0  # the prior, summed over the logarithm
    weight = np.exp(log_weight - log_weight.max())
    weight /= weight.sum()
    draws = _even(5, _N_DRAWS)
    at = np.minimum(np.searchsorted(np.cumsum(weight), draws[0]), len(tails) - 1)
    mean_1, scale_1 = _pick(grids[0], at, draws[1], draws[2])
    mean_2, scale_2 = _pick(grids[1], at, draws[3], draws[4])
    size = (mean_2 - mean_1) / np.sqrt(0.5 * (scale_1**2 + scale_2**2))
    return TGroups(
        means=_estimate(mean_2 - mean_1, probability),
        spreads=_estimate(scale_2 - scale_1, probability),
        size=_estimate(size, probability),
        tails=float(weight @ tails),
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Grid:
    """Posterior of mean and scale of one block at given tails."""

    means: Floats  # (a,)
    scales: Floats  # (b,)
    of_scale: Floats  # (b,): cumulated weight of the scales
    of_mean: Floats  # (b, a): cumulated weight of the means at each scale
    log_evidence: float


def _grid(block: Floats, tails: float) -> _Grid:
    n = len(block)
    middle, away = float(np.median(block)), float(np.std(block))
    error = away / math.sqrt(n)
    # Wide enough for tails of 1 and of 100, and closer in where many balls narrow it.
    reach = 4.0 + 30.0 / n
    means = middle + error * np.linspace(-1.5 * reach, 1.5 * reach, 2 * _NODES - 1)
    logs = math.log(away) + np.linspace(-2.6 - 3.0 / n, 0.8 + 6.0 / n, 2 * _NODES - 1)
    scales = np.exp(logs)
    squared = (block[None, :] - means[:, None]) ** 2
    log_density = np.empty((len(scales), len(means)))
    for row, scale in enumerate(scales):
        log_density[row] = np.log1p(squared / (tails * scale * scale)).sum(axis=1)
    constant = gammaln(0.5 * (tails + 1.0)) - gammaln(0.5 * tails) - 0.5 * math.log(tails)
    log_density = -0.5 * (tails + 1.0) * log_density + n * (constant - logs[:, None])
    log_density += logs[:, None]  # flat in the scale, summed over its logarithm
    top = float(log_density.max())
    density = np.exp(log_density - top)
    rows = density.sum(axis=1)
    return _Grid(
        means=means,
        scales=scales,
        of_scale=np.cumsum(rows) / rows.sum(),
        of_mean=(np.cumsum(density, axis=1) - 0.5 * density) / np.maximum(rows[:, None], 1e-300),
        log_evidence=top
        + math.log(float(rows.sum()) * (means[1] - means[0]) * (logs[1] - logs[0])),
    )


def _pick(grids: list[_Grid], at: NDArray[np.int64], u: Floats, v: Floats) -> tuple[Floats, Floats]:
    """Draw scale by `u`, then mean by `v`, from the grid that each draw is `at`."""
    means, scales = np.empty(len(at)), np.empty(len(at))
    for k, grid in enumerate(grids):
        here = np.flatnonzero(at == k)
        if not len(here):
            continue
        row = np.minimum(np.searchsorted(grid.of_scale, u[here]), len(grid.scales) - 1)
        scales[here] = grid.scales[row]
        for one in np.unique(row):
            mine = here[row == one]
            means[mine] = np.interp(v[mine], grid.of_mean[one], grid.means)
    return means, scales


def _even(dimensions: int, n: int) -> Floats:
    """Even places in the unit cube, the same every time: shape (dimensions, n).

    An additive recurrence with the root of ``x ** (d + 1) = x + 1`` (common practice, no source).
    """
    golden = 1.0
    for _ in range(80):
        golden = (1.0 + golden) ** (1.0 / (dimensions + 1))
    steps = np.arange(1, n + 1)[None, :] / golden ** np.arange(1, dimensions + 1)[:, None]
    return np.asarray((0.5 + steps) % 1.0, dtype=np.float64)


def _estimate(draws: Floats, probability: float) -> Estimate:
    """Mean and the shortest range of the draws."""
    ordered = np.sort(draws)
    inside = math.ceil(probability * len(ordered)) - 1
    widths = ordered[inside:] - ordered[: len(ordered) - inside]
    # Near its shortest the width hardly changes: smoothed, the place does not hang on a few draws.
    reach = max(len(widths) // 50, 1)
    level = np.convolve(widths, np.ones(2 * reach + 1) / (2 * reach + 1), mode="valid")
    first = int(np.argmin(level)) + reach if len(level) > 1 else int(np.argmin(widths))
    return Estimate(
        mean=float(draws.mean()),
        low=float(ordered[first]),
        high=float(ordered[first + inside]),
        above_zero=float((draws > 0.0).mean()),
    )
