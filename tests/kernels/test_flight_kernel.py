"""The compiled flight: against its slow twin, and the same whichever way it is asked."""

import math

import numpy as np
import pytest

from leadfoot.kernels import cache, elementary
from leadfoot.physics import many
from leadfoot.physics.air import STANDARD_AIR
from leadfoot.physics.ball import AIR_MODELS, STANDARD_BALL
from leadfoot.physics.bounce import MEDIUM_TURF
from leadfoot.physics.flight import fly_many
from leadfoot.physics.launch import GIVEN_RANGES
from leadfoot.physics.motion import Series
from tests.naive import flight as naive

RPM = math.pi / 30.0
DEG = math.pi / 180.0
LOWS: dict[str, list[float]] = {
    "narrow": [40, 5, 1_500, -5, -25, -8, -8],
    "wide": [5, 0.5, 100, -5, -90, -12, -12],
}
HIGHS: dict[str, list[float]] = {
    "narrow": [85, 35, 10_000, 5, 25, 8, 8],
    "wide": [90, 65, 12_000, 5, 90, 12, 12],
}


def given(n: int, seed: int, box: str, *, windy: bool) -> Series:
    """Launches of a box, as the loop takes them."""
    rng = np.random.default_rng(seed)
    units = [1.0, DEG, RPM, DEG, DEG, 1.0, 1.0]
    speed, angle, spin, direction, tilt, along, across = [
        unit * rng.uniform(low, high, n)
        for unit, low, high in zip(units, LOWS[box], HIGHS[box], strict=True)
    ]
    wind = [along, across] if windy else [0.0 * along, 0.0 * across]
    return np.stack([speed, angle, direction, spin, tilt, *wind, np.zeros(n)])


def loop(rows: Series, model: str = "regression") -> tuple[Series, Series]:
    numbers, bits, _ = many.fly_given(
        rows, air=STANDARD_AIR, ball=STANDARD_BALL, model=AIR_MODELS[model], turf=MEDIUM_TURF
    )
    return numbers, bits.astype(np.float64)


def twin(row: Series) -> naive.Landing:
    return naive.fly(
        *(float(value) for value in row[:5]),
        density_kgm3=STANDARD_AIR.density_kgm3,
        viscosity_pas=STANDARD_AIR.viscosity_pas,
        wind=(float(row[5]), float(row[6])),
        landing_height_m=float(row[7]),
        tolerance=1e-11,
    )


def compare(n: int, seed: int, box: str, windy: bool) -> None:
    """Landing within 5 mm calm, 2 mm in wind, 10 mm in the wide box; apex 5 mm, angle 0.02 deg."""
    rows = given(n, seed, box, windy=windy)
    numbers, _ = loop(rows)
    most_m = 10e-3 if box == "wide" else 2e-3 if windy else 5e-3
    for k in range(n):
        slow = twin(rows[:, k])
        x, z, apex, time, angle, speed, spin = numbers[:7, k]
        assert math.hypot(x - slow.x_m, z - slow.z_m) < most_m, rows[:, k]
        assert abs(apex - slow.apex_m) < 5e-3, rows[:, k]
        assert abs(angle - slow.angle_rad) < 0.02 * DEG, rows[:, k]
        assert abs(time - slow.time_s) < 2e-3
        assert speed == pytest.approx(slow.speed_mps, abs=2e-3)
        assert spin == pytest.approx(slow.spin_radps, rel=1e-4)


@pytest.mark.parametrize("windy", [False, True], ids=["calm", "wind"])
@pytest.mark.parametrize("box", ["narrow", "wide"])
def test_lands_where_its_slow_twin_lands(box: str, windy: bool) -> None:
    compare(100, 20, box, windy)


@pytest.mark.rates
@pytest.mark.parametrize("windy", [False, True], ids=["calm", "wind"])
@pytest.mark.parametrize("box", ["narrow", "wide"])
def test_four_thousand_land_where_the_slow_twin_lands(box: str, windy: bool) -> None:
    compare(4_000, 21, box, windy)


@pytest.mark.parametrize("landing_m", [-40.0, -3.0, 2.0, 8.0])
@pytest.mark.parametrize("windy", [False, True], ids=["calm", "wind"])
def test_lands_above_and_below_the_tee(landing_m: float, windy: bool) -> None:
    rows = given(12, 22, "narrow", windy=windy)
    rows[1] += 6.0 * DEG
    rows[7] = landing_m
    numbers, _ = loop(rows)
    for k in range(12):
        slow = twin(rows[:, k])
        assert math.hypot(numbers[0, k] - slow.x_m, numbers[1, k] - slow.z_m) < 10e-3
        assert abs(numbers[2, k] - slow.apex_m) < 5e-3


