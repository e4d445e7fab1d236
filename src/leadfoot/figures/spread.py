"""Where a handful of balls lie: their middle, and the ring or band that holds two in three."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FEWEST_BALLS = 5
"""Balls below which no ring or band is drawn: it would show luck (common practice, no source)."""

HELD = 2.0 / 3.0
"""Share of the balls that a ring or band holds: easy to say, and deaf to a mishit or two."""

_SD_PER_MAD = 1.4826
"""Standard deviation of a normal spread over its median absolute deviation (1 / 0.67449)."""

_CLIP_SD = 2.5
"""Balls beyond this many robust deviations pull the ring's shape no further (common practice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """The middle of some numbers, and the band around it; `low` and `high` None for few balls."""

    middle: float
    low: float | None
    high: float | None
    n: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Ring:
    """The middle of some balls, and the ellipse around it; its axes are full lengths."""

    x: float
    y: float
    width: float
    height: float
    turn_deg: float
    """Turn of `width` from the x axis, counter-clockwise."""


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
    return float(_SD_PER_MAD * np.median(np.abs(values - np.median(values))))


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


def _clipped(values: NDArray[np.float64]) -> NDArray[np.float64]:
    middle, reach = float(np.median(values)), _CLIP_SD * robust_sd(values)
    return np.clip(values, middle - reach, middle + reach) - middle


def ring(x: NDArray[np.float64], y: NDArray[np.float64]) -> Ring | None:
    """The ellipse around the medians that holds two balls in three.

    Its shape is that of the covariance after far balls were pulled in; its size is the smallest of
    that shape which holds two thirds of these very balls, rounded up to whole balls.

    Parameters
    ----------
    x, y
        Shape (n,), all numbers.

    Returns
    -------
    Ring or None
        None for fewer than five balls, or where they lie on a line.

    Examples
    --------
    >>> found = ring(np.array([-1.0, 1.0, 0.0, 0.0, 0.0, 9.0]), np.array([0.0, 0, -1, 1, 0, 9]))
    >>> found.x, found.y
    (0.0, 0.0)
    """
    if x.size < FEWEST_BALLS:
        return None
    shape = np.cov(np.vstack([_clipped(x), _clipped(y)]))
    parts, axes = np.linalg.eigh(shape)
    if parts[0] <= 1e-12 * max(parts[1], 1.0):
        return None
    away = np.vstack([x - np.median(x), y - np.median(y)])
    reach = np.sqrt((((axes.T @ away) ** 2) / parts[:, None]).sum(axis=0))
    size = float(np.sort(reach)[int(np.ceil(HELD * x.size - 1e-9)) - 1])
    if size <= 0.0:
        return None
    long_way = axes[:, 1]
    return Ring(
        x=float(np.median(x)),
        y=float(np.median(y)),
        width=2.0 * size * float(np.sqrt(parts[1])),
        height=2.0 * size * float(np.sqrt(parts[0])),
        turn_deg=float(np.degrees(np.arctan2(long_way[1], long_way[0]))),
    )


def outline(found: Ring, n: int = 72) -> NDArray[np.float64]:
    """Points along a ring, the last one the first again: shape (n + 1, 2).

    Examples
    --------
    >>> outline(Ring(x=1.0, y=2.0, width=4.0, height=2.0, turn_deg=0.0), n=4).round(9).tolist()
    [[3.0, 2.0], [1.0, 3.0], [-1.0, 2.0], [1.0, 1.0], [3.0, 2.0]]
    """
    around = np.linspace(0.0, 2.0 * np.pi, n + 1)
    along, across = 0.5 * found.width * np.cos(around), 0.5 * found.height * np.sin(around)
    cos, sin = np.cos(np.radians(found.turn_deg)), np.sin(np.radians(found.turn_deg))
    return np.column_stack(
        [found.x + along * cos - across * sin, found.y + along * sin + across * cos]
    )
