"""Curves between two steps: the top of a flight, and places at any time."""

import numpy as np
from numpy.typing import NDArray

Series = NDArray[np.float64]


def top_of(start: Series, first: Series, end: Series, last: Series, length_s: Series) -> Series:
    """Greatest height within steps that pass over the top: quintic through both ends.

    Parameters
    ----------
    start, first, end, last
        States and rates at both ends of the step, shape (7, n) each.
    length_s
        Length of the step, shape (n,). [s]

    Returns
    -------
    array
        Height above the ground, shape (n,). [m]

    Examples
    --------
    >>> start, first, end, last = np.zeros((4, 7, 1))
    >>> start[4], first[4], end[4], last[4] = 2.0, -10.0, -1.0, -10.0
    >>> end[1] = 2.0 * 0.3 - 5.0 * 0.3**2
    >>> top_of(start, first, end, last, np.array([0.3]))
    array([0.2])
    """
    v0, v1 = start[4], end[4]
    a0, a1 = first[4] * length_s, last[4] * length_s
    share = v0 / np.where(v0 > v1, v0 - v1, 1.0)
    for _ in range(3):
        climb = _cubic(v0, a0, v1, a1, share)
        slope = _cubic_slope(v0, a0, v1, a1, share)
        share = np.clip(share - climb / np.where(slope < 0.0, slope, -1.0), 0.0, 1.0)
    begins = start[1], v0 * length_s, a0 * length_s
    ends = end[1], v1 * length_s, a1 * length_s
    return _quintic(begins, ends, share)


def _cubic(p0: Series, m0: Series, p1: Series, m1: Series, u: Series) -> Series:
    """Cubic Hermite curve; m0 and m1 are the slopes by ``u``, which runs from 0 to 1."""
    jump = p1 - p0
    value: Series = p0 + u * (m0 + u * ((3 * jump - 2 * m0 - m1) + u * (m0 + m1 - 2 * jump)))
    return value


def _cubic_slope(p0: Series, m0: Series, p1: Series, m1: Series, u: Series) -> Series:
    jump = p1 - p0
    value: Series = m0 + u * (2 * (3 * jump - 2 * m0 - m1) + 3 * u * (m0 + m1 - 2 * jump))
    return value


def _quintic(start: tuple[Series, ...], end: tuple[Series, ...], u: Series) -> Series:
    """Quintic Hermite curve through value, slope and curvature at both ends."""
    (p0, m0, c0), (p1, m1, c1) = start, end
    jump = p1 - p0 - m0 - 0.5 * c0
    slope = m1 - m0 - c0
    bend = c1 - c0
    k3 = 10 * jump - 4 * slope + 0.5 * bend
    k4 = -15 * jump + 7 * slope - bend
    k5 = 6 * jump - 3 * slope + 0.5 * bend
    value: Series = p0 + u * (m0 + u * (0.5 * c0 + u * (k3 + u * (k4 + u * k5))))
    return value


def between(times_s: Series, step_times_s: Series, values: Series, slopes: Series) -> Series:
    """Values at any times from values and slopes at the steps: quintic between steps.

    The curvature at a step, which the quintic wants as well, is that of the cubic spline through
    the slopes.

    Parameters
    ----------
    times_s
        Times asked for, shape (m,), within the steps. [s]
    step_times_s
        Times of the steps, shape (n,), strictly increasing, n at least 2. [s]
    values, slopes
        The curves there, shape (n, k).

    Returns
    -------
    array
        The curves at the times asked for, shape (m, k).

    Examples
    --------
    >>> steps = np.array([0.0, 1.0])
    >>> between(np.array([0.5]), steps, np.array([[0.0], [1.0]]), np.array([[0.0], [2.0]]))
    array([[0.25]])
    """
    from scipy.interpolate import CubicSpline  # noqa: PLC0415  # slow to load; few flights are drawn

    which = np.clip(
        np.searchsorted(step_times_s, times_s, side="right") - 1, 0, len(step_times_s) - 2
    )
    bends = CubicSpline(step_times_s, slopes)(step_times_s, 1)
    length = (step_times_s[which + 1] - step_times_s[which])[:, np.newaxis]
    share = (times_s - step_times_s[which])[:, np.newaxis] / length
    begins, ends = (
        (values[at], slopes[at] * length, bends[at] * length**2) for at in (which, which + 1)
    )
    return _quintic(begins, ends, share)
