"""Are these balls one group or two: two normal groups of one width against a single one."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

LEAST_SHARE = 0.2
"""A group with fewer of the balls is a handful of strays, not a second pattern. House rule. [-]"""
PRIOR_TWO = 0.3
"""Chance that a student has two patterns, before the balls are seen. Assumed. [-]"""
_STEPS = 60


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TwoGroups:
    """Two groups.

    Attributes
    ----------
    middles
        The lower and the upper.
    apart
        Their distance, never negative.
    upper
        Shape (n,): chance that each ball belongs to the upper one.
    odds
        Chance that there are two.
    """

    middles: tuple[float, float]
    apart: float
    upper: Floats
    odds: float


def two_groups(values: Floats, error_sd: float) -> TwoGroups:
    """Split values into two groups, and weigh that against one.

    Parameters
    ----------
    values
        Shape (n,), finite, n at least 4.
    error_sd
        Error of one value: the groups are never taken as narrower.

    Notes
    -----
    Expectation and maximisation from the split that leaves the least square; the two are weighed by
    the Bayesian information criterion (G. Schwarz, Annals of Statistics 6:461-464, 1978) with
    `PRIOR_TWO`: rough for a few balls, so it is checked on simulated students.

    Examples
    --------
    >>> both = np.array([-5.2, -4.8, -5.5, -4.6, -5.0, -4.9, 4.9, 5.3, 4.4, 5.1, 5.0, 4.8])
    >>> found = two_groups(both, 0.5)
    >>> round(found.apart), found.odds > 0.99
    (10, True)
    >>> two_groups(np.linspace(-1.0, 1.0, 12), 0.1).odds < 0.2
    True
    """
    n = len(values)
    floor = max(error_sd, 1e-9) ** 2
    upper = _best_split(values)
    for _ in range(_STEPS):
        share = float(np.clip(upper.mean(), 1e-3, 1.0 - 1e-3))
        high = float(upper @ values / max(upper.sum(), 1e-9))
        low = float((1.0 - upper) @ values / max((1.0 - upper).sum(), 1e-9))
        left = upper * (values - high) ** 2 + (1.0 - upper) * (values - low) ** 2
        width = max(float(left.mean()), floor)
        ahead = np.log(share / (1.0 - share))
        ahead = ahead + ((values - low) ** 2 - (values - high) ** 2) / (2.0 * width)
        upper = 1.0 / (1.0 + np.exp(-np.clip(ahead, -500.0, 500.0)))
    in_two = np.logaddexp(
        np.log(share) - (values - high) ** 2 / (2.0 * width),
        np.log(1.0 - share) - (values - low) ** 2 / (2.0 * width),
    ).sum() - 0.5 * n * np.log(width)
    one = max(float(values.var()), floor)
    in_one = -0.5 * float(((values - values.mean()) ** 2).sum()) / one - 0.5 * n * np.log(one)
    ahead_by = in_two - in_one - np.log(n) + np.log(PRIOR_TWO / (1.0 - PRIOR_TWO))
    odds = 1.0 / (1.0 + np.exp(-np.clip(ahead_by, -500.0, 500.0)))
    if not LEAST_SHARE <= share <= 1.0 - LEAST_SHARE:
        odds = 0.0
    return TwoGroups(middles=(low, high), apart=abs(high - low), upper=upper, odds=float(odds))


def _best_split(values: Floats) -> Floats:
    """The upper group of the split that leaves the least square within."""
    order = np.sort(values)
    n = len(order)
    least, at = np.inf, order[n // 2]
    for k in range(max(2, int(np.ceil(LEAST_SHARE * n))), n - max(1, int(LEAST_SHARE * n))):
        within = order[:k].var() * k + order[k:].var() * (n - k)
        if within < least:
            least, at = within, order[k]
    return np.asarray((values >= at).astype(np.float64))
