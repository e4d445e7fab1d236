import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from leadfoot.evidence.ellipse import Ellipse
from leadfoot.figures.spread import FEWEST_BALLS, HELD, band, ring, robust_sd

places = arrays(np.float64, st.integers(1, 60), elements=st.floats(-300.0, 300.0, width=32))
seeds = st.integers(0, 2**32 - 1)


def share_inside(found: Ellipse, x: np.ndarray, y: np.ndarray) -> float:
    turn = found.turn_rad
    along = (x - found.x) * math.cos(turn) + (y - found.y) * math.sin(turn)
    across = (y - found.y) * math.cos(turn) - (x - found.x) * math.sin(turn)
    reach = (2.0 * along / found.width) ** 2 + (2.0 * across / found.height) ** 2
    return float(np.mean(reach <= 1.0 + 1e-9))


@given(seeds, st.integers(FEWEST_BALLS, 200))
def test_a_ring_holds_two_balls_in_three_and_no_more_than_it_must(seed: int, n: int) -> None:
    rng = np.random.default_rng(seed)
    x, y = rng.standard_t(3.0, n) * 11.0, rng.standard_t(3.0, n) * 7.0 + 230.0
    found = ring(x, y)
    assert found is not None
    share = share_inside(found, x, y)
    assert HELD - 1e-9 <= share < HELD + 1.0 / n + 1e-9


@given(seeds, st.floats(-50.0, 50.0), st.floats(-50.0, 50.0))
def test_a_ring_moves_with_its_balls(seed: int, right: float, up: float) -> None:
    rng = np.random.default_rng(seed)
    x, y = rng.normal(0.0, 11.0, 12), rng.normal(0.0, 7.0, 12)
    here, there = ring(x, y), ring(x + right, y + up)
    assert here is not None
    assert there is not None
    assert there.x == pytest.approx(here.x + right)
    assert there.y == pytest.approx(here.y + up)
    assert there.width == pytest.approx(here.width)
    assert there.height == pytest.approx(here.height)


def test_a_mishit_hardly_moves_the_middle_and_the_ring() -> None:
    rng = np.random.default_rng(4)
    x, y = rng.normal(0.0, 11.0, 24), rng.normal(230.0, 7.0, 24)
    clean = ring(x, y)
    topped = ring(np.append(x, -60.0), np.append(y, 70.0))
    assert clean is not None
    assert topped is not None
    assert topped.y == pytest.approx(clean.y, abs=1.5)
    assert topped.height < 1.5 * clean.height


def test_a_normal_cloud_gives_the_ring_of_the_textbook() -> None:
    # Closed form: two thirds of a round normal cloud lie within sd * sqrt(2 ln 3).
    rng = np.random.default_rng(11)
    found = ring(rng.normal(0.0, 10.0, 40_000), rng.normal(0.0, 10.0, 40_000))
    assert found is not None
    expected = 2.0 * 10.0 * math.sqrt(2.0 * math.log(3.0))
    assert found.width == pytest.approx(expected, rel=0.02)
    assert found.height == pytest.approx(expected, rel=0.02)


@pytest.mark.parametrize("n", range(FEWEST_BALLS))
def test_few_balls_have_no_ring_and_no_band(n: int) -> None:
    x = np.arange(float(n))
    assert ring(x, x**2) is None
    found = band(x)
    assert found is None if n == 0 else (found is not None and found.low is None)


def test_balls_on_a_line_have_no_ring() -> None:
    x = np.arange(8.0)
    assert ring(x, 2.0 * x) is None
    assert ring(np.zeros(8), np.full(8, 230.0)) is None


@given(places)
def test_a_band_holds_its_middle(values: np.ndarray) -> None:
    found = band(np.append(values, [np.nan, np.inf]))
    assert found is not None
    assert found.n == values.size
    assert found.middle == float(np.median(values))
    if found.low is not None and found.high is not None:
        assert found.low <= found.middle <= found.high


def test_robust_spread_of_a_normal_is_its_standard_deviation() -> None:
    values = np.random.default_rng(2).normal(0.0, 3.0, 100_000)
    assert robust_sd(values) == pytest.approx(3.0, rel=0.02)


@given(seed=seeds)
def test_the_outline_lies_on_the_ring(seed: int) -> None:
    x, y = np.random.default_rng(seed).multivariate_normal([3, 190], [[90, -40], [-40, 60]], 20).T
    found = ring(x, y)
    assert found is not None
    points = found.outline()
    # In the ring's own axes every point fulfils the equation of the ellipse.
    turn = found.turn_rad
    dx, dy = points[:, 0] - found.x, points[:, 1] - found.y
    along = (dx * math.cos(turn) + dy * math.sin(turn)) / (found.width / 2)
    across = (-dx * math.sin(turn) + dy * math.cos(turn)) / (found.height / 2)
    np.testing.assert_allclose(along**2 + across**2, 1.0)
