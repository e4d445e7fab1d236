"""How often the planted fault is found first, and how often nothing is found where nothing is.

Monitor errors and all, 12 to 20 balls. The long run makes the table of ``docs/explain/finding.md``
anew: ``python -m tests.rates.finding_table``. Bounds of the short run are binomial: it fails only
if it could hardly come from the rates that are promised.
"""

import re
from pathlib import Path

import pytest
from scipy import stats

from tests.rates.faults import FAULTS
from tests.rates.finding_table import SOUND_KEY, Row, rules_table, run_many, table_rows

PAGE = Path(__file__).parents[2] / "docs" / "explain" / "finding.md"
FIRST, IN_TWO, SILENT = 0.85, 0.95, 0.90


def least(n: int, promise: float) -> int:
    """Fewer than this many of n happen in one run of a thousand at the promised rate."""
    return int(stats.binom.ppf(0.001, n, promise))


def test_at_least_twelve_kinds_are_planted() -> None:
    assert len(FAULTS) >= 12


def test_planted_faults_come_first_in_a_short_run() -> None:
    rows = [run_many(key, 4, seed=11) for key in FAULTS]
    n = sum(row.n for row in rows)
    assert sum(row.first for row in rows) >= least(n, FIRST)
    assert sum(row.in_two for row in rows) >= least(n, IN_TWO)


@pytest.mark.parametrize("strike_read", [True, False])
def test_nothing_is_found_where_nothing_is_in_a_short_run(*, strike_read: bool) -> None:
    row = run_many(SOUND_KEY, 30, seed=12, strike_read=strike_read)
    assert row.silent >= least(row.n, SILENT)


def test_the_page_has_a_row_for_every_fault_and_keeps_what_is_promised() -> None:
    found = table_rows(PAGE.read_text("utf-8"))
    assert set(found) == {*FAULTS, SOUND_KEY}
    for key, row in found.items():
        assert row.n >= 200
        if key == SOUND_KEY:
            assert row.silent >= SILENT * row.n
        else:
            assert row.first >= FIRST * row.n, key
            assert row.in_two >= IN_TWO * row.n, key


def test_the_page_has_the_rules_of_the_catalogue() -> None:
    assert rules_table() in PAGE.read_text("utf-8")


@pytest.mark.rates
@pytest.mark.parametrize("key", list(FAULTS))
def test_a_planted_fault_comes_first(key: str) -> None:
    row = run_many(key, 200, seed=21)
    assert row.first >= FIRST * row.n, row
    assert row.in_two >= IN_TWO * row.n, row
    _same_as_on_the_page(row)


@pytest.mark.rates
def test_nothing_is_found_where_nothing_is() -> None:
    row = run_many(SOUND_KEY, 400, seed=21)
    assert row.silent >= SILENT * row.n, row
    _same_as_on_the_page(row)


def _same_as_on_the_page(row: Row) -> None:
    (line,) = re.findall(rf"^\| {row.key} \|.*$", PAGE.read_text("utf-8"), re.MULTILINE)
    assert line == row.line()
