"""Homework: given, looked at, printed, and filled in through a private link."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any, Literal
from urllib.parse import urlencode

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from starlette.datastructures import FormData

from leadfoot.coaching.drills import drill_named, in_practice
from leadfoot.coaching.homework import NEXT_WORDS, PLACE_WORDS, Place, Week
from leadfoot.desk.days import WEEKDAYS
from leadfoot.desk.desk import Desk
from leadfoot.desk.home_practice import NO_TEST, Practice, practice_of, practice_sentence
from leadfoot.desk.home_shots import problems_in
from leadfoot.desk.homework import (
    LINK_DAYS,
    HomeworkView,
    give_homework,
    homework_by_secret,
    homework_sheet,
    homework_view,
    language_by_secret,
    log_session,
    make_link,
)
from leadfoot.desk.homework_records import LoggedBy
from leadfoot.desk.own_drills import all_drills
from leadfoot.desk.places import PLACES as ALL_PLACES
from leadfoot.desk.places import said_place
from leadfoot.desk.records import Lesson
from leadfoot.errors import InputError, NotInBookError
from leadfoot.language.say import say, speaking
from leadfoot.web.page import DeskHere, FormHere, LanguageAsked, page, said
from leadfoot.web.trouble import status_of
from leadfoot.web.visitor import doors_of

router = APIRouter()

PLACES: Mapping[Place, str] = PLACE_WORDS
EMPTY = {
    "lesson": "",
    "cue": "",
    "criterion": "",
    "minutes": "45",
    "balls": "40",
    "place": "range",
    "weeks": "4",
    "usual_balls": "",
    "days": "0 2 5",
}
"""What the form offers. Our own choice."""
FIRST_LOG = {"n_balls": "", "n_counted": "", "n_met": "", "pain": "", "notes": ""}


def home_form(desk: Desk, typed: Mapping[str, str] | None = None) -> dict[str, Any]:
    """What the form for homework needs beside the lessons."""
    return {
        "home": {**EMPTY, **(typed or {})},
        "places": PLACES,
        "weekdays": WEEKDAYS,
        "drills": all_drills(desk),
    }


@router.get("/students/{student_id}/homework")
def show_all(request: Request, desk: DeskHere, student_id: int) -> HTMLResponse:
    """The form, and every plan of the student."""
    return _all(request, desk, student_id)


@router.post("/students/{student_id}/homework")
def give(request: Request, desk: DeskHere, form: FormHere, student_id: int) -> Response:
    """Plan practice after a lesson of this student."""
    typed = {name: said(form, name) for name in EMPTY if name != "days"}
    typed["days"] = " ".join(str(day) for day in form.getlist("days"))
    try:
        lesson = _lesson(desk, student_id, typed["lesson"])
        stored = give_homework(
            desk,
            lesson.id,
            _week(typed),
            cue=typed["cue"].strip() or lesson.change,
            criterion=typed["criterion"],
            n_weeks=whole_number(typed["weeks"], "Weeks"),
        )
    except InputError as error:
        return _all(request, desk, student_id, typed=typed, error=error)
    return RedirectResponse(f"/students/{student_id}/homework/{stored.id}", status_code=303)


@router.get("/students/{student_id}/homework/{homework_id}")
def show(request: Request, desk: DeskHere, student_id: int, homework_id: int) -> HTMLResponse:
    """One plan: what to do, what was done, what to change."""
    return plan_page(request, desk, student_id, homework_id)


@router.post("/students/{student_id}/homework/{homework_id}/link")
def new_link(
    request: Request, desk: DeskHere, form: FormHere, student_id: int, homework_id: int
) -> HTMLResponse:
    """Make a private link; its address is shown this once, since the book does not hold it."""
    own_plan(desk, student_id, homework_id)
    days = said(form, "days", str(LINK_DAYS))
    try:
        secret, _ = make_link(desk, homework_id, days=whole_number(days, "Days"))
    except InputError as error:
        return plan_page(request, desk, student_id, homework_id, link_error=error, error=None)
    doors = doors_of(request)
    address = f"{doors.scheme}://{doors.link_host(request.url.netloc)}/h/{secret}"
    return plan_page(request, desk, student_id, homework_id, address=address)


@router.post("/students/{student_id}/homework/{homework_id}/links/{link_id}/withdraw")
def withdraw(desk: DeskHere, student_id: int, homework_id: int, link_id: int) -> Response:
    """Withdraw a private link."""
    view = own_plan(desk, student_id, homework_id)
    if link_id not in {link.id for link in desk.book.links(view.stored.id)}:
        raise NotInBookError("link", link_id)
    desk.book.withdraw_link(link_id, at=desk.clock())
    return RedirectResponse(f"/students/{student_id}/homework/{homework_id}", status_code=303)


@router.post("/students/{student_id}/homework/{homework_id}/log")
def log_here(
    request: Request, desk: DeskHere, form: FormHere, student_id: int, homework_id: int
) -> Response:
    """Write down a session from the paper sheet."""
    own_plan(desk, student_id, homework_id)
    try:
        _log(desk, homework_id, form, "coach")
    except InputError as error:
        return plan_page(request, desk, student_id, homework_id, typed=_typed(form), error=error)
    return RedirectResponse(f"/students/{student_id}/homework/{homework_id}", status_code=303)


@router.get("/students/{student_id}/homework/{homework_id}/sheet.pdf")
def sheet(
    desk: DeskHere,
    student_id: int,
    homework_id: int,
    paper: Literal["a4", "us-letter"] = "a4",
    language: LanguageAsked = None,
) -> Response:
    """The printed sheet, in the student's language or another for this once."""
    own_plan(desk, student_id, homework_id)
    name = f"homework-{homework_id}-{paper}.pdf"
    return Response(
        homework_sheet(desk, homework_id, paper, language=language),
        media_type="application/pdf",
        headers={"Content-Disposition": f'inline; filename="{name}"'},
    )


