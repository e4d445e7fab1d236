"""Print the student's sheet: one page first, and a second for who wants more."""

import json
from collections.abc import Mapping
from datetime import date
from functools import cache
from importlib.resources import as_file, files
from typing import Any, Literal

import typst

from leadfoot.desk.answer import Answer
from leadfoot.errors import ReportError
from leadfoot.figures.change import change_picture
from leadfoot.figures.look import NUMBERS
from leadfoot.figures.pattern import pattern_picture
from leadfoot.figures.picture import Picture
from leadfoot.figures.run import run_picture
from leadfoot.reports.content import content
from leadfoot.reports.letters import STAND_IN, every_text, foreign, stand_in

Paper = Literal["a4", "us-letter"]

_FIGURES: Mapping[str, tuple[float, float]] = {"pattern": (94.0, 92.0), "run": (150.0, 42.0)}
"""Width and height on paper, in mm."""


_TYPST_NAME = f"'{NUMBERS.removesuffix(' Condensed')}'; font-stretch: condensed"
"""Typst files a condensed face under its family with a stretch; a browser knows the full name."""


def _figure(picture: Picture) -> dict[str, Any]:
    svg = picture.svg().decode().replace(f"'{NUMBERS}'", _TYPST_NAME)
    return {"svg": svg, "alt": picture.alt, "width_mm": picture.width_mm}


def _pictures(answer: Answer) -> dict[str, Any]:
    wide, high = _FIGURES["pattern"]
    run_wide, run_high = _FIGURES["run"]
    figures = {
        "pattern": _figure(pattern_picture(answer, width_mm=wide, height_mm=high)),
        "run": _figure(run_picture(answer, width_mm=run_wide, height_mm=run_high)),
        "change": _figure(change_picture(answer, width_mm=run_wide)),
    }
    return {"figures": figures}


@cache
def shipped_fonts(*, of_machine: bool) -> typst.Fonts:
    """The shipped faces, and on demand those of the machine; read once a process."""
    with as_file(files("leadfoot").joinpath("reports/fonts")) as folder:
        return typst.Fonts(include_system_fonts=of_machine, font_paths=[str(folder)])


def _compile(data: Mapping[str, Any], *, with_fonts_of_machine: bool) -> bytes:
    """Compile the sheet as PDF/UA-1; user texts go in as data and are never template source."""
    template = files("leadfoot").joinpath("reports/templates/sheet.typ").read_bytes()
    pdf = typst.compile(
        template,
        format="pdf",
        sys_inputs={"data": json.dumps(data)},
        font_paths=shipped_fonts(of_machine=with_fonts_of_machine),
        ignore_system_fonts=not with_fonts_of_machine,
        pdf_standards=["ua-1"],
    )
    if not isinstance(pdf, bytes):
        raise ReportError(
            "The sheet came out as no single file.",
            fix="Install typst again (pip install --force-reinstall typst).",
        )
    return pdf


def _print(texts: Mapping[str, Any], pictures: Mapping[str, Any]) -> bytes:
    """Print, with the machine's own fonts only where the shipped face lacks a letter.

    Where no font has it either, a stand-in is printed and the sheet says so.
    """
    data = {**texts, **pictures}
    if not foreign(json.dumps(texts, ensure_ascii=False)):
        return _compile(data, with_fonts_of_machine=False)
    try:
        return _compile(data, with_fonts_of_machine=True)
    except typst.TypstError:
        note = f"Some letters are printed as {STAND_IN}: this machine has no font with them."
        plain = every_text(texts, stand_in)
        plain["notes"] = [*plain["notes"], note]
        return _compile({**plain, **pictures}, with_fonts_of_machine=False)


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
        return _print(texts, _pictures(answer))
    except typst.TypstError as error:
        raise ReportError(
            f"The sheet could not be set: {error.message}.",
            fix="Print the lesson’s page from the browser instead, and keep its file for a report.",
        ) from error
