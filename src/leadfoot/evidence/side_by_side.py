"""Several cues against one baseline: A, B, A, C, ... in one lesson, weighed together.

Each cue has its own change against the balls without any; level, drift, cold start and today's
scale are shared, so that a cue that was hit late is not blamed or praised for the drift. The model
is that of `leadfoot.evidence.change` with one column more for each further cue, and what comes out
is one joint mixture of normals: what any cue does, and how far two of them are apart.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leadfoot.errors import InputError
from leadfoot.evidence.change import FURTHEST_SD, LevelChange, prior_for
from leadfoot.evidence.judgement import UsualSpread
from leadfoot.evidence.lesson import Seen
from leadfoot.evidence.noise import LENGTH_NOISE, Floats, Noise
from leadfoot.evidence.peak import Grid, LevelPrior, Peaks, open_weights, peaks
from leadfoot.evidence.usual import scale_doubt, spread_today

MOST_CUES = 5
"""Cues that are weighed together at most: each doubles the grid. Nobody tries more in an hour."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CuedBalls:
    """The balls of one quantity that have a value, in hitting order.

    Attributes
    ----------
    values
        Shape (n,), SI, finite.
    cue
        Shape (n,): 0 without a cue, 1 to k with one of k cues, each hit at least once.
    ball_number
        Shape (n,), increasing.
    """

    values: Floats
    cue: NDArray[np.int64]
    ball_number: Floats


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CueChanges:
    """Joint posterior of the changes of k cues: a mixture of normals, in units of `unit_si`.

    Attributes
    ----------
    weights, means, covariances
        Shapes (m,), (m, k), (m, k, k); the weights add up to 1.
    unit_si, before_si
        The unit, and the typical ball without a cue, in SI.
    mishit
        Shape (n,): probability that each ball was a mishit.
    information
        Information of a ball like today's about a level, in 1 / unit².
    wider_than_usual
        True if the usual spread was raised because today's balls stray much more.
    open_weights, range_stretch
        See `leadfoot.evidence.change.LevelChange`.
    """

    weights: Floats
    means: Floats
    covariances: Floats
    unit_si: float
    before_si: float
    mishit: Floats
    information: float
    wider_than_usual: bool
    open_weights: Floats
    range_stretch: float

    @property
    def n_cues(self) -> int:
        """How many cues there are."""
        return int(self.means.shape[1])

    @property
    def mean(self) -> Floats:
        """Posterior means, shape (k,), in units."""
        return np.asarray(self.weights @ self.means)

    @property
    def covariance(self) -> Floats:
        """Posterior covariance, shape (k, k), in units²."""
        away = self.means - self.mean
        outer = away[:, :, None] * away[:, None, :]
        return np.asarray(np.tensordot(self.weights, self.covariances + outer, axes=1))

    def against_before(self, cue: int) -> LevelChange:
        """What one cue does, cues counted from 1."""
        return self._along(np.eye(self.n_cues)[self._place(cue)])

    def against(self, cue: int, other: int) -> LevelChange:
        """How much more one cue does than another."""
        places = np.eye(self.n_cues)
        return self._along(places[self._place(cue)] - places[self._place(other)])

    def _place(self, cue: int) -> int:
        if not 1 <= cue <= self.n_cues:
            raise InputError(
                f"There is no cue {cue}; the lesson has {self.n_cues}.",
                fix=f"Ask for a cue from 1 to {self.n_cues}.",
            )
        return cue - 1

    def _along(self, contrast: Floats) -> LevelChange:
        return LevelChange(
            weights=self.weights,
            means=self.means @ contrast,
            variances=np.einsum("i,mij,j->m", contrast, self.covariances, contrast),
            unit_si=self.unit_si,
            before_si=self.before_si,
            mishit=self.mishit,
            information=self.information,
            wider_than_usual=self.wider_than_usual,
            open_weights=self.open_weights,
            range_stretch=self.range_stretch,
        )


