from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from leadfoot.evidence.change import DEFAULT_PRIOR, level_change
from leadfoot.evidence.judgement import UsualSpread
from leadfoot.evidence.lesson import Seen
from leadfoot.evidence.noise import DIRECTION_NOISE, LENGTH_NOISE, Noise
from tests.evidence.shots import normal_balls
from tests.naive.level_change import sampled_change

USUAL = UsualSpread(sd=1.0, n_shots=80)
lessons = st.builds(
    lambda seed, before, after, change: normal_balls(
        np.random.default_rng(seed), before, after, change=change
    ),
    st.integers(0, 10**6),
    st.integers(1, 15),
    st.integers(1, 15),
    st.floats(-3.0, 3.0),
)


def moved(balls: Seen, *, scale: float = 1.0, shift: float = 0.0) -> Seen:
    return replace(balls, values=balls.values * scale + shift)


@given(lessons, st.floats(-1e4, 1e4))
def test_adding_a_constant_changes_nothing_but_the_level(balls: Seen, shift: float) -> None:
    a, b = level_change(balls, USUAL), level_change(moved(balls, shift=shift), USUAL)
    assert b.mean == pytest.approx(a.mean, abs=1e-3)
    assert b.above(0.2) == pytest.approx(a.above(0.2), abs=1e-3)
    assert b.before_si == pytest.approx(a.before_si + shift, abs=1e-3)


@given(lessons, st.sampled_from([0.44704, 0.9144, 1 / 3.6, 1e-6, 1e6]))
def test_the_unit_changes_nothing(balls: Seen, scale: float) -> None:
    a = level_change(balls, USUAL)
    b = level_change(moved(balls, scale=scale), replace(USUAL, sd=scale))
    assert b.above(0.2) == pytest.approx(a.above(0.2), abs=1e-6)
    assert b.before_si == pytest.approx(a.before_si * scale, abs=1e-6 * scale)
    assert b.interval() == pytest.approx(a.interval(), abs=1e-6)


@given(lessons)
def test_the_mirror_image_turns_better_into_worse(balls: Seen) -> None:
    a = level_change(balls, USUAL, noise=LENGTH_NOISE)
    mirrored = replace(LENGTH_NOISE, shift=-LENGTH_NOISE.shift)
    b = level_change(moved(balls, scale=-1.0), USUAL, noise=mirrored)
    assert b.mean == pytest.approx(-a.mean, abs=1e-6)
    assert b.above(-0.2) == pytest.approx(1.0 - a.above(0.2), abs=1e-6)


@given(lessons)
def test_without_drift_the_order_within_a_block_plays_no_part(balls: Seen) -> None:
    still = replace(DEFAULT_PRIOR, slope_sd=1e-5, warm_sd=1e-4)
    order = np.argsort(balls.values + 100.0 * balls.with_change)
    a = level_change(balls, USUAL, prior=still)
    b = level_change(replace(balls, values=balls.values[order]), USUAL, prior=still)
    assert b.mean == pytest.approx(a.mean, abs=1e-3)


@given(lessons)
def test_the_posterior_is_a_distribution(balls: Seen) -> None:
    found = level_change(balls, USUAL)
    low, high = replace(found, open_weights=None, range_stretch=1.0).interval()
    limits = np.linspace(-4, 4, 33)
    odds = np.array([found.above(limit) for limit in limits])
    assert (np.diff(odds) <= 0).all()
    assert low < found.mean < high
    assert found.above(low) == pytest.approx(0.95, abs=1e-3)
    assert found.above(high) == pytest.approx(0.05, abs=1e-3)
    assert found.weights.sum() == pytest.approx(1.0)
    assert ((found.mishit >= 0) & (found.mishit <= 1)).all()


