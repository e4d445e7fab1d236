"""Ellipses of a pattern: where the next ball lands with a given chance, honest for a few balls."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leadfoot.errors import OutOfRangeError

Floats = NDArray[np.float64]

FEWEST_BALLS = 3
"""Balls in a plane below which no ellipse is defined."""
FLAT = 1e-12
"""Share of the larger part of a covariance below which the smaller one counts as none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ellipse:
    """An ellipse; its axes are full lengths, in the unit of its plane.

    Attributes
    ----------
    x, y
        Its middle.
    width, height
        Longest and shortest diameter.
    turn_rad
        Turn of `width` from the x axis, counter-clockwise, in (-pi/2, pi/2].
    """

    x: float
    y: float
    width: float
    height: float
    turn_rad: float

    @property
    def area(self) -> float:
        """Its area, in the squared unit of its plane."""
        return 0.25 * math.pi * self.width * self.height

    def holds(self, x: Floats, y: Floats) -> NDArray[np.bool_]:
        """Which points lie inside or on it.

        Examples
        --------
        >>> flat = Ellipse(x=0.0, y=0.0, width=4.0, height=2.0, turn_rad=0.0)
        >>> flat.holds(np.array([1.9, 0.0]), np.array([0.0, 1.1]))
        array([ True, False])
        """
        cos, sin = math.cos(self.turn_rad), math.sin(self.turn_rad)
        along = (x - self.x) * cos + (y - self.y) * sin
        across = (y - self.y) * cos - (x - self.x) * sin
        reach = (2.0 * along / self.width) ** 2 + (2.0 * across / self.height) ** 2
        return np.asarray(reach <= 1.0 + 1e-12, dtype=np.bool_)

    def outline(self, n: int = 72) -> Floats:
        """Points along it, the last one the first again: shape (n + 1, 2).

        Examples
        --------
        >>> flat = Ellipse(x=1.0, y=2.0, width=4.0, height=2.0, turn_rad=0.0)
        >>> flat.outline(4).round(9).tolist()
        [[3.0, 2.0], [1.0, 3.0], [-1.0, 2.0], [1.0, 1.0], [3.0, 2.0]]
        """
        around = np.linspace(0.0, 2.0 * np.pi, n + 1)
        along, across = 0.5 * self.width * np.cos(around), 0.5 * self.height * np.sin(around)
        cos, sin = math.cos(self.turn_rad), math.sin(self.turn_rad)
        return np.column_stack(
            [self.x + along * cos - across * sin, self.y + along * sin + across * cos]
        )


def prediction_factor(n: float, share: float) -> float:
    """Squared size of the ellipse that holds the next ball with probability `share`.

    Measured in the sample covariance: the ellipse is all points whose squared Mahalanobis distance
    from the mean is at most this factor.

    Parameters
    ----------
    n
        Balls behind mean and covariance, above 2; an effective number need not be whole.
    share
        Chance that the next ball lies inside, in (0, 1).

    Raises
    ------
    OutOfRangeError
        If `n` or `share` is outside its range.

    Notes
    -----
    ``2 (n - 1)(n + 1) / (n (n - 2)) · F(share; 2, n - 2)`` for normal balls, with the quantile of
    F in closed form since its first degree of freedom is 2. For many balls it falls to
    ``-2 ln(1 - share)``.

    Examples
    --------
    >>> [round(prediction_factor(n, 0.95), 2) for n in (5, 10, 20, 1e9)]
    [30.57, 11.04, 7.88, 5.99]
    """
    return (n + 1.0) * mean_factor(n, share)


def mean_factor(n: float, share: float) -> float:
    """Squared size of the ellipse that holds the true middle with confidence `share`.

    Parameters
    ----------
    n, share
        As for `prediction_factor`.

    Raises
    ------
    OutOfRangeError
        If `n` or `share` is outside its range.

    Notes
    -----
    ``2 (n - 1) / (n (n - 2)) · F(share; 2, n - 2)``: H. Hotelling, Annals of Mathematical
    Statistics 2:360-378, 1931.

    Examples
    --------
    >>> round(mean_factor(10, 0.95), 3), round(mean_factor(20, 0.95), 3)
    (1.003, 0.375)
    """
    if not n > 2.0:
        raise OutOfRangeError(
            f"An ellipse from {n:g} balls is not defined.",
            fix=f"Hit at least {FEWEST_BALLS} balls.",
        )
    if not 0.0 < share < 1.0:
        raise OutOfRangeError(
            f"The share of balls inside is {share:g}.",
            fix="Give one between 0 and 1, such as 0.9.",
        )
    rest = n - 2.0
    quantile = 0.5 * rest * math.expm1(-2.0 / rest * math.log1p(-share))
    return 2.0 * (n - 1.0) / (n * rest) * quantile


def ellipse_around(centre: Floats, scatter: Floats, squared_size: float) -> Ellipse | None:
    """The ellipse of all points within a squared Mahalanobis distance.

    Parameters
    ----------
    centre
        Shape (2,).
    scatter
        Shape (2, 2): covariance, symmetric.
    squared_size
        Squared distance of its edge, above 0.

    Returns
    -------
    Ellipse or None
        None where the scatter is flat: all points equal, or on a line.

    Examples
    --------
    >>> round(ellipse_around(np.zeros(2), np.diag([4.0, 9.0]), 1.0).turn_rad, 4)
    1.5708
    """
    parts, axes = np.linalg.eigh(scatter)
    if not parts[0] > FLAT * parts[1]:
        return None
    long_way = axes[:, 1]
    turn_rad = math.atan2(long_way[1], long_way[0])
    if turn_rad > 0.5 * math.pi:
        turn_rad -= math.pi
    elif turn_rad <= -0.5 * math.pi:
        turn_rad += math.pi
    return Ellipse(
        x=float(centre[0]),
        y=float(centre[1]),
        width=2.0 * math.sqrt(squared_size * float(parts[1])),
        height=2.0 * math.sqrt(squared_size * float(parts[0])),
        turn_rad=turn_rad,
    )
