"""The clubs of a student: how far each goes, the gaps between them, the card to print."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response

from leadfoot.desk.club_yardage import HALF_LIFE_DAYS, yardages
from leadfoot.desk.desk import Desk
from leadfoot.desk.figure_tables import yardage_table
from leadfoot.desk.flight_bench import Weather
from leadfoot.desk.lesson import table_of
from leadfoot.desk.place_words import place_words
from leadfoot.desk.places import MOST_LETTERS
from leadfoot.desk.reader import language_for
from leadfoot.desk.settings import studio_of
from leadfoot.desk.why import length_unit
from leadfoot.desk.yardage import Yardages
from leadfoot.errors import InputError
from leadfoot.figures.clubs import clubs_picture
from leadfoot.language.say import speaking
from leadfoot.web.bench_fields import FIELDS, Units, system_of
from leadfoot.web.download import LOOKS, LookName, PictureKind, csv_file, pdf_page, picture_file
from leadfoot.web.page import DeskHere, LanguageAsked, page

router = APIRouter(prefix="/students/{student_id}/clubs")

SHORTEST_LIFE, LONGEST_LIFE = 7.0, 3650.0
"""Half-lives that the page takes, in days. Our own choice."""
_NUMBER = re.compile(r"-?\d+(?:\.\d+)?")


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What the page is asked: an air, how fast old balls fade, and where the balls were hit."""

    weather: Weather | None
    half_life_days: float
    hit_at: str | None
    typed: Mapping[str, str]


def _units(desk: Desk, student_id: int) -> Units:
    """Units of the coach, by the latest lesson that has balls."""
    chosen = studio_of(desk).units
    for lesson in reversed(desk.book.lessons(student_id)):
        shots = desk.book.shots(lesson.id)
        if shots:
            unit = length_unit(table_of(shots, desk.book.blocks(lesson.id)), chosen)
            return system_of(chosen, "m/s" if unit == "m" else "mph", unit)
    return system_of(chosen)


def _asked(query: Mapping[str, str], units: Units) -> Asked:
    """Read the address.

    Raises
    ------
    InputError
        If a number can't be taken.
    """
    typed = {key: query.get(key, "").strip() for key in ("temperature", "altitude", "half_life")}
    place: dict[str, float] = {}
    for key in ("temperature", "altitude"):
        if typed[key]:
            field, ends = FIELDS[key], FIELDS[key].ends_in(units)
            value = _number(typed[key], field.label, ends.low, ends.high, field.unit_words(units))
            place[field.name] = field.si(value, units)
    half_life = HALF_LIFE_DAYS
    if typed["half_life"]:
        half_life = _number(typed["half_life"], "Half-life", SHORTEST_LIFE, LONGEST_LIFE, "days")
    return Asked(
        weather=Weather(**place) if place else None,
        half_life_days=half_life,
        hit_at=query.get("hit_at", "").strip()[:MOST_LETTERS] or None,
        typed=typed,
    )


def _number(text: str, label: str, low: float, high: float, unit: str) -> float:
    plain = text.replace("\u2212", "-").replace(",", ".")
    allowed = f"Give a number from {low:g} to {high:g} {unit}."
    if not _NUMBER.fullmatch(plain):
        raise InputError(f"{label} {text[:40]!r} is no number.", fix=allowed)
    if not low <= float(plain) <= high:
        raise InputError(f"{label} {float(plain):g} {unit} can't be taken.", fix=allowed)
    return float(plain)


def _found(request: Request, desk: Desk, student_id: int) -> Yardages:
    return _yardages(desk, student_id, _asked(request.query_params, _units(desk, student_id)))


def _yardages(desk: Desk, student_id: int, asked: Asked) -> Yardages:
    return yardages(
        desk,
        student_id,
        half_life_days=asked.half_life_days,
        weather=asked.weather,
        place=asked.hit_at,
    )


@router.get("")
def show_clubs(request: Request, desk: DeskHere, student_id: int) -> HTMLResponse:
    """The page; a number that can't be taken leaves the clubs as they are, in standard air."""
    student = desk.book.student(student_id)
    units = _units(desk, student_id)
    trouble: InputError | None = None
    try:
        asked = _asked(request.query_params, units)
        found = _yardages(desk, student_id, asked)
    except InputError as error:
        trouble = error
        typed = {key: request.query_params.get(key, "") for key in _FIELDS}
        asked = Asked(weather=None, half_life_days=HALF_LIFE_DAYS, hit_at=None, typed=typed)
        found = _yardages(desk, student_id, asked)
    return page(
        request,
        "clubs.html",
        status=200 if trouble is None else 422,
        change=desk.book.last_change(),
        student=student,
        found=found,
        place=""
        if found.weather is None
        else place_words(found.weather, found.unit, found.studio.units),
        fields=[
            {"key": key, "label": FIELDS[key].label, "unit": FIELDS[key].unit_words(units)}
            for key in ("temperature", "altitude")
        ],
        typed=asked.typed,
        trouble=trouble,
        query="" if trouble else str(request.url.query),
        invented=student.invented,
        crumbs=(("/", "Today"), (f"/students/{student.id}", student.name)),
    )


_FIELDS = ("temperature", "altitude", "half_life")


@router.get("/clubs.csv")
def give_numbers(request: Request, desk: DeskHere, student_id: int) -> Response:
    """The numbers behind the figure."""
    found = _found(request, desk, student_id)
    return csv_file(yardage_table(found).csv(decimals=1), f"clubs-{student_id}")


@router.get("/clubs.{kind}")
def give_picture(
    request: Request,
    desk: DeskHere,
    student_id: int,
    kind: PictureKind,
    look: LookName = "print",
) -> Response:
    """The figure."""
    picture = clubs_picture(_found(request, desk, student_id), look=LOOKS[look])
    return picture_file(picture, kind, f"clubs-{student_id}")


@router.get("/card.pdf")
def print_card(
    request: Request,
    desk: DeskHere,
    student_id: int,
    paper: Literal["a4", "us-letter"] = "a4",
    language: LanguageAsked = None,
) -> Response:
    """The card to take to the course, in the student's language or another for this once."""
    with speaking(language_for(desk.book.student(student_id), language)):
        pdf = desk.card_printer(_found(request, desk, student_id), paper=paper)
    return pdf_page(pdf, f"clubs-{student_id}-{paper}.pdf")
