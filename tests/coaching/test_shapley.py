"""Fair shares: worked by hand, against the slow definition, and their four properties."""

import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from leadfoot.coaching.shapley import by_chance, shares, variance_shares
from leadfoot.errors import InputError

Floats = NDArray[np.float64]
numbers = st.floats(-1e3, 1e3)


def by_orders(values: Floats) -> Floats:
    """The definition, slow and obvious: what each part adds, averaged over all orders."""
    d = len(values).bit_length() - 1
    orders = list(itertools.permutations(range(d)))
    found = np.zeros((d, *values.shape[1:]))
    for order in orders:
        mask = 0
        for part in order:
            found[part] += values[mask | 1 << part] - values[mask]
            mask |= 1 << part
    return found / len(orders)


@st.composite
def games(draw: st.DrawFn) -> Floats:
    d = draw(st.integers(1, 5))
    return np.array(draw(st.lists(numbers, min_size=1 << d, max_size=1 << d)))


@given(games())
def test_shares_are_the_average_over_all_orders(values: Floats) -> None:
    np.testing.assert_allclose(shares(values), by_orders(values), atol=1e-9)


@given(games())
def test_shares_add_up(values: Floats) -> None:
    assert shares(values).sum() == pytest.approx(values[-1] - values[0], abs=1e-9)


@given(games(), st.integers(0, 4))
def test_a_part_that_does_nothing_gets_nothing(values: Floats, which: int) -> None:
    d = len(values).bit_length() - 1
    part = which % d
    masks = np.arange(len(values)) & ~(1 << part)
    assert shares(values[masks])[part] == 0.0


@given(games())
def test_equal_parts_get_equal_shares(values: Floats) -> None:
    """Made alike: the worth of a mixture depends on how many parts are in it alone."""
    d = len(values).bit_length() - 1
    by_size = np.array([values[int(m).bit_count()] for m in range(1 << d)])
    found = shares(by_size)
    np.testing.assert_allclose(found, found[0], atol=1e-9)


@given(games(), numbers)
def test_shares_of_a_sum_are_the_sum_of_shares(values: Floats, factor: float) -> None:
    other = values[::-1] * factor
    np.testing.assert_allclose(
        shares(values + other), shares(values) + shares(other), rtol=1e-9, atol=1e-6
    )


def test_a_table_that_is_no_power_of_two_is_refused() -> None:
    with pytest.raises(InputError, match="There are 3 mixtures; d parts have 2\\*\\*d"):
        shares(np.zeros(3))


def test_the_spread_is_shared_by_variance_where_inputs_go_their_own_ways() -> None:
    found = variance_shares(np.array([3.0, -2.0, 1.0]), np.diag([1.0, 4.0, 9.0]), ((0,), (1, 2)))
    np.testing.assert_allclose(found, [9.0, 25.0])


@given(st.integers(0, 10_000), st.integers(2, 5))
def test_spread_shares_add_up_and_are_never_negative(seed: int, d: int) -> None:
    rng = np.random.default_rng(seed)
    root = rng.normal(size=(d, d))
    covariance, slopes = root @ root.T, rng.normal(size=d)
    found = variance_shares(slopes, covariance, [(k,) for k in range(d)])
    whole = slopes @ covariance @ slopes
    assert found.sum() == pytest.approx(whole, rel=1e-6)
    assert (found >= -1e-9 * whole).all()


def test_an_input_that_only_copies_another_shares_with_it() -> None:
    """Face and path that move as one: nobody can say which did it."""
    found = variance_shares(np.array([2.0, 0.0]), np.ones((2, 2)), ((0,), (1,)))
    np.testing.assert_allclose(found, [2.0, 2.0])


def test_what_chance_explains_is_taken_off() -> None:
    """One input does all, three do nothing: in 24 balls these seem to explain an eighth."""
    rng = np.random.default_rng(6)
    slopes, parts, n = np.array([1.0, 0.0, 0.0, 0.0]), ((0,), (1, 2, 3)), 24
    samples = np.array([np.cov(rng.normal(size=(4, n))) for _ in range(2_000)])
    plain = variance_shares(slopes, samples, parts)
    fair = variance_shares(slopes, samples, parts, unexplained=by_chance(n - 1.0))
    assert plain[1].mean() > 0.05
    assert fair[1].mean() == pytest.approx(0.0, abs=0.01)
    np.testing.assert_allclose(fair.sum(axis=0), plain.sum(axis=0))


def test_as_many_inputs_as_balls_explain_nothing_for_sure() -> None:
    found = variance_shares(
        np.array([1.0, 0.0]), np.eye(2), ((0,), (1,)), unexplained=by_chance(1.0)
    )
    np.testing.assert_allclose(found, [0.5, 0.5])
