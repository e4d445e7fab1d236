"""Try it: the bench of one lesson's student, and what would halve the miss."""

import threading
from collections import OrderedDict
from typing import Annotated, Any

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse, JSONResponse

from leadfoot.desk.desk import Desk
from leadfoot.desk.settings import studio_of
from leadfoot.desk.try_it import TryStudent, try_student
from leadfoot.errors import InputError
from leadfoot.units import si_into
from leadfoot.web.page import DeskHere, page
from leadfoot.web.try_query import FAIRWAY, TryTrouble, read_try, units_of_student
from leadfoot.web.try_view import lever_rows, levers_words, rests_words, try_fields, try_view
from leadfoot.web.words import lesson_name

router = APIRouter(prefix="/lessons/{lesson_id}/try")

MOST_KEPT = 20
"""Students that are kept on the bench: a slider must not explain every ball anew. Our own."""
ModelClub = Annotated[str | None, Query(alias="club", max_length=40)]


class Benches:
    """Keeps each lesson's student until the book changes."""

    def __init__(self) -> None:
        self._turn = threading.Lock()
        self._kept: OrderedDict[tuple[int, str | None, int], TryStudent] = OrderedDict()

    def of(self, desk: Desk, lesson_id: int, club_key: str | None) -> TryStudent:
        """The student of a lesson, as the book stands."""
        with self._turn:
            key = (lesson_id, club_key, desk.book.last_change())
            student = self._kept.get(key)
            if student is None:
                student = try_student(desk, lesson_id, club_key=club_key)
                self._kept[key] = student
            self._kept.move_to_end(key)
            if len(self._kept) > MOST_KEPT:
                self._kept.popitem(last=False)
            return student


def _student(request: Request, desk: Desk, lesson_id: int, model_club: str | None) -> TryStudent:
    benches: Benches = request.app.state.benches
    return benches.of(desk, lesson_id, model_club or None)


@router.get("")
def show_try(
    request: Request, desk: DeskHere, lesson_id: int, model_club: ModelClub = None
) -> HTMLResponse:
    """The page, as its address says; where nothing can be tried, it says what is missing."""
    lesson = desk.book.lesson(lesson_id)
    person = desk.book.student(lesson.student_id)
    studio = studio_of(desk)
    shared: dict[str, Any] = {
        "lesson": lesson,
        "student": person,
        "clubs": studio.clubs,
        "air_words": studio.air_words,
        "invented": person.invented,
        "crumbs": (
            ("/", "Today"),
            (f"/students/{person.id}", person.name),
            (f"/lessons/{lesson.id}", lesson_name(lesson)),
        ),
    }
    try:
        on_bench = _student(request, desk, lesson_id, model_club)
    except InputError as missing:
        return page(
            request,
            "try_it.html",
            missing=missing,
            bench=None,
            view=None,
            troubles=(),
            model_club=model_club or "",
            **shared,
        )
    asked = read_try(on_bench, request.query_params)
    found = None if asked.troubles else try_view(on_bench, asked)
    troubles = asked.troubles
    if isinstance(found, TryTrouble):
        troubles, found = (found,), None
    units = units_of_student(on_bench)
    fairway = request.query_params.get(FAIRWAY) or f"{si_into(asked.fairway_m, units.length):.0f}"
    return page(
        request,
        "try_it.html",
        status=422 if troubles else 200,
        missing=None,
        bench=on_bench,
        view=found,
        troubles=troubles,
        groups=try_fields(on_bench, asked, request.query_params),
        fairway={"text": fairway, "unit": units.length},
        levers=lever_rows(on_bench),
        levers_words=levers_words(on_bench),
        rests=rests_words(on_bench),
        model_club=on_bench.model_club,
        **shared,
    )


@router.get("/numbers")
def show_numbers(
    request: Request, desk: DeskHere, lesson_id: int, model_club: ModelClub = None
) -> JSONResponse:
    """The numbers and the balls for the same address, for the page's script."""
    on_bench = _student(request, desk, lesson_id, model_club)
    asked = read_try(on_bench, request.query_params)
    found = asked.troubles[0] if asked.troubles else try_view(on_bench, asked)
    if isinstance(found, TryTrouble):
        return JSONResponse(
            {"key": found.key, "what": found.what, "fix": found.fix}, status_code=422
        )
    return JSONResponse(found)
