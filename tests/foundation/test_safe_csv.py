"""Cells that a spreadsheet would take for formulas."""

import csv
from io import StringIO

import pytest
from hypothesis import given
from hypothesis import strategies as st

from leadfoot.tables.safe_csv import safe_cell, safe_csv


@pytest.mark.parametrize(
    "text", ["=1", "+1", "-1", "@A1", "\t=1", "\r=1", "\n=1", " =1", "\u00a0=1", "\uff1d1", "−1"]
)
def test_a_text_that_begins_a_formula_is_marked(text: str) -> None:
    assert safe_cell(text) == f"'{text}"


@pytest.mark.parametrize("text", ["", " ", "7 iron", "a=1", "'=1", "左"])
def test_any_other_text_stays_as_it_is(text: str) -> None:
    assert safe_cell(text) == text


@given(st.lists(st.lists(st.text() | st.floats() | st.integers(), min_size=2, max_size=2)))
def test_no_cell_begins_a_formula_and_numbers_stay(rows: list[list[str | float | int]]) -> None:
    text = safe_csv(["a", "=b"], rows).decode("utf-8", errors="surrogatepass")
    found = list(csv.reader(StringIO(text, newline="")))
    assert found[0] == ["a", "'=b"]
    for typed, read in zip(rows, found[1:], strict=True):
        for value, cell in zip(typed, read, strict=True):
            if isinstance(value, str):
                assert cell.lstrip(" \u00a0\ufeff")[:1] not in {"=", "+", "-", "@"}
                assert cell.removeprefix("'") == value or cell == value
            elif cell:
                assert float(cell) == pytest.approx(value, abs=6e-4, rel=1e-12)
