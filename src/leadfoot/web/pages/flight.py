"""The flight page: sliders for delivery and air, and the ball that comes of it."""

from dataclasses import replace
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import JSONResponse, RedirectResponse, Response

from leadfoot.desk.bench_start import LessonStart, lesson_start
from leadfoot.desk.desk import Desk
from leadfoot.desk.lesson import LessonView
from leadfoot.desk.settings import studio_of
from leadfoot.errors import InputError, NotInBookError
from leadfoot.web.bench_fields import FIELDS, SYSTEMS, Units, system_of
from leadfoot.web.bench_query import (
    FORM_ONLY,
    Asked,
    FieldTrouble,
    Try,
    query_of,
    read_asked,
    with_lesson_trouble,
)
from leadfoot.web.bench_view import club_choices, fields_of, tried, view_of
from leadfoot.web.page import DeskHere, ViewsHere, page, views_of
from leadfoot.web.words import counted, lesson_name

router = APIRouter()


@router.get("/flight")
def show_flight(request: Request, desk: DeskHere) -> Response:
    """The page, as its address says; what only a form sends is put into the address first."""
    asked = read_asked(request.query_params, studio_of(desk))
    shared: dict[str, Any] = {"crumbs": (("/", "Today"),), "started": ""}
    if asked.lesson_id is not None:
        try:
            shared = _from_lesson(request, desk, asked.lesson_id)
        except NotInBookError:
            asked = with_lesson_trouble(asked)
    found = None if asked.troubles else tried(asked)
    if isinstance(found, FieldTrouble):
        asked, found = replace(asked, troubles=(found,)), None
    if found is not None and FORM_ONLY & request.query_params.keys():
        return RedirectResponse(f"/flight?{query_of(asked)}", status_code=303)
    query = request.url.query
    return page(
        request,
        "flight.html",
        status=422 if found is None else 200,
        path=f"/flight?{query}" if query else "/flight",
        asked=asked,
        typed=request.query_params,
        groups=fields_of(asked, request.query_params),
        choices=club_choices(asked),
        systems=_systems(asked),
        air_words=asked.studio.air_words,
        kept=_kept(asked),
        view=None if found is None else view_of(asked, found),
        **shared,
    )


@router.get("/flight/numbers")
def show_numbers(request: Request, desk: DeskHere) -> JSONResponse:
    """The numbers for the same address, for the page's script."""
    asked = read_asked(request.query_params, studio_of(desk))
    found = asked.troubles[0] if asked.troubles else tried(asked)
    if isinstance(found, FieldTrouble):
        return JSONResponse(
            {"key": found.key, "what": found.what, "fix": found.fix}, status_code=422
        )
    return JSONResponse(view_of(asked, found))


@router.get("/lessons/{lesson_id}/flight")
def start_from_lesson(views: ViewsHere, lesson_id: int) -> RedirectResponse:
    """The flight page with the median deliveries of a lesson."""
    _, view = views.of(lesson_id)
    start = lesson_start(view, view.studio.clubs)
    if start is None:
        raise InputError(
            "This lesson has no delivery to try: that takes an answer, a club that is known, and "
            "club speeds.",
            fix="Open the flight bench and set the sliders yourself.",
        )
    return RedirectResponse(f"/flight?{query_of(_asked(view, start))}", status_code=303)


def _asked(view: LessonView, start: LessonStart) -> Asked:
    """The state in which the page begins for a lesson."""
    key_of = {field.name: key for key, field in FIELDS.items()}
    now, before = (
        Try(
            club_key=start.club_key,
            given={key_of[name]: value for name, value in side.items()},
        )
        for side in (start.after, start.before)
    )
    return Asked(
        units=system_of(view.studio.units, start.speed_unit),
        hand=view.student.hand,
        now=now,
        before=before,
        lesson_id=view.lesson.id,
        studio=view.studio,
    )


def _from_lesson(request: Request, desk: Desk, lesson_id: int) -> dict[str, Any]:
    """The way back to a lesson, and what of it is measured."""
    lesson = desk.book.lesson(lesson_id)
    student = desk.book.student(lesson.student_id)
    view = views_of(request).of(lesson_id)[1]
    start = lesson_start(view, view.studio.clubs)
    crumbs = (
        ("/", "Today"),
        (f"/students/{student.id}", student.name),
        (f"/lessons/{lesson_id}", lesson_name(lesson)),
    )
    return {
        "crumbs": crumbs,
        "invented": student.invented,
        "started": "" if start is None else _started(start, view.studio.air_words),
    }


def _started(start: LessonStart, air: str) -> str:
    measured = [FIELDS[key].label.lower() for key in FIELDS if FIELDS[key].name in start.before]
    return (
        f"Began with the medians of this lesson: {counted(start.n_before, 'ball')} before and "
        f"{counted(start.n_after, 'ball')} with the change. Measured: {', '.join(measured)}. All "
        f"else is the usual of the club, square, from the middle and in {air}: assumed."
    )


def _systems(asked: Asked) -> tuple[Units, ...]:
    """The units to choose from: the usual ones, those of the studio, those in force."""
    own = (system_of(asked.studio.units), asked.units)
    return tuple({one.key: one for one in (*SYSTEMS.values(), *own)}.values())


def _kept(asked: Asked) -> list[tuple[str, str]]:
    """The try before as hidden fields of the form."""
    if asked.before is None:
        return []
    only = replace(asked, now=asked.before, before=None, lesson_id=None)
    pairs = (pair.split("=", 1) for pair in query_of(only).split("&"))
    return [(f"before.{key}", text) for key, text in pairs if key not in {"units", "hand"}]
