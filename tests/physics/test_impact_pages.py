"""The pages on impact and on the best of a swing: their figures are made by the code."""

import runpy
from pathlib import Path
from typing import Any

import pytest

EXPLAIN = Path(__file__).parents[2] / "docs" / "explain"
SCRIPT = EXPLAIN / "impact_pictures.py"
NAMES = ("impact_grip.svg", "impact_gear.svg", "impact_not_told.svg", "best_window.svg")


@pytest.fixture(scope="module")
def drawn() -> dict[str, Any]:
    return runpy.run_path(str(SCRIPT))


def test_every_figure_stands_on_a_page_and_in_the_folder(drawn: dict[str, Any]) -> None:
    pages = "".join((EXPLAIN / page).read_text("utf-8") for page in ("impact.md", "best.md"))
    assert tuple(drawn["FIGURES"]) == NAMES
    for name in NAMES:
        assert f"]({name})" in pages
        assert (EXPLAIN / name).stat().st_size > 5_000


@pytest.mark.parametrize("name", NAMES)
def test_the_script_draws_the_figure_with_its_words(drawn: dict[str, Any], name: str) -> None:
    picture = drawn["picture"](name)
    svg = picture.svg()
    assert picture.alt.split(":")[0].encode() in svg
    stored = (EXPLAIN / name).read_bytes()
    assert picture.alt.encode() in stored
    assert abs(len(stored) - len(svg)) < 0.05 * len(svg)
