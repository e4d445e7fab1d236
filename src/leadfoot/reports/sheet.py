"""Print the student's sheet: one page first, and a second for who wants more."""

from collections.abc import Mapping
from datetime import date
from typing import Any, Literal

import typst

from leadfoot.desk.answer import Answer
from leadfoot.errors import ReportError
from leadfoot.figures.change import change_picture
from leadfoot.figures.pattern import pattern_picture
from leadfoot.figures.run import run_picture
from leadfoot.reports.content import content
from leadfoot.reports.typesetting import figure, typeset

Paper = Literal["a4", "us-letter"]

_FIGURES: Mapping[str, tuple[float, float]] = {"pattern": (94.0, 92.0), "run": (150.0, 42.0)}
"""Width and height on paper, in mm."""


def _pictures(answer: Answer) -> dict[str, Any]:
    wide, high = _FIGURES["pattern"]
    run_wide, run_high = _FIGURES["run"]
    figures = {
        "pattern": figure(pattern_picture(answer, width_mm=wide, height_mm=high)),
        "run": figure(run_picture(answer, width_mm=run_wide, height_mm=run_high)),
        "change": figure(change_picture(answer, width_mm=run_wide)),
    }
    return {"figures": figures}


def print_sheet(
    answer: Answer,
    *,
    student: str | None,
    held_on: date | None,
    change: str | None,
    invented: bool,
    paper: Paper,
) -> bytes:
    """Print the student's sheet as PDF.

    Page one: what changed, whether it is real, the picture, what it means in numbers, what to do
    next and the cautions. Further pages: all numbers, the balls in order, what was left out, how it
    was judged. The same input gives the same bytes; the file is tagged for screen readers
    (PDF/UA-1) and holds its fonts.

    Parameters
    ----------
    answer
        The answer to print.
    student, held_on, change
        Name of the student, date of the lesson and what was tried; None where not known.
    invented
        True for a student of the demo studio: every page says so.
    paper
        ``a4`` or ``us-letter``.

    Returns
    -------
    bytes
        The PDF.

    Raises
    ------
    ReportError
        If the sheet could not be set.
    """
    texts = content(
        answer, student=student, held_on=held_on, change=change, invented=invented, paper=paper
    )
    try:
        return typeset("sheet.typ", texts, _pictures(answer))
    except typst.TypstError as error:
        raise ReportError(
            f"The sheet could not be set: {error.message}.",
            fix="Print the lesson’s page from the browser instead, and keep its file for a report.",
        ) from error