def level_changes(
    balls: CuedBalls,
    usual: UsualSpread,
    *,
    prior: LevelPrior | None = None,
    noise: Noise = LENGTH_NOISE,
) -> CueChanges:
    """Joint posterior of what several cues do to the typical ball.

    Nothing is corrected here for having tried several; see `leadfoot.evidence.what_works`.

    Parameters
    ----------
    balls
        At least one ball without a cue, and one with each.
    usual
        The student's usual spread of this quantity.
    prior, noise
        The model's assumptions, as in `leadfoot.evidence.change.level_change`.

    Raises
    ------
    InputError
        If there is no ball without a cue, a cue has no ball, or there are more than `MOST_CUES`.

    Examples
    --------
    >>> speed = np.array([44.1, 44.9, 44.4, 44.6, 44.5, 46.0, 46.6, 46.2, 46.4, 46.1,
    ...                   44.3, 44.7, 44.5, 44.4, 44.6, 44.8, 44.2, 44.9, 44.5, 44.7])
    >>> balls = CuedBalls(values=speed, cue=np.repeat([0, 1, 0, 2], 5),
    ...                   ball_number=np.arange(20.0))
    >>> found = level_changes(balls, UsualSpread(sd=0.54, n_shots=80))
    >>> [round(float(one) * found.unit_si, 1) for one in found.mean]
    [1.6, 0.1]
    >>> round(found.against(1, 2).above(0.2), 3)
    1.0
    """
    n_cues = _check(balls)
    plain = Seen(values=balls.values, with_change=balls.cue > 0, ball_number=balls.ball_number)
    prior = prior or prior_for(plain)
    unit_si, wider = spread_today(plain, usual, more_doubt=prior.day_doubt)
    reference_si = float(np.median(balls.values[balls.cue == 0]))
    z = np.clip((balls.values - reference_si) / unit_si, -FURTHEST_SD, FURTHEST_SD)
    terms = _design(balls, n_cues, prior)
    grid = Grid.over(scale_doubt(usual.n_shots, more=prior.day_doubt), prior, n_cues)
    (peak,) = peaks(z[None, :], terms, [grid], noise)
    changes = slice(1, n_cues + 1)
    before = terms[balls.cue == 0].mean(axis=0)
    return CueChanges(
        weights=peak.weights,
        means=peak.mode[:, changes],
        covariances=peak.covariance[:, changes, changes],
        unit_si=unit_si,
        before_si=reference_si + unit_si * float(peak.weights @ (peak.mode @ before)),
        mishit=_mishit(z, terms, peak),
        information=peak.information,
        wider_than_usual=wider,
        open_weights=open_weights(peak.weights, prior, n_cues),
        range_stretch=prior.range_stretch,
    )


def _check(balls: CuedBalls) -> int:
    n_cues = int(balls.cue.max(initial=0))
    counts = np.bincount(np.maximum(balls.cue, 0), minlength=n_cues + 1)
    if (balls.cue < 0).any() or n_cues == 0 or (counts == 0).any():
        raise InputError(
            f"Balls by cue, without one first: {counts.tolist()}.",
            fix="Give at least one ball without a cue and one with each, cues counted from 1.",
        )
    if n_cues > MOST_CUES:
        raise InputError(
            f"{n_cues} cues in one lesson are more than can be weighed together ({MOST_CUES}).",
            fix="Weigh the ones that matter, or one at a time.",
        )
    return n_cues


def _design(balls: CuedBalls, n_cues: int, prior: LevelPrior) -> Floats:
    number = balls.ball_number
    return np.column_stack(
        (
            np.ones(len(number)),
            (balls.cue[:, None] == np.arange(1, n_cues + 1)).astype(np.float64),
            number - number.mean(),
            np.exp(-number / prior.warm_balls),
        )
    )


def _mishit(z: Floats, terms: Floats, peak: Peaks) -> Floats:
    short = z < peak.mode @ terms.T
    return np.clip(peak.weights @ np.where(short, 1.0 - peak.at_mode.solid, 0.0), 0.0, 1.0)
