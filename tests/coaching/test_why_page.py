"""The page on why: its figure is made by the code."""

import runpy
from pathlib import Path
from typing import Any

import pytest

EXPLAIN = Path(__file__).parents[2] / "docs" / "explain"


@pytest.fixture(scope="module")
def drawn() -> dict[str, Any]:
    return runpy.run_path(str(EXPLAIN / "why_pictures.py"))


def test_the_figure_stands_on_the_page_as_the_code_draws_it(drawn: dict[str, Any]) -> None:
    page = (EXPLAIN / "why.md").read_text("utf-8")
    for name in drawn["FIGURES"]:
        assert f"]({name})" in page
        stored, picture = (EXPLAIN / name).read_bytes(), drawn["picture"](name)
        assert picture.alt.encode() in stored
        assert abs(len(stored) - len(picture.svg())) < 0.05 * len(stored)
