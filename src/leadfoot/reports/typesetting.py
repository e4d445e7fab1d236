"""Sets a template as PDF, with the shipped faces and pictures as SVG."""

import json
from collections.abc import Mapping
from functools import cache
from importlib.resources import as_file, files
from types import MappingProxyType
from typing import Any

import typst

from leadfoot.errors import ReportError
from leadfoot.figures.look import NUMBERS
from leadfoot.figures.picture import Picture
from leadfoot.language.extract import sheet_texts
from leadfoot.language.say import say, spoken
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


@cache
def template_source(template: str) -> str:
    """A template with what every sheet begins with."""
    folder = files("leadfoot").joinpath("reports/templates")
    return "".join(
        folder.joinpath(name).read_text(encoding="utf-8") for name in ("_paper.typ", template)
    )


def _compile(template: str, data: Mapping[str, Any], *, with_fonts_of_machine: bool) -> bytes:
    """Compile a template as PDF/UA-1; user texts go in as data and are never template source."""
    pdf = typst.compile(
        template_source(template).encode(),
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


def typeset(
    template: str, texts: Mapping[str, Any], pictures: Mapping[str, Any] = MappingProxyType({})
) -> bytes:
    """Print in the language that is spoken now, which the file names for screen readers.

    The machine's own fonts are asked only where the shipped face lacks a letter. Where no font has
    it either, a stand-in is printed and the sheet says so.

    Parameters
    ----------
    template
        File of the sheet.
    texts
        Its data: texts, whole or in lists and tables; ``notes`` is a list.
    pictures
        Data of its pictures.
    """
    said = {text: say(text) for text in sheet_texts(template_source(template))}
    texts = {**texts, "said": said, "language": spoken().code}
    data = {**texts, **pictures}
    if not foreign(json.dumps(texts, ensure_ascii=False)):
        return _compile(template, data, with_fonts_of_machine=False)
    try:
        return _compile(template, data, with_fonts_of_machine=True)
    except typst.TypstError:
        note = say(
            "Some letters are printed as {sign}: this machine has no font with them.", sign=STAND_IN
        )
        plain = every_text(texts, stand_in)
        plain["notes"] = [*plain["notes"], note]
        return _compile(template, {**plain, **pictures}, with_fonts_of_machine=False)
