"""Quiet stance: the stretch of a recording in which the person stands still, and weighs."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Values = NDArray[np.float64]

WINDOW_S = 1.0
"""Least stretch to weigh in; shorter ones move a jump's height by 3 to 5 mm (Owen and others 2014
ask for 1 s; computed from open recordings). [s]"""
LEAST_PERSON_N = 100.0
"""Less is no person on the plates (own choice). [N]"""
_STEPS = 20
"""Windows begin a twentieth of their length apart: near enough to find the quiet one."""
_AS_QUIET = 1.5
"""The first window that is nearly as quiet as the quietest is taken: before the move, not after."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Quiet:
    """A stretch of quiet stance, as places in the recording.

    Attributes
    ----------
    first, last
        Its samples, the last one not included.
    weight_n
        Mean vertical force in it. [N]
    spread_n
        Standard deviation of it, over one less than its samples. [N]
    """

    first: int
    last: int
    weight_n: float
    spread_n: float


def quiet_stances(vertical_n: Values, rate_hz: float, *, length_s: float = WINDOW_S) -> list[Quiet]:
    """All windows of a length in which a person bears on the plates, a twentieth of it apart.

    Parameters
    ----------
    vertical_n
        Vertical force of all plates together, up positive, shape (n,). [N]
    rate_hz
        Samples a second. [Hz]
    length_s
        Length of a window. [s]

    Examples
    --------
    >>> len(quiet_stances(np.full(2000, 800.0), 1000.0))
    21
    """
    n = max(2, round(length_s * rate_hz))
    known = np.isfinite(vertical_n)
    if vertical_n.size < n or not known.any():
        return []
    level = float(vertical_n[known].mean())  # sums of squares about it lose no digits
    shifted = np.where(known, vertical_n - level, 0.0)
    sums, squares, gaps = (_running(values) for values in (shifted, shifted**2, ~known))
    firsts = np.arange(0, vertical_n.size - n + 1, max(1, n // _STEPS))
    firsts = firsts[gaps[firsts + n] == gaps[firsts]]
    means = (sums[firsts + n] - sums[firsts]) / n
    spreads = np.sqrt(np.maximum(0.0, (squares[firsts + n] - squares[firsts]) / n - means**2))
    weights = means + level
    return [
        Quiet(
            first=int(first),
            last=int(first) + n,
            weight_n=float(weight),
            spread_n=float(spread) * float(np.sqrt(n / (n - 1))),
        )
        for first, weight, spread in zip(firsts, weights, spreads, strict=True)
        if weight >= LEAST_PERSON_N
    ]


def _running(values: Values | NDArray[np.bool_]) -> Values:
    return np.concatenate([[0.0], np.cumsum(values, dtype=np.float64)])


def quiet_stance(vertical_n: Values, rate_hz: float, *, length_s: float = WINDOW_S) -> Quiet | None:
    """Find the first window that is about as quiet as the quietest; None where nobody stands.

    Parameters
    ----------
    vertical_n
        Vertical force of all plates together, up positive, shape (n,). [N]
    rate_hz
        Samples a second. [Hz]
    length_s
        Length of a window. [s]

    Examples
    --------
    >>> rng = np.random.default_rng(3)
    >>> force_n = 800.0 + rng.normal(0.0, 1.0, 3000)
    >>> force_n[1500:2000] += 300.0
    >>> found = quiet_stance(force_n, 1000.0)
    >>> found.first < 500, round(found.weight_n)
    (True, 800)
    """
    found = quiet_stances(vertical_n, rate_hz, length_s=length_s)
    if not found:
        return None
    least_n = min(quiet.spread_n for quiet in found)
    return next(quiet for quiet in found if quiet.spread_n <= _AS_QUIET * least_n)
