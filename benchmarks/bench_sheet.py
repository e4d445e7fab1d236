"""How long a picture and a sheet take: a coach prints between two balls.

Run with ``pytest benchmarks/bench_sheet.py``. The first call of a process reads the fonts; that is
not in the figures here.
"""

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from leadfoot.figures.change import change_picture
from leadfoot.figures.pattern import pattern_picture
from leadfoot.figures.run import run_picture
from leadfoot.reports.sheet import print_sheet
from tests.reports import answers


@pytest.mark.parametrize("draw", [pattern_picture, change_picture, run_picture])
def test_picture_as_svg(benchmark: Any, draw: Any) -> None:
    picture = draw(answers.keep())
    picture.svg()
    assert benchmark(picture.svg)


def test_picture_of_200_balls_as_svg(benchmark: Any) -> None:
    picture = pattern_picture(replace(answers.keep(), pattern=answers.balls(100, 100)))
    picture.svg()
    assert benchmark(picture.svg)


@pytest.mark.parametrize("name", ["keep", "tiny", "long_texts"])
def test_sheet(benchmark: Any, name: str) -> None:
    answer = answers.ALL[name]()

    def printed() -> bytes:
        return print_sheet(
            answer,
            student="Ann Invented",
            held_on=date(2026, 3, 7),
            change="a block under the lead foot",
            invented=True,
            paper="a4",
        )

    printed()
    assert benchmark(printed)
