"""Flights: many at once and one alone, beside the slow twin in the same run."""

import math
from time import perf_counter

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from leadfoot.physics.air import STANDARD_AIR
from leadfoot.physics.flight import Flights, Launch, fly, fly_many
from leadfoot.physics.motion import Series
from tests.naive import flight as naive

RPM = math.pi / 30.0
MANY = 10_000
FEW = 60


def launches(n: int) -> tuple[Series, ...]:
    rng = np.random.default_rng(3)
    return (
        rng.uniform(40.0, 85.0, n),
        np.radians(rng.uniform(5.0, 35.0, n)),
        rng.uniform(1_500.0, 10_000.0, n) * RPM,
        np.radians(rng.uniform(-5.0, 5.0, n)),
        np.radians(rng.uniform(-25.0, 25.0, n)),
    )


def seconds_by_the_twin() -> float:
    """Time of one flight by scipy at its default, with a plain Python right-hand side."""
    speed, angle, spin, direction, tilt = launches(FEW)
    start = perf_counter()
    for k in range(FEW):
        naive.fly(
            speed[k],
            angle[k],
            direction[k],
            spin[k],
            tilt[k],
            density_kgm3=STANDARD_AIR.density_kgm3,
            viscosity_pas=STANDARD_AIR.viscosity_pas,
            method="RK45",
            tolerance=1e-3,
        )
    return (perf_counter() - start) / FEW


def note(benchmark: BenchmarkFixture, flights: int) -> None:
    """Print flights a second and how many times the twin that is."""
    each = benchmark.stats.stats.median / flights
    ratio = seconds_by_the_twin() / each
    benchmark.extra_info["flights_per_second"] = round(1.0 / each)
    benchmark.extra_info["times_the_twin"] = round(ratio, 1)
    print(f"\n{benchmark.name}: {1.0 / each:,.0f} flights a second, {ratio:.1f} times the twin")


@pytest.mark.parametrize("wind_mps", [0.0, 5.0], ids=["calm", "wind"])
def test_many_flights(benchmark: BenchmarkFixture, wind_mps: float) -> None:
    given = launches(MANY)

    def run() -> Flights:
        return fly_many(*given, wind_along_mps=wind_mps, wind_across_mps=wind_mps)

    flights = benchmark.pedantic(run, rounds=3, warmup_rounds=1)
    assert np.isfinite(flights.carry_m).all()
    note(benchmark, MANY)


def test_one_flight(benchmark: BenchmarkFixture) -> None:
    drive = Launch(ball_speed_mps=70.0, launch_angle_rad=0.2, spin_rate_radps=2_600 * RPM)
    flight = benchmark(lambda: fly(drive, path=True))
    assert flight.carry_m > 200.0
    note(benchmark, 1)
