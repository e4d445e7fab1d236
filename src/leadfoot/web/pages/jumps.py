"""The jump page of a student: questions first, then jumps from files or typed, by day and month."""

import csv
import json
from collections.abc import Mapping
from datetime import date
from io import StringIO

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from starlette.datastructures import FormData

from leadfoot.desk import jumps as deeds
from leadfoot.desk.desk import Desk
from leadfoot.errors import InputError, OutOfRangeError
from leadfoot.ground.screening import JUNIOR_QUESTIONS, QUESTIONS
from leadfoot.web.force_form import GRAVITY_MPS2, number_in
from leadfoot.web.jump_days import jump_days_drawn
from leadfoot.web.page import DeskHere, FormHere, desk_of, given_file, page, said
from leadfoot.web.pages.ground import download
from leadfoot.web.trouble import status_of

router = APIRouter(prefix="/students/{student_id}/jumps")


@router.get("")
def show_jumps(request: Request, student_id: int) -> HTMLResponse:
    """The page of a student's jumps."""
    return _jumps(request, student_id)


@router.post("/answers")
def keep_answers(desk: DeskHere, form: FormHere, student_id: int) -> Response:
    """Keep today's answers."""
    answers = {
        question.key: said(form, question.key) == "yes"
        for question in (*QUESTIONS, *JUNIOR_QUESTIONS)
        if said(form, question.key) in {"yes", "no"}
    }
    deeds.ask(desk, student_id, answers, junior=said(form, "junior") == "yes")
    return _back(student_id, "questions")


@router.post("/clearance")
def keep_clearance(request: Request, desk: DeskHere, form: FormHere, student_id: int) -> Response:
    """Record a clinician's clearance."""
    try:
        on_day = _day(said(form, "on_day"), "The day of the clearance")
        until = said(form, "until_day").strip()
        deeds.record_clearance(
            desk,
            student_id,
            clinician=said(form, "clinician"),
            on_day=on_day,
            until_day=_day(until, "The last day of the clearance") if until else None,
            covers=[one for one in form.getlist("covers") if isinstance(one, str)],
            limits=said(form, "limits"),
        )
    except InputError as error:
        return _jumps(request, student_id, form=("clearance", error), typed=_typed(form))
    return _back(student_id, "questions")


@router.post("/file")
def add_file(request: Request, desk: DeskHere, form: FormHere, student_id: int) -> Response:
    """Measure a jump from a file."""
    try:
        name, data = given_file(form, "Choose the recording of one jump.")
        mass = said(form, "weighed").strip()
        scale_n = number_in(mass, "The weight on a scale") * GRAVITY_MPS2 if mass else None
        deeds.add_measured(desk, student_id, name=name, data=data, scale_n=scale_n)
    except (InputError, OutOfRangeError) as error:
        return _jumps(request, student_id, form=("file", error))
    return _back(student_id, "days")


@router.post("/typed")
def add_typed(request: Request, desk: DeskHere, form: FormHere, student_id: int) -> Response:
    """Keep a jump of which only the time in the air or the reach is known."""
    try:
        _add_typed(desk, student_id, form)
    except (InputError, OutOfRangeError) as error:
        return _jumps(request, student_id, form=("typed", error), typed=_typed(form))
    return _back(student_id, "days")


@router.post("/leave-out/{jump_id}")
def leave_out(
    request: Request, desk: DeskHere, form: FormHere, student_id: int, jump_id: int
) -> Response:
    """Leave a jump out, or take it back."""
    try:
        _own(desk, student_id, jump_id)
        if said(form, "deed") == "back":
            desk.book.leave_out_jump(jump_id, None)
        else:
            deeds.leave_out_jump(desk, jump_id, said(form, "reason"))
    except InputError as error:
        return _jumps(request, student_id, form=("leave-out", error))
    return _back(student_id, "days")


@router.get("/jumps.csv")
def give_table(desk: DeskHere, student_id: int) -> Response:
    """Every jump with its method as a table."""
    out = StringIO()
    table = csv.writer(out, lineterminator="\n")
    table.writerow(("day", "kind", "height, m", "left out because", "threshold, N", "method"))
    for one in desk.book.jumps(student_id):
        method = json.loads(one.values_json)["method"]
        row = (one.done_on, one.kind, f"{one.height_m:.4f}", one.left_out_reason or "")
        table.writerow((*row, method["threshold_n"] or "", method["name"]))
    return download(out.getvalue().encode(), "text/csv", f"jumps-{student_id}.csv")


def _jumps(
    request: Request,
    student_id: int,
    *,
    form: tuple[str, InputError] | None = None,
    typed: Mapping[str, str] | None = None,
) -> HTMLResponse:
    desk = desk_of(request)
    change = desk.book.last_change()
    view = deeds.jump_view(desk, student_id)
    return page(
        request,
        "jumps.html",
        status=200 if form is None else status_of(form[1]),
        change=change,
        view=view,
        student=view.student,
        drawn={kind.kind: jump_days_drawn(kind) for kind in view.kinds},
        numbers={
            one.id: json.loads(one.values_json)
            for kind in view.kinds
            for day in kind.days
            for one in day.jumps
        },
        questions=(*QUESTIONS, *JUNIOR_QUESTIONS),
        junior_keys=tuple(one.key for one in JUNIOR_QUESTIONS),
        trouble=form,
        typed=typed or {},
        invented=view.student.invented,
        crumbs=(("/", "Today"), (f"/students/{student_id}", view.student.name)),
    )


def _add_typed(desk: Desk, student_id: int, form: FormData) -> None:
    mass = said(form, "mass").strip()
    mass_kg = number_in(mass, "The mass") if mass else None
    if said(form, "by") == "reach":
        deeds.add_typed(
            desk,
            student_id,
            "reach",
            standing_m=number_in(said(form, "standing"), "The reach standing") / 100.0,
            jumping_m=number_in(said(form, "jumping"), "The reach jumping") / 100.0,
            mass_kg=mass_kg,
        )
        return
    flight_s = number_in(said(form, "flight"), "The time in the air") / 1000.0
    deeds.add_typed(desk, student_id, "flight time", flight_s=flight_s, mass_kg=mass_kg)


def _own(desk: Desk, student_id: int, jump_id: int) -> None:
    if desk.book.jump(jump_id).student_id != student_id:
        raise InputError("That jump is another student's.", fix="Choose one in the table.")


def _day(text: str, name: str) -> date:
    try:
        return date.fromisoformat(text.strip())
    except ValueError as error:
        raise InputError(f"{name} is {text!r}.", fix="Write it as 2026-03-14.") from error


def _typed(form: FormData) -> dict[str, str]:
    return {key: value for key, value in form.items() if isinstance(value, str)}


def _back(student_id: int, place: str) -> Response:
    return RedirectResponse(f"/students/{student_id}/jumps#{place}", status_code=303)
