"""Rules that a coach might use instead, for comparison: the averages, and a test after every ball.

Each takes the values of many lessons with one block before and one with the change, shape
(lessons, balls), and says after which ball with the change it would have said "it works".
"""

import numpy as np
from numpy.typing import NDArray
from scipy import stats

Floats = NDArray[np.float64]
Said = NDArray[np.bool_]


def better_average(values: Floats, n_before: int, n_after: int) -> Said:
    """Today's habit: the average of the first n balls with the change beats the one before."""
    before = values[:, :n_before].mean(axis=1)
    return np.asarray(values[:, n_before : n_before + n_after].mean(axis=1) > before)


def better_average_at_any_look(values: Floats, n_before: int, fewest: int = 5) -> Said:
    """The same after every ball, stopping as soon as it is ahead."""
    after = values[:, n_before:]
    running = np.cumsum(after, axis=1) / np.arange(1, after.shape[1] + 1)
    ahead = running > values[:, :n_before].mean(axis=1)[:, None]
    return np.asarray(ahead[:, fewest - 1 :].any(axis=1))


def welch(values: Floats, n_before: int, n_after: int) -> Said:
    """Two-sided Welch test at 5 %, one look, in the better direction."""
    t, df = welch_statistic(values[:, :n_before], values[:, n_before : n_before + n_after])
    return np.asarray(stats.t.sf(t, df) < 0.025)


def welch_statistic(before: Floats, after: Floats) -> tuple[Floats, Floats]:
    """Welch's t and its degrees of freedom, row by row.

    B. L. Welch, "The generalization of Student's problem when several different population
    variances are involved," Biometrika 34:28-35, 1947. Written out since scipy warns of two equal
    balls, which rounding brings.
    """
    n, m = before.shape[1], after.shape[1]
    a, b = before.var(axis=1, ddof=1) / n, after.var(axis=1, ddof=1) / m
    t = (after.mean(axis=1) - before.mean(axis=1)) / np.sqrt(a + b)
    return t, (a + b) ** 2 / (a**2 / (n - 1) + b**2 / (m - 1))


def welch_at_any_look(values: Floats, n_before: int, fewest: int = 2) -> Said:
    """The same after every ball."""
    n_after = values.shape[1] - n_before
    looks = [welch(values, n_before, n) for n in range(fewest, n_after + 1)]
    return np.asarray(np.any(looks, axis=0))


def rank_test_at_any_look(values: Floats, n_before: int, fewest: int = 5) -> Said:
    """Two-sided rank test at 5 % after every ball, in the better direction.

    The normal approximation with the correction for continuity (H. B. Mann and D. R. Whitney,
    Annals of Mathematical Statistics 18:50-60, 1947, from memory).
    """
    before, after = values[:, :n_before, None], values[:, None, n_before:]
    wins = ((after > before) + 0.5 * (after == before)).sum(axis=1).cumsum(axis=1)
    n_after = np.arange(1, after.shape[2] + 1)
    spread = np.sqrt(n_before * n_after * (n_before + n_after + 1) / 12.0)
    place = (wins - 0.5 - 0.5 * n_before * n_after) / spread
    return np.asarray((place > stats.norm.isf(0.025))[:, fewest - 1 :].any(axis=1))


def e_value_at_any_look(values: Floats, n_before: int, limit: float = 20.0) -> Said:
    """An e-value of 20 after any ball: a one-sided Bayes factor of the two-sample t statistic.

    The change over the spread has a half-normal prior of 1; level and spread have the invariant one
    (M. Gönen and others, The American Statistician 59:252-257, 2005, from memory).
    """
    found = []
    n_after = values.shape[1] - n_before
    for n in range(2, n_after + 1):
        before, after = values[:, :n_before], values[:, n_before : n_before + n]
        freedom = n_before + n - 2
        pooled = before.var(axis=1) * n_before + after.var(axis=1) * n
        size = n_before * n / (n_before + n)
        gap = after.mean(axis=1) - before.mean(axis=1)
        square = gap**2 * size / (pooled / freedom)
        shrunk = square / (1.0 + size)
        factor = (1.0 + size) ** -0.5 * ((1.0 + shrunk / freedom) / (1.0 + square / freedom)) ** (
            -0.5 * (freedom + 1)
        )
        rest = pooled + gap**2 * size / (1.0 + size)
        place = size / (1 + size) * gap / np.sqrt(rest / (1 + size) / (freedom + 1))
        found.append(factor * 2.0 * stats.t.cdf(place, freedom + 1) >= limit)
    return np.asarray(np.any(found, axis=0))
