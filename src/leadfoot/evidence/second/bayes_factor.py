"""Bayes factors of a t statistic: how much better "a change" foretold these balls than "none".

For one comparison that was planned, looked at once or often. Above 6, looked at after every pair
of balls up to 20 against 20, one in twenty-five lessons without a change raises a false alarm
(simulated; above 3 it is one in eleven).
"""

import math

import numpy as np
from numpy.typing import ArrayLike
from scipy.integrate import quad

from leadfoot.errors import InputError, OutOfRangeError
from leadfoot.evidence.second.numbers import finite_numbers

MEDIUM = math.sqrt(0.5)
"""Width of the prior of the size, in spreads, 0.707: common practice, after Rouder et al. 2009."""


def jzs(t: float, n_effective: float, freedom: float, *, width: float = MEDIUM) -> float:
    """Bayes factor of "a change" over "none" for a t statistic, with a Cauchy prior of its size.

    Parameters
    ----------
    t
        Student's statistic.
    n_effective
        Balls of one sample, or pairs; ``n1 n2 / (n1 + n2)`` for two samples. Above 0.
    freedom
        Degrees of freedom of `t`, 1 or more.
    width
        Scale of the Cauchy prior, in spreads, above 0.

    Raises
    ------
    OutOfRangeError
        If a number lies outside its range.

    Notes
    -----
    Equation 1 of J. N. Rouder, P. L. Speckman, D. Sun, R. D. Morey and G. Iverson, Psychonomic
    Bulletin & Review 16:225-237, 2009: an integral over g, here over its logarithm.

    Examples
    --------
    >>> round(jzs(-4.06213, 10, 9), 3)
    17.259
    """
    if not (math.isfinite(t) and n_effective > 0.0 and freedom >= 1.0 and width > 0.0):
        raise OutOfRangeError(
            f"t is {t:g}, n_effective {n_effective:g}, freedom {freedom:g}, width {width:g}.",
            fix="Give a finite t, freedom of 1 or more, and the others above 0.",
        )
    squared = t * t / freedom
    log_none = -0.5 * (freedom + 1.0) * math.log1p(squared)

    def density(log_g: float) -> float:
        g = math.exp(log_g)
        stretch = 1.0 + n_effective * g * width * width
        log_value = (
            -0.5 * math.log(stretch)
            - 0.5 * (freedom + 1.0) * math.log1p(squared / stretch)
            - 0.5 * math.log(2.0 * math.pi)
            - 0.5 * log_g
            - 0.5 / g
        )
        return math.exp(log_value - log_none)

    # Below exp(-7) the prior of g has lost its weight (exp(-0.5 / g) < 1e-238); above exp(60) too.
    places = tuple(np.linspace(-6.0, 12.0, 10))
    return float(quad(density, -7.0, 60.0, points=places, limit=400, epsabs=0.0, epsrel=1e-9)[0])


def jzs_one_sample(values: ArrayLike, *, width: float = MEDIUM) -> float:
    """Bayes factor of "not zero on average" over "zero".

    Parameters
    ----------
    values
        Shape (n,), at least two different numbers: differences, or misses about a line.
    width
        Scale of the Cauchy prior, in spreads.

    Raises
    ------
    InputError
        If there are too few numbers, or all are the same.

    Examples
    --------
    >>> drug_2 = [1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4]
    >>> round(jzs_one_sample(drug_2), 4)
    10.7155
    """
    found = finite_numbers(values, "values", fewest=2)
    error = _positive(float(found.std(ddof=1)) / math.sqrt(len(found)))
    return jzs(float(found.mean()) / error, len(found), len(found) - 1, width=width)


def jzs_paired(before: ArrayLike, with_change: ArrayLike, *, width: float = MEDIUM) -> float:
    """Bayes factor for pairs of balls, or of blocks, each hit once either way.

    Parameters
    ----------
    before, with_change
        Shape (n,), pair by pair.
    width
        Scale of the Cauchy prior, in spreads of the differences.

    Raises
    ------
    InputError
        If the lengths differ, or the differences are too few or all the same.

    Examples
    --------
    >>> round(jzs_paired([90.0, 91, 89, 92], [93.0, 93, 92, 96]), 1)
    10.9
    """
    first = finite_numbers(before, "before", fewest=2)
    second = finite_numbers(with_change, "with_change", fewest=2)
    if len(first) != len(second):
        raise InputError(
            f"There are {len(first)} balls before and {len(second)} with the change.",
            fix="Give pairs, or use jzs_two_sample.",
        )
    return jzs_one_sample(second - first, width=width)


def jzs_two_sample(before: ArrayLike, with_change: ArrayLike, *, width: float = MEDIUM) -> float:
    """Bayes factor of a difference between two blocks of one spread.

    Parameters
    ----------
    before, with_change
        Shapes (m,) and (n,), at least one each and three together.
    width
        Scale of the Cauchy prior, in spreads.

    Raises
    ------
    InputError
        If there are too few balls, or no spread.

    Examples
    --------
    >>> round(jzs_two_sample([90.0, 91, 89, 92], [93.0, 93, 92, 96]), 2)
    2.49
    """
    first = finite_numbers(before, "before", fewest=1)
    second = finite_numbers(with_change, "with_change", fewest=1)
    freedom = len(first) + len(second) - 2
    if freedom < 1:
        raise InputError("One ball each has no spread.", fix="Give at least three balls together.")
    squares = sum(float(((side - side.mean()) ** 2).sum()) for side in (first, second))
    n_effective = len(first) * len(second) / (len(first) + len(second))
    error = _positive(math.sqrt(squares / freedom / n_effective))
    t = (float(second.mean()) - float(first.mean())) / error
    return jzs(t, n_effective, freedom, width=width)


def _positive(error: float) -> float:
    if not error > 0.0:
        raise InputError(
            "All values are the same, so there is no spread to count in.",
            fix="Give values as measured, not rounded to one number.",
        )
    return error