@given(lessons)
def test_the_range_rests_on_the_balls_and_holds_the_shrunk_change(balls: Seen) -> None:
    """It is that of the part of the prior that draws nothing to nothing, a little stretched."""
    found = level_change(balls, USUAL)
    low, high = found.interval(0.95)
    assert low <= found.mean <= high
    flat = replace(DEFAULT_PRIOR, change_sd=(3.0,), change_share=(1.0,), range_stretch=1.0)
    alone = level_change(balls, USUAL, prior=flat).interval(0.95)
    middle, half = 0.5 * (alone[0] + alone[1]), 0.5 * (alone[1] - alone[0])
    assert found.open_weights is not None
    assert low == pytest.approx(min(middle - found.range_stretch * half, found.mean), abs=1e-3)
    assert high == pytest.approx(max(middle + found.range_stretch * half, found.mean), abs=1e-3)


def test_more_balls_of_the_same_narrow_the_range() -> None:
    rng = np.random.default_rng(2)
    widths = []
    for n in (5, 10, 20, 40):
        lows_highs = [
            level_change(normal_balls(rng, 10, n, change=1.5), USUAL).interval() for _ in range(20)
        ]
        widths.append(np.mean([high - low for low, high in lows_highs]))
    assert widths == sorted(widths, reverse=True)


def test_a_mishit_hardly_moves_the_change() -> None:
    balls = normal_balls(np.random.default_rng(4), 10, 10, change=1.0)
    values = balls.values.copy()
    values[15] -= 8.0
    without, with_mishit = (
        level_change(balls, USUAL),
        level_change(replace(balls, values=values), USUAL),
    )
    moved_average = 8.0 / 10
    assert abs(with_mishit.mean - without.mean) < moved_average / 3
    assert with_mishit.mishit[15] > 0.99


def test_a_long_ball_is_no_mishit() -> None:
    balls = normal_balls(np.random.default_rng(4), 10, 10)
    values = balls.values.copy()
    values[15] += 8.0
    assert level_change(replace(balls, values=values), USUAL).mishit[15] == 0.0


def test_drift_is_told_from_a_change_only_by_going_back() -> None:
    """A rise ball by ball looks like a change in A-B; in A-B-A it does not."""
    number = np.arange(30.0)
    rng = np.random.default_rng(1)
    values = 0.06 * number + 0.5 * rng.standard_normal(30)
    once = Seen(values=values[:20], with_change=number[:20] >= 10, ball_number=number[:20])
    back = Seen(values=values, with_change=(number >= 10) & (number < 20), ball_number=number)
    assert level_change(once, USUAL).above(0.2) > level_change(back, USUAL).above(0.2)


def test_wild_balls_make_it_say_so() -> None:
    balls = moved(normal_balls(np.random.default_rng(6), 10, 10), scale=12.0)
    found = level_change(balls, USUAL)
    assert found.wider_than_usual
    assert 0.02 < found.above(0.2) < 0.98


@pytest.mark.parametrize("seed", range(8))
@pytest.mark.parametrize("noise", [LENGTH_NOISE, DIRECTION_NOISE])
def test_it_agrees_with_the_slow_twin(seed: int, noise: Noise) -> None:
    """Importance sampling of the whole model: no modes, no normals, no grid."""
    rng = np.random.default_rng(100 + seed)
    balls = normal_balls(rng, 6 + seed, 14 - seed, change=(-1.0, 0.0, 0.6, 1.5)[seed % 4])
    values = balls.values.copy()
    values[rng.random(len(values)) < 0.1] -= 5.0
    balls = replace(balls, values=values)
    found = level_change(balls, USUAL, noise=noise)
    twin = sampled_change(balls, USUAL, noise, np.random.default_rng(seed))
    assert twin.effective_draws > 8_000
    assert found.mean == pytest.approx(twin.mean, abs=0.06)
    assert found.sd == pytest.approx(twin.sd, rel=0.06)
    for limit in (-0.2, 0.0, 0.2, 0.8):
        assert found.above(limit) == pytest.approx(twin.above(limit), abs=0.02)
