"""The pages on ground and jump: their figures are what the code draws, their numbers are true."""

import re
from pathlib import Path

import numpy as np
import pytest

from docs.explain.ground_pictures import PICTURES

EXPLAIN = Path(__file__).parents[2] / "docs" / "explain"
NUMBER = re.compile(r"-?\d+\.\d+")


@pytest.mark.parametrize("key", list(PICTURES))
def test_the_figure_is_what_the_code_draws(key: str) -> None:
    """Word for word; numbers to 0.02 points, as another machine rounds last digits otherwise."""
    drawn = PICTURES[key].svg().decode("utf-8")
    kept = (EXPLAIN / f"{key}.svg").read_text(encoding="utf-8")
    bare = (NUMBER.sub("", re.sub(r"[0-9a-f]{10,}", "", text)) for text in (drawn, kept))
    assert len(set(bare)) == 1
    ours, theirs = ([float(found) for found in NUMBER.findall(text)] for text in (drawn, kept))
    assert ours == pytest.approx(theirs, abs=0.02)


def test_each_figure_is_on_a_page() -> None:
    pages = [(EXPLAIN / page).read_text(encoding="utf-8") for page in ("ground.md", "jump.md")]
    shown = [key for text in pages for key in re.findall(r"\]\((\w+)\.svg\)", text)]
    assert sorted(shown) == sorted(PICTURES)


def test_correlations_on_the_page_are_those_of_the_pooled_z() -> None:
    text = (EXPLAIN / "jump.md").read_text(encoding="utf-8")
    assert "r = 0.68" in text
    assert f"{np.tanh(0.82):.3f}" == "0.675"
    assert f"{np.tanh(0.53):.2f}" == "0.49" in text
    assert f"{np.tanh(0.66):.2f}" == "0.58" in text
