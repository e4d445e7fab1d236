"""A look at a lesson: one judgement and its parts, beside a bootstrap and a sampler."""

from collections.abc import Callable
from time import process_time

import jax.numpy as jnp
import numpy as np
import numpyro
import numpyro.distributions as dist
import pytest
from jax import random
from numpyro.infer import MCMC, NUTS
from pytest_benchmark.fixture import BenchmarkFixture
from scipy import stats

from leadfoot.evidence.change import DEFAULT_PRIOR, design, level_change, levels_together
from leadfoot.evidence.judge import judge
from leadfoot.evidence.judgement import LessonShots
from leadfoot.evidence.lesson import seen
from leadfoot.evidence.more import Limits, chance_of_answer, on_or_back
from leadfoot.evidence.pattern import pattern_change
from leadfoot.evidence.usual import scale_doubt
from tests.rates.lessons import Plan, Truth, simulate

LIMITS = Limits(worth_sd=0.2, shown=0.953, loss=0.9577, given_up=0.1, fewest=5, patience=8)


@pytest.fixture
def lesson() -> LessonShots:
    """Ten balls before and fifteen with the change: speeds, carry, offline."""
    plan = Plan(quantities=("club_speed", "ball_speed", "carry", "offline"))
    return simulate(np.random.default_rng(1), plan, truth=Truth(carry_yd=4.0))


def test_judge(benchmark: BenchmarkFixture, lesson: LessonShots) -> None:
    assert benchmark(judge, lesson).outcomes


def test_level_change(benchmark: BenchmarkFixture, lesson: LessonShots) -> None:
    track = lesson.tracks["carry"]
    assert benchmark(level_change, seen(lesson, track), track.usual).sd > 0


def test_pattern_change(benchmark: BenchmarkFixture, lesson: LessonShots) -> None:
    track = lesson.tracks["offline"]
    assert benchmark(pattern_change, seen(lesson, track), track.usual).spread.before > 0


def test_pattern_change_takes_a_share_of_a_bootstrap(
    benchmark: BenchmarkFixture, lesson: LessonShots
) -> None:
    """Both in one run: the ratio does not hang on the machine. A look takes about 0.6 of it."""
    track = lesson.tracks["offline"]
    balls = seen(lesson, track)
    sides = balls.values[balls.with_change], balls.values[~balls.with_change]

    def seconds(work: Callable[[], object]) -> float:
        times = []
        for _ in range(30):
            start = process_time()
            work()
            times.append(process_time() - start)
        return float(np.median(times))

    def bootstrap() -> object:
        draws = np.random.default_rng(0).integers(len(sides[0]), size=(4999, len(sides[0])))
        others = np.random.default_rng(1).integers(len(sides[1]), size=(4999, len(sides[1])))
        return sides[0][draws].std(axis=1) / sides[1][others].std(axis=1)

    def look() -> object:
        return pattern_change(balls, track.usual)

    benchmark(look)
    benchmark.extra_info["share of a bootstrap"] = seconds(look) / seconds(bootstrap)


def test_chance_of_answer(benchmark: BenchmarkFixture, lesson: LessonShots) -> None:
    track = lesson.tracks["carry"]
    balls = seen(lesson, track)
    found = level_change(balls, track.usual)
    assert len(benchmark(chance_of_answer, found, balls, LIMITS, n_more=30)) == 30


def test_levels_together(benchmark: BenchmarkFixture, lesson: LessonShots) -> None:
    tracks = [lesson.tracks[key] for key in ("club_speed", "ball_speed", "carry")]
    balls, usual = [seen(lesson, track) for track in tracks], [track.usual for track in tracks]
    assert len(benchmark(levels_together, balls, usual)) == 3


def test_on_or_back(benchmark: BenchmarkFixture, lesson: LessonShots) -> None:
    track = lesson.tracks["carry"]
    balls = seen(lesson, track)
    found = level_change(balls, track.usual)
    assert sum(benchmark(on_or_back, found, balls, LIMITS, LIMITS)) > 0


def test_nuts_of_the_same_balls(benchmark: BenchmarkFixture, lesson: LessonShots) -> None:
    """300 + 1000 draws of the same model by NUTS, compiled before the clock starts."""
    track = lesson.tracks["carry"]
    balls = seen(lesson, track)
    terms = design(balls, DEFAULT_PRIOR)
    z = (balls.values - np.median(balls.values[~balls.with_change])) / track.usual.sd

    def model() -> None:
        part = dist.Categorical(probs=np.array([0.7, 0.3]))
        change = numpyro.sample(
            "change", dist.MixtureSameFamily(part, dist.Normal(0.0, np.array([1.0, 3.0])))
        )
        level = numpyro.sample("level", dist.Normal(0.0, 10.0))
        slope = numpyro.sample("slope", dist.Normal(0.0, DEFAULT_PRIOR.slope_sd))
        warm = numpyro.sample("warm", dist.Normal(0.0, DEFAULT_PRIOR.warm_sd))
        scale = jnp.exp(numpyro.sample("log_scale", dist.Normal(0.0, scale_doubt(60))))
        mean = terms @ jnp.stack([level, change, slope, warm])
        parts = dist.Normal(
            jnp.stack([mean, mean - 2.0 * scale], axis=-1), jnp.stack([scale, 4.0 * scale])
        )
        mix = dist.Categorical(probs=np.array([0.92, 0.08]))
        numpyro.sample("z", dist.MixtureSameFamily(mix, parts), obs=z)

    sampler = MCMC(NUTS(model), num_warmup=300, num_samples=1000, progress_bar=False)

    def sampled() -> float:
        sampler.run(random.PRNGKey(0))
        return float(np.mean(np.asarray(sampler.get_samples()["change"]) > 0.2))

    sampled()
    odds = benchmark(sampled)
    assert abs(odds - level_change(balls, track.usual).above(0.2)) < 0.1


def test_bootstrap_of_the_same_balls(benchmark: BenchmarkFixture, lesson: LessonShots) -> None:
    balls = seen(lesson, lesson.tracks["carry"])
    sides = balls.values[balls.with_change], balls.values[~balls.with_change]

    def resampled() -> float:
        found = stats.bootstrap(
            sides,
            lambda a, b, axis: a.mean(axis=axis) - b.mean(axis=axis),
            n_resamples=4999,
            method="percentile",
            rng=np.random.default_rng(0),
        )
        return float(found.standard_error)

    assert benchmark(resampled) > 0
