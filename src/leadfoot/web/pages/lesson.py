"""One lesson: the answer, the picture, the shots, the sheet."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Literal

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, JSONResponse, RedirectResponse, Response

from leadfoot.desk import lesson as deeds
from leadfoot.desk.bays import bays_of
from leadfoot.desk.bench_start import lesson_start
from leadfoot.desk.cues import cues_so_far
from leadfoot.desk.lesson import LessonView
from leadfoot.desk.places import place_named
from leadfoot.desk.planning import PATTERN_WORDS
from leadfoot.desk.running_plan import SAID
from leadfoot.desk.studio import UnitChoice
from leadfoot.desk.typing_in import DEFAULT_FIELDS
from leadfoot.desk.wording import HARDLY
from leadfoot.errors import InputError
from leadfoot.quantities import glossary
from leadfoot.shots.columns import units_of
from leadfoot.web.flight_paths import flight_paths
from leadfoot.web.page import (
    DeskHere,
    FormHere,
    LanguageAsked,
    ViewsHere,
    desk_of,
    page,
    said,
    views_of,
)
from leadfoot.web.pictures import pictures
from leadfoot.web.planner import GAIN_UNITS, planner_for
from leadfoot.web.row_text import row_text
from leadfoot.web.shared_pages import shared_page
from leadfoot.web.shot_table import shot_rows
from leadfoot.web.trouble import status_of

router = APIRouter()

N_FIELDS = 5
"""Most values in a typed line: what a coach can keep in mind between two balls (our own choice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FormTrouble:
    """A form that was refused: which one, why, and all that was typed into it."""

    form: str
    error: InputError
    typed: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))


@router.get("/lessons/{lesson_id}")
async def show_lesson(request: Request, lesson_id: int) -> Response:
    """The page of one lesson."""
    return await shared_page(request, lesson_id, _rendered)


@router.post("/lessons/{lesson_id}")
def change_lesson(desk: DeskHere, form: FormHere, lesson_id: int) -> Response:
    """Write down what the lesson is about."""
    typed = said(form, "place").strip()
    place = place_named(typed) if typed else desk.book.lesson(lesson_id).place
    desk.book.change_lesson(
        lesson_id,
        title=said(form, "title").strip() or "Lesson",
        change=said(form, "change").strip(),
        club=said(form, "club").strip() or None,
        notes=said(form, "notes").strip(),
    )
    desk.book.place_lesson(lesson_id, place)
    return RedirectResponse(f"/lessons/{lesson_id}", status_code=303)


@router.get("/lessons/{lesson_id}/flights")
def show_flights(views: ViewsHere, lesson_id: int) -> JSONResponse:
    """The flights of all balls that can be computed, for the drawing in space."""
    return JSONResponse(flight_paths(views.of(lesson_id)[1]))


@router.get("/lessons/{lesson_id}/answer.json")
def show_answer(views: ViewsHere, lesson_id: int) -> JSONResponse:
    """The answer in its published form, as the command line gives it."""
    _, view = views.of(lesson_id)
    if view.answer is None:
        raise InputError("There is no answer yet.", fix=view.waiting_for)
    return JSONResponse(view.answer.as_json())


@router.get("/lessons/{lesson_id}/sheet.pdf")
def print_sheet(
    desk: DeskHere,
    lesson_id: int,
    paper: Literal["a4", "us-letter"] = "a4",
    language: LanguageAsked = None,
) -> Response:
    """The student's sheet, in the student's language or another for this once."""
    pdf = deeds.sheet(desk, lesson_id, paper, language=language)
    name = f"lesson-{lesson_id}-{paper}.pdf"
    return Response(
        pdf,
        media_type="application/pdf",
        headers={"Content-Disposition": f'inline; filename="{name}"'},
    )


def lesson_page(
    request: Request, lesson_id: int, *, trouble: FormTrouble | None = None
) -> HTMLResponse:
    """Render a lesson; with `trouble`, a form stands there as it was typed, with what is wrong."""
    change, view = views_of(request).of(lesson_id)
    return _rendered(request, change, view, trouble=trouble)


def _rendered(
    request: Request, change: int, view: LessonView, *, trouble: FormTrouble | None = None
) -> HTMLResponse:
    lesson_id = view.lesson.id
    return page(
        request,
        "lesson.html",
        status=200 if trouble is None else status_of(trouble.error),
        change=change,
        lesson_id=lesson_id,
        view=view,
        student=view.student,
        lesson=view.lesson,
        answer=view.answer,
        table=shot_rows(view, whole=request.query_params.get("balls") == "all"),
        row_text=row_text,
        pictures=pictures(view),
        on_bench=lesson_start(view, view.studio.clubs) is not None,
        planner=planner_for(request, desk_of(request), view),
        said_of_role=SAID,
        gain_units=GAIN_UNITS,
        pattern_words=PATTERN_WORDS,
        hardly=HARDLY,
        n_cues=cues_so_far(desk_of(request), view.lesson),
        reasons=deeds.LEAVE_OUT_REASONS,
        fields=chosen_fields(request, view.studio.units),
        field_choices=field_choices(view.studio.units),
        clubs=view.studio.clubs,
        chosen_block=request.query_params.get("block", ""),
        chosen_shot=request.query_params.get("shot", ""),
        imported=_imported(request),
        hitting=bays_of(desk_of(request), lesson_id),
        trouble=trouble,
        invented=view.student.invented,
        crumbs=(("/", "Today"), (f"/students/{view.student.id}", view.student.name)),
    )


def chosen_fields(request: Request, units: UnitChoice) -> tuple[str, ...]:
    """What this browser's typed lines hold, as ``quantity:unit``; in the studio's units."""
    known = {value for value, _ in field_choices()}
    kept = request.cookies.get("fields", "").split(".")
    fields = (_in_units(value, units) for value in kept if value in known)
    usual = tuple(f"{key}:{units.usual(key)}" for key in DEFAULT_FIELDS)
    return (tuple(dict.fromkeys(fields)) or usual)[:N_FIELDS]


def _in_units(field: str, units: UnitChoice) -> str:
    key = field.partition(":")[0]
    chosen = units.of(key)
    return field if chosen is None else f"{key}:{chosen}"


def field_choices(chosen: UnitChoice | None = None) -> list[tuple[str, str]]:
    """Each quantity with each unit that it may be typed in: form value and words.

    Where the studio has chosen a unit, it is the only one: a number typed in haste means one thing.
    """
    choices = []
    for key, known in glossary().items():
        own = None if chosen is None else chosen.of(key)
        units = units_of(key) if own is None else (own,)
        if not units:
            choices.append((key, known.name))
        usual_first = sorted(units, key=lambda unit, known=known: unit != known.unit)  # type: ignore[misc]
        choices += [(f"{key}:{unit}", f"{known.name}, {unit}") for unit in usual_first]
    return choices


def _imported(request: Request) -> tuple[int, int, int] | None:
    """What the import just did, as the redirect here says: added, already there, not usable."""
    try:
        added, already, problems = (
            int(request.query_params[name]) for name in ("added", "already", "problems")
        )
    except (KeyError, ValueError):
        return None
    return added, already, problems
