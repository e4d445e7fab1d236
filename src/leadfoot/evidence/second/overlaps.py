"""How far two blocks overlap: the measures of single-case studies, in which no spread is needed.

They say how *often* a ball with the change beats one before, not by how much. Trend before the
change is told apart from the change by two of them, each in its own way.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.stats import kendalltau, mannwhitneyu, theilslopes

from leadfoot.evidence.second.numbers import finite_numbers

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Overlap:
    """The measures of overlap, for "more is better".

    Attributes
    ----------
    nap
        Share of all pairs in which the ball with the change is larger, ties half: 0.5 where the
        change does nothing.
    nap_error
        Standard error of `nap` where the change does nothing.
    tau
        ``2 nap - 1``, from -1 to 1.
    tau_u
        `tau` less the trend before the change; has no fixed range and no parameter behind it.
    tau_bc
        `tau` after the trend before the change was drawn on and taken out of all balls; None with
        fewer than three balls before.
    pnd
        Share of the balls with the change that beat the best one before.
    """

    nap: float
    nap_error: float
    tau: float
    tau_u: float
    tau_bc: float | None
    pnd: float


def overlap(before: ArrayLike, with_change: ArrayLike) -> Overlap:
    """Compare two blocks ball by ball.

    Parameters
    ----------
    before, with_change
        Shapes (m,) and (n,), in hitting order, at least one ball each; more is better (give misses
        with a minus sign).

    Returns
    -------
    Overlap

    Raises
    ------
    InputError
        If a block is empty or a value is no number.

    Notes
    -----
    NAP: R. I. Parker and K. J. Vannest, Behavior Therapy 40:357-367, 2009; Tau-U: R. I. Parker,
    K. J. Vannest, J. L. Davis and S. B. Sauber, Behavior Therapy 42:284-299, 2011; Tau-BC:
    K. R. Tarlow, Behavior Modification 41:427-467, 2017, always corrected, with the slope of
    H. Theil and P. K. Sen.

    Examples
    --------
    >>> found = overlap([1.0, 2, 3, 4, 5], [6.0, 7, 8, 9, 10])
    >>> found.tau, found.tau_u, found.tau_bc
    (1.0, 0.6, 0.0)
    """
    first = finite_numbers(before, "before", fewest=1)
    second = finite_numbers(with_change, "with_change", fewest=1)
    pairs = len(first) * len(second)
    share = _nap(first, second)
    return Overlap(
        nap=share,
        nap_error=math.sqrt((len(first) + len(second) + 1) / (12.0 * pairs)),
        tau=2.0 * share - 1.0,
        tau_u=2.0 * share - 1.0 - _rises(first) / pairs,
        tau_bc=_tau_bc(first, second),
        pnd=float((second > first.max()).mean()),
    )


def trend_before(before: ArrayLike) -> tuple[float, float]:
    """Kendall's tau of the balls before against their order, and its two-sided p.

    Tau-BC is meant for blocks that have such a trend; where they have none it only adds noise.

    Parameters
    ----------
    before
        Shape (m,), in hitting order, at least two balls.

    Raises
    ------
    InputError
        If there are fewer, or a value is no number.

    Examples
    --------
    >>> tau, p = trend_before([1.0, 2, 3, 4, 5])
    >>> round(tau, 4), round(p, 4)
    (1.0, 0.0167)
    """
    balls = finite_numbers(before, "before", fewest=2)
    found = kendalltau(np.arange(len(balls)), balls)
    # Equal balls have no rank order at all.
    if math.isnan(found.statistic):
        return 0.0, 1.0
    return float(found.statistic), float(found.pvalue)


def _nap(first: Floats, second: Floats) -> float:
    wins = float(mannwhitneyu(second, first, method="asymptotic").statistic)
    return wins / (len(first) * len(second))


def _rises(balls: Floats) -> float:
    """Kendall's S: rises less falls among all pairs of balls in order."""
    return float(np.sign(np.triu(balls[None, :] - balls[:, None], 1)).sum())


def _tau_bc(first: Floats, second: Floats) -> float | None:
    if len(first) < 3:
        return None
    number = np.arange(1.0, len(first) + len(second) + 1.0)
    slope = theilslopes(first, number[: len(first)]).slope
    # Rounded, since ties of whole numbers must stay ties when the trend is taken out.
    level = np.round(np.concatenate([first, second]) - slope * number, 9)
    return 2.0 * _nap(level[: len(first)], level[len(first) :]) - 1.0
