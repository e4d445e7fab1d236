from dataclasses import replace
from random import Random

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from leadfoot.errors import InputError
from leadfoot.evidence.judgement import UsualSpread
from leadfoot.evidence.lesson import Seen
from leadfoot.evidence.misses import average_miss
from leadfoot.evidence.pairs import DEFAULT_PATTERN_PRIOR
from leadfoot.evidence.pattern import pattern_change
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


ODDS = (
    "nearer",
    "nearer_clearly",
    "farther_clearly",
    "narrower",
    "narrower_clearly",
    "wider_clearly",
    "misses_less",
    "misses_clearly_less",
    "misses_clearly_more",
)
STILL = replace(DEFAULT_PATTERN_PRIOR, slope_sd=0.0)


@given(lessons)
def test_left_and_right_are_exact_mirror_images(balls: Seen) -> None:
    a = pattern_change(balls, USUAL)
    b = pattern_change(replace(balls, values=-balls.values), USUAL)
    for name in ODDS:
        assert getattr(b, name) == pytest.approx(getattr(a, name), abs=1e-9)
    assert b.bias.before == pytest.approx(-a.bias.before, abs=1e-9)
    assert b.bias.low == pytest.approx(-a.bias.high, abs=1e-6)
    assert b.spread.after == pytest.approx(a.spread.after, abs=1e-9)


@given(lessons, st.sampled_from([0.9144, 0.3048, np.pi / 180, 1e6]))
def test_the_unit_changes_no_odds(balls: Seen, scale: float) -> None:
    a = pattern_change(balls, USUAL)
    b = pattern_change(replace(balls, values=balls.values * scale), replace(USUAL, sd=scale))
    for name in ODDS:
        assert getattr(b, name) == pytest.approx(getattr(a, name), abs=1e-6)
    assert b.bias.after == pytest.approx(a.bias.after * scale, abs=1e-6 * scale)


@given(lessons, st.randoms(use_true_random=False))
def test_without_drift_the_order_within_a_block_plays_no_part(balls: Seen, lot: Random) -> None:
    n_before = balls.n_before
    order = list(range(n_before)), list(range(n_before, len(balls.values)))
    for side in order:
        lot.shuffle(side)
    a = pattern_change(balls, USUAL, prior=STILL)
    b = pattern_change(replace(balls, values=balls.values[order[0] + order[1]]), USUAL, prior=STILL)
    for name in ODDS:
        assert getattr(b, name) == pytest.approx(getattr(a, name), abs=1e-9)


@given(lessons)
def test_time_backward_gives_the_same_odds(balls: Seen) -> None:
    """The drift has no direction: the lesson hit from its last ball to its first says the same."""
    backward = Seen(
        values=balls.values[::-1],
        with_change=balls.with_change[::-1],
        ball_number=balls.ball_number,
    )
    a, b = pattern_change(balls, USUAL), pattern_change(backward, USUAL)
    for name in ODDS:
        assert getattr(b, name) == pytest.approx(getattr(a, name), abs=1e-6)


@given(lessons)
def test_all_odds_are_odds_and_hang_together(balls: Seen) -> None:
    found = pattern_change(balls, USUAL)
    for name in ODDS:
        assert 0 <= getattr(found, name) <= 1
    assert found.nearer_clearly <= found.nearer
    assert found.misses_clearly_less <= found.misses_less
    assert found.narrower_clearly <= found.narrower + 1e-9
    assert found.narrower_clearly + found.wider_clearly <= 1 + 1e-9
    assert found.misses_clearly_more <= 1 - found.misses_less + 1e-9
    assert found.nearer_clearly + found.farther_clearly <= 1 + 1e-9
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


@pytest.mark.parametrize(
    "balls",
    [
        balls_of([3.0, -1.0], 1),
        balls_of([2.0] * 8, 4),
        balls_of([0.0] * 6, 3),
        balls_of([1.0, 1.2, 0.9, 40.0, -35.0, 50.0, -60.0, 45.0], 3),
        balls_of([1e9, -1e9, 0.0, 0.0], 2),
    ],
    ids=["one ball each", "equal balls", "all zero", "a block of mishits", "absurd"],
)
def test_poor_balls_still_give_an_answer(balls: Seen) -> None:
    found = pattern_change(balls, USUAL)
    for name in ODDS:
        assert 0 <= getattr(found, name) <= 1
    assert np.isfinite([found.bias.low, found.bias.high, found.spread.low, found.spread.high]).all()


def test_no_ball_or_a_ball_without_a_number_is_refused() -> None:
    with pytest.raises(InputError, match="0 balls before and 3 with the change") as error:
        pattern_change(balls_of([1.0, 2.0, 3.0], 0), USUAL)
    assert "at least one ball" in error.value.fix
    with pytest.raises(InputError, match="ball 1 has the value nan") as error:
        pattern_change(balls_of([1.0, np.nan, 3.0], 2), USUAL)
    assert "Leave the ball away" in error.value.fix


def test_a_steady_drift_is_hardly_taken_for_a_change() -> None:
    """A twenty-fifth of a spread a ball toward the target, and no change at all."""
    found, blind = [], []
    for seed in range(20):
        noise = np.random.default_rng(seed).standard_normal(40)
        balls = balls_of(1.4 - 0.04 * np.arange(40) + noise, 15)
        found.append(pattern_change(balls, USUAL).nearer_clearly)
        blind.append(pattern_change(balls, USUAL, prior=STILL).nearer_clearly)
    assert np.mean(np.array(blind) > 0.95) >= 0.5
    assert np.mean(np.array(found) > 0.95) <= 0.15


def test_blocks_by_turns_tell_drift_from_change() -> None:
    rng = np.random.default_rng(12)
    sides = np.repeat([False, True, False, True], 12)
    values = 1.5 - 1.2 * sides + 0.02 * np.arange(48) + 0.5 * rng.standard_normal(48)
    balls = Seen(values=values, with_change=sides, ball_number=np.arange(48.0))
    assert pattern_change(balls, UsualSpread(sd=0.5, n_shots=80)).nearer_clearly > 0.99


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
    for name in (
        "nearer",
        "nearer_clearly",
        "farther_clearly",
        "narrower",
        "misses_less",
        "misses_clearly_less",
    ):
        assert getattr(found, name) == pytest.approx(twin.share(getattr(twin, name)), abs=0.03)
