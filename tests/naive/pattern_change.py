"""Slow twin of the change of a pattern: importance sampling of the whole model."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import stats

from leadfoot.evidence import pattern
from leadfoot.evidence.judgement import UsualSpread
from leadfoot.evidence.lesson import Seen
from leadfoot.evidence.noise import DIRECTION_NOISE
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
        return self.miss[:, 1] < pattern.MISS_SHARE * self.miss[:, 0]


def sampled_pattern(
    balls: Seen, usual: UsualSpread, rng: np.random.Generator, *, n_draws: int = 80_000
) -> SampledPattern:
    z = balls.values / usual.sd
    sides = (z[~balls.with_change], z[balls.with_change])
    doubt = scale_doubt(usual.n_shots)
    centre = np.array([np.median(sides[0]), np.median(sides[1]), 0.0, 0.0])
    covariance = np.diag(np.array([1.0, 1.0, 0.4, 0.5]) ** 2)
    draws, weight = np.empty((0, 4)), np.empty(0)
    for _ in range(3):
        proposal = stats.multivariate_t(centre, covariance, df=5)
        draws = np.asarray(proposal.rvs(n_draws, random_state=rng))
        log_weight = _log_posterior(draws, sides, doubt) - proposal.logpdf(draws)
        weight = np.exp(log_weight - log_weight.max())
        weight /= weight.sum()
        centre = weight @ draws
        covariance = 1.2 * (draws - centre).T @ ((draws - centre) * weight[:, None])
    return SampledPattern(mean=draws[:, :2], spread=np.exp(draws[:, 2:]), weight=weight)


def _log_posterior(draws: Floats, sides: tuple[Floats, Floats], doubt: float) -> Floats:
    mean_before, mean_after, log_before, log_after = draws.T
    total = stats.norm.logpdf(mean_before, 0.0, pattern.LEVEL_SD)
    total += stats.norm.logpdf(mean_after - mean_before, 0.0, pattern.SHIFT_SD)
    total += stats.norm.logpdf(log_before, 0.0, doubt)
    total += stats.norm.logpdf(log_after - log_before, 0.0, pattern.RATIO_DOUBT)
    # The block's own wander stands between the mean that the change makes and what the balls show.
    nodes, weights = np.polynomial.hermite_e.hermegauss(7)
    total += _log_likelihood(sides[0], mean_before, log_before)
    shown = [
        np.log(weight / weights.sum())
        + _log_likelihood(sides[1], mean_after + pattern.WANDER_SD * node, log_after)
        for node, weight in zip(nodes, weights, strict=True)
    ]
    return np.asarray(total + np.logaddexp.reduce(shown), dtype=np.float64)


def _log_likelihood(side: Floats, mean: Floats, log_spread: Floats) -> Floats:
    noise = DIRECTION_NOISE
    total = np.zeros(len(mean))
    for value in side:
        away = (value - mean) * np.exp(-log_spread)
        solid = np.log(1 - noise.share) + stats.norm.logpdf(away)
        mishit = np.log(noise.share) + stats.norm.logpdf(away, noise.shift, noise.widening)
        total += np.logaddexp(solid, mishit) - log_spread
    return total
