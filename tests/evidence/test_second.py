"""Second opinions: slow twins, properties, and the promise of those that may be looked at often."""

import itertools
import math
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy import stats
from scipy.integrate import dblquad

from leadfoot.errors import InputError, OutOfRangeError
from leadfoot.evidence import possible_orders, second

Floats = NDArray[np.float64]
numbers = st.lists(st.integers(-40, 40).map(float), min_size=3, max_size=8)
seeds = st.integers(0, 2**32 - 1)


def two_blocks(seed: int, change: float = 0.0, n: int = 8) -> tuple[Floats, Floats]:
    rng = np.random.default_rng(seed)
    return rng.standard_normal(n), change + rng.standard_normal(n)


def test_the_t_mixture_is_the_integral_that_it_stands_for() -> None:
    # Normal sizes with a spread of `width`, the balls' own with density 1/s, by quadrature.
    values = np.array([0.4, 1.3, -0.2, 0.9, 1.1])
    n, squares, total, width = len(values), float((values**2).sum()), float(values.sum()), 0.8

    def mixed(size: float, log_s: float) -> float:
        s = math.exp(log_s)
        log_density = -n * log_s - 0.5 * (squares / s**2 - 2 * size * total / s + n * size**2)
        prior = math.exp(-0.5 * (size / width) ** 2) / (width * math.sqrt(2 * math.pi))
        return math.exp(log_density) * prior

    change = dblquad(mixed, -4.0, 4.0, -8.0, 8.0)[0]
    none = dblquad(lambda _, x: math.exp(-n * x - 0.5 * squares / math.exp(2 * x)), -4, 4, 0, 1)[0]
    t = stats.ttest_1samp(values, 0.0).statistic
    found = second.t_mixture_log_e(float(t), n, n - 1, width=width)
    assert math.exp(found) == pytest.approx(change / none, rel=1e-5)


def test_the_bayes_factor_is_the_integral_over_cauchy_sizes() -> None:
    # The same statistic by another road: the noncentral t density, averaged over the prior.
    t, n = 2.3, 12
    sizes = np.linspace(-12.0, 12.0, 24_001)
    density = stats.nct.pdf(t, n - 1, sizes * math.sqrt(n))
    prior = stats.cauchy.pdf(sizes, scale=math.sqrt(0.5))
    mixed = float(np.trapezoid(density * prior, sizes))
    expected = mixed / float(stats.t.pdf(t, n - 1))
    assert second.jzs(t, n, n - 1) == pytest.approx(expected, rel=1e-3)


def test_looking_after_every_ball_is_wrong_as_seldom_as_promised() -> None:
    # 1,500 lessons without a change, 10 before and up to 25 with: at most 5 % ever ring, within
    # three errors. Both ranges and e-values; the classic test rings far more often.
    rng = np.random.default_rng(7)
    known = unknown = classic = 0
    for _ in range(1500):
        before, after = rng.standard_normal(10), rng.standard_normal(25)
        found = second.change_sequence(before, after, sd=1.0)
        known += bool(((found.low > 0.0) | (found.high < 0.0)).any())
        assert bool((found.log_e >= math.log(20.0)).any()) == bool(
            ((found.low > 0.0) | (found.high < 0.0)).any()
        )
        unknown += bool((second.t_change_log_e(before, after) >= math.log(20.0)).any())
        classic += any(second.welch(before, after[:k]).p < 0.05 for k in (5, 10, 15, 20, 25))
    most = 0.05 + 3.0 * math.sqrt(0.05 * 0.95 / 1500)
    assert known / 1500 < most
    assert unknown / 1500 < most
    assert classic / 1500 > 0.08


def test_a_real_change_is_found() -> None:
    before, after = two_blocks(3, change=3.0, n=10)
    assert second.change_sequence(before, after, sd=1.0).low[-1] > 0.0
    assert second.t_change_log_e(before, after)[-1] > math.log(20.0)
    assert second.jzs_two_sample(before, after) > 10.0
    assert second.overlap(before, after).nap > 0.9
    assert second.t_groups(before, after).means.above_zero > 0.99