@router.get("/h/{secret}")
def phone(
    request: Request, desk: DeskHere, secret: str, language: LanguageAsked = None
) -> HTMLResponse:
    """The student's own page, for a phone: nobody else stands on it, and it leads nowhere else."""
    with speaking(language_by_secret(desk, secret, language)):
        return phone_page(request, desk, secret, asked=language)


@router.post("/h/{secret}")
def phone_log(
    request: Request, desk: DeskHere, form: FormHere, secret: str, language: LanguageAsked = None
) -> Response:
    """Write down a session from the phone."""
    with speaking(language_by_secret(desk, secret, language)):
        view = homework_by_secret(desk, secret)
        try:
            log = _log(desk, view.stored.id, form, "student")
        except InputError as error:
            return phone_page(
                request, desk, secret, asked=language, typed=_typed(form), error=error
            )
    kept = urlencode({"kept": log, **({"language": language} if language else {})})
    return RedirectResponse(f"/h/{secret}?{kept}", status_code=303)


def phone_page(
    request: Request,
    desk: Desk,
    secret: str,
    *,
    asked: str | None = None,
    typed: Mapping[str, str] | None = None,
    error: InputError | None = None,
    typed_shots: Mapping[str, str] | None = None,
    shots_error: InputError | None = None,
) -> HTMLResponse:
    """The student's own page; what was typed and refused stands in its form again."""
    view = homework_by_secret(desk, secret)
    ahead = [one for one in view.plan.sessions if one.number not in view.done_sessions]
    chosen = (typed or {}).get("session") or str(ahead[0].number if ahead else view.done)
    lesson = desk.book.lesson(view.stored.lesson_id)
    refused = error or shots_error
    return page(
        request,
        "phone.html",
        status=200 if refused is None else status_of(refused),
        view=view,
        **shots_form(request, desk, view, typed_shots),
        practice=_just_taken(request, desk, view),
        shots_error=shots_error,
        path="",
        invented=desk.book.student(lesson.student_id).invented,
        kept=request.query_params.get("kept", ""),
        chosen=int(chosen) if chosen.isdecimal() else 1,
        typed={**FIRST_LOG, **(typed or {})},
        error=error,
        next_words=NEXT_WORDS,
        place_words=PLACE_WORDS,
        drill=drill_named(view.plan.cue),
        in_practice=in_practice,
        secret=secret,
        asked=f"?language={asked}" if asked else "",
    )


def _all(
    request: Request,
    desk: Desk,
    student_id: int,
    *,
    typed: Mapping[str, str] | None = None,
    error: InputError | None = None,
) -> HTMLResponse:
    student = desk.book.student(student_id)
    views = [homework_view(desk, one.id) for one in desk.book.homework_of(student_id)]
    return page(
        request,
        "homework_all.html",
        status=200 if error is None else status_of(error),
        student=student,
        lessons=list(reversed(desk.book.lessons(student_id))),
        plans=list(reversed(views)),
        error=error,
        invented=student.invented,
        crumbs=(("/", "Today"), (f"/students/{student.id}", student.name)),
        **home_form(desk, typed),
    )


