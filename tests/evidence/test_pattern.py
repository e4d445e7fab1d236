from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from leadfoot.evidence.judgement import UsualSpread
from leadfoot.evidence.lesson import Seen
from leadfoot.evidence.pattern import average_miss, pattern_change
from tests.evidence.shots import balls_of
from tests.naive.pattern_change import sampled_pattern

USUAL = UsualSpread(sd=1.0, n_shots=80)


def direction_balls(
    seed: int, n_before: int, n_after: int, *, bias: float, shift: float, ratio: float
) -> Seen:
    rng = np.random.default_rng(seed)
    before = bias + rng.standard_normal(n_before)
    after = bias + shift + ratio * rng.standard_normal(n_after)
    return balls_of(np.concatenate((before, after)), n_before)


lessons = st.builds(
    direction_balls,
    st.integers(0, 10**6),
    st.integers(1, 15),
    st.integers(1, 15),
    bias=st.floats(-2, 2),
    shift=st.floats(-2, 2),
    ratio=st.floats(0.3, 2),
)


@given(lessons)
def test_left_and_right_are_mirror_images(balls: Seen) -> None:
    a = pattern_change(balls, USUAL)
    b = pattern_change(replace(balls, values=-balls.values), USUAL)
    for name in ("nearer", "nearer_clearly", "farther_clearly", "narrower", "misses_less"):
        assert getattr(b, name) == pytest.approx(getattr(a, name), abs=1e-3)
    assert b.bias.before == pytest.approx(-a.bias.before, abs=1e-6)
    assert b.bias.low == pytest.approx(-a.bias.high, abs=0.01)
    assert b.spread.after == pytest.approx(a.spread.after, abs=1e-6)


@given(lessons, st.sampled_from([0.9144, 0.3048, np.pi / 180, 1e6]))
def test_the_unit_changes_nothing(balls: Seen, scale: float) -> None:
    a = pattern_change(balls, USUAL)
    b = pattern_change(replace(balls, values=balls.values * scale), replace(USUAL, sd=scale))
    for name in ("nearer", "narrower", "misses_less", "misses_clearly_less"):
        assert getattr(b, name) == pytest.approx(getattr(a, name), abs=2e-3)
    assert b.bias.after == pytest.approx(a.bias.after * scale, abs=2e-3 * scale)


@given(lessons)
def test_the_order_of_balls_plays_no_part(balls: Seen) -> None:
    order = np.lexsort((balls.values, balls.with_change))
    a = pattern_change(balls, USUAL)
    b = pattern_change(replace(balls, values=balls.values[order]), USUAL)
    assert b.misses_less == pytest.approx(a.misses_less, abs=2e-3)


@given(lessons)
def test_all_odds_are_odds_and_hang_together(balls: Seen) -> None:
    found = pattern_change(balls, USUAL)
    assert 0 <= found.nearer_clearly <= found.nearer <= 1
    assert 0 <= found.misses_clearly_less <= found.misses_less <= 1
    assert found.misses_clearly_more <= 1 - found.misses_less
    assert found.nearer_clearly + found.farther_clearly <= 1
    for half in (found.bias, found.spread):
        assert half.low < half.high
        assert half.low - 0.01 <= half.after - half.before <= half.high + 0.01
    assert found.spread.before > 0
    assert found.spread.after > 0


def test_bias_and_spread_are_kept_apart() -> None:
    moved = pattern_change(direction_balls(1, 60, 60, bias=2.0, shift=-2.0, ratio=1.0), USUAL)
    assert moved.nearer_clearly > 0.99
    assert 0.1 < moved.narrower < 0.9
    narrowed = pattern_change(direction_balls(2, 60, 60, bias=0.0, shift=0.0, ratio=0.5), USUAL)
    assert narrowed.narrower > 0.99
    assert 0.1 < narrowed.nearer < 0.9


def test_narrower_but_off_to_one_side_is_no_smaller_miss() -> None:
    found = pattern_change(direction_balls(3, 40, 40, bias=0.0, shift=1.5, ratio=0.6), USUAL)
    assert found.narrower > 0.95
    assert found.misses_less < 0.1


def test_a_wild_ball_does_not_make_the_solid_ones_wide() -> None:
    balls = direction_balls(4, 20, 20, bias=0.0, shift=0.0, ratio=1.0)
    values = balls.values.copy()
    values[30] += 9.0
    a, b = pattern_change(balls, USUAL), pattern_change(replace(balls, values=values), USUAL)
    assert b.spread.after < 1.25 * a.spread.after


def test_no_ball_drowns_in_a_wrong_usual_spread() -> None:
    balls = direction_balls(5, 10, 10, bias=0.0, shift=0.0, ratio=1.0)
    found = pattern_change(replace(balls, values=balls.values * 30), USUAL)
    assert found.wider_than_usual
    assert 0.02 < found.misses_less < 0.98


def test_average_miss_of_a_shifted_normal_by_plain_sampling() -> None:
    draws = np.random.default_rng(0).normal(0.7, 1.3, 400_000)
    found = average_miss(np.array([0.7]), np.array([1.3]))[0]
    assert found == pytest.approx(np.abs(draws).mean(), abs=0.01)


@pytest.mark.parametrize("seed", range(6))
def test_it_agrees_with_the_slow_twin(seed: int) -> None:
    balls = direction_balls(
        seed, 6 + 2 * seed, 14 - seed, bias=1.0, shift=(-1.0, 0.0, 0.7)[seed % 3], ratio=0.8
    )
    values = balls.values.copy()
    values[[2, -2]] += (4.0, -5.0)
    balls = replace(balls, values=values)
    found = pattern_change(balls, USUAL)
    twin = sampled_pattern(balls, USUAL, np.random.default_rng(seed))
    assert twin.effective_draws > 5_000
    assert found.nearer == pytest.approx(twin.share(twin.nearer), abs=0.03)
    assert found.narrower == pytest.approx(twin.share(twin.narrower), abs=0.03)
    assert found.misses_less == pytest.approx(twin.share(twin.misses_less), abs=0.03)
    assert found.misses_clearly_less == pytest.approx(
        twin.share(twin.misses_clearly_less), abs=0.03
    )
