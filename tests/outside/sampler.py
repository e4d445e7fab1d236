"""The model of `level_change`, written down once more for a library that draws from it by itself.

NumPyro's No-U-Turn sampler (M. D. Hoffman and A. Gelman, Journal of Machine Learning Research
15:1593-1623, 2014) knows nothing of grids, modes or Laplace's method. Lessons are padded to one
length and run side by side, so that the sampler is compiled once.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import jax
import jax.numpy as jnp
import numpy as np
import numpyro
import numpyro.distributions as dist
from numpy.typing import NDArray
from numpyro.diagnostics import effective_sample_size
from numpyro.infer.hmc import hmc
from numpyro.infer.util import log_density

from leadfoot.evidence.change import DEFAULT_PRIOR, LevelPrior, prior_for
from leadfoot.evidence.judgement import UsualSpread
from leadfoot.evidence.lesson import Seen
from leadfoot.evidence.noise import LENGTH_NOISE
from leadfoot.evidence.usual import scale_doubt, spread_today

LONGEST = 40
N_CHAINS, N_WARM, N_DRAWS = 2, 400, 2500
PRIOR: LevelPrior = DEFAULT_PRIOR
"""What no design changes; how surely a lesson is drifting or cold, `_told` says for each."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sampled:
    """Draws of the change, shape (chains, draws), in usual spreads."""

    change: NDArray[np.float64]

    @property
    def mean(self) -> float:
        return float(self.change.mean())

    @property
    def mean_error(self) -> float:
        return float(self.change.std() / np.sqrt(effective_sample_size(self.change)))

    def above(self, limit: float) -> float:
        return float((self.change > limit).mean())

    def above_error(self, limit: float) -> float:
        """Monte Carlo error of `above`; of a share too near 0 or 1 for its own that of one draw."""
        over = (self.change > limit).astype(np.float64)
        p = float(over.mean())
        if p in {0.0, 1.0}:
            return 1.0 / over.size
        draws = min(float(effective_sample_size(over)), float(over.size))
        return float(np.sqrt(p * (1.0 - p) / draws))


def model(balls: Any, middle: Any, doubt: Any, slope_sd: Any, warm_sd: Any) -> None:
    """The lesson as docs/explain/evidence.md has it, in usual spreads."""
    z, changed, number, there = balls
    level = numpyro.sample("level", dist.Normal(0.0, PRIOR.level_sd))
    parts = dist.Normal(jnp.zeros(2), jnp.array(PRIOR.change_sd))
    shares = dist.Categorical(probs=jnp.array(PRIOR.change_share))
    change = numpyro.sample("change", dist.MixtureSameFamily(shares, parts))
    slope = numpyro.sample("slope", dist.Normal(0.0, 1.0)) * slope_sd
    warm = numpyro.sample("warm", dist.Normal(0.0, warm_sd))
    scale = jnp.exp(numpyro.sample("log_scale", dist.Normal(0.0, 1.0)) * doubt)
    expected = level + change * changed + slope * (number - middle)
    expected = expected + warm * jnp.exp(-number / PRIOR.warm_balls)
    solid = dist.Normal(expected, scale).log_prob(z) + jnp.log1p(-LENGTH_NOISE.share)
    mishit = dist.Normal(expected + LENGTH_NOISE.shift * scale, LENGTH_NOISE.widening * scale)
    either = jnp.logaddexp(solid, mishit.log_prob(z) + jnp.log(LENGTH_NOISE.share))
    numpyro.factor("balls", jnp.sum(there * either))


def draw_changes(lessons: Sequence[tuple[Seen, UsualSpread]], seed: int) -> list[Sampled]:
    """Draw from the posterior of each lesson; all run side by side in one compiled program."""
    jax.config.update("jax_enable_x64", True)  # type: ignore[no-untyped-call]
    told = [_told(balls, usual) for balls, usual in lessons for _ in range(N_CHAINS)]
    keys = jax.random.split(jax.random.PRNGKey(seed), len(told))
    draws = np.asarray(jax.jit(jax.vmap(_chain))(keys, *map(np.stack, zip(*told, strict=True))))
    return [Sampled(change=one) for one in draws.reshape(len(lessons), N_CHAINS, N_DRAWS)]


def _chain(key: Any, *told: Any) -> Any:
    """One chain of one lesson: shape (draws,)."""

    def potential(*told: Any) -> Any:
        return lambda at: -log_density(model, told, {}, at)[0]

    begin, step = hmc(potential_fn_gen=potential, algo="NUTS")
    start = {name: jnp.zeros(()) for name in ("level", "change", "slope", "warm", "log_scale")}
    state = begin(
        start,
        N_WARM,
        dense_mass=True,
        target_accept_prob=0.9,
        model_args=told,
        rng_key=key,
    )

    def forward(state: Any, _: Any) -> Any:
        state = step(state, model_args=told)
        return state, state.z["change"]

    return jax.lax.scan(forward, state, length=N_WARM + N_DRAWS)[1][N_WARM:]


def _told(
    balls: Seen, usual: UsualSpread
) -> tuple[NDArray[np.float64], float, float, float, float]:
    """A lesson as the model is told it, padded, with what its order of blocks makes likely."""
    prior = prior_for(balls)
    unit_si, _ = spread_today(balls, usual, more_doubt=prior.day_doubt)
    z = (balls.values - np.median(balls.values[~balls.with_change])) / unit_si
    rows = (z, balls.with_change, balls.ball_number, np.ones(len(z)))
    padded = np.zeros((len(rows), LONGEST))
    for row, values in zip(padded, rows, strict=True):
        row[: len(values)] = values
    doubt = scale_doubt(usual.n_shots, more=prior.day_doubt)
    return padded, float(balls.ball_number.mean()), doubt, prior.slope_sd, prior.warm_sd
