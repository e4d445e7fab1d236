"""How far a measure repeats itself, and the smallest change that it can show."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from leadfoot.errors import InputError


@dataclass(frozen=True, slots=True, kw_only=True)
class Reliability:
    """Intraclass correlations of one test each, and what follows for a change.

    Attributes
    ----------
    icc_1, icc_2, icc_3
        One-way; two-way with the tests a sample of tests; two-way with these very tests:
        ICC(1), ICC(2,1), ICC(3,1).
    standard_error
        Of one test, the root of the residual mean square, in the unit of the scores.
    smallest_change
        Change of one person that 95 of 100 retests without a change stay below.
    """

    icc_1: float
    icc_2: float
    icc_3: float
    standard_error: float
    smallest_change: float


def reliability(scores: ArrayLike) -> Reliability:
    """Reliability of a test from repeated scores.

    Parameters
    ----------
    scores
        Shape (people, tests), at least two of each, complete.

    Raises
    ------
    InputError
        If the table is too small, has gaps, or all its people are the same.

    Notes
    -----
    P. E. Shrout and J. L. Fleiss, Psychological Bulletin 86:420-428, 1979; standard error and
    smallest change as J. P. Weir, Journal of Strength and Conditioning Research 19:231-240, 2005.

    Examples
    --------
    >>> judges = [[9, 2, 5, 8], [6, 1, 3, 2], [8, 4, 6, 8], [7, 1, 2, 6], [10, 5, 6, 9],
    ...           [6, 2, 4, 7]]
    >>> found = reliability(judges)
    >>> round(found.icc_1, 3), round(found.icc_2, 3), round(found.icc_3, 3)
    (0.166, 0.29, 0.715)
    """
    table = np.asarray(scores, dtype=np.float64)
    if table.ndim != 2 or min(table.shape) < 2 or not np.isfinite(table).all():
        raise InputError(
            f"The table of scores has shape {table.shape}, or a gap.",
            fix="Give at least two people and two tests, one complete row for each person.",
        )
    n, k = table.shape
    people, tests = table.mean(axis=1), table.mean(axis=0)
    between = k * float(people.var(ddof=1))
    of_tests = n * float(tests.var(ddof=1))
    left = table - people[:, None] - tests[None, :] + table.mean()
    residual = float((left**2).sum()) / ((n - 1) * (k - 1))
    within = float(((table - people[:, None]) ** 2).sum()) / (n * (k - 1))
    if between + within == 0.0:
        raise InputError(
            "All scores are the same, so nothing can be told apart.", fix="Give other scores."
        )
    error = math.sqrt(residual)
    # An index of 0/0 (no residual, equal people) says nothing was told apart: 0.
    return Reliability(
        icc_1=(between - within) / (between + (k - 1) * within),
        icc_2=_ratio(
            between - residual, between + (k - 1) * residual + k * (of_tests - residual) / n
        ),
        icc_3=_ratio(between - residual, between + (k - 1) * residual),
        standard_error=error,
        smallest_change=smallest_change(error),
    )


def smallest_change(standard_error: float, *, tests: int = 1) -> float:
    """Smallest change that two tests can show with 95 % confidence.

    Parameters
    ----------
    standard_error
        Of one test (or one ball), 0 or more.
    tests
        Tests (or balls) averaged on either side, 1 or more.

    Raises
    ------
    InputError
        If there is no test, or a negative error.

    Notes
    -----
    ``1.96 sqrt(2) SEM``, as `reliability`; over the root of the number that is averaged.

    Examples
    --------
    >>> round(smallest_change(12.05), 2), round(smallest_change(12.0, tests=10), 1)
    (33.4, 10.5)
    """
    if tests < 1 or not standard_error >= 0.0:
        raise InputError(
            f"The standard error is {standard_error:g}, the number of tests {tests}.",
            fix="Give an error of 0 or more and at least one test.",
        )
    return 1.959963984540054 * math.sqrt(2.0 / tests) * standard_error


def _ratio(above: float, below: float) -> float:
    return above / below if below != 0.0 else 0.0
