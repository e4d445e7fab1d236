"""Slow twin of the change of a pattern: importance sampling of the whole model."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import stats

from leadfoot.evidence.judgement import UsualSpread
from leadfoot.evidence.lesson import Seen
from leadfoot.evidence.misses import MISS_SHARE, NEARER_SD
from leadfoot.evidence.pairs import DEFAULT_PATTERN_PRIOR, PatternPrior
from leadfoot.evidence.usual import scale_doubt

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SampledPattern:
    """Draws of the two means and the two spreads, in usual spreads, with their weights."""

    mean: Floats  # (n, 2): before, with the change
    spread: Floats  # (n, 2)
    weight: Floats

    @property
    def effective_draws(self) -> float:
        return float(1.0 / (self.weight**2).sum())

    def share(self, holds: NDArray[np.bool_]) -> float:
        return float(self.weight @ holds)

    @property
    def nearer(self) -> NDArray[np.bool_]:
        return np.abs(self.mean[:, 1]) < np.abs(self.mean[:, 0])

    @property
    def nearer_clearly(self) -> NDArray[np.bool_]:
        return np.abs(self.mean[:, 1]) < np.abs(self.mean[:, 0]) - NEARER_SD

    @property
    def farther_clearly(self) -> NDArray[np.bool_]:
        return np.abs(self.mean[:, 1]) > np.abs(self.mean[:, 0]) + NEARER_SD

    @property
    def narrower(self) -> NDArray[np.bool_]:
        return self.spread[:, 1] < self.spread[:, 0]

    @property
    def miss(self) -> Floats:
        folded = stats.foldnorm(np.abs(self.mean) / self.spread, scale=self.spread)
        return np.asarray(folded.mean(), dtype=np.float64)

    @property
    def misses_less(self) -> NDArray[np.bool_]:
        return self.miss[:, 1] < self.miss[:, 0]

    @property
    def misses_clearly_less(self) -> NDArray[np.bool_]:
        return self.miss[:, 1] < MISS_SHARE * self.miss[:, 0]


def sampled_pattern(
    balls: Seen,
    usual: UsualSpread,
    rng: np.random.Generator,
    *,
    prior: PatternPrior = DEFAULT_PATTERN_PRIOR,
    n_draws: int = 80_000,
) -> SampledPattern:
    z = balls.values / usual.sd
    doubt = scale_doubt(usual.n_shots)
    middles = [float(np.median(z[balls.with_change == side])) for side in (False, True)]
    centre = np.array([*middles, 0.0, 0.0, 0.0])
    covariance = np.diag(np.array([1.0, 1.0, 0.4, 0.5, 0.03]) ** 2)
    draws, weight = np.empty((0, 5)), np.empty(0)
    for _ in range(4):
        proposal = stats.multivariate_t(centre, covariance, df=5)
        draws = np.asarray(proposal.rvs(n_draws, random_state=rng))
        log_weight = _log_posterior(draws, balls, z, doubt, prior) - proposal.logpdf(draws)
        weight = np.exp(log_weight - log_weight.max())
        weight /= weight.sum()
        centre = weight @ draws
        covariance = 1.2 * (draws - centre).T @ ((draws - centre) * weight[:, None])
    return SampledPattern(mean=draws[:, :2], spread=np.exp(draws[:, 2:4]), weight=weight)


def _log_posterior(
    draws: Floats, balls: Seen, z: Floats, doubt: float, prior: PatternPrior
) -> Floats:
    mean_before, mean_after, log_before, log_after, slope = draws.T
    total = stats.norm.logpdf(mean_before, 0.0, prior.level_sd)
    total += stats.norm.logpdf(mean_after - mean_before, 0.0, prior.shift_sd)
    total += stats.norm.logpdf(log_before, 0.0, doubt)
    total += stats.norm.logpdf(log_after - log_before, 0.0, prior.ratio_doubt)
    total += stats.norm.logpdf(slope, 0.0, prior.slope_sd)
    # Each block's own wander stands between its side's mean and what the balls show.
    nodes, weights = np.polynomial.hermite_e.hermegauss(7)
    number = balls.ball_number - balls.ball_number.mean()
    block = np.concatenate(([0], np.cumsum(balls.with_change[1:] != balls.with_change[:-1])))
    for one in range(block[-1] + 1):
        mine = block == one
        after = balls.with_change[mine][0]
        mean, log_spread = (mean_after, log_after) if after else (mean_before, log_before)
        shown = [
            np.log(weight / weights.sum())
            + _log_likelihood(
                z[mine],
                number[mine],
                mean + prior.wander_sd * np.sqrt(0.5) * node,
                slope,
                log_spread,
                prior,
            )
            for node, weight in zip(nodes, weights, strict=True)
        ]
        total += np.logaddexp.reduce(shown)
    return np.asarray(total, dtype=np.float64)


def _log_likelihood(  # noqa: PLR0917 - one private place
    z: Floats, number: Floats, mean: Floats, slope: Floats, log_spread: Floats, prior: PatternPrior
) -> Floats:
    scale = prior.tails.scale * np.exp(log_spread)
    total = np.zeros(len(mean))
    for value, at in zip(z, number, strict=True):
        total += stats.t.logpdf((value - mean - slope * at) / scale, prior.tails.freedom)
        total -= np.log(scale)
    return total
