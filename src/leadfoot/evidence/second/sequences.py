"""Looking after every ball, the second way: bounds and e-values that hold at all looks at once.

A mixture over all sizes of a change turns the likelihood ratio into a bet against "no change" that
wins nothing on average while there is none, however often one looks. It exceeds 20 at any time in
at most one lesson in twenty (J. Ville, 1939). Unlike the judging it knows nothing of drift, cold
starts or mishits, and of the student only the spread.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq
from scipy.special import log_ndtr

from leadfoot.errors import OutOfRangeError
from leadfoot.evidence.second.numbers import finite_numbers

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sequence:
    """A confidence sequence: one range after each ball, all of them true at once.

    Attributes
    ----------
    estimate, low, high
        Shape (n,), in the unit of the values; infinite ends where nothing can be said yet.
    log_e
        Shape (n,): natural logarithm of the e-value against "no change" after each ball.
    """

    estimate: Floats
    low: Floats
    high: Floats
    log_e: Floats


def best_rho(variance: float, alpha: float = 0.05) -> float:
    """Tuning of the normal mixture that makes its bound tightest near one intrinsic time.

    Parameters
    ----------
    variance
        Intrinsic time (number of balls, for unit spread) at which the bound should be tightest.
    alpha
        Chance to be wrong at any look, in (0, 1).

    Raises
    ------
    OutOfRangeError
        If either lies outside its range.

    Notes
    -----
    ``rho = V / (2 ln(1/a) + ln(1 + 2 ln(1/a)))``: S. R. Howard, A. Ramdas, J. McAuliffe and
    J. Sekhon, Annals of Statistics 49:1055-1080, 2021.

    Examples
    --------
    >>> round(best_rho(100.0), 5)
    12.60056
    """
    _check(variance, alpha)
    doubt = -2.0 * math.log(alpha)
    return variance / (doubt + math.log1p(doubt))


def normal_mixture_bound(variance: float, rho: float, *, alpha: float = 0.05) -> float:
    """How far a sum may stray from zero at any time, both ways.

    Parameters
    ----------
    variance
        Intrinsic time of the sum, above 0.
    rho
        Tuning, above 0; see `best_rho`.
    alpha
        Chance to be wrong at any look, in (0, 1).

    Notes
    -----
    ``sqrt((V + rho) ln((V + rho) / (rho alpha²)))``, as `best_rho`.

    Examples
    --------
    >>> round(normal_mixture_bound(100.0, best_rho(100.0)), 4)
    30.3521
    """
    _check(variance, alpha)
    total = variance + rho
    return math.sqrt(total * (math.log(total / rho) - 2.0 * math.log(alpha)))


def normal_mixture_log_e(total: float, variance: float, rho: float) -> float:
    """Logarithm of the e-value of a sum, both ways.

    Parameters
    ----------
    total
        The sum, in units of one ball's standard deviation.
    variance, rho
        Intrinsic time and tuning, above 0.

    Notes
    -----
    ``½ ln(rho / (V + rho)) + S² / (2 (V + rho))``, as `best_rho`.

    Examples
    --------
    >>> round(normal_mixture_log_e(10.0, 100.0, best_rho(100.0)), 6)
    -0.651005
    """
    return 0.5 * math.log(rho / (variance + rho)) + 0.5 * total * total / (variance + rho)


def one_sided_log_e(total: float, variance: float, rho: float) -> float:
    """Logarithm of the e-value of a sum against "not above zero".

    Parameters
    ----------
    total, variance, rho
        As for `normal_mixture_log_e`; the best tuning is ``best_rho(variance, 2 * alpha)``.

    Notes
    -----
    The mixture over positive sizes only:
    ``½ ln(4 rho / (V + rho)) + S² / (2 (V + rho)) + ln Φ(S / sqrt(V + rho))``, as `best_rho`.

    Examples
    --------
    >>> round(one_sided_log_e(10.0, 100.0, best_rho(100.0, 0.1)), 6)
    -0.065024
    """
    return (
        math.log(2.0)
        + normal_mixture_log_e(total, variance, rho)
        + float(log_ndtr(total / math.sqrt(variance + rho)))
    )


def one_sided_bound(variance: float, rho: float, *, alpha: float = 0.05) -> float:
    """How far a sum may rise above zero at any time.

    Parameters
    ----------
    variance, rho, alpha
        As for `normal_mixture_bound`.

    Examples
    --------
    >>> round(one_sided_bound(100.0, best_rho(100.0, 0.1)), 4)
    27.6607
    """
    _check(variance, alpha)
    target = -math.log(alpha)
    widest = normal_mixture_bound(variance, rho, alpha=alpha)
    return float(
        brentq(lambda total: one_sided_log_e(total, variance, rho) - target, 0.0, widest + 1.0)
    )


def t_mixture_log_e(t: float, n_effective: float, freedom: float, *, width: float = 1.0) -> float:
    """Logarithm of the e-value of a t statistic: the spread need not be known.

    Parameters
    ----------
    t
        Student's statistic of the balls so far.
    n_effective
        Balls of one sample; ``n1 n2 / (n1 + n2)`` for two.
    freedom
        Degrees of freedom of `t`, 0 or more; with 0 nothing is said.
    width
        Standard deviation of the sizes that are bet on, in spreads, above 0.

    Notes
    -----
    Sizes normal about zero, the spread with its right Haar prior; a martingale in the balls seen up
    to scale (T. L. Lai, Annals of Statistics 4:265-280, 1976; H. Wang and A. Ramdas, 2024, from
    memory; checked against quadrature and by simulation).

    Examples
    --------
    >>> round(math.exp(t_mixture_log_e(-4.0621, 10, 9)), 2)
    25.47
    """
    if not (n_effective > 0.0 and freedom >= 0.0 and width > 0.0):
        raise OutOfRangeError(
            f"n_effective is {n_effective:g}, freedom {freedom:g}, width {width:g}.",
            fix="Give n_effective and width above 0, and freedom of 0 or more.",
        )
    if freedom == 0.0:
        return 0.0
    stretch = 1.0 + n_effective * width * width
    squared = t * t / freedom
    gain = math.log1p(squared) - math.log1p(squared / stretch)
    return -0.5 * math.log(stretch) + 0.5 * (freedom + 1.0) * gain


def change_sequence(
    before: Floats, with_change: Floats, *, sd: float, alpha: float = 0.05, tightest_at: int = 10
) -> Sequence:
    """Ranges of the change after each ball with it, for a known spread.

    Parameters
    ----------
    before
        Shape (m,): all balls before, at least one.
    with_change
        Shape (n,): balls with the change, in hitting order.
    sd
        Spread from ball to ball, in the unit of the values, above 0; from earlier lessons.
    alpha
        Chance that any of the ranges misses the true change, in (0, 1).
    tightest_at
        Number of balls with the change at which the range should be tightest.

    Raises
    ------
    InputError
        If a value is no number, or there is no ball before.
    OutOfRangeError
        If the spread, `alpha` or `tightest_at` lies outside its range.

    Examples
    --------
    >>> found = change_sequence(np.array([90.0, 91, 89, 92, 90]), np.array([94.0, 95, 93, 96, 94]),
    ...                         sd=1.2)
    >>> (found.low > 0).tolist(), found.log_e.round(1)
    ([False, True, True, True, True], array([ 1.9,  5.7,  6. , 10. , 10.9]))
    """
    start = finite_numbers(before, "before", fewest=1)
    after = finite_numbers(with_change, "with_change", fewest=0)
    _check(sd, alpha)
    _check(float(tightest_at), alpha)
    m, k = len(start), np.arange(1, len(after) + 1, dtype=np.float64)
    variance = m * k / (m + k)
    estimate = np.cumsum(after) / k - start.mean()
    rho = best_rho(m * tightest_at / (m + tightest_at), alpha)
    total = variance + rho
    half = sd * np.sqrt(total * (np.log(total / rho) - 2.0 * math.log(alpha))) / variance
    score = variance * estimate / sd
    return Sequence(
        estimate=estimate,
        low=estimate - half,
        high=estimate + half,
        log_e=0.5 * np.log(rho / total) + 0.5 * score * score / total,
    )


def t_change_log_e(before: Floats, with_change: Floats, *, width: float = 1.0) -> Floats:
    """Logarithm of the e-value against "no change" after each ball with it, spread unknown.

    Parameters
    ----------
    before, with_change
        Shapes (m,) and (n,), in hitting order, at least one ball before.
    width
        Standard deviation of the sizes that are bet on, in spreads, above 0.

    Returns
    -------
    Floats
        Shape (n,); 0 where nothing can be said yet.

    Raises
    ------
    InputError
        If a value is no number, or there is no ball before.

    Examples
    --------
    >>> t_change_log_e(np.array([90.0, 91, 89, 92, 90]), np.array([94.0, 95, 93])).round(2)
    array([0.61, 1.49, 1.92])
    """
    start = finite_numbers(before, "before", fewest=1)
    after = finite_numbers(with_change, "with_change", fewest=0)
    m = len(start)
    inside = float(((start - start.mean()) ** 2).sum())
    found = np.zeros(len(after))
    for k in range(1, len(after) + 1):
        part = after[:k]
        squares = inside + float(((part - part.mean()) ** 2).sum())
        freedom, n_effective = m + k - 2, m * k / (m + k)
        if freedom > 0 and squares > 0.0:
            error = math.sqrt(squares / freedom / n_effective)
            t = (float(part.mean()) - float(start.mean())) / error
            found[k - 1] = t_mixture_log_e(t, n_effective, freedom, width=width)
    return found


def _check(positive: float, alpha: float) -> None:
    if not (0.0 < positive < math.inf and 0.0 < alpha < 1.0):
        raise OutOfRangeError(
            f"The spread, time or number of balls is {positive:g}, alpha {alpha:g}.",
            fix="Give a number above 0, and alpha between 0 and 1, such as 0.05.",
        )
