"""How much a length or a speed changed: a robust posterior in closed form, in one pass.

Everything is counted in the student's usual standard deviation. For ball ``i``

    z = level + change·[with the change] + slope·(ball - mean) + warm·exp(-ball / 6) + noise

with the noise of `leadfoot.evidence.noise`, whose scale may differ today. The sums are those of
`leadfoot.evidence.peak`; the change is a small mixture of normals, so every odds is a sum of normal
tails. Several cues against one baseline are in `leadfoot.evidence.side_by_side`.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy.special import ndtr

from leadfoot.errors import InputError
from leadfoot.evidence.judgement import UsualSpread
from leadfoot.evidence.lesson import WARM_AFTER, Seen, order_of_blocks
from leadfoot.evidence.mixture import mixture_ends
from leadfoot.evidence.noise import LENGTH_NOISE, Floats, Noise
from leadfoot.evidence.peak import Grid, LevelPrior, Peaks, open_weights, peaks
from leadfoot.evidence.usual import scale_doubt, spread_today

__all__ = [
    "DEFAULT_PRIOR",
    "RETURNED_PRIOR",
    "UNWARMED_PRIOR",
    "LevelChange",
    "LevelPrior",
    "design",
    "level_change",
    "levels_together",
    "prior_for",
]

FURTHEST_SD = 1000.0
"""A ball further than this from the middle of the ones before counts as this far; keeps the sums
finite and cannot matter for a verdict."""
DEFAULT_PRIOR = LevelPrior()
RETURNED_PRIOR = LevelPrior(day_doubt=0.15, range_stretch=1.08)
"""Once the old way has been hit again there are enough balls to tell today's spread by: trusting
the usual one less costs next to no power, and fewer days on which balls stray more than usual pass
for a change (tests/rates)."""

UNWARMED_PRIOR = replace(RETURNED_PRIOR, warm_sd=1.0)
"""The same where no balls to get warm were recorded: a larger cold start is held possible, which
can be told from a change by then."""


def prior_for(balls: Seen) -> LevelPrior:
    """The prior of a design: the usual spread is trusted less once a block was returned to.

    Examples
    --------
    >>> there_and_back = Seen(values=np.zeros(3), ball_number=np.arange(3.0),
    ...                       with_change=np.array([False, True, False]))
    >>> prior_for(there_and_back).day_doubt
    0.15
    """
    if order_of_blocks(balls.with_change) == "once":
        return DEFAULT_PRIOR
    return RETURNED_PRIOR if balls.ball_number[0] >= WARM_AFTER else UNWARMED_PRIOR


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LevelChange:
    """Posterior of the change: a mixture of normals, in units of `unit_si`.

    Attributes
    ----------
    weights, means, variances
        Shape (k,); the weights add up to 1.
    unit_si
        The standard deviation that serves as unit, in SI.
    before_si
        Typical ball before the change, in SI, mishits weighed down and drift taken out.
    mishit
        Shape (n,): probability that each ball was a mishit, short of the typical one.
    information
        Information of a ball like today's about a level, in 1 / unit².
    wider_than_usual
        True if today's balls stray so much more than the usual spread that it was raised.
    """

    weights: Floats
    means: Floats
    variances: Floats
    unit_si: float
    before_si: float
    mishit: Floats
    information: float
    wider_than_usual: bool
    cold: float = 0.5
    """Probability that the balls started short and came up (a cold start)."""
    open_weights: Floats | None = None
    """Weights for the range: those of the nodes that hold the largest changes possible, shape (k,).
    The estimate is drawn toward nothing, since most changes do little; a range that followed it
    would hold a real gain too seldom. None: the range is that of the mixture."""
    range_stretch: float = 1.0

    @property
    def mean(self) -> float:
        """Posterior mean of the change, in units."""
        return float(self.weights @ self.means)

    @property
    def sd(self) -> float:
        """Posterior standard deviation of the change, in units."""
        spread = self.weights @ (self.variances + (self.means - self.mean) ** 2)
        return float(np.sqrt(spread))

    def above(self, limit: float) -> float:
        """Probability that the change exceeds a limit, given in units."""
        tails = ndtr((self.means - limit) / np.sqrt(self.variances))
        return float(np.clip(self.weights @ tails, 0.0, 1.0))

    def interval(self, probability: float = 0.9) -> tuple[float, float]:
        """Range that holds the change with a probability, in units.

        It rests on the balls with hardly any prior (see `open_weights`), and always holds the
        shrunk `mean` as well.
        """
        weights = self.weights if self.open_weights is None else self.open_weights
        tail = 0.5 * (1.0 - probability)
        ends = mixture_ends(weights, self.means, np.sqrt(self.variances), (tail, 1.0 - tail))
        middle, half = 0.5 * (ends[0] + ends[1]), 0.5 * self.range_stretch * (ends[1] - ends[0])
        return float(min(middle - half, self.mean)), float(max(middle + half, self.mean))


def level_change(
    balls: Seen,
    usual: UsualSpread,
    *,
    prior: LevelPrior | None = None,
    noise: Noise = LENGTH_NOISE,
) -> LevelChange:
    """Posterior of the change of the typical ball.

    Parameters
    ----------
    balls
        At least one ball before and one with the change, in any order of blocks.
    usual
        The student's usual spread of this quantity.
    prior, noise
        The model's assumptions; without a prior, that of `prior_for`.

    Examples
    --------
    >>> balls = Seen(values=np.array([44.1, 44.9, 44.4, 44.6, 44.5, 46.0, 46.6, 46.2, 46.4, 46.1]),
    ...              with_change=np.arange(10) >= 5, ball_number=np.arange(10.0))
    >>> found = level_change(balls, UsualSpread(sd=0.54, n_shots=80))
    >>> round(found.mean * found.unit_si, 2), round(found.above(0.2), 4)
    (1.62, 0.9999)
    """
    return levels_together([balls], [usual], prior=prior, noise=noise)[0]


def levels_together(
    balls: Sequence[Seen],
    usual: Sequence[UsualSpread],
    *,
    prior: LevelPrior | None = None,
    noise: Noise = LENGTH_NOISE,
) -> list[LevelChange]:
    """The same for several quantities that were seen on the same balls, in one go.

    Raises
    ------
    InputError
        If the quantities were not seen on the same balls.

    Examples
    --------
    >>> balls = Seen(values=np.array([44.1, 44.9, 44.4, 44.6, 44.5, 46.0, 46.6, 46.2, 46.4, 46.1]),
    ...              with_change=np.arange(10) >= 5, ball_number=np.arange(10.0))
    >>> both = levels_together([balls, balls], [UsualSpread(sd=0.54), UsualSpread(sd=5.0)])
    >>> [round(found.above(0.0), 2) for found in both]
    [1.0, 0.82]
    """
    first = balls[0]
    if any(not np.array_equal(one.ball_number, first.ball_number) for one in balls):
        raise InputError(
            "The quantities were not seen on the same balls.",
            fix="Weigh each of them by itself with level_change.",
        )
    prior = prior or prior_for(first)
    more = prior.day_doubt
    scaled = [_scaled(one, spread, more) for one, spread in zip(balls, usual, strict=True)]
    terms = design(first, prior)
    grids = [Grid.over(scale_doubt(spread.n_shots, more=more), prior) for spread in usual]
    found = peaks(np.stack([one.z for one in scaled]), terms, grids, noise)
    before = np.delete(terms[~first.with_change].mean(axis=0), 1)
    return [_told(one, peak, terms, before, prior) for one, peak in zip(scaled, found, strict=True)]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Scaled:
    """The balls in today's units around the middle of the ones before."""

    z: Floats
    unit_si: float
    reference_si: float
    wider: bool


