"""A share of balls, and how far it can be trusted: 0 of 10 is not "never"."""

import math
from dataclasses import dataclass

from scipy.special import betaincinv, ndtri

from leadfoot.errors import OutOfRangeError


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """Some balls out of all, with the range of the share behind them.

    Attributes
    ----------
    k, n
        Balls that count, and all balls.
    share
        ``k / n``.
    low, high
        Ends of the range, in [0, 1].
    """

    k: int
    n: int
    share: float
    low: float
    high: float


def wilson_share(k: int, n: int, *, probability: float = 0.9) -> Share:
    """A share with its score interval.

    Parameters
    ----------
    k, n
        Balls that count, 0 to n, and all balls, 1 or more.
    probability
        Coverage of the range, in (0, 1).

    Raises
    ------
    OutOfRangeError
        If there are no balls, more count than there are, or `probability` is not one.

    Notes
    -----
    E. B. Wilson, Journal of the American Statistical Association 22:209-212, 1927.

    Examples
    --------
    >>> found = wilson_share(0, 10, probability=0.95)
    >>> round(found.low, 4), round(found.high, 4)
    (0.0, 0.2775)
    """
    _check(k, n, probability)
    z = float(ndtri(0.5 + 0.5 * probability))
    p, spread = k / n, z * z / n
    middle = (p + 0.5 * spread) / (1.0 + spread)
    half = z * math.sqrt(p * (1.0 - p) / n + 0.25 * spread / n) / (1.0 + spread)
    return Share(
        k=k,
        n=n,
        share=p,
        low=0.0 if k == 0 else max(middle - half, 0.0),
        high=1.0 if k == n else min(middle + half, 1.0),
    )


def posterior_share(k: int, n: int, *, probability: float = 0.9) -> Share:
    """A share with the central range of its posterior under the prior Beta(1/2, 1/2).

    Parameters
    ----------
    k, n
        Balls that count, 0 to n, and all balls, 1 or more.
    probability
        Posterior probability of the range, in (0, 1).

    Raises
    ------
    OutOfRangeError
        As `wilson_share`.

    Notes
    -----
    H. Jeffreys' prior; the range ends at 0 where no ball counts and at 1 where every one does
    (L. D. Brown, T. T. Cai and A. DasGupta, Statistical Science 16:101-133, 2001, from memory).

    Examples
    --------
    >>> found = posterior_share(2, 14)
    >>> round(found.share, 3), round(found.low, 3), round(found.high, 3)
    (0.143, 0.042, 0.342)
    """
    _check(k, n, probability)
    tail = 0.5 * (1.0 - probability)
    low, high = (float(betaincinv(k + 0.5, n - k + 0.5, place)) for place in (tail, 1.0 - tail))
    return Share(k=k, n=n, share=k / n, low=0.0 if k == 0 else low, high=1.0 if k == n else high)


def _check(k: int, n: int, probability: float) -> None:
    if n < 1 or not 0 <= k <= n:
        raise OutOfRangeError(
            f"{k} of {n} balls is no share.", fix="Give at least one ball, and no more than all."
        )
    if not 0.0 < probability < 1.0:
        raise OutOfRangeError(
            f"The probability of the range is {probability:g}.",
            fix="Give one between 0 and 1, such as 0.9.",
        )
