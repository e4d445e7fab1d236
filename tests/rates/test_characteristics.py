"""The tables of "longer": their shape on the page, the words behind them, the promise in short."""

import re

import numpy as np
import pytest
from scipy import stats

from leadfoot.evidence.judge import weigh
from leadfoot.evidence.posteriors import posteriors
from leadfoot.evidence.settings import DEFAULT_SETTINGS
from leadfoot.evidence.verdict import decide
from tests.rates.characteristics import (
    GAINS,
    HARDER,
    PAGE,
    SEED,
    TABLES,
    errors,
    found,
    how_many,
    plan_of,
    put,
)
from tests.rates.distance import DESIGNS, MIGHT, both_heard_of, covered, glance, heard_of, odds_of
from tests.rates.earlier import EARLIER_DAYS, EARLIER_N_POWER, EARLIER_POWER
from tests.rates.forecast import by_quarter, predicted_and_come
from tests.rates.lessons import (
    DAYS,
    NO_CHANGE,
    REFERENCE,
    Plan,
    Truth,
    every_look,
    first_balls,
    lesson_of,
    simulate_values,
)
from tests.rates.rules import e_value_at_any_look, rank_test_at_any_look
from tests.rates.twin_loops import DOWN, UP

DESIGN_ONCE, DESIGN_BACK = "10, then 15 with", "10, 15 with, 15"
ROWS = {
    "errors alone": (len(DESIGNS), len(HARDER)),
    "errors beside speed": (len(DESIGNS), len(HARDER)),
    "errors unwarmed": (len(DESIGNS), len(HARDER)),
    "power": (len(DESIGNS), len(GAINS) + 1),
    "errors unplanned": (len(DESIGNS), len(HARDER)),
    "power unplanned": (len(DESIGNS), len(GAINS) + 1),
    "earlier": (len(DESIGNS), len(EARLIER_DAYS) + len(GAINS) + 1),
    "cold": (len(DESIGNS), 8),
    "cover": (6, 3),
    "forecast": (4, 2),
}


def on_page(name: str) -> str:
    text = PAGE.read_text(encoding="utf-8")
    return text.split(f"<!-- {name}: made by tests.rates.characteristics -->\n")[1].split(
        f"<!-- end {name} -->"
    )[0]


@pytest.mark.parametrize("name", list(TABLES))
def test_the_page_holds_a_table_of_the_shape_that_would_be_made_today(name: str) -> None:
    text = on_page(name)
    lines = [line for line in text.splitlines() if line.startswith("|")]
    rows, columns = ROWS[name]
    assert len(lines) == rows + 2
    assert {line.count("|") for line in lines} == {columns + 2}
    said = re.search(r"^(\d+) lessons.*, seed (\d+)\.$", text, re.MULTILINE)
    assert said is not None
    assert int(said[2]) == SEED


def test_a_table_is_replaced_and_nothing_else() -> None:
    page = "a\n<!-- power: made by tests.rates.characteristics -->\nold\n<!-- end power -->\nb\n"
    assert put(page, "power", "new\n") == page.replace("old", "new")
    assert how_many("power", 4000) == "4000 lessons a cell"


@pytest.mark.parametrize("said_before", [True, False], ids=["planned", "unplanned"])
@pytest.mark.parametrize("design", ["10, then 15 with", "10, 15 with, 15"])
def test_what_is_counted_is_what_is_decided(design: str, *, said_before: bool) -> None:
    plan = plan_of(design, "carry", beside_speed=True, first_ball=0, said_before=said_before)
    truth = Truth(club_speed_mph=1.0)
    n = 6
    alone, beside = both_heard_of(n, 5, plan, REFERENCE, truth)
    values = simulate_values(np.random.default_rng(5), n, plan, REFERENCE, truth)
    for quantities, told in ((("carry",), alone), (("carry", "club_speed"), beside)):
        mine = Plan(
            blocks=plan.blocks,
            quantities=quantities,
            declared_distance="carry",
            declared_direction=None,
            said_before=said_before,
        )
        for place in range(n):
            lesson = lesson_of(values, place, mine, REFERENCE)
            said = {
                decide(weigh(so_far, posteriors(so_far), DEFAULT_SETTINGS), DEFAULT_SETTINGS)
                for so_far in (first_balls(lesson, int(k)) for k in every_look(plan.with_change))
            }
            assert told.longer[place] == any(one.longer.verdict == "yes" for one in said)
            worse = any({"shorter", "slower"} & set(one.reasons) for one in said)
            assert told.worse[place] == worse


def test_a_first_glance_misses_no_answer() -> None:
    plan = plan_of("fives by turns", "carry", first_ball=0)
    values = simulate_values(np.random.default_rng(6), 60, plan, DAYS["t3 tails"])["carry"]
    wanted = glance("carry", values, plan, DAYS["t3 tails"])
    full = odds_of(
        "carry", values, plan, DAYS["t3 tails"], NO_CHANGE, wanted=np.ones_like(wanted)
    ).told
    missed = np.maximum(full[:, :, UP], full[:, :, DOWN])[~wanted]
    assert 0 < wanted.mean() < 0.6
    mildest = 1.0 - (1.0 - DEFAULT_SETTINGS.alone) * max(DEFAULT_SETTINGS.planned.values())
    assert missed.max() < mildest
    assert mildest > MIGHT


