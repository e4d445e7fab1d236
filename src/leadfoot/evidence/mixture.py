"""Where a mixture of normals has a given share of its mass below."""

import math
from collections.abc import Sequence

import numpy as np
from scipy.special import ndtr, ndtri

from leadfoot.evidence.noise import Floats

_CLOSE = 1e-4
"""A step below this share of the reach is the last: Newton's steps double the digits each time."""
_MOST_STEPS = 60


def mixture_ends(weight: Floats, mean: Floats, sd: Floats, below: Sequence[float]) -> Floats:
    """Quantiles of a mixture of normals.

    Newton's steps on the distribution function from the normal with the same mean and standard
    deviation, each kept between the places that are known to lie too low and too high; good to a
    ten-millionth of the standard deviation of the mixture.

    Parameters
    ----------
    weight, mean, sd
        Shape (k,): the parts; the weights add up to 1 and the standard deviations are above 0.
    below
        Shares of the mass, each in (0, 1).

    Returns
    -------
    array
        Shape (len(below),), in the unit of `mean`.

    Examples
    --------
    >>> mixture_ends(np.ones(1), np.zeros(1), np.ones(1), (0.05, 0.95)).round(4)
    array([-1.6449,  1.6449])
    >>> far = np.array([-10.0, 10.0])
    >>> mixture_ends(np.full(2, 0.5), far, np.ones(2), (0.25, 0.75)).round(4)
    array([-10.,  10.])
    """
    share = np.asarray(below, dtype=np.float64)
    middle = float(weight @ mean)
    reach = math.sqrt(float(weight @ (sd * sd + (mean - middle) ** 2)))
    # Every part reaches its own quantile within nine of its deviations; so does their mixture.
    low = np.full(len(share), float((mean - 9.0 * sd).min()))
    high = np.full(len(share), float((mean + 9.0 * sd).max()))
    place = np.clip(middle + reach * ndtri(share), low, high)
    height = weight / (sd * math.sqrt(2.0 * math.pi))
    for _ in range(_MOST_STEPS):
        away = (place[:, None] - mean) / sd
        over = ndtr(away) @ weight - share
        low, high = np.where(over < 0.0, place, low), np.where(over < 0.0, high, place)
        density = np.exp(-0.5 * away * away) @ height
        with np.errstate(divide="ignore", over="ignore"):
            moved = place - over / density
        halved = 0.5 * (low + high)
        moved = np.where((moved >= low) & (moved <= high), moved, halved)
        still = np.abs(moved - place).max() < _CLOSE * reach
        place = moved
        if still:
            break
    return place
