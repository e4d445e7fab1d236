"""Sets a template as PDF, with the shipped faces and pictures as SVG."""

import json
from collections.abc import Mapping
from functools import cache
from importlib.resources import as_file, files
from typing import Any

import typst

from leadfoot.errors import ReportError
from leadfoot.figures.look import NUMBERS
from leadfoot.figures.picture import Picture
from leadfoot.reports.letters import STAND_IN, every_text, foreign, stand_in

_TYPST_NAME = f"'{NUMBERS.removesuffix(' Condensed')}'; font-stretch: condensed"
"""Typst files a condensed face under its family with a stretch; a browser knows the full name."""


def figure(picture: Picture) -> dict[str, Any]:
    """A picture as data for a template: its SVG, its words and its width."""
    svg = picture.svg().decode().replace(f"'{NUMBERS}'", _TYPST_NAME)
    return {"svg": svg, "alt": picture.alt, "width_mm": picture.width_mm}


@cache
def shipped_fonts(*, of_machine: bool) -> typst.Fonts:
    """The shipped faces, and on demand those of the machine; read once a process."""
    with as_file(files("leadfoot").joinpath("reports/fonts")) as folder:
        return typst.Fonts(include_system_fonts=of_machine, font_paths=[str(folder)])


def _compile(template: str, data: Mapping[str, Any], *, with_fonts_of_machine: bool) -> bytes:
    """Compile a template as PDF/UA-1; user texts go in as data and are never template source."""
    source = files("leadfoot").joinpath("reports/templates", template).read_bytes()
    pdf = typst.compile(
        source,
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


def typeset(template: str, texts: Mapping[str, Any], pictures: Mapping[str, Any]) -> bytes:
    """Print, with the machine's own fonts only where the shipped face lacks a letter.

    Where no font has it either, a stand-in is printed and the sheet says so.
    """
    data = {**texts, **pictures}
    if not foreign(json.dumps(texts, ensure_ascii=False)):
        return _compile(template, data, with_fonts_of_machine=False)
    try:
        return _compile(template, data, with_fonts_of_machine=True)
    except typst.TypstError:
        note = f"Some letters are printed as {STAND_IN}: this machine has no font with them."
        plain = every_text(texts, stand_in)
        plain["notes"] = [*plain["notes"], note]
        return _compile(template, {**plain, **pictures}, with_fonts_of_machine=False)
