"""The promise of direction: how often straighter, wilder and both are said, and rightly.

A look after every ball from the fifth with the change. The short version runs always; the long one
(4,000 lessons a cell) with ``make rates``. Tables: docs/explain/straighter.md.
"""

import numpy as np
import pytest
from scipy import stats

from leadfoot.evidence.judge import judge
from leadfoot.evidence.judgement import LessonShots, Track, UsualSpread
from leadfoot.evidence.lesson import Seen
from leadfoot.evidence.pattern import pattern_change
from leadfoot.evidence.pooled import PastLesson, pooled_pattern
from tests.rates.lessons import first_balls
from tests.rates.straight_joint import CELLS, joint
from tests.rates.straight_lessons import (
    CHANGED,
    HARDER,
    NOTHING,
    USUAL_YD,
    Truth,
    simulate_offline,
)
from tests.rates.straight_looks import (
    BACK,
    DESIGNS,
    MIGHT,
    ONCE,
    ROWS,
    Design,
    odds_of,
    percent,
    straighter,
    values_of,
    wilder,
)
from tests.rates.straight_loop import WHAT, looks_in
from tests.rates.straight_pooled import BLOCKS, NEW, all_pooled_looks, simulate_lessons
from tests.rates.straight_table import (
    DRIFT,
    MADE_BY,
    PAGE,
    POOLED_ENDS,
    POOLED_ROWS,
    TABLES,
    cell,
    f_test,
    pooled_odds,
    pooled_straighter,
    pooled_wilder,
    without_drift,
)

PROMISE, POOLED_PROMISE = 5.0, 7.0
HARD_DAY = 6.5
"""What orders that come back to the old way keep without a plan on days unlike the reference day,
with a drift, heavy tails, more mishits or a spread that is not the usual one."""
NO_CHANGE = [*NOTHING, *list(HARDER)[:4]]
"""All that changes nothing, but for a usual spread that is far too wide."""
REFERENCE_DAY = list(NOTHING)[:2]
WORST = [
    "none, mean 10",
    "none, t3 tails",
    "none, drift 0.02 toward the line, mean 10",
    "none, drift 0.02 away from it, mean 5",
    "none, spread 1.3 x usual, mean 10",
]
ANY_ORDER = [(5, 10, 5), (10, 15, 5), (15, 15, 10), (20, 20, 20), (10,) * 6, (5,) * 12]
LONG = 4000
KNOWN = UsualSpread(sd=USUAL_YD, n_shots=60)


def most(n_lessons: int, rate: float) -> float:
    """More percent than this happen in one run of a hundred at the rate, in percent."""
    return 100.0 * float(stats.binom.ppf(0.99, n_lessons, rate / 100)) / n_lessons


def kept_without_a_plan(row: str) -> float:
    return PROMISE if row in REFERENCE_DAY else HARD_DAY


def seen_of(values: np.ndarray, with_change: np.ndarray) -> Seen:
    n = len(values)
    return Seen(values=values, with_change=with_change[:n], ball_number=np.arange(float(n)))


@pytest.mark.parametrize("blocks", [(10, 30), (10, 10, 10), (5,) * 6])
def test_the_compiled_look_says_what_the_live_one_says(blocks: tuple[int, ...]) -> None:
    rng = np.random.default_rng(1)
    truth = Truth(tails=3.0, spread=(14.0, 9.0), mean=(9.0, 3.0), drift_sd=0.03)
    design = Design(blocks=blocks, day_doubt=0.4)
    values = simulate_offline(rng, 30, blocks, truth, day_doubt=design.day_doubt)
    ends = np.arange(blocks[0] + 1, sum(blocks) + 1)
    odds = looks_in(values, design.with_change, ends, KNOWN)
    for lesson in range(len(values)):
        look = int(rng.integers(len(ends)))
        balls = seen_of(values[lesson, : ends[look]], design.with_change)
        found = pattern_change(balls, KNOWN)
        live = [getattr(found, what) for what in WHAT]
        assert odds[lesson, look] == pytest.approx(live, abs=1e-6)


