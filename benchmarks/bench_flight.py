"""Flights: many at once and one alone, as times scipy's solver in the same run, on one core."""

import math
from collections.abc import Callable
from time import perf_counter, thread_time

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture
from scipy.integrate import solve_ivp

from leadfoot.kernels._jit import vector_level
from leadfoot.physics import many
from leadfoot.physics.air import STANDARD_AIR
from leadfoot.physics.ball import REGRESSION, STANDARD_BALL
from leadfoot.physics.bounce import MEDIUM_TURF, Turf
from leadfoot.physics.flight import Launch, Wind, fly, fly_many
from leadfoot.physics.motion import Series
from tests.kernels.test_flight_kernel import given

MANY = 100_000
FEW = 60
CASES = pytest.mark.parametrize("windy", [False, True], ids=["calm", "wind"])


def plain(row: Series) -> Callable[[float, Series], tuple[float, ...]]:
    """The default model as a plain Python right-hand side, as fast as one writes it."""
    radius, sqrt = STANDARD_BALL.radius_m, math.sqrt
    density = STANDARD_AIR.density_kgm3
    push = 0.5 * density * STANDARD_BALL.area_m2 / STANDARD_BALL.mass_kg
    re5 = density * STANDARD_BALL.diameter_m / STANDARD_AIR.viscosity_pas * 1e-5
    _, _, direction, _, tilt, along, across, _ = (float(value) for value in row)
    ax, ay = -math.sin(direction) * math.cos(tilt), -math.sin(tilt)
    az = math.cos(direction) * math.cos(tilt)
    windy, per_log = along != 0.0 or across != 0.0, 1.0 / math.log1p(10.0 / 0.03)

    def rates(_: float, state: Series) -> tuple[float, ...]:
        _x, y, _z, vx, vy, vz, spin = state.tolist()
        share = math.log1p(max(y, 0.0) / 0.03) * per_log if windy else 0.0
        ux, uz = vx - along * share, vz - across * share
        v = sqrt(ux * ux + vy * vy + uz * uz)
        s, r = spin * radius / v, min(max(re5 * v, 0.8), 2.1)
        low = min(s, 0.22)
        over, sigma = s - low, max(low, 0.04)
        drag = 0.202 + (2.81 * low - 0.204) * low + 0.0165 * r + 0.4 * over
        lift = 0.0845 + (1.373 * sigma + 0.667) * sigma - 0.0108 / (r * r)
        lift *= (1.0 + over / 0.22) ** 0.43 * min(1.0, s / 0.04)
        d, c = push * drag * v, push * lift * v
        return (
            vx,
            vy,
            vz,
            c * (ay * uz - az * vy) - d * ux,
            c * (az * ux - ax * uz) - d * vy - 9.80665,
            c * (ax * vy - ay * ux) - d * uz,
            -2e-5 / radius * spin * v,
        )

    return rates


def scipy_rate(rows: Series) -> float:
    """Flights a second of one core's own time by solve_ivp at its default."""

    def on_ground(_: float, state: Series) -> float:
        return float(state[1])

    on_ground.terminal, on_ground.direction = True, -1  # type: ignore[attr-defined]
    start = thread_time()
    for row in rows.T[:FEW]:
        level = row[0] * math.cos(row[1])
        first = [0.0, 0.0, 0.0, level * math.cos(row[2]), row[0] * math.sin(row[1])]
        first += [level * math.sin(row[2]), row[3]]
        solve_ivp(plain(row), (0.0, 60.0), first, events=on_ground)
    return FEW / (thread_time() - start)


def loop_rate(rows: Series, n: int, turf: Turf | None) -> float:
    """Flights a second of one core's own time, to the landing or, on turf, to rest."""
    few = np.ascontiguousarray(rows[:, : many.WORTH_THREADS - 1])
    setting = {
        "air": STANDARD_AIR,
        "ball": STANDARD_BALL,
        "model": REGRESSION,
        "turf": turf,
    }
    many.fly_given(few, **setting)
    start = thread_time()
    for _ in range(n):
        many.fly_given(few, **setting)
    return n * few.shape[1] / (thread_time() - start)


@CASES
def test_one_core_against_scipy(benchmark: BenchmarkFixture, windy: bool) -> None:
    rows = given(MANY, 3, "narrow", windy=windy)
    ratios, rates, to_rest = [], [], []

    def compare() -> None:
        base = scipy_rate(rows)
        rates.append(loop_rate(rows, 8, None))
        ratios.append(rates[-1] / base)
        to_rest.append(loop_rate(rows, 8, MEDIUM_TURF) / base)

    benchmark.pedantic(compare, rounds=7)
    ratio = float(np.median(ratios))
    benchmark.extra_info["times_scipy"] = round(ratio)
    print(f"\n{vector_level()}: {np.median(rates):,.0f} flights a second, {ratio:,.0f} x solve_ivp")
    print(f"with bounce and run, which the solver leaves out: {np.median(to_rest):,.0f} x")


@CASES
def test_a_million_flights(benchmark: BenchmarkFixture, windy: bool) -> None:
    speed, angle, direction, spin, tilt, along, across, _ = given(
        1_000_000, 4, "narrow", windy=windy
    )
    wind = {"wind_along_mps": along, "wind_across_mps": across}
    benchmark.pedantic(
        lambda: fly_many(speed, angle, spin, direction, tilt, **wind), rounds=5, warmup_rounds=1
    )


@CASES
def test_both_cores_against_one(
    benchmark: BenchmarkFixture, windy: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    rows = given(8 * MANY, 5, "narrow", windy=windy)
    setting = {
        "air": STANDARD_AIR,
        "ball": STANDARD_BALL,
        "model": REGRESSION,
        "turf": MEDIUM_TURF,
    }
    ratios = []

    def seconds() -> float:
        start = perf_counter()
        many.fly_given(rows, **setting)
        return perf_counter() - start

    def compare() -> None:
        both = seconds()
        monkeypatch.setattr(many, "_cores", lambda: 1)
        one = seconds()
        monkeypatch.undo()
        ratios.append(one / both)

    seconds()
    benchmark.pedantic(compare, rounds=5)
    print(f"\nboth cores: {np.median(ratios):.2f} times one, best {max(ratios):.2f}")


@CASES
def test_one_flight(benchmark: BenchmarkFixture, windy: bool) -> None:
    many.warm()
    drive = Launch(ball_speed_mps=70.0, launch_angle_rad=0.2, spin_rate_radps=270.0)
    wind = Wind(along_mps=5.0 if windy else 0.0)
    assert benchmark(lambda: fly(drive, wind=wind)).carry_m > 200.0


def test_one_flight_with_its_way(benchmark: BenchmarkFixture) -> None:
    drive = Launch(ball_speed_mps=70.0, launch_angle_rad=0.2, spin_rate_radps=270.0)
    assert benchmark(lambda: fly(drive, path=True)).carry_m > 200.0
