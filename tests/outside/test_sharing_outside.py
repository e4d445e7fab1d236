"""Fair shares against worked examples and a published test function of sensitivity analysis.

The examples are worked from the formula of L. S. Shapley, 1953; the function is that of
T. Ishigami and T. Homma, ISUMA 1990, with a = 7 and b = 0.1, whose indices are known exactly
(variances from memory, checked here by quadrature).
"""

import numpy as np
import pytest
from scipy.integrate import dblquad, quad

from leadfoot.coaching.shapley import shares, variance_shares

A, B = 7.0, 0.1


def test_club_speed_and_smash_factor() -> None:
    """Derived: 90 x 1.42 becomes 94 x 1.45."""
    found = shares(np.array([90 * 1.42, 94 * 1.42, 90 * 1.45, 94 * 1.45]))
    np.testing.assert_allclose(found, [5.74, 2.76], atol=1e-9)


def test_a_product_of_three() -> None:
    """Derived: xyz from 2, 3, 4 to 3, 5, 7 grows by 81."""
    before, after = (2, 3, 4), (3, 5, 7)
    values = np.array(
        [
            float(np.prod([after[k] if mask >> k & 1 else before[k] for k in range(3)]))
            for mask in range(8)
        ]
    )
    np.testing.assert_allclose(shares(values), [22.5, 28.0, 30.5], atol=1e-9)


def test_a_sum_with_one_product() -> None:
    """Derived: x1 + 2 x2 + 3 x1 x2 from 0, 0 to 1, 1."""
    np.testing.assert_allclose(shares(np.array([0.0, 1.0, 2.0, 6.0])), [2.5, 3.5], atol=1e-9)


def ishigami_variances() -> dict[frozenset[int], float]:
    """Variance of the expectation given each set of inputs, in closed form."""
    first = 0.5 * (1.0 + B * np.pi**4 / 5.0) ** 2
    second = A**2 / 8.0
    first_third = B**2 * np.pi**8 * (1.0 / 18.0 - 1.0 / 50.0)
    return {
        frozenset[int](): 0.0,
        frozenset({1}): first,
        frozenset({2}): second,
        frozenset({3}): 0.0,
        frozenset({1, 2}): first + second,
        frozenset({1, 3}): first + first_third,
        frozenset({2, 3}): second,
        frozenset({1, 2, 3}): first + second + first_third,
    }


def test_the_closed_form_is_that_of_the_function() -> None:
    """Mean and variance of the function by quadrature, and that of its first expectation."""
    whole = ishigami_variances()[frozenset({1, 2, 3})]
    mean = 0.5 * A
    even = 1.0 / (2.0 * np.pi)
    of_first, _ = quad(
        lambda x: even * (np.sin(x) * (1.0 + B * np.pi**4 / 5.0)) ** 2, -np.pi, np.pi
    )
    square, _ = dblquad(
        lambda z, x: even**2 * (np.sin(x) * (1.0 + B * z**4)) ** 2, -np.pi, np.pi, -np.pi, np.pi
    )
    rest, _ = quad(lambda y: even * (A * np.sin(y) ** 2 - mean) ** 2, -np.pi, np.pi)
    assert of_first == pytest.approx(ishigami_variances()[frozenset({1})], rel=1e-9)
    assert square + rest == pytest.approx(whole, rel=1e-9)
    assert (whole, mean) == pytest.approx((13.8446, 3.5), abs=1e-4)


def test_shapley_effects_of_the_ishigami_function() -> None:
    """A. B. Owen, SIAM/ASA JUQ 2, 2014 (from memory); derived from the variances above."""
    known = ishigami_variances()
    table = np.array(
        [known[frozenset(k + 1 for k in range(3) if mask >> k & 1)] for mask in range(8)]
    )
    whole = table[-1]
    np.testing.assert_allclose(shares(table) / whole, [0.4357, 0.4424, 0.1218], atol=1e-4)
    first = [table[1] / whole, table[2] / whole, table[4] / whole]
    last = [1.0 - table[6] / whole, 1.0 - table[5] / whole, 1.0 - table[3] / whole]
    np.testing.assert_allclose(first, [0.3139, 0.4424, 0.0], atol=1e-4)
    np.testing.assert_allclose(last, [0.5576, 0.4424, 0.2437], atol=1e-4)


@pytest.mark.parametrize(
    ("tied", "sd_yd", "face_share"), [(0.0, 17.977, 0.9344), (0.5, 15.594, 0.9330)]
)
def test_offline_from_face_and_path(tied: float, sd_yd: float, face_share: float) -> None:
    """Derived: 200 yd, face 3 and path 2 degrees of spread, start by 80 to 20, 3 yd a degree."""
    start = 200.0 * np.pi / 180.0
    slopes = np.array([0.8 * start + 3.0, 0.2 * start - 3.0])
    covariance = np.array([[9.0, 6.0 * tied], [6.0 * tied, 4.0]])
    found = variance_shares(slopes, covariance, ((0,), (1,)))
    assert np.sqrt(found.sum()) == pytest.approx(sd_yd, abs=1e-3)
    assert found[0] / found.sum() == pytest.approx(face_share, abs=1e-4)