@given(numbers, numbers)
def test_overlap_is_counted_pair_by_pair(before: list[float], after: list[float]) -> None:
    found = second.overlap(before, after)
    wins = sum((b > a) + 0.5 * (b == a) for a in before for b in after)
    rises = sum(np.sign(late - early) for early, late in itertools.combinations(before, 2))
    pairs = len(before) * len(after)
    assert found.nap == pytest.approx(wins / pairs)
    assert found.tau == pytest.approx(2 * wins / pairs - 1)
    assert found.tau_u == pytest.approx(2 * wins / pairs - 1 - rises / pairs)
    assert found.pnd == sum(b > max(before) for b in after) / len(after)
    assert found.tau_bc is not None
    assert -1.0 <= found.tau_bc <= 1.0
    assert second.overlap(after, before).nap == pytest.approx(1.0 - found.nap)


@given(st.lists(st.integers(-20, 20).map(float), min_size=1, max_size=9))
def test_sign_flips_are_counted_one_by_one(pairs: list[float]) -> None:
    found = second.sign_flip(pairs)
    sums = [
        sum(sign * pair for sign, pair in zip(signs, pairs, strict=True))
        for signs in itertools.product((1, -1), repeat=len(pairs))
    ]
    assert found.n_orders == len(sums)
    assert found.p_greater == pytest.approx(np.mean([one >= sum(pairs) for one in sums]))
    assert found.p_two_sided == pytest.approx(
        np.mean([abs(one) >= abs(sum(pairs)) for one in sums])
    )


@given(seeds, st.integers(0, 33))
def test_the_lot_makes_the_odds(seed: int, drawn: int) -> None:
    orders = possible_orders(8)
    values = np.random.default_rng(seed).standard_normal(8)
    found = second.randomisation_test(values, orders[drawn], orders)
    differences = [
        values[np.array(order)].mean() - values[~np.array(order)].mean() for order in orders
    ]
    assert found.p_greater == np.mean([one >= differences[drawn] - 1e-9 for one in differences])
    assert found.p_two_sided >= 1 / 34


def test_pairs_of_blocks_can_be_drawn_either_way() -> None:
    orders = second.pair_orders(5)
    assert orders.shape == (32, 10)
    assert (orders[:, 0::2] != orders[:, 1::2]).all()
    assert len({tuple(order) for order in orders.tolist()}) == 32


@given(seeds, st.floats(-50.0, 50.0), st.floats(0.1, 10.0))
def test_units_and_levels_change_no_odds(seed: int, shift: float, scale: float) -> None:
    before, after = two_blocks(seed, 0.7)
    other = scale * before + shift, scale * after + shift
    assert second.welch(*other).p == pytest.approx(second.welch(before, after).p, rel=1e-6)
    assert second.jzs_two_sample(*other) == pytest.approx(
        second.jzs_two_sample(before, after), rel=1e-6
    )
    assert second.brown_forsythe(*other)[0] == pytest.approx(
        second.brown_forsythe(before, after)[0], rel=1e-5
    )
    assert second.t_change_log_e(*other) == pytest.approx(
        second.t_change_log_e(before, after), abs=1e-6
    )


def test_the_paired_tests_are_those_of_the_differences() -> None:
    before, after = two_blocks(5, 0.5)
    found = second.paired_t(before, after)
    expected = stats.ttest_1samp(after - before, 0.0)
    assert (found.t, found.p) == pytest.approx((expected.statistic, expected.pvalue))
    assert second.jzs_paired(before, after) == second.jzs_one_sample(after - before)
    assert found.low < found.difference < found.high


def test_shrinking_lies_between_nothing_and_everything() -> None:
    effects, errors = [28.0, 8, -3, 7, -1, 1, 18, 12], [15.0, 10, 16, 11, 9, 11, 10, 18]
    pooled = second.pooled_effect(effects, errors)
    tight = second.shrink(effects, errors, between=1e-4)
    wide = second.shrink(effects, errors, between=1e5)
    assert tight.effect == pytest.approx([pooled.mean] * 8, abs=1e-4)
    assert wide.effect == pytest.approx(effects, abs=1e-4)
    fine = second.shrink_unknown(effects, errors, n_nodes=40_001)
    assert second.shrink_unknown(effects, errors).effect == pytest.approx(fine.effect, abs=1e-3)
    equal = second.james_stein([3.0] * 5, 1.0)
    assert equal.effect.tolist() == [3.0] * 5
    assert equal.between == 0.0


def test_two_heavy_tailed_blocks_of_many_normal_balls_give_the_plain_result() -> None:
    rng = np.random.default_rng(2)
    before, after = rng.normal(0.0, 1.0, 120), rng.normal(0.5, 1.5, 120)
    found = second.t_groups(before, after)
    assert found.means.mean == pytest.approx(after.mean() - before.mean(), abs=0.05)
    assert found.spreads.mean == pytest.approx(after.std() - before.std(), abs=0.12)
    plain = second.welch(before, after)
    assert (found.means.low, found.means.high) == pytest.approx((plain.low, plain.high), abs=0.06)
    assert found.tails > 10.0