def test_no_change_is_seldom_called_longer_or_shorter() -> None:
    n = 300
    most = stats.binom.ppf(0.999, n, 0.05)
    plan = plan_of("10, then 15 with", "carry", beside_speed=True, first_ball=0)
    for told in both_heard_of(n, 7, plan, REFERENCE, NO_CHANGE):
        assert told.longer.sum() <= most
        assert told.worse.sum() <= most


def test_two_mph_are_found() -> None:
    n = 200
    told = heard_of(
        n, 8, plan_of("10, then 15 with", "club_speed"), REFERENCE, Truth(club_speed_mph=2)
    )
    assert told.longer.sum() >= stats.binom.ppf(0.001, n, 0.88)


def test_ranges_hold_the_truth() -> None:
    n = 400
    for blocks in ((10, 5), (10, 15), (10, 15, 15)):
        assert covered(n, 9, blocks, Truth(carry_yd=8.0)).sum() >= stats.binom.ppf(0.001, n, 0.94)


def test_other_rules_are_wrong_as_often_as_the_page_says() -> None:
    values = simulate_values(np.random.default_rng(11), 600, Plan(blocks=(10, 30)))["carry"]
    for rule, rate in ((rank_test_at_any_look, 0.109), (e_value_at_any_look, 0.028)):
        low, high = stats.binom.interval(0.999, 600, rate)
        assert low <= rule(values, 10).sum() <= high


@pytest.mark.rates
@pytest.mark.parametrize("said_before", [True, False], ids=["planned", "unplanned"])
@pytest.mark.parametrize("design", list(DESIGNS))
def test_the_promise_holds_in_every_design(design: str, *, said_before: bool) -> None:
    """4,000 lessons on the reference day: at most one in twenty, either way."""
    for told in errors(4000, design, "reference", said_before=said_before):
        assert told.longer.mean() <= 0.05
        assert told.worse.mean() <= 0.05


@pytest.mark.rates
@pytest.mark.parametrize("first_ball", [8, 0], ids=["warm", "no balls to get warm"])
@pytest.mark.parametrize("design", list(DESIGNS))
@pytest.mark.parametrize(
    "day", ["drift +.02 sd a ball", "t3 tails", "15 % mishits", "spread 1.3 x usual"]
)
def test_harder_days_stay_within_six_and_a_half_of_a_hundred(
    design: str, day: str, first_ball: int
) -> None:
    told = errors(4000, design, day, first_ball)[0]
    assert told.longer.mean() <= 0.065
    assert told.worse.mean() <= 0.065


@pytest.mark.rates
@pytest.mark.parametrize("first_ball", [8, 0], ids=["warm", "no balls to get warm"])
@pytest.mark.parametrize(("design", "least"), [(DESIGN_ONCE, 0.88), (DESIGN_BACK, 0.97)])
def test_two_mph_are_found_as_often_as_promised(design: str, least: float, first_ball: int) -> None:
    assert found(4000, design, "2 mph", first_ball).longer.mean() >= least


@pytest.mark.rates
@pytest.mark.parametrize("design", list(DESIGNS))
def test_a_planned_lesson_finds_what_an_earlier_design_found(design: str) -> None:
    """Within two standard errors of the difference in every cell, at fewer errors."""
    for gain, before in zip(GAINS, EARLIER_POWER[design], strict=True):
        share = found(4000, design, gain).longer.mean()
        se = np.sqrt(share * (1 - share) / 4000 + before * (100 - before) / 1e4 / EARLIER_N_POWER)
        assert share >= before / 100 - 2.0 * se, gain


@pytest.mark.rates
def test_the_forecast_comes_true_in_every_quarter() -> None:
    for chance, came in by_quarter(*predicted_and_come(4000, SEED + 30_000)):
        assert came == pytest.approx(chance, abs=0.05)


@pytest.mark.rates
@pytest.mark.parametrize("blocks", [(10, 5), (10, 10), (10, 15), (10, 15, 15), (10,) * 4, (5,) * 8])
def test_ranges_hold_the_truth_in_every_design(blocks: tuple[int, ...]) -> None:
    assert covered(4000, 10, blocks, NO_CHANGE).mean() >= 0.94


@pytest.mark.rates
@pytest.mark.parametrize(
    "blocks",
    [
        (20, 20, 20),
        (30, 30, 30),
        (15,) * 4,
        (15, 15, 10),
        (20, 20, 10),
        (10, 20, 5),
        (20, 15, 5),
        (15, 15, 5),
    ],
)
def test_a_drift_is_seldom_called_longer_in_a_long_plan_or_after_a_short_way_back(
    blocks: tuple[int, ...],
) -> None:
    plan = Plan(
        blocks=blocks,
        quantities=("carry",),
        declared_direction=None,
        first_ball=8,
        said_before=True,
    )
    told = heard_of(4000, 92 + len(blocks), plan, DAYS["drift +.02 sd a ball"], NO_CHANGE)
    assert told.longer.mean() <= 0.065
    assert told.worse.mean() <= 0.065