def test_rows_that_cannot_be_flown_are_nan_and_say_so() -> None:
    rows = given(6, 23, "narrow", windy=False)
    rows[0, 1], rows[1, 2], rows[3, 3], rows[0, 4] = math.nan, math.inf, -1.0, 0.0
    numbers, bits = loop(rows)
    flown = [True, False, False, False, False, True]
    assert np.isfinite(numbers).all(axis=0).tolist() == flown
    assert np.isnan(numbers).all(axis=0).tolist() == [not good for good in flown]
    assert bits[1:5].tolist() == [128.0] * 4
    alone, _ = loop(rows[:, 5:].copy())
    np.testing.assert_allclose(numbers[:, 5], alone[:, 0], rtol=1e-9)


def test_a_batch_in_threads_is_the_same_as_ball_by_ball() -> None:
    n = many.WORTH_THREADS + 700
    rows = given(n, 24, "wide", windy=True)
    together, bits = loop(rows)
    for k in (0, 1023, 1024, 2047, n - 1):
        alone, bit = loop(rows[:, k : k + 1].copy())
        np.testing.assert_allclose(together[:, k], alone[:, 0], rtol=1e-8, atol=1e-9)
        assert bits[k] == bit[0]


def test_polynomials_are_as_good_as_they_say() -> None:
    x = np.exp(np.linspace(-20.0, 20.0, 4001))
    angles = np.linspace(-math.pi, math.pi, 4001)
    for value in x:
        assert elementary.ln(value) == pytest.approx(math.log(value), rel=3e-7, abs=3e-7)
        assert elementary.power(value, 0.43) == pytest.approx(value**0.43, rel=1e-6)
        assert elementary.steepness(value, 1.0) == pytest.approx(math.atan(value), abs=3e-8)
    for angle in angles:
        assert elementary.sine(angle) == pytest.approx(math.sin(angle), abs=4e-11)
        assert elementary.cosine(angle) == pytest.approx(math.cos(angle), abs=4e-11)


def test_the_ranges_are_those_of_the_rows() -> None:
    assert list(GIVEN_RANGES)[-1] == "landing_height_m"
    assert len(cache.source_key()) == 16


def test_the_quick_power_is_as_good_as_it_says() -> None:
    for value in np.append(0.0, np.geomspace(1e-6, 24.0, 2001)):
        assert elementary.more_to_0_43(value) == pytest.approx((1.0 + value) ** 0.43, rel=1.4e-6)
    for value in np.geomspace(24.0, 250.0, 101):
        assert elementary.more_to_0_43(value) == pytest.approx((1.0 + value) ** 0.43, rel=0.1)


def test_polynomials_of_small_angles_are_as_good_as_they_say() -> None:
    for angle in np.radians(np.linspace(-35.0, 35.0, 1001)):
        assert elementary.sine_of_small(angle) == pytest.approx(math.sin(angle), abs=5e-10)
        assert elementary.cosine_of_small(angle) == pytest.approx(math.cos(angle), abs=5e-12)


def test_a_ball_that_floats_past_its_landing_is_brought_back_to_it() -> None:
    # So much lift that no ballistic time bounds the first step, which ends under the ground.
    row = np.array([34.8, 0.8 * DEG, 0.0, 9_112 * RPM, 18.0 * DEG, 0.0, 0.0, 0.0])
    numbers, _ = loop(row[:, None])
    slow = twin(row)
    assert math.hypot(numbers[0, 0] - slow.x_m, numbers[1, 0] - slow.z_m) < 5e-3


def test_a_hop_of_centimetres_is_flown() -> None:
    row = np.array([6.78, 0.54 * DEG, 0.0, 100 * RPM, 0.0, 0.0, 0.0, 0.0])
    numbers, _ = loop(row[:, None])
    vacuum_m = 6.78**2 * math.sin(2.0 * 0.54 * DEG) / 9.80665
    assert numbers[0, 0] == pytest.approx(twin(row).x_m, abs=1e-5)
    assert numbers[0, 0] == pytest.approx(vacuum_m, rel=0.05)


@pytest.mark.parametrize("compiled", [False, True], ids=["numpy", "loop"])
def test_without_turf_the_flight_is_the_same_and_totals_are_not_known(
    compiled: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    if not compiled:
        monkeypatch.setenv("NUMBA_DISABLE_JIT", "1")
    else:
        many.warm()
    speeds = np.linspace(30.0, 80.0, 50)
    whole, alone = (fly_many(speeds, 0.25, 400.0, turf=turf) for turf in (MEDIUM_TURF, None))
    np.testing.assert_array_equal(whole.carry_m, alone.carry_m)
    np.testing.assert_array_equal(whole.flag_bits, alone.flag_bits)
    assert np.isfinite(whole.total_m).all()
    assert np.isnan(alone.total_m).all()
