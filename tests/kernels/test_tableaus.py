"""The Runge-Kutta rules: whole slopes, the orders they claim, and scipy's table of the second."""

import math

import numpy as np
import pytest
from scipy.integrate import DOP853

from leadfoot.kernels.tableaus import EIGHTH_ORDER, SIXTH_ORDER, Tableau
from leadfoot.physics.motion import Series

BOTH = pytest.mark.parametrize(
    ("tableau", "order"), [(SIXTH_ORDER, 6), (EIGHTH_ORDER, 8)], ids=["sixth", "eighth"]
)


def matrix(tableau: Tableau) -> Series:
    stages = len(tableau.weights)
    full = np.zeros((stages, stages))
    for k, row in enumerate(tableau.rows, start=1):
        assert len(row) == k
        full[k, :k] = row
    return full


def swing(tableau: Tableau, n: int) -> float:
    """How far a pendulum is off after one second in n steps; the exact way by many more."""
    a, b = matrix(tableau), np.array(tableau.weights)

    def slope(state: Series) -> Series:
        return np.array([state[1], -9.0 * math.sin(state[0])])

    def after(steps: int) -> Series:
        state, h = np.array([2.0, 0.5]), 1.0 / steps
        for _ in range(steps):
            slopes = np.zeros((len(b), 2))
            for k in range(len(b)):
                slopes[k] = slope(state + h * a[k] @ slopes)
            state = state + h * b @ slopes
        return state

    return float(np.abs(after(n) - after(400)).max())


@BOTH
def test_a_polynomial_in_time_is_summed_exactly(tableau: Tableau, order: int) -> None:
    times = matrix(tableau).sum(axis=1)
    for power in range(order):
        assert np.dot(tableau.weights, times**power) == pytest.approx(1 / (power + 1), abs=1e-13)


@BOTH
def test_half_the_step_is_off_by_the_order(tableau: Tableau, order: int) -> None:
    n = 16 if order == 6 else 8
    gained = math.log2(swing(tableau, n) / swing(tableau, 2 * n))
    assert order - 0.6 < gained < order + 1.5


def test_the_eighth_order_is_the_table_in_scipy() -> None:
    # source: scipy.integrate.DOP853; exact, the numbers are copied
    np.testing.assert_array_equal(matrix(EIGHTH_ORDER), DOP853.A[:12, :12])
    np.testing.assert_array_equal(EIGHTH_ORDER.weights, DOP853.B)


@BOTH
def test_the_rule_for_places_is_the_rule_taken_twice(tableau: Tableau, order: int) -> None:
    a, b = matrix(tableau), np.array(tableau.weights)
    twice = tableau.twice()
    np.testing.assert_allclose(matrix(twice), a @ a, atol=1e-12)
    np.testing.assert_allclose(twice.weights, b @ a, atol=1e-12)
    assert sum(twice.weights) == pytest.approx(0.5, abs=1e-13)
