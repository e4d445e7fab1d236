"""The promise of direction: how often straighter, wilder and both are said, and rightly.

A look after every ball from the fifth with the change. The short version runs always; the long one
(4,000 lessons a cell) with ``make rates``. Tables: docs/explain/straighter.md.
"""

import numpy as np
import pytest
from scipy import stats

from leadfoot.evidence.judgement import UsualSpread
from leadfoot.evidence.lesson import Seen
from leadfoot.evidence.pattern import pattern_change
from leadfoot.evidence.pooled import PastLesson, pooled_pattern
from tests.rates.straight_joint import CELLS, joint
from tests.rates.straight_lessons import NOTHING, USUAL_YD, Truth, simulate_offline
from tests.rates.straight_loop import WHAT, all_looks
from tests.rates.straight_pooled import BLOCKS, NEW, all_pooled_looks, simulate_lessons
from tests.rates.straight_table import (
    PLANS,
    POOLED_ENDS,
    POOLED_ROWS,
    f_test,
    odds_of,
    percent,
    pooled_odds,
    pooled_straighter,
    pooled_wilder,
    straighter,
    values_of,
    wilder,
)

PROMISE, POOLED_PROMISE = 5.0, 7.0
LONG = 4000
KNOWN = UsualSpread(sd=USUAL_YD, n_shots=60)


def most(n_lessons: int, rate: float) -> float:
    """More percent than this happen in one run of a hundred at the rate, in percent."""
    return 100.0 * float(stats.binom.ppf(0.99, n_lessons, rate / 100)) / n_lessons


def seen_of(values: np.ndarray, n_before: int) -> Seen:
    n = len(values)
    return Seen(
        values=values, with_change=np.arange(n) >= n_before, ball_number=np.arange(float(n))
    )


def test_the_compiled_look_says_what_the_live_one_says() -> None:
    rng = np.random.default_rng(1)
    truth = Truth(tails=3.0, spread=(14.0, 9.0), mean=(9.0, 3.0), drift_sd=0.03)
    values = simulate_offline(rng, 30, (10, 30), truth, day_doubt=0.4)
    looks = np.arange(1, 31)
    odds = all_looks(values, 10, looks, KNOWN)
    for lesson in range(len(values)):
        look = int(rng.integers(30))
        found = pattern_change(seen_of(values[lesson, : 11 + look], 10), KNOWN)
        live = [getattr(found, what) for what in WHAT]
        assert odds[lesson, look] == pytest.approx(live, abs=1e-6)


def test_looks_that_are_passed_over_could_not_have_said_anything() -> None:
    values = simulate_offline(np.random.default_rng(2), 150, (10, 15), Truth(spread=(12.0, 8.0)))
    looks = np.arange(5, 16)
    full = all_looks(values, 10, looks, KNOWN)
    quick = all_looks(values, 10, looks, KNOWN, worth_a_look=0.85)
    assert (straighter(full) == straighter(quick)).all()
    assert (wilder(full) == wilder(quick)).all()


def test_the_compiled_pool_says_what_the_live_one_says() -> None:
    truth = Truth(mean=(10.0, 4.0), tails=3.0, drift_sd=0.02)
    values = simulate_lessons(np.random.default_rng(3), 4, 3, truth)
    odds = all_pooled_looks(values)
    for student in range(len(values)):
        lessons = [PastLesson(balls=seen_of(one, BLOCKS[0])) for one in values[student]]
        found = pooled_pattern(lessons, NEW).change
        live = [getattr(found, what) for what in WHAT]
        assert odds[student, -1] == pytest.approx(live, abs=1e-6)


@pytest.mark.parametrize("row", ["none, mean 5", "none, t3 tails"])
def test_no_change_is_seldom_called_straighter_or_wilder(row: str) -> None:
    odds = odds_of("10 and 30", row, 200)
    assert percent(straighter(odds)) <= most(200, PROMISE)
    assert percent(wilder(odds)) <= most(200, PROMISE)


def test_half_the_spread_is_found() -> None:
    odds = odds_of("10 and 30", "spread 12 to 6", 100)
    assert percent(straighter(odds)) >= 55.0


@pytest.mark.rates
@pytest.mark.parametrize("plan", PLANS)
@pytest.mark.parametrize("row", NOTHING)
def test_long_no_change_is_called_straighter_in_at_most_one_lesson_of_twenty(
    plan: str, row: str
) -> None:
    odds = odds_of(plan, row, LONG)
    assert percent(straighter(odds)) <= PROMISE
    assert percent(wilder(odds)) <= PROMISE


@pytest.mark.rates
def test_long_narrower_but_shifted_is_not_called_straighter() -> None:
    odds = odds_of("10 and 30", "spread 12 to 9 but mean 0 to 12", LONG)
    assert percent(straighter(odds)) <= most(LONG, PROMISE)


@pytest.mark.rates
def test_long_the_f_test_with_peeking_is_wrong_in_a_fifth_of_the_lessons() -> None:
    values = values_of("10 and 30", "none, mean 5", LONG)
    assert percent(f_test(values, 10)) > 20.0


@pytest.mark.rates
@pytest.mark.parametrize("row", list(POOLED_ROWS)[:4])
def test_long_pooled_lessons_keep_their_promise(row: str) -> None:
    odds = pooled_odds(row, LONG)
    for n_lessons in POOLED_ENDS.values():
        part = odds[:, : 3 * n_lessons - 1]
        assert percent(pooled_straighter(part)) <= POOLED_PROMISE
        assert percent(pooled_wilder(part)) <= POOLED_PROMISE


@pytest.mark.rates
@pytest.mark.parametrize("cell", list(CELLS)[:5])
def test_long_both_is_seldom_said_where_one_is_false(cell: str) -> None:
    found = joint(LONG, 500 + list(CELLS).index(cell), *CELLS[cell])
    assert 100.0 * found.both <= most(LONG, PROMISE)
