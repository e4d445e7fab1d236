"""Slow twin of the change of a level: importance sampling of the whole model, written for reading.

The five unknowns (level, change, slope, cold start, logarithm of today's scale) are drawn from one
broad heavy-tailed distribution and weighed by likelihood times prior over its density. A first
round, drawn around nothing but medians, shows where the second round should draw.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import stats

from leadfoot.evidence.change import DEFAULT_PRIOR, LevelPrior
from leadfoot.evidence.judgement import UsualSpread
from leadfoot.evidence.lesson import Seen
from leadfoot.evidence.noise import Noise
from leadfoot.evidence.usual import scale_doubt

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SampledChange:
    change: Floats
    weight: Floats

    @property
    def effective_draws(self) -> float:
        return float(1.0 / (self.weight**2).sum())

    @property
    def mean(self) -> float:
        return float(self.weight @ self.change)

    @property
    def sd(self) -> float:
        return float(np.sqrt(self.weight @ (self.change - self.mean) ** 2))

    def above(self, limit: float) -> float:
        return float(self.weight @ (self.change > limit))


def sampled_change(
    balls: Seen,
    usual: UsualSpread,
    noise: Noise,
    rng: np.random.Generator,
    *,
    prior: LevelPrior = DEFAULT_PRIOR,
    n_draws: int = 60_000,
) -> SampledChange:
    before = balls.values[~balls.with_change]
    after = balls.values[balls.with_change]
    reference = float(np.median(before))
    z = (balls.values - reference) / usual.sd
    doubt = scale_doubt(usual.n_shots, more=prior.day_doubt)
    centre = np.array([0.0, (np.median(after) - reference) / usual.sd, 0.0, 0.0, 0.0])
    wide = 1.5 / np.sqrt(balls.fewest)
    covariance = np.diag(np.array([wide, 2 * wide, prior.slope_sd, prior.warm_sd, doubt]) ** 2)
    draws, weight = np.empty((0, 5)), np.empty(0)
    for _ in range(3):
        proposal = stats.multivariate_t(centre, covariance, df=5)
        draws = np.asarray(proposal.rvs(n_draws, random_state=rng))
        log_weight = _log_prior(draws, prior, doubt) + _log_likelihood(
            draws, z, balls, noise, prior.warm_balls
        )
        log_weight -= proposal.logpdf(draws)
        weight = np.exp(log_weight - log_weight.max())
        weight /= weight.sum()
        centre = weight @ draws
        covariance = 1.2 * (draws - centre).T @ ((draws - centre) * weight[:, None])
    return SampledChange(change=draws[:, 1], weight=weight)


def _log_prior(draws: Floats, prior: LevelPrior, doubt: float) -> Floats:
    level, change, slope, warm, log_scale = draws.T
    total = stats.norm.logpdf(level, 0.0, prior.level_sd)
    parts = [
        np.log(share) + stats.norm.logpdf(change, 0.0, sd)
        for share, sd in zip(prior.change_share, prior.change_sd, strict=True)
    ]
    total += np.logaddexp.reduce(parts)
    total += stats.norm.logpdf(slope, 0.0, prior.slope_sd)
    total += stats.norm.logpdf(warm, 0.0, prior.warm_sd)
    total += stats.norm.logpdf(log_scale, 0.0, doubt)
    return np.asarray(total, dtype=np.float64)


def _log_likelihood(
    draws: Floats, z: Floats, balls: Seen, noise: Noise, warm_balls: float
) -> Floats:
    level, change, slope, warm, log_scale = draws.T
    middle = balls.ball_number.mean()
    total = np.zeros(len(draws))
    for value, changed, number in zip(z, balls.with_change, balls.ball_number, strict=True):
        expected = level + change * changed + slope * (number - middle)
        expected += warm * np.exp(-number / warm_balls)
        away = (value - expected) * np.exp(-log_scale)
        solid = np.log(1 - noise.share) + stats.norm.logpdf(away)
        mishit = np.log(noise.share) + stats.norm.logpdf(away, noise.shift, noise.widening)
        total += np.logaddexp(solid, mishit) - log_scale
    return total