@pytest.mark.parametrize("said_before", [True, False], ids=["planned", "unplanned"])
@pytest.mark.parametrize("blocks", [(10, 15), (5, 10, 5)])
def test_looks_that_are_passed_over_could_not_have_said_anything(
    blocks: tuple[int, ...], *, said_before: bool
) -> None:
    design = Design(blocks=blocks)
    values = simulate_offline(np.random.default_rng(2), 150, blocks, Truth(spread=(12.0, 8.0)))
    full = looks_in(values, design.with_change, design.looks, KNOWN)
    quick = looks_in(values, design.with_change, design.looks, KNOWN, worth_a_look=MIGHT)
    for claim in (straighter, wilder):
        told = [claim(odds, design, said_before=said_before) for odds in (full, quick)]
        assert (told[0] == told[1]).all()
    assert straighter(full, design, said_before=said_before).any()


@pytest.mark.parametrize("blocks", [(10, 12), (6, 8, 6)])
@pytest.mark.parametrize("said_before", [True, False], ids=["planned", "unplanned"])
def test_what_is_counted_is_what_is_decided(blocks: tuple[int, ...], *, said_before: bool) -> None:
    design = Design(blocks=blocks)
    truth = Truth(spread=(12.0, 7.0), mean=(8.0, 3.0))
    values = simulate_offline(np.random.default_rng(4), 6, blocks, truth)
    odds = looks_in(values, design.with_change, design.looks, KNOWN)
    counted = straighter(odds, design, said_before=said_before)
    for place, balls in enumerate(values):
        lesson = LessonShots(
            with_change=design.with_change,
            ball_number=np.arange(float(len(balls))),
            tracks={
                "offline": Track(
                    quantity="offline", values=balls, aim="nearer_zero", usual=design.usual
                )
            },
            declared_distance=None,
            declared_direction="offline",
            planned=design.with_change if said_before else None,
        )
        live = [judge(first_balls(lesson, int(n))).straighter.verdict for n in design.looks]
        assert [verdict == "yes" for verdict in live] == counted[place].tolist()


def test_the_compiled_pool_says_what_the_live_one_says() -> None:
    truth = Truth(mean=(10.0, 4.0), tails=3.0, drift_sd=0.02)
    values = simulate_lessons(np.random.default_rng(3), 4, 3, truth)
    odds = all_pooled_looks(values)
    for student in range(len(values)):
        changed = np.arange(sum(BLOCKS)) >= BLOCKS[0]
        lessons = [PastLesson(balls=seen_of(one, changed)) for one in values[student]]
        found = pooled_pattern(lessons, NEW).change
        live = [getattr(found, what) for what in WHAT]
        assert odds[student, -1] == pytest.approx(live, abs=1e-6)


@pytest.mark.parametrize("design", ["10 and 30", "10, 15 with, 15"])
@pytest.mark.parametrize("row", ["none, mean 5", "none, t3 tails"])
def test_no_change_is_seldom_called_straighter_or_wilder(row: str, design: str) -> None:
    odds = odds_of(design, row, 200)
    for said_before in (True, False):
        said = straighter(odds, DESIGNS[design], said_before=said_before)
        assert percent(said) <= most(200, PROMISE)
        said = wilder(odds, DESIGNS[design], said_before=said_before)
        assert percent(said) <= most(200, PROMISE)


def test_half_the_spread_is_found_and_more_often_with_a_plan() -> None:
    odds = odds_of("10 and 30", "spread 12 to 6", 100)
    found = [
        percent(straighter(odds, DESIGNS["10 and 30"], said_before=planned))
        for planned in (True, False)
    ]
    assert found[0] >= found[1] >= 55.0


@pytest.mark.parametrize("name", list(TABLES))
def test_the_page_holds_every_table(name: str) -> None:
    page = PAGE.read_text(encoding="utf-8")
    start, end = f"<!-- {name}: made by {MADE_BY} -->", f"<!-- end {name} -->"
    text = page.split(start)[1].split(end)[0]
    lines = [line for line in text.splitlines() if line.startswith("|")]
    rows = {"pooled": len(POOLED_ROWS), "joint": len(CELLS), "drift": len(NOTHING) + len(CHANGED)}
    rows["beside"] = rows["drift"]
    assert len(lines) == 2 + rows.get(name, len(ROWS))
    assert f"{LONG} " in text


