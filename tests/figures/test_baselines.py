"""Six small pictures as they should look; draw them anew with ``LEADFOOT_REDRAW=1``.

Look at each of them before it is committed: the test knows that it changed, not that it is good.
"""

import os
from collections.abc import Callable
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from leadfoot.figures.change import change_picture
from leadfoot.figures.look import DAY, NIGHT
from leadfoot.figures.pattern import pattern_picture
from leadfoot.figures.run import run_picture
from leadfoot.reports.sheet import print_sheet
from tests.reports import answers
from tests.reports.pdf import drawn

FOLDER = Path(__file__).parent / "baselines"
FAR = 48
"""Difference of a channel, of 255, from which a pixel counts as changed: text edges move less."""
MOST_CHANGED = 0.01
"""Share of pixels that may change: fonts are drawn a little differently by each release."""


def _page_one() -> Image.Image:
    pdf = print_sheet(
        answers.keep(),
        student="Ann Invented",
        held_on=None,
        change="a block under the lead foot",
        invented=True,
        paper="a4",
    )
    return drawn(pdf, scale=0.75)


def _opened(png: bytes) -> Image.Image:
    return Image.open(BytesIO(png)).convert("RGB")


PICTURES: dict[str, Callable[[], Image.Image]] = {
    "pattern_day": lambda: _opened(pattern_picture(answers.keep(), look=DAY).png(dpi=75)),
    "pattern_far_night": lambda: _opened(
        pattern_picture(answers.with_mishits(), look=NIGHT).png(dpi=75)
    ),
    "strip": lambda: _opened(pattern_picture(answers.only_speed()).png(dpi=75)),
    "change": lambda: _opened(change_picture(answers.keep()).png(dpi=75)),
    "run": lambda: _opened(run_picture(answers.keep()).png(dpi=75)),
    "sheet_page_one": _page_one,
}


def _pixels(image: Image.Image) -> NDArray[np.int16]:
    return np.asarray(image, dtype=np.int16)


@pytest.mark.parametrize("name", PICTURES)
def test_a_picture_looks_as_it_did(name: str) -> None:
    now, path = PICTURES[name](), FOLDER / f"{name}.png"
    if os.environ.get("LEADFOOT_REDRAW"):
        now.quantize(64).save(path, optimize=True)
    with Image.open(path) as image:
        kept = image.convert("RGB")
    assert now.size == kept.size
    changed = np.abs(_pixels(now) - _pixels(kept)).max(axis=2) > FAR
    assert changed.mean() <= MOST_CHANGED


def test_a_moved_mark_would_be_noticed() -> None:
    one = _opened(pattern_picture(answers.keep(), look=DAY).png(dpi=75))
    other = _opened(pattern_picture(answers.left_hander(), look=DAY).png(dpi=75))
    changed = np.abs(_pixels(one) - _pixels(other)).max(axis=2) > FAR
    assert changed.mean() > MOST_CHANGED
