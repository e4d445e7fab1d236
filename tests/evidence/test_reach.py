"""How far a club goes: weights, mishits, and a range that holds what it says."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from leadfoot.errors import InputError, OutOfRangeError
from leadfoot.evidence.reach import reach, recency
from leadfoot.evidence.robust import robust_cloud


def carries(
    rng: np.random.Generator, n: int, mishits: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Solid balls about 150 with a spread of 6, some short, of four ages."""
    solid = rng.normal(150.0, 6.0, n)
    short = np.where(rng.random(n) < mishits, np.abs(rng.normal(35.0, 15.0, n)), 0.0)
    return solid - short, recency(np.asarray(rng.integers(0, 4, n) * 60.0, dtype=np.float64), 90.0)


@pytest.mark.parametrize("mishits", [0.0, 0.15])
@pytest.mark.parametrize("n", [6, 12, 40])
def test_the_range_holds_eight_solid_balls_in_ten(n: int, mishits: float) -> None:
    rng = np.random.default_rng(7)
    inside = []
    for _ in range(150):
        found = reach(*carries(rng, n, mishits))
        assert found is not None
        fresh = rng.normal(150.0, 6.0, 100)
        inside.append(np.mean((fresh > found.low) & (fresh < found.high)))
    assert 0.75 < float(np.mean(inside)) < 0.88


@given(st.floats(0.01, 100.0), st.integers(0, 1000))
def test_only_the_ratios_of_the_weights_matter(factor: float, seed: int) -> None:
    values, counts = carries(np.random.default_rng(seed), 9, 0.1)
    one, other = reach(values, counts), reach(values, factor * counts)
    assert one is not None
    assert other is not None
    assert other.middle == pytest.approx(one.middle)
    assert other.n_alike == pytest.approx(one.n_alike)


def test_a_weight_of_three_is_like_three_balls_for_the_middle() -> None:
    values = np.array([150.0, 156.0, 147.0, 160.0, 152.0])
    thrice = robust_cloud(np.repeat(values, 3)[:, np.newaxis])
    weighted = robust_cloud(values[:, np.newaxis], counts=np.full(5, 3.0))
    first = robust_cloud(np.append(values, [150.0, 150.0])[:, np.newaxis])
    heavy = robust_cloud(values[:, np.newaxis], counts=np.array([3.0, 1, 1, 1, 1]))
    for one, other in ((thrice, weighted), (first, heavy)):
        assert one is not None
        assert other is not None
        assert other.centre[0] == pytest.approx(one.centre[0], rel=2e-3)


def test_old_balls_count_less() -> None:
    values = np.concatenate([np.linspace(138, 142, 9), np.linspace(158, 162, 9)])
    ages = np.concatenate([np.full(9, 360.0), np.zeros(9)])
    short, none = reach(values, recency(ages, 45.0)), reach(values, recency(ages, np.inf))
    assert short is not None
    assert none is not None
    assert short.middle > 157.0
    assert none.middle == pytest.approx(150.0, abs=1.0)
    assert short.n_alike < none.n_alike


def test_too_few_or_equal_balls_say_nothing() -> None:
    assert reach(np.array([150.0, 151.0]), np.ones(2)) is None
    assert reach(np.full(6, 150.0), np.ones(6)) is None


def test_misuse_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="The half-life is 0 days"):
        recency(np.zeros(2), 0.0)
    with pytest.raises(InputError, match="or one is NaN"):
        reach(np.array([150.0, np.nan]), np.ones(2))
    with pytest.raises(OutOfRangeError, match="2 is no chance"):
        reach(np.array([150.0, 151.0, 152.0]), np.ones(3), held=2.0)
    with pytest.raises(InputError, match="Not every point counts"):
        robust_cloud(np.zeros((3, 1)) + np.arange(3.0)[:, np.newaxis], counts=np.zeros(3))