@pytest.mark.rates
@pytest.mark.parametrize("design", ONCE)
@pytest.mark.parametrize("row", NO_CHANGE)
def test_long_no_change_is_called_straighter_in_at_most_one_lesson_of_twenty(
    design: str, row: str
) -> None:
    odds = cell(design, row, LONG)
    for said_before in (True, False):
        assert percent(straighter(odds, DESIGNS[design], said_before=said_before)) <= PROMISE
    assert percent(wilder(odds, DESIGNS[design])) <= PROMISE


@pytest.mark.rates
@pytest.mark.parametrize("design", BACK)
@pytest.mark.parametrize("row", NO_CHANGE)
def test_long_a_plan_keeps_the_promise_where_the_old_way_comes_back(design: str, row: str) -> None:
    odds = cell(design, row, LONG)
    for claim in (straighter, wilder):
        assert percent(claim(odds, DESIGNS[design], said_before=True)) <= PROMISE


@pytest.mark.rates
@pytest.mark.parametrize("design", BACK)
@pytest.mark.parametrize("row", [*NOTHING, *HARDER])
def test_long_no_plan_keeps_it_too_where_the_old_way_comes_back(design: str, row: str) -> None:
    odds = cell(design, row, LONG)
    for claim in (straighter, wilder):
        assert percent(claim(odds, DESIGNS[design])) <= kept_without_a_plan(row)


@pytest.mark.rates
@pytest.mark.parametrize("blocks", ANY_ORDER)
@pytest.mark.parametrize("row", WORST)
def test_long_no_plan_keeps_it_in_any_order(blocks: tuple[int, ...], row: str) -> None:
    """Longer, shorter and lopsided orders, in the rows that are worst."""
    design = Design(blocks=blocks)
    rng = np.random.default_rng([2028, *blocks])
    values = simulate_offline(rng, LONG, blocks, ROWS[row])
    odds = looks_in(values, design.with_change, design.looks, KNOWN, worth_a_look=MIGHT)
    for claim in (straighter, wilder):
        assert percent(claim(odds, design)) <= most(LONG, kept_without_a_plan(row))


@pytest.mark.rates
@pytest.mark.parametrize("design", ONCE)
@pytest.mark.parametrize("row", CHANGED)
def test_long_a_plan_finds_no_less(design: str, row: str) -> None:
    """Real changes, within two standard errors of the difference."""
    odds = cell(design, row, LONG)
    with_plan, without = (
        percent(straighter(odds, DESIGNS[design], said_before=planned)) for planned in (True, False)
    )
    assert with_plan >= without - 2.0 * np.sqrt(2.0 * without * (100.0 - without) / LONG)


@pytest.mark.rates
def test_long_narrower_but_shifted_is_not_called_straighter() -> None:
    odds = cell("10 and 30", "spread 12 to 9 but mean 0 to 12", LONG)
    for said_before in (True, False):
        said = straighter(odds, DESIGNS["10 and 30"], said_before=said_before)
        assert percent(said) <= most(LONG, PROMISE)


@pytest.mark.rates
@pytest.mark.parametrize("design", ["10 and 30", "20 and 30"])
def test_long_a_rule_without_drift_takes_a_drift_for_a_change(design: str) -> None:
    assert without_drift(design, DRIFT, LONG) > 10.0


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
@pytest.mark.parametrize("said_before", [True, False], ids=["planned", "unplanned"])
@pytest.mark.parametrize("name", list(CELLS)[:5])
def test_long_both_is_seldom_said_where_one_is_false(name: str, *, said_before: bool) -> None:
    place = 500 + list(CELLS).index(name)
    found = joint(LONG, place, *CELLS[name], said_before=said_before)
    assert 100.0 * found.both <= most(LONG, PROMISE)