def shots_form(
    request: Request, desk: Desk, view: HomeworkView, typed: Mapping[str, str] | None
) -> dict[str, Any]:
    """What the form for shots from practice needs, and the table that was just given with it."""
    where = "range" if view.plan.place == "no_club" else view.plan.place
    today = desk.clock().date()
    asked = {name: request.query_params.get(name, "") for name in ("taken", "there")}
    return {
        "typed_shots": {
            "session": "",
            "done_on": today.isoformat(),
            "place": where,
            "own_place": "",
            **(typed or {}),
        },
        "all_places": ALL_PLACES,
        "today": today,
        "no_test": NO_TEST,
        "problems_in": problems_in,
        "place_said": said_place,
        **{
            name: next((one for one in view.tables if str(one.id) == number), None)
            for name, number in asked.items()
        },
    }


def _just_taken(request: Request, desk: Desk, view: HomeworkView) -> list[tuple[Practice, str]]:
    """What the table that was just given holds, club by club."""
    taken = request.query_params.get("taken", "")
    alone = replace(view, tables=tuple(one for one in view.tables if str(one.id) == taken))
    return [(one, practice_sentence(one)) for one in practice_of(desk, alone)]


def plan_page(
    request: Request,
    desk: Desk,
    student_id: int,
    homework_id: int,
    **more: Any,
) -> HTMLResponse:
    """One plan as the coach sees it; what was typed and refused stands in its form again."""
    view = own_plan(desk, student_id, homework_id)
    errors = ("error", "link_error", "shots_error", "practice_error")
    error: InputError | None = next((more[name] for name in errors if more.get(name)), None)
    shown = {"address": "", "typed": {}, **dict.fromkeys(errors), **more}
    shown["typed"] = {**FIRST_LOG, "session": "", **shown["typed"]}
    shown.update(shots_form(request, desk, view, more.get("typed_shots")))
    return page(
        request,
        "homework.html",
        status=200 if error is None else status_of(error),
        view=view,
        student=view.student,
        practice=[(one, practice_sentence(one)) for one in practice_of(desk, view)],
        next_words=NEXT_WORDS,
        weekdays=WEEKDAYS,
        place_words=PLACE_WORDS,
        link_days=LINK_DAYS,
        link_opens=doors_of(request).beyond,
        invented=view.student.invented,
        crumbs=(
            ("/", "Today"),
            (f"/students/{student_id}", view.student.name),
            (f"/students/{student_id}/homework", "Homework"),
        ),
        **shown,
    )


def own_plan(desk: Desk, student_id: int, homework_id: int) -> HomeworkView:
    """A plan of this student.

    Raises
    ------
    NotInBookError
        If it is another student's, or none.
    """
    view = homework_view(desk, homework_id)
    if view.student.id != student_id:
        raise NotInBookError("homework", homework_id)
    return view


def _lesson(desk: Desk, student_id: int, number: str) -> Lesson:
    own = desk.book.lessons(student_id)
    chosen = [lesson for lesson in own if str(lesson.id) == number] or list(own[-1:])
    if not chosen:
        raise InputError("There is no lesson yet.", fix="Homework follows a lesson: begin one.")
    return chosen[0]


def _week(typed: Mapping[str, str]) -> Week:
    days = tuple(int(day) for day in typed["days"].split() if day in set("0123456"))
    place: Place = next((one for one in PLACES if one == typed["place"]), "range")
    usual = typed["usual_balls"].strip()
    return Week(
        days=days,
        minutes=whole_number(typed["minutes"], "Minutes"),
        balls=0 if place == "no_club" else whole_number(typed["balls"], "Balls"),
        place=place,
        usual_balls=whole_number(usual, "Balls in a usual week") if usual else None,
    )


def whole_number(text: str, name: str) -> int:
    """A whole number as typed.

    Raises
    ------
    InputError
        If it is none; `name` says which field.
    """
    if not text.strip().isdecimal() or len(text.strip()) > 6:
        raise InputError(
            say("{name}: {typed!r} is no whole number.", name=name, typed=text),
            fix=say("Type one, such as 40."),
        )
    return int(text)


def _typed(form: FormData) -> dict[str, str]:
    return {name: said(form, name) for name in ("session", *FIRST_LOG)}


def _log(desk: Desk, homework_id: int, form: FormData, logged_by: LoggedBy) -> int:
    """Write down a session; a field left empty is 0."""
    typed = _typed(form)
    names = {
        "n_balls": say("Balls in all"),
        "n_counted": say("Balls you counted"),
        "n_met": say("Of these, met it"),
    }
    numbers = {key: whole_number(typed[key].strip() or "0", name) for key, name in names.items()}
    log = log_session(
        desk,
        homework_id,
        session=whole_number(typed["session"] or "0", say("Session")),
        n_balls=max(numbers["n_balls"], numbers["n_counted"])
        if not typed["n_balls"].strip()
        else numbers["n_balls"],
        n_counted=numbers["n_counted"],
        n_met=numbers["n_met"],
        pain=typed["pain"] == "yes",
        notes=typed["notes"],
        logged_by=logged_by,
    )
    return log.session
