"""Share of mishits before and with the change: counted for themselves, never dropped."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import betainc

from leadfoot.evidence.noise import Floats

PRIOR_MISHITS = 0.8
PRIOR_SOLID = 9.2
"""Ten balls with 8 % mishits, before today's are counted. Assumed."""
MARGIN = 0.05
"""More mishits: at least five balls in a hundred more. Assumed; editable in `odds_more`."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MishitChange:
    """Shares of mishits and what can be said of their change (share with less share before)."""

    before: float
    after: float
    low: float
    high: float
    odds_fewer: float
    odds_more: float
    """Probability that the share rose by more than the margin."""


def mishit_change(
    mishit: Floats, with_change: NDArray[np.bool_], *, margin: float = MARGIN
) -> MishitChange:
    """Compare the shares of mishits.

    Parameters
    ----------
    mishit
        Shape (n,): probability that each ball was a mishit.
    with_change
        Shape (n,).
    margin
        Rise that counts as more.

    Examples
    --------
    >>> found = mishit_change(np.r_[np.zeros(10), np.ones(4), np.zeros(8)], np.arange(22) >= 10)
    >>> round(found.before, 3), round(found.after, 3), round(found.odds_more, 3)
    (0.04, 0.218, 0.923)
    """
    share = np.linspace(0.0, 1.0, 201)
    before, mean_before = _distribution(mishit[~with_change], share)
    after, mean_after = _distribution(mishit[with_change], share)
    mass = np.diff(before)
    middle = 0.5 * (share[1:] + share[:-1])
    change = np.linspace(-1.0, 1.0, 101)
    below = _below(change, middle, mass, share, after)
    low, high = np.interp((0.05, 0.95), below, change)
    beside = _below(np.array([0.0, margin]), middle, mass, share, after)
    difference = mean_after - mean_before
    return MishitChange(
        before=mean_before,
        after=mean_after,
        low=min(float(low), difference),
        high=max(float(high), difference),
        odds_fewer=float(np.clip(beside[0], 0.0, 1.0)),
        odds_more=float(np.clip(1.0 - beside[1], 0.0, 1.0)),
    )


def _distribution(mishit: Floats, share: Floats) -> tuple[Floats, float]:
    """Distribution function over `share` and mean of a share: a beta distribution."""
    a = PRIOR_MISHITS + float(mishit.sum())
    b = PRIOR_SOLID + float((1.0 - mishit).sum())
    return betainc(a, b, share), a / (a + b)


def _below(change: Floats, middle: Floats, mass: Floats, share: Floats, after: Floats) -> Floats:
    """Distribution function of the change at each of `change`."""
    reach = np.interp(middle[None, :] + change[:, None], share, after, left=0.0, right=1.0)
    return np.asarray(reach @ mass, dtype=np.float64)
