"""Where a handful of balls lie: their middle, and the ring or band that holds two in three."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leadfoot.evidence.ellipse import Ellipse, ellipse_around
from leadfoot.evidence.robust import robust_cloud
from leadfoot.evidence.usual import MAD_TO_SD

FEWEST_BALLS = 5
"""Balls below which no ring or band is drawn: it would show luck (common practice, no source)."""

HELD = 2.0 / 3.0
"""Share of the balls that a ring or band holds: easy to say, and deaf to a mishit or two."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """The middle of some numbers, and the band around it; `low` and `high` None for few balls."""

    middle: float
    low: float | None
    high: float | None
    n: int


def finite(values: NDArray[np.float64]) -> NDArray[np.float64]:
    """The values that are numbers.

    Examples
    --------
    >>> finite(np.array([1.0, np.nan, np.inf]))
    array([1.])
    """
    return values[np.isfinite(values)]


def robust_sd(values: NDArray[np.float64]) -> float:
    """Spread of the values, not moved by a few far ones: 1.4826 times the median distance.

    Examples
    --------
    >>> robust_sd(np.array([1.0, 2.0, 3.0, 4.0, 100.0]))
    1.4826
    """
    return float(MAD_TO_SD * np.median(np.abs(values - np.median(values))))


def band(values: NDArray[np.float64]) -> Band | None:
    """The median, and the band that holds the middle two thirds of the balls.

    Parameters
    ----------
    values
        Shape (n,); what is no number is passed over.

    Returns
    -------
    Band or None
        None where there is no number at all.

    Examples
    --------
    >>> band(np.array([1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0]))
    Band(middle=4.0, low=2.0, high=6.0, n=7)
    """
    good = finite(values)
    if not good.size:
        return None
    middle = float(np.median(good))
    if good.size < FEWEST_BALLS:
        return Band(middle=middle, low=None, high=None, n=good.size)
    low, high = np.quantile(good, [(1.0 - HELD) / 2.0, (1.0 + HELD) / 2.0])
    return Band(middle=middle, low=float(low), high=float(high), n=good.size)


def ring(x: NDArray[np.float64], y: NDArray[np.float64]) -> Ellipse | None:
    """The ellipse around the medians that holds two balls in three.

    Its shape is that of the solid balls (`leadfoot.evidence.robust`); its size is the smallest of
    that shape which holds two thirds of these very balls, rounded up to whole balls.

    Parameters
    ----------
    x, y
        Shape (n,), all numbers.

    Returns
    -------
    Ellipse or None
        None for fewer than five balls, or where they lie on a line.

    Examples
    --------
    >>> found = ring(np.array([-1.0, 1.0, 0.0, 0.0, 0.0, 9.0]), np.array([0.0, 0, -1, 1, 0, 9]))
    >>> found.x, found.y
    (0.0, 0.0)
    """
    if x.size < FEWEST_BALLS:
        return None
    balls = np.column_stack([x, y])
    cloud = robust_cloud(balls)
    if cloud is None:
        return None
    middle = np.median(balls, axis=0)
    away = balls - middle
    squared = (away * np.linalg.solve(cloud.covariance, away.T).T).sum(axis=1)
    size = float(np.sort(squared)[int(np.ceil(HELD * x.size - 1e-9)) - 1])
    return ellipse_around(middle, cloud.covariance, size) if size > 0.0 else None
