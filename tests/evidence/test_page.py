"""The page on the method says the thresholds that the code has."""

import re
from pathlib import Path

import numpy as np
import pytest

from leadfoot.evidence.assumptions import assumptions
from leadfoot.evidence.lesson import Order, Planned, Stage
from leadfoot.evidence.promise import promise
from leadfoot.evidence.settings import SPENT_BY, DirectionClaim, JudgeSettings
from tests.rates.promise_file import FILE, promise_text

PAGE = Path(__file__).parents[2] / "docs" / "explain" / "evidence.md"
STRAIGHTER = PAGE.with_name("straighter.md")
ORDERS: tuple[Order, ...] = ("once", "and_back", "twice", "alternating")

CLAIMS: tuple[DirectionClaim, ...] = ("straighter", "narrower", "nearer", "wilder")


def cells(first: str, page: Path = PAGE) -> list[str]:
    lines = page.read_text(encoding="utf-8").splitlines()
    row = next(line for line in lines if line.startswith(f"| {first} |"))
    return [cell.strip() for cell in row.strip("|").split("|")]


@pytest.mark.parametrize("claim", CLAIMS)
def test_thresholds_of_direction_by_order_of_blocks(claim: DirectionClaim) -> None:
    """Past the early balls of one block each."""
    stages = [Stage(order=order, n_before=20, n_after=20) for order in ORDERS]
    meant = [JudgeSettings().for_direction(claim, stage, alone=True) for stage in stages]
    assert [float(cell) for cell in cells(claim)[1:5]] == pytest.approx(meant, abs=0.0006)


def test_thresholds_of_what_nobody_declared_by_order_of_blocks() -> None:
    settings = JudgeSettings()
    said = [float(cell) for cell in cells("any other outcome")[1:5]]
    meant = [settings.for_order(settings.undeclared, order) for order in ORDERS]
    assert said == pytest.approx(meant, abs=0.0006)


@pytest.mark.parametrize(
    ("row", "order"),
    [
        ("before, with, before", "and_back"),
        ("before, with, before, with", "twice"),
        ("more changes of block", "alternating"),
    ],
)
def test_what_a_direction_allows_once_the_old_way_was_hit_again(row: str, order: Order) -> None:
    said = [float(cell) for cell in cells(row, STRAIGHTER)[1:5]]
    assert said == [JudgeSettings().direction_back[order][claim] for claim in CLAIMS]


def test_thresholds_of_distance_and_speed() -> None:
    settings = JudgeSettings()
    stages = [Stage(order=one, n_before=15, n_after=15) for one in ORDERS]
    for row, meant in (
        ("longer, the only claim", [settings.distance(one, beside_speed=False) for one in stages]),
        (
            "longer, club speed beside it",
            [settings.distance(one, beside_speed=True) for one in stages],
        ),
        ("faster (club speed alone)", [settings.speed(one) for one in stages]),
    ):
        assert [float(cell) for cell in cells(row)[1:5]] == pytest.approx(meant, abs=0.00006)


@pytest.mark.parametrize("fewer", [5, 6, 8, 10])
def test_fewer_balls_ask_for_more(fewer: int) -> None:
    settings = JudgeSettings()
    stages = [Stage(order=one, n_before=fewer, n_after=fewer) for one in ORDERS]
    stages.append(Stage(order="once", n_before=fewer, n_after=fewer, warm=False))
    shares = [
        (1.0 - settings.distance(one, beside_speed=False)) / (1.0 - settings.alone)
        for one in stages
    ]
    assert [float(cell) for cell in cells(f"{fewer}")[1:6]] == pytest.approx(shares)


@pytest.mark.parametrize(
    "row",
    [
        "10 and 10",
        "10 and 15",
        "10 and 30",
        "20 and 30",
        "10, 15 with, 15",
        "10, 10 with, 10, 10 with",
        "5, 10 with, 5",
    ],
)
def test_direction_at_the_last_planned_ball(row: str) -> None:
    settings = JudgeSettings()
    blocks = [int(n) for n in re.findall(r"\d+", row)]
    plan = Planned.of(np.repeat(np.arange(len(blocks)) % 2 == 1, blocks))
    stage = Stage(order=plan.order, n_before=plan.n_before, n_after=plan.n_after, planned=plan)
    meant = [settings.for_direction(claim, stage, alone=True) for claim in CLAIMS]
    said = [float(cell) for cell in cells(row, STRAIGHTER)[1:5]]
    assert said == pytest.approx(meant, abs=0.0006)


@pytest.mark.parametrize(
    ("row", "name"),
    [
        ("one block each", "once"),
        ("one block each, no balls to get warm", "cold"),
        ("back to the old way", "back"),
    ],
)
def test_a_plan_allows_most_at_its_end(row: str, name: str) -> None:
    settings = JudgeSettings()
    doubt = (1.0 - settings.alone) * settings.planned[name]
    said = [float(cell) for cell in cells(row)[1:5]]
    meant = [1.0 - doubt * told**SPENT_BY for told in (0.4, 0.6, 0.8, 1.0)]
    assert said == pytest.approx(meant, abs=0.00006)


def test_the_other_thresholds() -> None:
    settings = JudgeSettings()
    assert {float(cell) for cell in cells("more mishits")[1:5]} == {settings.shown_mishits}
    doubts = {settings.doubt_shorter, settings.doubt_wilder, settings.doubt_mishits}
    assert {float(cell) for cell in cells("likely loss")[1:5]} == doubts


def test_the_page_in_the_desk_shows_the_tables_that_stand_here() -> None:
    """Where this fails, run ``python -m tests.rates.promise_file`` and look at what changed."""
    assert FILE.read_text(encoding="utf-8") == promise_text(PAGE.read_text(encoding="utf-8"))


def test_every_table_has_a_cell_for_each_heading() -> None:
    for table in promise().tables:
        assert table.rows
        assert {len(row.cells) for row in table.rows} == {len(table.head)}


def test_assumed_values_are_those_of_the_code() -> None:
    values = {(one.about, one.what): one.value for one in assumptions()}
    assert len(values) == len(assumptions())
    about = "When something counts as shown"
    settings = JudgeSettings()
    assert values[about, "odds for longer, one block each"] == f"{100 * settings.longer:g} in 100"
    assert values[about, "fewest balls on either side"] == str(settings.fewest)
