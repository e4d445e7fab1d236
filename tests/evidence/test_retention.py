"""What stayed of a gain: against normal theory, by hand, and what it must never do."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from leadfoot.errors import InputError, OutOfRangeError
from leadfoot.evidence.retention import BlockLevel, Kind, block_level, retention


def block(kind: Kind, day: int, mean: float, variance: float = 0.01) -> BlockLevel:
    return BlockLevel(kind=kind, day=day, mean=mean, variance=variance)


def course(gain: float, left: float, *, days: int = 4) -> list[BlockLevel]:
    """Baselines and tests on many days that differ by nothing: the truth in plain sight."""
    return [
        *(block("before", day, 40.0) for day in range(days)),
        block("with_change", days - 1, 40.0 + gain),
        *(block("test", days + k, 40.0 + left) for k in range(days)),
    ]


@pytest.mark.parametrize(
    ("left", "answer"), [(3.0, "lasted"), (1.4, "partly"), (0.0, "gone"), (2.1, "lasted")]
)
def test_what_is_plain_is_said(left: float, answer: str) -> None:
    found = retention(course(3.0, left), usual_sd=0.5, day_sd=0.1)
    assert found.answer == answer
    assert found.left == pytest.approx(left, abs=0.15)
    assert found.left_low <= left <= found.left_high


def test_without_a_gain_there_is_nothing_to_keep() -> None:
    found = retention(course(0.05, 0.0), usual_sd=0.5, day_sd=0.1)
    assert (found.answer, found.kept) == ("nothing_to_keep", None)


def test_one_test_after_one_lesson_cannot_tell_of_a_small_gain() -> None:
    blocks = [block("before", 0, 40.0, 0.03), block("with_change", 0, 40.9, 0.02)]
    found = retention([*blocks, block("test", 1, 40.6, 0.03)], usual_sd=0.54)
    assert found.answer == "cannot_tell"


def test_the_gain_is_sure_within_a_day_and_what_is_left_is_not() -> None:
    """The day cancels in the lesson; from day to day it does not."""
    blocks = [block("before", 0, 40.0), block("with_change", 0, 42.0), block("test", 1, 42.0)]
    found = retention(blocks, usual_sd=0.5, day_sd=0.4)
    within, between = found.gain_high - found.gain_low, found.left_high - found.left_low
    assert within == pytest.approx(2 * 1.96 * np.hypot(0.1, 0.1), rel=0.05)
    assert between > 2.0 * within


def test_a_fall_is_a_gain_where_less_is_better() -> None:
    up = retention(course(2.0, 1.5), usual_sd=0.5, day_sd=0.1)
    down = retention(course(-2.0, -1.5), usual_sd=0.5, day_sd=0.1, more_is_better=False)
    assert down.answer == up.answer
    assert down.gain == pytest.approx(-up.gain)
    assert (down.left_low, down.left_high) == pytest.approx((-up.left_high, -up.left_low))
    assert down.odds_some == pytest.approx(up.odds_some)


@given(st.floats(0.1, 50.0), st.floats(-1e3, 1e3))
def test_units_and_levels_change_no_odds(unit: float, shift: float) -> None:
    plain = retention(course(1.0, 0.5), usual_sd=0.5)
    other = [
        BlockLevel(
            kind=each.kind,
            day=each.day,
            mean=unit * each.mean + shift,
            variance=unit**2 * each.variance,
        )
        for each in course(1.0, 0.5)
    ]
    found = retention(other, usual_sd=0.5 * unit)
    assert found.odds_some == pytest.approx(plain.odds_some, abs=1e-5)
    assert found.odds_hardly == pytest.approx(plain.odds_hardly, abs=1e-5)
    assert found.answer == plain.answer


@given(st.permutations(range(9)))
def test_the_order_of_the_blocks_plays_no_part(order: list[int]) -> None:
    blocks = course(1.5, 1.0)
    plain = retention(blocks, usual_sd=0.5)
    mixed = retention([blocks[k] for k in order], usual_sd=0.5)
    assert mixed.odds_mostly == pytest.approx(plain.odds_mostly, abs=1e-9)


def test_a_share_is_told_only_of_a_gain_that_is_sure() -> None:
    sure = retention(course(3.0, 1.5), usual_sd=0.5, day_sd=0.1)
    assert sure.kept == pytest.approx(0.5, abs=0.1)
    assert sure.kept_low is not None
    assert sure.kept_high is not None
    assert sure.kept_low < 0.5 < sure.kept_high
    blocks = [block("before", 0, 40.0, 0.2), block("with_change", 0, 40.4, 0.2)]
    assert retention([*blocks, block("test", 1, 40.4, 0.2)], usual_sd=0.54).kept is None


def test_a_block_that_is_missing_is_named() -> None:
    with pytest.raises(InputError, match="There is no block of the kind 'test'"):
        retention([block("before", 0, 1.0), block("with_change", 0, 2.0)], usual_sd=1.0)


def test_a_variance_of_nothing_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="A spread or a variance is not above 0"):
        retention([*course(1.0, 1.0), block("test", 9, 1.0, 0.0)], usual_sd=1.0)


def test_the_level_of_normal_balls_is_about_their_mean() -> None:
    rng = np.random.default_rng(2)
    values = rng.normal(40.0, 0.5, 4_000)
    found = block_level(values, kind="before", day=0, usual_sd=0.5)
    assert found.mean == pytest.approx(40.0, abs=0.05)
    assert found.variance == pytest.approx(0.5**2 / 4_000, rel=0.25)


def test_a_mishit_hardly_moves_the_level() -> None:
    values = np.array([40.0, 40.3, 39.8, 40.2, 39.9, 30.0])
    found = block_level(values, kind="test", day=0, usual_sd=0.4)
    assert found.mean == pytest.approx(40.04, abs=0.15)  # the plain mean is 38.4


def test_a_block_without_values_is_refused() -> None:
    with pytest.raises(InputError, match="A block has no values"):
        block_level(np.array([np.nan]), kind="test", day=0, usual_sd=0.4)
