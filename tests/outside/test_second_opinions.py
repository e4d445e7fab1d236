"""Second opinions and ellipses against the published values of data/evidence_opinions.csv."""

import math
from collections.abc import Callable, Mapping
from functools import cache, partial

import numpy as np
import pytest
from numpy.typing import ArrayLike, NDArray
from scipy.integrate import quad

from leadfoot.evidence.dispersion import spread_range
from leadfoot.evidence.drawn_order import possible_orders
from leadfoot.evidence.ellipse import mean_factor, prediction_factor
from leadfoot.evidence.noise import Noise, split
from leadfoot.evidence.second import (
    Overlap,
    TGroups,
    best_rho,
    brown_forsythe,
    james_stein,
    jzs_one_sample,
    jzs_paired,
    jzs_two_sample,
    normal_mixture_bound,
    normal_mixture_log_e,
    one_sided_bound,
    one_sided_log_e,
    overlap,
    pair_orders,
    paired_t,
    pooled_effect,
    randomisation_test,
    reliability,
    shrink,
    shrink_unknown,
    sign_flip,
    smallest_change,
    t_groups,
    welch,
)
from leadfoot.evidence.share import wilson_share
from tests.outside.checks import Row, each, rows

Floats = NDArray[np.float64]


@cache
def data(name: str) -> Floats:
    found = [row["value"] for row in rows("evidence_sets") if row.words["set"] == name]
    assert found, name
    return np.array(found)


@cache
def sced(number: int) -> Overlap:
    return overlap(data(f"sced{number}_a"), data(f"sced{number}_b"))


@cache
def trend() -> Overlap:
    return overlap(np.arange(1.0, 6.0), np.arange(6.0, 11.0))


@cache
def iq() -> TGroups:
    return t_groups(data("iq_placebo"), data("iq_drug"))


@cache
def peeking() -> Floats:
    """Share of lessons without a change that are significant by look 5, 10, 20."""
    rng = np.random.default_rng(1969)
    wrong = np.zeros(20)
    looks = np.arange(1.0, 21.0)
    for _ in range(40):
        z = np.cumsum(rng.standard_normal((10_000, 20)), axis=1) / np.sqrt(looks)
        wrong += np.maximum.accumulate(np.abs(z) > 1.959963984540054, axis=1).mean(axis=0)
    return wrong / 40


def smallest_p(orders: ArrayLike) -> float:
    order = np.asarray(orders, dtype=bool)[0]
    return randomisation_test(order.astype(float), order, orders).p_greater


def drift(letters: str) -> float:
    """What a drift of one spread over all balls adds to the change."""
    changed = np.array([letter == "B" for letter in letters])
    ramp = np.linspace(0.0, 1.0, len(letters))
    return welch(ramp[~changed], ramp[changed]).difference


def mixture(power: int, beyond: float = 0.0) -> float:
    """Integral of |x| ** power over the balls beyond a limit, both sides."""
    noise = Noise(share=0.1, shift=0.0, widening=3.0)

    def density(x: float) -> float:
        log_density = split(np.array([x]), np.array([1.0]), noise).log_density[0]
        return 2.0 * x**power * math.exp(log_density) / math.sqrt(2.0 * math.pi)

    return float(quad(density, beyond, 30.0, epsabs=1e-12, limit=200)[0])


def batting() -> tuple[float, float]:
    """The factor of James and Stein, and by how much it lowers the squared errors."""
    first, season = data("batting"), data("batting_season")
    mean = float(first.mean())
    found = james_stein(first, math.sqrt(mean * (1.0 - mean) / 45.0))
    factor = (found.effect[0] - mean) / (first[0] - mean)
    errors = ((first - season) ** 2).sum() / ((found.effect - season) ** 2).sum()
    return float(factor), float(errors)


