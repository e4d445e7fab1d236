"""The blocks of a lesson brought together: both means and the drift, at each pair of spreads."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leadfoot.evidence.blocks import DIRECTION_TAILS, LOG_SPREADS, STEP, Blocks, Tails
from leadfoot.evidence.misses import LIGHTEST, Cells
from leadfoot.evidence.noise import Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class PatternPrior:
    """What is held possible before the first ball, in usual spreads. Assumed, all of it.

    Attributes
    ----------
    ratio_doubt
        How far the change may make the pattern narrower or wider, as a standard deviation of the
        logarithm.
    shift_sd
        How far the change may move the mean.
    wander_sd
        How far the means of two blocks lie apart by themselves.
    slope_sd
        Steady drift of the mean, a ball: getting tired, getting used to the bay. As for lengths.
    level_sd
        How far the mean may lie from the target.
    tails
        The noise of a ball.
    """

    ratio_doubt: float = 0.3
    shift_sd: float = 0.7
    wander_sd: float = 0.15
    slope_sd: float = 0.03
    level_sd: float = 3.0
    tails: Tails = DIRECTION_TAILS


DEFAULT_PATTERN_PRIOR = PatternPrior()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Pairs:
    """Weight of each pair of spreads and the normal of the two means there, shape (24, 24)."""

    weight: Floats
    mean_before: Floats
    mean_after: Floats
    variance_before: Floats
    variance_after: Floats
    lean: Floats

    def heaviest(self) -> Cells:
        """The cells that carry all but a few thousandths of the weight."""
        kept = np.flatnonzero(self.weight > LIGHTEST * self.weight.max())
        weight = self.weight.ravel()[kept]
        return Cells(
            weight=weight / weight.sum(),
            before=kept // len(LOG_SPREADS),
            after=kept % len(LOG_SPREADS),
            mean_before=self.mean_before.ravel()[kept],
            mean_after=self.mean_after.ravel()[kept],
            variance_before=self.variance_before.ravel()[kept],
            variance_after=self.variance_after.ravel()[kept],
            lean=self.lean.ravel()[kept],
        )


def pairs_of(blocks: Blocks, log_prior: Floats, prior: PatternPrior) -> Pairs:
    """Bring the blocks together: both means and the drift, at each pair of spreads.

    Parameters
    ----------
    blocks
        What each block says.
    log_prior
        Logarithm of the prior of the pair, broadcasting to (24 before, 24 with the change),
        without the prior of their ratio.
    prior
        The model's assumptions.

    Notes
    -----
    Block k shows ``mean of its side + drift · place + wander``, with variance
    ``1/sharpness + wander²/2``. All is normal, so the drift is taken out by one elimination
    (Schur complement) and two equations are left for the two means.
    """
    before = _Side.of(blocks, ~blocks.with_change, prior).as_column()
    after = _Side.of(blocks, blocks.with_change, prior).as_row()
    tie = 1.0 / prior.shift_sd**2
    slope_variance = prior.slope_sd**2
    told = 1.0 + slope_variance * (before.square + after.square)
    kappa = slope_variance / told
    pull = before.slope + after.slope
    a11 = before.precision + (1.0 / prior.level_sd**2 + tie) - kappa * before.lever**2
    a22 = after.precision + tie - kappa * after.lever**2
    a12 = tie + kappa * before.lever * after.lever
    b1 = before.pull - kappa * pull * before.lever
    b2 = after.pull - kappa * pull * after.lever
    determinant = a11 * a22 - a12 * a12
    variance_before, variance_after, lean = a22 / determinant, a11 / determinant, a12 / determinant
    mean_before = variance_before * b1 + lean * b2
    mean_after = lean * b1 + variance_after * b2
    log_ratio = LOG_SPREADS[None, :] - LOG_SPREADS[:, None]
    log_weight = (
        before.log_evidence
        + after.log_evidence
        + log_prior
        - 0.5 * (log_ratio / prior.ratio_doubt) ** 2
        - 0.5 * np.log(determinant * told)
        + 0.5 * (b1 * mean_before + b2 * mean_after + kappa * pull * pull)
    )
    weight = np.exp(log_weight - log_weight.max())
    return Pairs(
        weight=weight / weight.sum(),
        mean_before=mean_before,
        mean_after=mean_after,
        variance_before=variance_before,
        variance_after=variance_after,
        lean=lean,
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Side:
    """The blocks of one side summed: sums of precision, precision · place and so on."""

    log_evidence: Floats
    precision: Floats
    pull: Floats
    lever: Floats
    square: Floats
    slope: Floats

    @classmethod
    def of(cls, blocks: Blocks, mine: NDArray[np.bool_], prior: PatternPrior) -> "_Side":
        mean, place, sharpness = blocks.mean[:, mine], blocks.place[:, mine], blocks.sharpness
        precision = 1.0 / (1.0 / sharpness[:, mine] + 0.5 * prior.wander_sd**2)
        pull = precision * mean
        lever = precision * place
        evidence = blocks.log_evidence[:, mine] + 0.5 * np.log(precision) - 0.5 * pull * mean
        return cls(
            log_evidence=evidence.sum(axis=1),
            precision=precision.sum(axis=1),
            pull=pull.sum(axis=1),
            lever=lever.sum(axis=1),
            square=(lever * place + blocks.slope_sharpness[:, mine]).sum(axis=1),
            slope=(lever * mean + blocks.slope_pull[:, mine]).sum(axis=1),
        )

    def as_column(self) -> "_Side":
        return self._shaped((-1, 1))

    def as_row(self) -> "_Side":
        return self._shaped((1, -1))

    def _shaped(self, shape: tuple[int, int]) -> "_Side":
        return _Side(
            log_evidence=self.log_evidence.reshape(shape),
            precision=self.precision.reshape(shape),
            pull=self.pull.reshape(shape),
            lever=self.lever.reshape(shape),
            square=self.square.reshape(shape),
            slope=self.slope.reshape(shape),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class RatioOdds:
    """Odds and moments of the logarithm of the ratio of the spreads."""

    narrower: float
    narrower_clearly: float
    wider_clearly: float
    mean: float
    sd: float


def ratio_odds(weight: Floats) -> RatioOdds:
    """Sum the pairs of spreads along their diagonals.

    Notes
    -----
    The sum up to an edge is the trapezoid or the midpoint rule with its first correction
    (Euler and Maclaurin). "Clearly" is half a step of the grid: a twentieth.

    Examples
    --------
    >>> found = ratio_odds(np.diag(np.ones(22) / 22.0, -2))
    >>> found.narrower, found.narrower_clearly, round(found.mean, 3)
    (1.0, 1.0, -0.2)
    """
    size = len(LOG_SPREADS)
    away = np.arange(size)[None, :] - np.arange(size)[:, None] + size
    share = np.bincount(away.ravel(), weights=weight.ravel(), minlength=2 * size + 1)
    at, left, right = share[size], share[size - 1], share[size + 1]
    below, above = float(share[:size].sum()), float(share[size + 1 :].sum())
    place = STEP * np.arange(-size, size + 1)
    mean = float(share @ place)
    return RatioOdds(
        narrower=_odds(below + 0.5 * at - (right - left) / 24.0),
        narrower_clearly=_odds(below + (at - left) / 24.0),
        wider_clearly=_odds(above + (at - right) / 24.0),
        mean=mean,
        # No finer than one cell, a triangle of two even places.
        sd=max(math.sqrt(float(share @ (place - mean) ** 2)), STEP / math.sqrt(6.0)),
    )


def _odds(value: float) -> float:
    return float(np.clip(value, 0.0, 1.0))