def _scaled(balls: Seen, usual: UsualSpread, more_doubt: float) -> Scaled:
    unit_si, wider = spread_today(balls, usual, more_doubt=more_doubt)
    reference_si = float(np.median(balls.values[~balls.with_change]))
    z = np.clip((balls.values - reference_si) / unit_si, -FURTHEST_SD, FURTHEST_SD)
    return Scaled(z=z, unit_si=unit_si, reference_si=reference_si, wider=wider)


def _told(
    scaled: Scaled, peak: Peaks, terms: Floats, before: Floats, prior: LevelPrior
) -> LevelChange:
    level = float(peak.weights @ (np.delete(peak.mode, 1, axis=1) @ before))
    short = scaled.z < peak.mode @ terms.T
    mishit = peak.weights @ np.where(short, 1.0 - peak.at_mode.solid, 0.0)
    return LevelChange(
        weights=peak.weights,
        means=peak.mode[:, 1],
        variances=peak.covariance[:, 1, 1],
        unit_si=scaled.unit_si,
        before_si=scaled.reference_si + scaled.unit_si * level,
        mishit=np.clip(mishit, 0.0, 1.0),
        information=peak.information,
        wider_than_usual=scaled.wider,
        cold=_odds_of_cold(peak),
        open_weights=open_weights(peak.weights, prior),
        range_stretch=prior.range_stretch,
    )


def design(balls: Seen, prior: LevelPrior) -> Floats:
    """The four terms of the model for each ball, shape (n, 4).

    Examples
    --------
    >>> balls = Seen(values=np.zeros(2), with_change=np.array([False, True]),
    ...              ball_number=np.array([0.0, 6.0]))
    >>> design(balls, DEFAULT_PRIOR).round(3)
    array([[ 1.   ,  0.   , -3.   ,  1.   ],
           [ 1.   ,  1.   ,  3.   ,  0.368]])
    """
    number = balls.ball_number
    return np.column_stack(
        (
            np.ones(len(number)),
            balls.with_change.astype(np.float64),
            number - number.mean(),
            np.exp(-number / prior.warm_balls),
        )
    )


def _odds_of_cold(peak: Peaks) -> float:
    """Probability that the first ball was short by the cold start."""
    return float(peak.weights @ ndtr(-peak.mode[:, -1] / np.sqrt(peak.covariance[:, -1, -1])))
