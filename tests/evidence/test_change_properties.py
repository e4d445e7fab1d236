"""More balls of the same, and balls from which nothing can be learnt."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from leadfoot.evidence.change import level_change
from leadfoot.evidence.judgement import UsualSpread
from leadfoot.evidence.lesson import Seen

USUAL = UsualSpread(sd=1.0, n_shots=80)


def seen(before: list[float], after: list[float]) -> Seen:
    n = len(before) + len(after)
    return Seen(
        values=np.array([*before, *after]),
        with_change=np.arange(n) >= len(before),
        ball_number=np.arange(n, dtype=np.float64),
    )


@settings(max_examples=15, deadline=None)
@given(st.integers(0, 10_000), st.sampled_from([2.0, 3.0]))
def test_more_of_the_same_never_turns_odds_above_99(seed: int, gain: float) -> None:
    rng = np.random.default_rng(seed)
    before = list(rng.standard_normal(10))
    after = list(gain + rng.standard_normal(6))
    odds = [level_change(seen(before, after * times), USUAL).above(0.0) for times in (1, 2, 3, 4)]
    if odds[0] > 0.99:
        assert min(odds) > 0.95


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ([0.0], [0.0]),
        ([0.0], [2.0] * 8),
        ([1.0] * 10, [1.0] * 10),
        ([0.0] * 10, [-8.0, -9.0, -7.5, -10.0, -8.5]),
        ([-8.0, 0.1, -9.0, 0.2, -7.0, 0.0], [0.1, -8.0, 0.3, -9.0]),
        ([0.0, 0.1, -0.1], [900.0, -900.0, 0.0]),
    ],
)
def test_one_ball_equal_balls_and_blocks_of_mishits_give_an_answer(
    before: list[float], after: list[float]
) -> None:
    found = level_change(seen(before, after), USUAL)
    assert np.isfinite([found.mean, found.sd, *found.interval(0.95)]).all()
    assert 0.0 <= found.above(0.2) <= found.above(0.0) <= 1.0
    assert ((found.mishit >= 0) & (found.mishit <= 1)).all()
    low, high = replace(found, open_weights=None, range_stretch=1.0).interval(0.95)
    assert found.above(low) == pytest.approx(0.975, abs=1e-3)
    assert found.above(high) == pytest.approx(0.025, abs=1e-3)
