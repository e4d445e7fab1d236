"""Fair shares of a change: the Shapley value over all mixtures of before and after."""

import math
from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from leadfoot.errors import InputError

Floats = NDArray[np.float64]

MOST_PARTS = 12
"""Most parts; each more doubles the number of mixtures."""


def shares(values: Floats) -> Floats:
    """Share each part's doing in the change from all-before to all-after.

    Parameters
    ----------
    values
        Shape (2**d, ...): the outcome of every mixture, of any unit. Row ``m`` is the mixture in
        which part ``k`` is as after where bit ``k`` of ``m`` is set, and as before where it is not.
        NaN stays NaN.

    Returns
    -------
    array
        Shape (d, ...), in the unit of the values. The shares add up to the last row less the first.

    Raises
    ------
    InputError
        If the number of rows is no power of two, or there are more than 12 parts.

    Notes
    -----
    ``share_k = Σ |S|! (d - |S| - 1)! / d! · (v(S + k) - v(S))`` over all sets S without k: what the
    part adds, on average over the orders in which the parts can change one after another. It is the
    only sharing that adds up, treats equal parts alike, gives nothing to a part that does nothing,
    and adds over outcomes.

    References
    ----------
    .. [1] L. S. Shapley, "A value for n-person games," Contributions to the Theory of Games II,
       pp. 307-317, 1953.

    Examples
    --------
    A ball speed of 90 x 1.42 that becomes 94 x 1.45: club speed, then smash factor.

    >>> shares(np.array([90 * 1.42, 94 * 1.42, 90 * 1.45, 94 * 1.45])).round(9)
    array([5.74, 2.76])
    """
    d = max(len(values).bit_length() - 1, 0)
    if len(values) != 1 << d or not 1 <= d <= MOST_PARTS:
        raise InputError(
            f"There are {len(values)} mixtures; d parts have 2**d, for 1 to {MOST_PARTS} parts.",
            fix="Give the outcome of every mixture of before and after.",
        )
    mixture = np.arange(1 << d)
    size = np.array([int(m).bit_count() for m in mixture])
    found = np.zeros((d, *values.shape[1:]))
    for part in range(d):
        without = mixture[mixture >> part & 1 == 0]
        for mask in without:
            gained = values[mask | 1 << part] - values[mask]
            found[part] += _weight(int(size[mask]), d) * gained
    return found


def _weight(n_before: int, d: int) -> float:
    """Share of the orders in which exactly these parts came before."""
    return math.factorial(n_before) * math.factorial(d - n_before - 1) / math.factorial(d)


def variance_shares(
    slopes: Floats,
    covariance: Floats,
    parts: Sequence[Sequence[int]],
    *,
    unexplained: Callable[[int], float] | None = None,
) -> Floats:
    """Share the spread of an outcome among groups of inputs that may go together.

    Parameters
    ----------
    slopes
        Shape (p,): how the outcome moves with each input, near the middle.
    covariance
        Shape (..., p, p): covariance of the inputs; may be singular.
    parts
        Which inputs make up each part; an input in none keeps its variance out of all shares.
    unexplained
        By what factor the variance that a set of so many inputs leaves unexplained is too small,
        such as `by_chance` of a sample; by default the covariance is taken as exact.

    Returns
    -------
    array
        Shape (d, ...): shares in the variance of the outcome; they add up to the variance that the
        parts explain together. Never negative for an exact covariance; what chance adds taken off,
        a part that does next to nothing may fall below nothing.

    Notes
    -----
    The worth of a set of parts is the variance of the outcome's expectation once they are known,
    ``c' Σ_uu⁻¹ c`` with ``c = Σ_u· g``, exact for a linear outcome of normal inputs; the shares are
    its Shapley value (the Shapley effects), which stay between zero and the whole where inputs are
    correlated.

    References
    ----------
    .. [1] A. B. Owen, "Sobol' indices and Shapley value," SIAM/ASA Journal on Uncertainty
       Quantification, vol. 2, pp. 245-251, 2014.
    .. [2] E. Song, B. L. Nelson and J. Staum, "Shapley effects for global sensitivity analysis:
       theory and computation," ibid., vol. 4, pp. 1060-1083, 2016.

    Examples
    --------
    >>> slopes, covariance = np.array([2.0, 1.0]), np.diag([1.0, 4.0])
    >>> variance_shares(slopes, covariance, ((0,), (1,)))
    array([4., 4.])
    """
    worth = np.zeros((1 << len(parts), *covariance.shape[:-2]))
    along = covariance @ slopes
    for mask in range(1, len(worth)):
        chosen = [i for k, part in enumerate(parts) if mask >> k & 1 for i in part]
        inner = covariance[..., chosen, :][..., chosen]
        inverse = np.linalg.pinv(inner, hermitian=True)
        near = along[..., chosen]
        worth[mask] = np.einsum("...i,...ij,...j->...", near, inverse, near)
    for mask in range(1, len(worth) - 1):
        n_inputs = sum(len(part) for k, part in enumerate(parts) if mask >> k & 1)
        factor = 1.0 if unexplained is None else unexplained(n_inputs)
        left = worth[-1] - worth[mask]
        worth[mask] = worth[-1] - left * factor if np.isfinite(factor) else 0.0
    return shares(worth)


def by_chance(freedom: float, times: int = 1) -> Callable[[int], float]:
    """How far chance makes inputs of a sample explain more than they do.

    Parameters
    ----------
    freedom
        Degrees of freedom of the sample's covariance, above 0.
    times
        2 for draws around a sample: what it has by chance, they have once more.

    Returns
    -------
    callable
        From the number of inputs to the factor on what they leave unexplained: that of the adjusted
        coefficient of determination, ``f / (f - k)``; infinite where as many inputs as degrees of
        freedom explain anything.

    Examples
    --------
    >>> by_chance(20.0)(4), by_chance(20.0, 2)(4), by_chance(3.0)(4)
    (1.25, 1.5625, inf)
    """

    def factor(n_inputs: int) -> float:
        if n_inputs >= freedom:
            return math.inf
        return float((freedom / (freedom - n_inputs)) ** times)

    return factor
