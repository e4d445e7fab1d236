import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from leadfoot.errors import InputError, OutOfRangeError
from leadfoot.evidence.cues import _given, trial_of, weigh_cues
from leadfoot.evidence.second import shrink
from tests.evidence.shots import lesson_of

GAINS = st.lists(st.floats(-5, 5), min_size=1, max_size=8)


def slow_means(y: list[float], se: list[float], spread_sd: float, average_sd: float) -> np.ndarray:
    """Every unknown on a plain grid: how far cues lie apart, and what they give on average."""
    spreads = np.linspace(1e-3, 5 * spread_sd, 1200)
    averages = np.linspace(-4 * average_sd, 4 * average_sd, 801)
    total, summed = 0.0, np.zeros(len(y))
    for spread in spreads:
        weight = np.exp(-0.5 * (spread / spread_sd) ** 2 - 0.5 * (averages / average_sd) ** 2)
        for gain, error in zip(y, se, strict=True):
            v = error**2 + spread**2
            weight = weight * np.exp(-0.5 * (gain - averages) ** 2 / v) / math.sqrt(v)
        total += weight.sum()
        for k, (gain, error) in enumerate(zip(y, se, strict=True)):
            trust = spread**2 / (spread**2 + error**2)
            summed[k] += (weight * (trust * gain + (1 - trust) * averages)).sum()
    return summed / total


def test_it_is_what_plain_sums_give() -> None:
    y, se = [1.2, 0.1, -0.3, 0.6], [0.4, 0.3, 0.5, 0.35]
    found = [cue.gain for cue in weigh_cues(y, se, 1.0)]
    assert found == pytest.approx(slow_means(y, se, 1.0, 2.0), abs=2e-3)


def test_it_agrees_with_the_second_opinion_where_the_spread_is_known() -> None:
    y, se = np.array([1.2, 0.1, -0.3, 0.6]), np.array([0.4, 0.3, 0.5, 0.35])
    given_spread = _given(y, se, np.array([0.5]), math.inf)
    other = shrink(y, se, between=0.5)
    assert given_spread.mean[0] == pytest.approx(other.effect)


@given(gains=GAINS, factor=st.floats(1e-3, 1e3))
def test_it_knows_no_units(gains: list[float], factor: float) -> None:
    errors = [0.5] * len(gains)
    a = weigh_cues(gains, errors, 1.0)
    b = weigh_cues(np.array(gains) * factor, np.array(errors) * factor, factor)
    for one, other in zip(a, b, strict=True):
        assert other.gain == pytest.approx(one.gain * factor, abs=1e-9 * factor)
        assert other.odds_best == pytest.approx(one.odds_best, abs=0.002)


@given(gains=GAINS)
def test_the_best_is_drawn_in_and_one_of_them_is_the_best(gains: list[float]) -> None:
    found = weigh_cues(gains, [0.5] * len(gains), 1.0)
    top = int(np.argmax(gains))
    assert found[top].gain <= max(gains[top], 0.0) + 1e-9
    assert sum(cue.odds_best for cue in found) == pytest.approx(1.0)
    assert found[top].odds_best > max(cue.odds_best for cue in found) - 0.03
    assert all(cue.low <= cue.gain <= cue.high for cue in found)


def test_more_tries_draw_the_best_in_further() -> None:
    gains = [weigh_cues([1.0] + [0.0] * n, [0.5] * (n + 1), 1.0)[0].gain for n in (0, 1, 4, 9)]
    assert gains == sorted(gains, reverse=True)


def test_the_best_of_ten_is_right_on_average() -> None:
    rng = np.random.default_rng(71)
    claimed, raw, true = [], [], []
    for _ in range(300):
        effect = 0.4 + 0.5 * rng.standard_normal(10)
        y = effect + 0.5 * rng.standard_normal(10)
        found = weigh_cues(y, np.full(10, 0.5), 1.0)
        best = int(np.argmax([cue.gain for cue in found]))
        claimed.append(found[best].gain)
        raw.append(found[best].raw)
        true.append(effect[best])
    assert np.mean(claimed) == pytest.approx(np.mean(true), abs=0.08)
    assert np.mean(raw) > np.mean(true) + 0.2


def test_a_lesson_gives_its_trial_before_any_drawing_in() -> None:
    with_change = np.arange(20) >= 10
    values = 200.0 + 7.3 * (np.tile([0.0, 0.4, -0.4, 0.7, -0.7], 4) + with_change)
    trial = trial_of(lesson_of(with_change, {"carry": values}, distance="carry"))
    assert trial is not None
    assert trial.quantity == "carry"
    assert trial.gain == pytest.approx(7.3, abs=1.2)
    assert 1.0 < trial.error < 7.3
    assert trial_of(lesson_of(with_change, {"offline": values}, direction="offline")) is None


def test_bad_tries_are_refused() -> None:
    with pytest.raises(InputError, match=r"Gains of shape \(0,\) with errors of shape \(0,\)"):
        weigh_cues([], [], 1.0)
    with pytest.raises(InputError, match="can't be weighed"):
        weigh_cues([1.0, math.nan], [1.0, 1.0], 1.0)
    with pytest.raises(OutOfRangeError) as error:
        weigh_cues([1.0], [0.0], 1.0)
    assert (
        str(error.value)
        == "The smallest error is 0 and the unit 1. Give errors and a unit above 0."
    )
