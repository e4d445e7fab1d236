"""The classic tests, for one look at two blocks: Welch, paired t, Brown-Forsythe.

Looked at again after every ball their p means nothing: with twenty looks a 5 % test is wrong one
time in four. They know no drift and are moved by mishits.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy.stats import levene, ttest_ind, ttest_rel

from leadfoot.errors import InputError
from leadfoot.evidence.second.numbers import finite_numbers


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """A difference of means (with the change less before) with its test.

    Attributes
    ----------
    difference, low, high
        In the unit of the values.
    t, freedom, p
        Student's statistic, its degrees of freedom and the two-sided p.
    """

    difference: float
    low: float
    high: float
    t: float
    freedom: float
    p: float


def welch(before: ArrayLike, with_change: ArrayLike, *, probability: float = 0.95) -> Compared:
    """Compare two means whose spreads may differ.

    Parameters
    ----------
    before, with_change
        Shapes (m,) and (n,), at least two balls each, not all the same.
    probability
        Coverage of the range.

    Raises
    ------
    InputError
        If there are too few balls or no spread at all.

    Notes
    -----
    B. L. Welch, Biometrika 34:28-35, 1947.

    Examples
    --------
    >>> found = welch([90.0, 91, 89, 92], [93.0, 93, 92, 96])
    >>> found.difference, round(found.p, 3)
    (3.0, 0.035)
    """
    first = finite_numbers(before, "before", fewest=2)
    second = finite_numbers(with_change, "with_change", fewest=2)
    if np.ptp(first) == 0.0 and np.ptp(second) == 0.0:
        raise _no_spread()
    found = ttest_ind(second, first, equal_var=False)
    ends = found.confidence_interval(probability)
    return Compared(
        difference=float(second.mean() - first.mean()),
        low=float(ends.low),
        high=float(ends.high),
        t=float(found.statistic),
        freedom=float(found.df),
        p=float(found.pvalue),
    )


def paired_t(before: ArrayLike, with_change: ArrayLike, *, probability: float = 0.95) -> Compared:
    """Compare pairs.

    Parameters
    ----------
    before, with_change
        Shape (n,), pair by pair, at least two pairs whose differences are not all the same.
    probability
        Coverage of the range.

    Raises
    ------
    InputError
        If the lengths differ, or there are too few pairs or no spread.

    Examples
    --------
    >>> round(paired_t([90.0, 91, 89, 92], [93.0, 93, 92, 96]).t, 2)
    7.35
    """
    first = finite_numbers(before, "before", fewest=2)
    second = finite_numbers(with_change, "with_change", fewest=2)
    if len(first) != len(second):
        raise InputError(
            f"There are {len(first)} balls before and {len(second)} with the change.",
            fix="Give pairs, or use welch.",
        )
    if np.ptp(second - first) == 0.0:
        raise _no_spread()
    found = ttest_rel(second, first)
    ends = found.confidence_interval(probability)
    return Compared(
        difference=float((second - first).mean()),
        low=float(ends.low),
        high=float(ends.high),
        t=float(found.statistic),
        freedom=float(found.df),
        p=float(found.pvalue),
    )


def brown_forsythe(before: ArrayLike, with_change: ArrayLike) -> tuple[float, float]:
    """Test whether two spreads differ: the statistic W and its two-sided p.

    Parameters
    ----------
    before, with_change
        Shapes (m,) and (n,), at least two balls each, not all the same.

    Raises
    ------
    InputError
        If there are too few balls or no spread at all.

    Notes
    -----
    Levene's test about the medians: M. B. Brown and A. B. Forsythe, Journal of the American
    Statistical Association 69:364-367, 1974.

    Examples
    --------
    >>> w, p = brown_forsythe([10.0, -12, 8, -9, 14, -11, 9], [1.0, -3, 2, 4, -2, 0, 1])
    >>> round(w, 1), round(p, 4)
    (4.8, 0.0492)
    """
    first = finite_numbers(before, "before", fewest=2)
    second = finite_numbers(with_change, "with_change", fewest=2)
    away = [np.abs(side - np.median(side)) for side in (first, second)]
    if all(np.ptp(side) == 0.0 for side in away):
        raise _no_spread()
    found = levene(first, second, center="median")
    return float(found.statistic), float(found.pvalue)


def _no_spread() -> InputError:
    return InputError(
        "All values are the same, so there is no spread to count in.",
        fix="Give values as measured, not rounded to one number.",
    )
