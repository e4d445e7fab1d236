"""Shots from practice: given through a private link or by the coach, looked at, left out."""

from collections.abc import Mapping
from datetime import date
from urllib.parse import urlencode

from fastapi import APIRouter, Request
from fastapi.responses import RedirectResponse, Response
from starlette.datastructures import FormData

from leadfoot.desk.desk import Desk
from leadfoot.desk.home_shots import (
    GivenTable,
    give_table,
    leave_table_out,
    read_anew,
    take_table_back,
)
from leadfoot.desk.homework import homework_by_secret, language_by_secret
from leadfoot.desk.homework_records import HomeTable, LoggedBy
from leadfoot.desk.places import place_named
from leadfoot.errors import InputError, NotInBookError
from leadfoot.language.say import say, speaking
from leadfoot.web.download import download
from leadfoot.web.page import DeskHere, FormHere, LanguageAsked, given_file, said
from leadfoot.web.pages.homework import own_plan, phone_page, plan_page, whole_number

router = APIRouter()

FIELDS = ("session", "done_on", "place", "own_place")


@router.post("/h/{secret}/shots")
def phone_shots(
    request: Request, desk: DeskHere, form: FormHere, secret: str, language: LanguageAsked = None
) -> Response:
    """Take a table of shots from the phone."""
    with speaking(language_by_secret(desk, secret, language)):
        view = homework_by_secret(desk, secret)
        try:
            given = _given(desk, view.stored.id, form, "student")
        except InputError as error:
            typed = _typed(form)
            return phone_page(
                request, desk, secret, asked=language, typed_shots=typed, shots_error=error
            )
    asked = f"&{urlencode({'language': language})}" if language else ""
    return RedirectResponse(f"/h/{secret}?{_query(given)}{asked}#shots", status_code=303)


@router.post("/students/{student_id}/homework/{homework_id}/shots")
def coach_shots(
    request: Request, desk: DeskHere, form: FormHere, student_id: int, homework_id: int
) -> Response:
    """Take a table of shots that the student brought."""
    own_plan(desk, student_id, homework_id)
    try:
        given = _given(desk, homework_id, form, "coach")
    except InputError as error:
        more = {"typed_shots": _typed(form), "shots_error": error}
        return plan_page(request, desk, student_id, homework_id, **more)
    where = f"/students/{student_id}/homework/{homework_id}"
    return RedirectResponse(f"{where}?{_query(given)}#practice", status_code=303)


@router.get("/students/{student_id}/homework/{homework_id}/shots/{table_id}/file")
def give_back(desk: DeskHere, student_id: int, homework_id: int, table_id: int) -> Response:
    """The file as it came, byte for byte, under a name that no system stumbles over."""
    _own_table(desk, student_id, homework_id, table_id)
    _, data = desk.book.home_table(table_id)
    return download(data, "application/octet-stream", f"practice-{table_id}.table")


@router.post("/students/{student_id}/homework/{homework_id}/shots/{table_id}/leave-out")
def leave_out(
    request: Request,
    desk: DeskHere,
    form: FormHere,
    *,
    student_id: int,
    homework_id: int,
    table_id: int,
) -> Response:
    """Leave a table out, with a reason."""
    _own_table(desk, student_id, homework_id, table_id)
    try:
        leave_table_out(desk, table_id, said(form, "reason"))
    except InputError as error:
        return plan_page(request, desk, student_id, homework_id, practice_error=error)
    return _back(student_id, homework_id)


@router.post("/students/{student_id}/homework/{homework_id}/shots/{table_id}/take-back")
def take_back(desk: DeskHere, student_id: int, homework_id: int, table_id: int) -> Response:
    """Let a table that was left out count again."""
    _own_table(desk, student_id, homework_id, table_id)
    take_table_back(desk, table_id)
    return _back(student_id, homework_id)


@router.post("/students/{student_id}/homework/{homework_id}/shots/{table_id}/read-again")
def read_again(
    request: Request, desk: DeskHere, student_id: int, homework_id: int, table_id: int
) -> Response:
    """Read a kept table again, by the columns as they were confirmed since."""
    _own_table(desk, student_id, homework_id, table_id)
    try:
        read_anew(desk, table_id)
    except InputError as error:
        return plan_page(request, desk, student_id, homework_id, practice_error=error)
    return _back(student_id, homework_id)


def _own_table(desk: Desk, student_id: int, homework_id: int, table_id: int) -> HomeTable:
    view = own_plan(desk, student_id, homework_id)
    for table in view.tables:
        if table.id == table_id:
            return table
    raise NotInBookError("table from home", table_id)


def _back(student_id: int, homework_id: int) -> Response:
    where = f"/students/{student_id}/homework/{homework_id}#practice"
    return RedirectResponse(where, status_code=303)


def _given(desk: Desk, homework_id: int, form: FormData, given_by: LoggedBy) -> GivenTable:
    typed = _typed(form)
    name, data = given_file(form, say("Choose a table of shots, such as a CSV or XLSX file."))
    session = typed["session"].strip()
    return give_table(
        desk,
        homework_id,
        name=name,
        data=data,
        session=whole_number(session, say("Session")) if session else None,
        place=place_named(typed["place"], typed["own_place"]),
        given_by=given_by,
        done_on=_day(typed["done_on"]),
    )


def _typed(form: FormData) -> Mapping[str, str]:
    return {name: said(form, name) for name in FIELDS}


def _day(text: str) -> date | None:
    """A day as a browser sends it; None where none was chosen."""
    if not text.strip():
        return None
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        raise InputError(
            say("{typed!r} is no day.", typed=text[:40]), fix=say("Type it as 2026-03-02.")
        ) from None


def _query(given: GivenTable) -> str:
    return f"{'taken' if given.is_new else 'there'}={given.table.id}"