def test_reliability_of_perfect_and_of_no_agreement() -> None:
    perfect = second.reliability([[1.0, 1.0], [2.0, 2.0], [5.0, 5.0]])
    assert (perfect.icc_1, perfect.icc_2, perfect.icc_3) == (1.0, 1.0, 1.0)
    assert perfect.smallest_change == 0.0
    shifted = second.reliability([[1.0, 3.0], [2.0, 4.0], [5.0, 7.0]])
    assert shifted.icc_3 == pytest.approx(1.0)
    assert shifted.icc_2 < 1.0
    nobody = second.reliability([[1.0, 2.0], [2.0, 1.0]])
    assert nobody.icc_1 < 0.0
    assert math.isfinite(nobody.icc_2)


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: second.welch([1.0], [1.0, 2]), "before has shape (1,)."),
        (lambda: second.welch([1.0, math.nan], [1.0, 2]), "before holds a value that is no"),
        (lambda: second.welch([1.0, 1], [1.0, 1]), "All values are the same"),
        (lambda: second.paired_t([1.0, 2], [1.0, 2, 3]), "There are 2 balls before and 3"),
        (lambda: second.paired_t([1.0, 2], [2.0, 3]), "All values are the same"),
        (lambda: second.brown_forsythe([1.0, 1], [2.0, 2]), "All values are the same"),
        (lambda: second.jzs_one_sample([1.0, 1]), "All values are the same"),
        (lambda: second.jzs_paired([1.0, 2], [1.0, 2, 3]), "There are 2 balls before and 3"),
        (lambda: second.jzs_two_sample([1.0], [2.0]), "One ball each has no spread."),
        (lambda: second.jzs(math.inf, 3, 2), "t is inf"),
        (lambda: second.best_rho(0.0), "The spread, time or number of balls is 0"),
        (lambda: second.t_mixture_log_e(1.0, 0.0, 3), "n_effective is 0"),
        (lambda: second.sign_flip([1.0] * 21), "There are 21 pairs."),
        (lambda: second.pair_orders(0), "There are 0 pairs"),
        (
            lambda: second.randomisation_test([1.0] * 4, [True] * 4, possible_orders(4)),
            "The order that was hit is not among those",
        ),
        (
            lambda: second.randomisation_test([1.0] * 3, [True] * 4, possible_orders(4)),
            "There are 3 blocks, an order of (4,)",
        ),
        (lambda: second.reliability([[1.0, 2.0]]), "The table of scores has shape (1, 2)"),
        (lambda: second.reliability([[1.0, 1.0], [1.0, 1.0]]), "All scores are the same"),
        (lambda: second.smallest_change(-1.0), "The standard error is -1"),
        (lambda: second.pooled_effect([1.0, 2], [1.0, 0]), "There are 2 effects and 2 errors"),
        (lambda: second.shrink([1.0, 2], [1.0, 1], between=0.0), "The spread between the effects"),
        (lambda: second.shrink_unknown([1.0, 2], [1.0, 1]), "From 2 effects the spread"),
        (lambda: second.james_stein([1.0, 2, 3, 4], 0.0), "The standard error is 0."),
        (lambda: second.t_groups([1.0, 1, 1], [1.0, 2, 3]), "All balls of a block are the same"),
    ],
)
def test_what_is_refused(call: Callable[[], object], says: str) -> None:
    with pytest.raises((InputError, OutOfRangeError)) as caught:
        call()
    assert str(caught.value).startswith(says)
    assert caught.value.fix.endswith(".")


def test_few_balls_say_little_and_do_not_fail() -> None:
    assert second.t_change_log_e(np.array([1.0]), np.array([2.0])).tolist() == [0.0]
    assert second.t_change_log_e(np.array([1.0, 1.0]), np.array([1.0])).tolist() == [0.0]
    empty = second.change_sequence(np.array([1.0, 2.0]), np.zeros(0), sd=1.0)
    assert empty.low.shape == (0,)
    assert second.overlap([1.0], [2.0]).tau_bc is None
    assert second.sign_flip([2.0]).p_greater == 0.5
    assert second.trend_before([3.0, 3.0, 3.0]) == (0.0, 1.0)
