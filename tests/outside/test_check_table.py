"""Every row of the list of checks is held by a test, and the page about it says so."""

import inspect
from importlib import import_module
from typing import get_args

import pytest

from tests.outside.checks import Model, sources
from tests.outside.checks_page import MODULES, PAGE, claims, kinds_of, list_of_checks, page

ROWS = list_of_checks()


@pytest.mark.parametrize("number", list(ROWS))
def test_every_row_of_the_list_is_claimed(number: int) -> None:
    assert [name for name, claim in claims().items() if number in claim.rows]


def test_the_list_is_whole_and_no_test_claims_another_row() -> None:
    assert set(ROWS) == set(range(1, 43)) - {21}
    assert {number for claim in claims().values() for number in claim.rows} == set(ROWS)


@pytest.mark.parametrize("module", MODULES)
def test_every_test_says_what_it_is_checked_against(module: str) -> None:
    tests = [
        name
        for name, _ in inspect.getmembers(import_module(f"tests.outside.{module}"))
        if name.startswith("test_")
    ]
    assert {f"{module}.{name}" for name in tests} <= set(claims())


def test_every_source_is_known() -> None:
    assert {source for claim in claims().values() for source in claim.sources} <= set(sources())
    assert all(claim.sources for claim in claims().values())


@pytest.mark.parametrize("model", get_args(Model))
def test_every_model_is_checked_in_two_ways(model: Model) -> None:
    assert len(kinds_of(model) - {"regression"}) >= 2


@pytest.mark.parametrize("number", [22, 23, 24, 37])
def test_what_only_repeats_our_own_formulas_is_called_a_regression(number: int) -> None:
    used = {source for one in claims().values() if number in one.rows for source in one.sources}
    assert {sources()[source]["kind"] for source in used} == {"regression"}


def test_there_are_forty_checks_and_more() -> None:
    assert sum(claim.cases for claim in claims().values()) >= 40


def test_the_page_is_what_the_tests_say() -> None:
    assert PAGE.read_text(encoding="utf-8") == page(), "run python -m tests.outside.checks_page"
