"""When a plate is loaded and when it is not: runs of samples over and under a threshold."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Values = NDArray[np.float64]

THRESHOLD_N = 20.0
"""The one threshold of take-off, landing and contact. [N] 5 to 50 N give heights of one jump that
are 12 mm apart (computed on an open recording): never compare numbers by other thresholds."""
NOISY_SD_N = 4.0
"""Standard deviation of the empty plate above which the threshold is raised (computed: at 4.6 N and
an offset of 6.5 N, 20 N cuts a flight short). [N]"""
LASTS_S = 0.015
"""A landing is loaded for so long at least: single samples of noise are none (an open
implementation's default). [s]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """Samples from `first` up to, and without, `end`.

    Examples
    --------
    >>> len(range(Run(first=3, end=8).first, Run(first=3, end=8).end))
    5
    """

    first: int
    end: int


def runs(mask: NDArray[np.bool_]) -> list[Run]:
    """The runs of True, in order.

    Examples
    --------
    >>> runs(np.array([False, True, True, False, True]))
    [Run(first=1, end=3), Run(first=4, end=5)]
    """
    edges = np.flatnonzero(np.diff(np.concatenate(([0], mask.astype(np.int8), [0]))))
    return [Run(first=int(a), end=int(b)) for a, b in zip(edges[::2], edges[1::2], strict=True)]


def contacts(vertical_n: Values, rate_hz: float, threshold_n: float = THRESHOLD_N) -> list[Run]:
    """The times on the plate: from the first sample at the threshold or over it to the next under.

    Parameters
    ----------
    vertical_n
        Vertical force, raw, shape (n,). [N]
    rate_hz
        Samples a second. [Hz]
    threshold_n
        Below it the plate is empty. [N]

    Returns
    -------
    list of Run
        Those that last 15 ms or longer.

    Examples
    --------
    >>> force_n = np.concatenate((np.zeros(50), np.full(100, 500.0), np.zeros(50)))
    >>> contacts(force_n, 1000.0)
    [Run(first=50, end=150)]
    """
    least = LASTS_S * rate_hz
    found = runs(np.asarray(vertical_n >= threshold_n, dtype=np.bool_))
    return [one for one in found if one.end - one.first >= least]
