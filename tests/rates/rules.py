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
