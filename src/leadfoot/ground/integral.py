"""The running integral of samples, by the trapezoid rule."""

import numpy as np
from numpy.typing import NDArray

Values = NDArray[np.float64]


def running(values: Values, rate_hz: float) -> Values:
    """Integral from the first sample to each sample, 0 at the first.

    Parameters
    ----------
    values
        Shape (n,) or (n, k); columns are integrated each for itself.
    rate_hz
        Samples a second. [Hz]

    Examples
    --------
    >>> running(np.array([0.0, 1.0, 2.0]), 1.0)
    array([0. , 0.5, 2. ])
    """
    total = np.zeros_like(values)
    np.cumsum((values[1:] + values[:-1]) * (0.5 / rate_hz), axis=0, out=total[1:])
    return total


def between(values: Values, rate_hz: float, first: int, last: int) -> float:
    """Integral of one column from one sample to another.

    Examples
    --------
    >>> between(np.array([0.0, 1.0, 2.0, 3.0]), 1.0, 1, 3)
    4.0
    """
    return float(np.trapezoid(values[first : last + 1], dx=1.0 / rate_hz))