CHECKS: Mapping[str, Callable[[], float | None]] = {
    "sleep_paired_t": lambda: paired_t(data("sleep_b"), data("sleep_a")).t,
    "sleep_paired_freedom": lambda: paired_t(data("sleep_b"), data("sleep_a")).freedom,
    "sleep_paired_p": lambda: paired_t(data("sleep_b"), data("sleep_a")).p,
    "sleep_paired_low": lambda: paired_t(data("sleep_b"), data("sleep_a")).low,
    "sleep_paired_high": lambda: paired_t(data("sleep_b"), data("sleep_a")).high,
    "sleep_welch_t": lambda: welch(data("sleep_b"), data("sleep_a")).t,
    "sleep_welch_freedom": lambda: welch(data("sleep_b"), data("sleep_a")).freedom,
    "sleep_welch_p": lambda: welch(data("sleep_b"), data("sleep_a")).p,
    "sleep_jzs_paired": lambda: jzs_paired(data("sleep_a"), data("sleep_b"), width=0.5**0.5),
    "sleep_jzs_drug_2": lambda: jzs_one_sample(data("sleep_b")),
    "sleep_jzs_two_sample": lambda: jzs_two_sample(data("sleep_a"), data("sleep_b")),
    "sleep_sign_flip": lambda: sign_flip(data("sleep_b") - data("sleep_a")).p_two_sided,
    "maize_t": lambda: paired_t(np.zeros(15), data("maize")).t,
    "maize_p": lambda: paired_t(np.zeros(15), data("maize")).p,
    "maize_sign_flip": lambda: sign_flip(data("maize")).p_greater,
    "sced1_nap": lambda: sced(1).nap,
    "sced1_tau": lambda: sced(1).tau,
    "sced1_pnd": lambda: sced(1).pnd,
    "sced1_error": lambda: sced(1).nap_error,
    "sced2_tau": lambda: sced(2).tau,
    "sced2_tau_u": lambda: sced(2).tau_u,
    "trend_tau": lambda: trend().tau,
    "trend_tau_u": lambda: trend().tau_u,
    "trend_tau_bc": lambda: trend().tau_bc,
    "iq_welch_t": lambda: welch(data("iq_placebo"), data("iq_drug")).t,
    "iq_welch_freedom": lambda: welch(data("iq_placebo"), data("iq_drug")).freedom,
    "iq_welch_p": lambda: welch(data("iq_placebo"), data("iq_drug")).p,
    "iq_means": lambda: iq().means.mean,
    "iq_means_low": lambda: iq().means.low,
    "iq_means_high": lambda: iq().means.high,
    "iq_spreads": lambda: iq().spreads.mean,
    "iq_spreads_low": lambda: iq().spreads.low,
    "iq_spreads_high": lambda: iq().spreads.high,
    "iq_size": lambda: iq().size.mean,
    "iq_size_low": lambda: iq().size.low,
    "iq_size_high": lambda: iq().size.high,
    "mixture_rho": lambda: best_rho(100.0),
    "mixture_bound": lambda: normal_mixture_bound(100.0, best_rho(100.0)),
    "mixture_log_e": lambda: normal_mixture_log_e(10.0, 100.0, best_rho(100.0)),
    "one_sided_bound": lambda: one_sided_bound(100.0, best_rho(100.0, 0.1)),
    "one_sided_log_e": lambda: one_sided_log_e(10.0, 100.0, best_rho(100.0, 0.1)),
    "icc_1": lambda: reliability(data("judges").reshape(6, 4)).icc_1,
    "icc_2": lambda: reliability(data("judges").reshape(6, 4)).icc_2,
    "icc_3": lambda: reliability(data("judges").reshape(6, 4)).icc_3,
    "icc_error": lambda: reliability(data("judges").reshape(6, 4)).standard_error,
    "icc_change": lambda: reliability(data("judges").reshape(6, 4)).smallest_change,
    "golf_change": lambda: smallest_change(12.05),
    "schools_pooled": lambda: pooled_effect(data("schools"), data("schools_error")).mean,
    "schools_pooled_error": lambda: pooled_effect(data("schools"), data("schools_error")).error,
    "schools_q": lambda: pooled_effect(data("schools"), data("schools_error")).q,
    "schools_p": lambda: pooled_effect(data("schools"), data("schools_error")).p,
    "schools_5_middle": lambda: shrink(data("schools"), data("schools_error"), between=5.0).middle,
    "schools_5_a": lambda: shrink(data("schools"), data("schools_error"), between=5.0).effect[0],
    "batting_factor": lambda: batting()[0],
    "batting_gain": lambda: batting()[1],
    "levene_w": lambda: brown_forsythe(data("levene_a"), data("levene_b"))[0],
    "levene_p": lambda: brown_forsythe(data("levene_a"), data("levene_b"))[1],
    "wilson_0_of_10": lambda: wilson_share(0, 10, probability=0.95).high,
    "orders_2_2": lambda: smallest_p(possible_orders(4)),
    "orders_3_3": lambda: smallest_p(possible_orders(6, 3)),
    "orders_4_4": lambda: smallest_p(possible_orders(8, 4)),
    "orders_4_4_runs": lambda: smallest_p(possible_orders(8)),
    "orders_5_pairs": lambda: smallest_p(pair_orders(5)),
    "drift_ab": lambda: drift("A" * 10 + "B" * 10),
    "drift_abab": lambda: drift("AAAAABBBBBAAAAABBBBB"),
    "drift_abba": lambda: drift("AAAAABBBBBBBBBBAAAAA"),
    "mixture_sd": lambda: math.sqrt(mixture(2)),
    "mixture_kurtosis": lambda: mixture(4) / mixture(2) ** 2,
    "mixture_beyond": lambda: mixture(0, 3.0),
    **{f"peeking_{n}": partial(lambda n: float(peeking()[n - 1]), n) for n in (5, 10, 20)},
    **{
        f"schools_flat_{k}": partial(
            lambda k: float(shrink_unknown(data("schools"), data("schools_error")).effect[k]), k
        )
        for k in range(8)
    },
    **{f"ellipse_{n}": partial(prediction_factor, n, 0.95) for n in (5, 8, 10, 15, 20)},
    **{f"ellipse_many_{p}": partial(prediction_factor, 1e9, p / 100) for p in (50, 90, 95)},
    **{f"middle_{n}": partial(mean_factor, n, 0.95) for n in (10, 20)},
    **{
        f"spread_{n}_{end}": partial(lambda n, k: spread_range(n - 1, probability=0.95)[k], n, k)
        for n in (5, 10, 20)
        for k, end in enumerate(("low", "high"))
    },
    **{f"carry_change_{n}": partial(smallest_change, 12.0, tests=n) for n in (5, 10, 20)},
}


@each("evidence_opinions")
def test_published_value(row: Row) -> None:
    found = CHECKS[row.words["check"]]()
    assert found == pytest.approx(row["expected"], abs=row["tolerance"], rel=1e-12)


def test_no_check_is_left_out() -> None:
    assert {row.words["check"] for row in rows("evidence_opinions")} == set(CHECKS)
