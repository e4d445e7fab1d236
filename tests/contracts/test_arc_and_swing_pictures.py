"""The figures of the pages on arc and swing are what the code draws, and the pages show them."""

import re
from pathlib import Path

import pytest

from docs.explain import arc_pictures, swing_pictures
from leadfoot.figures.picture import Picture

EXPLAIN = Path(__file__).parents[2] / "docs" / "explain"
PAGES: dict[str, dict[str, Picture]] = {
    "arc.md": arc_pictures.PICTURES,
    "swing.md": swing_pictures.PICTURES,
}
NUMBER = re.compile(r"-?\d+\.\d+")


@pytest.mark.parametrize("key", [key for pictures in PAGES.values() for key in pictures])
def test_the_figure_is_what_the_code_draws(key: str) -> None:
    """Word for word; numbers to 0.02 points, as another machine rounds last digits otherwise."""
    picture = {**arc_pictures.PICTURES, **swing_pictures.PICTURES}[key]
    drawn = picture.svg().decode("utf-8")
    kept = (EXPLAIN / f"{key}.svg").read_text(encoding="utf-8")
    assert NUMBER.sub("", re.sub(r"[0-9a-f]{10,}", "", drawn)) == NUMBER.sub(
        "", re.sub(r"[0-9a-f]{10,}", "", kept)
    )
    ours, theirs = ([float(found) for found in NUMBER.findall(text)] for text in (drawn, kept))
    assert ours == pytest.approx(theirs, abs=0.02)
    assert picture.alt in " ".join(drawn.split())


@pytest.mark.parametrize("page", list(PAGES))
def test_the_page_shows_each_figure_and_no_other(page: str) -> None:
    text = (EXPLAIN / page).read_text(encoding="utf-8")
    shown = re.findall(r"\]\((\w+)\.svg\)", text)
    assert sorted(shown) == sorted(PAGES[page])
