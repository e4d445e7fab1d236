"""Impact: strikes a second, explanations a second, and the best of a swing."""

import math

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from leadfoot.physics.best import Best, best_loft
from leadfoot.physics.clubs import club
from leadfoot.physics.delivery import Deliveries, deliveries
from leadfoot.physics.explanation import Explained
from leadfoot.physics.impact import Launches, strike_many
from leadfoot.physics.inverse import NOTHING_KNOWN, Known, explain_many
from leadfoot.physics.launch import LAUNCH_RANGES

MANY = 10_000
LEAST_EXPLAINED_PER_SECOND = 10_000


def swings(key: str) -> Deliveries:
    rng = np.random.default_rng(3)
    return deliveries(
        rng.uniform(30.0, 50.0, MANY),
        rng.normal(0.9 * club(key).loft_rad, 0.03, MANY),
        rng.normal(-0.02, 0.05, MANY),
        rng.normal(0.0, 0.05, MANY),
        rng.normal(0.0, 0.05, MANY),
        strike_heel_toe_m=rng.normal(0.0, 0.009, MANY),
        strike_high_low_m=rng.normal(0.0, 0.006, MANY),
    )


def note(benchmark: BenchmarkFixture, shots: int) -> float:
    """Print shots a second."""
    each = float(benchmark.stats.stats.median) / shots
    benchmark.extra_info["shots_per_second"] = round(1.0 / each)
    print(f"\n{benchmark.name}: {1.0 / each:,.0f} shots a second")
    return 1.0 / each


@pytest.mark.parametrize("key", ["driver", "iron7"])
def test_strikes(benchmark: BenchmarkFixture, key: str) -> None:
    given = swings(key)

    def run() -> Launches:
        return strike_many(given, club(key))

    launches = benchmark.pedantic(run, rounds=5, warmup_rounds=1)
    assert np.isfinite(launches.ball_speed_mps).all()
    note(benchmark, MANY)


@pytest.mark.parametrize("sees", ["ball", "ball and club"])
@pytest.mark.parametrize("key", ["driver", "iron7", "lob_wedge"])
def test_explanations(benchmark: BenchmarkFixture, key: str, sees: str) -> None:
    given = swings(key)
    launches = strike_many(given, club(key))
    numbers = {name: getattr(launches, name) for name in LAUNCH_RANGES}
    known = NOTHING_KNOWN
    if sees == "ball and club":
        known = Known(
            club_speed_mps=given.club_speed_mps,
            attack_angle_rad=given.attack_angle_rad,
            club_path_rad=given.club_path_rad,
        )

    def run() -> Explained:
        return explain_many(**numbers, club=club(key), known=known)

    found = benchmark.pedantic(run, rounds=5, warmup_rounds=1)
    assert np.isfinite(found.delivery.face_angle_rad).mean() > 0.99
    assert note(benchmark, MANY) >= LEAST_EXPLAINED_PER_SECOND


def test_the_best_of_a_swing(benchmark: BenchmarkFixture) -> None:
    def run() -> Best:
        return best_loft(45.0, math.radians(2.0), club("driver"))

    best = benchmark.pedantic(run, rounds=5, warmup_rounds=1)
    assert best.carry_m > 200.0
    note(benchmark, 1)
