"""How one ball strays from the student's usual ball: a solid part, and a wide part for mishits.

``f(r) = (1 - p) N(r; 0, s²) + p N(r; shift·s, (widening·s)²)``. Mishits stay in the sums: they
weigh less for the typical ball, and are counted for themselves.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Noise:
    """The mishit part of the noise.

    Attributes
    ----------
    share
        Share of balls that come from the wide part, in (0, 1).
    shift
        Its centre, in solid standard deviations (negative: short).
    widening
        Its standard deviation, in solid standard deviations, above 1.
    """

    share: float
    shift: float
    widening: float

    @property
    def log_odds(self) -> float:
        """Logarithm of mishit to solid at equal distance from either centre, scales included."""
        return math.log(self.share / self.widening) - math.log1p(-self.share)


LENGTH_NOISE = Noise(share=0.08, shift=-2.0, widening=4.0)
"""For lengths and speeds: a mishit is short. Assumed, no source with figures was found; simulated
lessons with 0 to 15 % mishits give the error rates in docs/explain/evidence.md."""

DIRECTION_NOISE = Noise(share=0.08, shift=0.0, widening=3.0)
"""For directions: a mishit goes either way. Assumed, as above."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Split:
    """What each residual says under the two parts; every array has the shape of the residuals.

    Attributes
    ----------
    log_density
        ``log f``, without ``log √(2π)``.
    solid
        Probability that the ball belongs to the solid part.
    score
        ``-d log f / dr``: the pull of the ball on the level.
    weight
        Expected precision of the ball, never negative.
    curvature
        ``-d² log f / dr²``: the exact one, negative where a ball is about to become a mishit.
    """

    log_density: Floats
    solid: Floats
    score: Floats
    weight: Floats
    curvature: Floats

    def rows(self, mine: slice) -> "Split":
        """Some of the rows."""
        return Split(
            log_density=self.log_density[mine],
            solid=self.solid[mine],
            score=self.score[mine],
            weight=self.weight[mine],
            curvature=self.curvature[mine],
        )


def split(residual: Floats, scale: Floats, noise: Noise) -> Split:
    """Weigh each residual between the solid and the mishit part.

    Parameters
    ----------
    residual
        Ball less level, any shape and unit.
    scale
        Solid standard deviation in the same unit, above 0, broadcasting against `residual`.
    noise
        The mishit part.

    Examples
    --------
    >>> split(np.array([0.0, -6.0]), np.array(1.0), LENGTH_NOISE).solid.round(5)
    array([0.98118, 0.     ])
    """
    tight = 1.0 / (scale * scale)
    wide = tight / noise.widening**2
    off = residual - noise.shift * scale
    pull_solid, pull_mishit = residual * tight, off * wide
    log_solid = -0.5 * residual * pull_solid
    ahead = noise.log_odds - 0.5 * off * pull_mishit - log_solid
    small = np.exp(-np.abs(ahead))
    total = 1.0 + small
    mishit = np.where(ahead > 0.0, 1.0, small) / total
    solid = 1.0 - mishit
    weight = solid * tight + mishit * wide
    lean = pull_solid - pull_mishit
    return Split(
        log_density=log_solid
        + np.maximum(ahead, 0.0)
        + np.log(total)
        + (math.log1p(-noise.share) - np.log(scale)),
        solid=solid,
        score=solid * pull_solid + mishit * pull_mishit,
        weight=weight,
        curvature=weight - solid * mishit * lean * lean,
    )
