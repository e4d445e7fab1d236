"""The bays: who may send shots and for which lesson; and what is pressed while balls are hit."""

from dataclasses import dataclass
from typing import Literal, cast, get_args

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from leadfoot.desk import bays as deeds
from leadfoot.desk import running_plan, switching
from leadfoot.desk.bay_records import Bay
from leadfoot.desk.bays import NewBay
from leadfoot.desk.desk import Desk
from leadfoot.desk.records import Role
from leadfoot.errors import InputError
from leadfoot.web.page import DeskHere, FormHere, ViewsHere, desk_of, page, said
from leadfoot.web.pages.lesson import FormTrouble, lesson_page
from leadfoot.web.planner import ASKED, order_named, planned_as_asked
from leadfoot.web.trouble import status_of

router = APIRouter()

LESSONS_OFFERED = 30
"""Lessons to choose from for a bay, the latest first (our own choice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LessonChoice:
    """A lesson that a bay may hit for."""

    id: int
    words: str


@router.get("/bays")
def show_bays(request: Request) -> HTMLResponse:
    """All bays."""
    return bays_page(request)


@router.post("/bays")
def add_bay(request: Request, desk: DeskHere, form: FormHere) -> Response:
    """Add a bay, and show its token this once."""
    name = said(form, "name").strip()
    try:
        new = deeds.add_bay(desk, name, lesson_id=_number(said(form, "lesson")))
    except InputError as error:
        return bays_page(request, error=error, typed=name)
    return bays_page(request, new=new)


@router.post("/bays/{name}/point")
def point_bay(request: Request, desk: DeskHere, form: FormHere, name: str) -> Response:
    """Say for which lesson a bay hits."""
    try:
        deeds.point_bay(desk, name, _number(said(form, "lesson")))
    except InputError as error:
        return bays_page(request, error=error)
    back = _number(said(form, "back"))
    return RedirectResponse(f"/lessons/{back}#hitting" if back else "/bays", status_code=303)


@router.post("/bays/{name}/withdraw")
def withdraw_bay(request: Request, desk: DeskHere, name: str) -> Response:
    """Let a bay send nothing more."""
    try:
        deeds.withdraw_bay(desk, name)
    except InputError as error:
        return bays_page(request, error=error)
    return RedirectResponse("/bays", status_code=303)


@router.post("/lessons/{lesson_id}/switch")
def switch_block(desk: DeskHere, form: FormHere, lesson_id: int) -> Response:
    """Let the balls from now on be before the change, with it, or neither."""
    switching.switch_block(desk, lesson_id, _role(said(form, "role")))
    back = f"/lessons/{lesson_id}/bay" if said(form, "back") == "bay" else None
    return RedirectResponse(back or f"/lessons/{lesson_id}#hitting", status_code=303)


@router.post("/lessons/{lesson_id}/plan")
def start_plan(request: Request, desk: DeskHere, form: FormHere, lesson_id: int) -> Response:
    """Begin to hit one of the orders that the planner offers."""
    try:
        planned = planned_as_asked(desk, lesson_id, {key: said(form, key) for key in ASKED})
        order = order_named(planned, said(form, "pattern"))
    except InputError as error:
        return lesson_page(request, lesson_id, trouble=FormTrouble(form="hitting", error=error))
    running_plan.start_plan(
        desk,
        lesson_id,
        order,
        quantity=planned.wanted.quantity,
        by_itself=said(form, "switching") == "itself",
    )
    return RedirectResponse(f"/lessons/{lesson_id}#hitting", status_code=303)


@router.post("/lessons/{lesson_id}/plan/stop")
def stop_plan(desk: DeskHere, lesson_id: int) -> Response:
    """Hit on without the plan; the balls and blocks stay as they are."""
    desk.book.stop_plan(lesson_id, at=desk.clock())
    return RedirectResponse(f"/lessons/{lesson_id}#hitting", status_code=303)


@router.post("/lessons/{lesson_id}/undo")
def undo_last(request: Request, desk: DeskHere, views: ViewsHere, lesson_id: int) -> Response:
    """Leave the last ball out."""
    try:
        deeds.undo_last(desk, lesson_id)
    except InputError as error:
        return lesson_page(request, lesson_id, trouble=FormTrouble(form="hitting", error=error))
    views.keep_answer(lesson_id)
    return RedirectResponse(f"/lessons/{lesson_id}#hitting", status_code=303)


@router.post("/lessons/{lesson_id}/move")
def move_shot(
    request: Request, desk: DeskHere, views: ViewsHere, form: FormHere, lesson_id: int
) -> Response:
    """Put the chosen ball into another block."""
    try:
        _move(desk, lesson_id, said(form, "shot"), said(form, "into"))
    except InputError as error:
        typed = {name: said(form, name) for name in ("shot", "into", "reason", "own_words")}
        trouble = FormTrouble(form="leave-out", error=error, typed=typed)
        return lesson_page(request, lesson_id, trouble=trouble)
    views.keep_answer(lesson_id)
    return RedirectResponse(f"/lessons/{lesson_id}#shots", status_code=303)


def _move(desk: Desk, lesson_id: int, shot: str, block: str) -> None:
    shots = {str(one.id): one.id for one in desk.book.shots(lesson_id)}
    if shot not in shots:
        raise InputError("No ball was chosen.", fix="Choose a ball in the table first.")
    blocks = {str(one.id): one.id for one in desk.book.blocks(lesson_id)}
    if block not in blocks:
        raise InputError("No block was chosen.", fix="Choose the block that the ball belongs to.")
    deeds.move_shot(desk, shots[shot], blocks[block])


def bays_page(
    request: Request,
    *,
    new: NewBay | None = None,
    error: InputError | None = None,
    typed: str = "",
    screen: tuple[str, str] | None = None,
) -> HTMLResponse:
    """The page of the bays; `screen` is a bay with the address of its screen, shown this once."""
    desk = desk_of(request)
    change = desk.book.last_change()
    everyone = desk.book.bays()
    in_use = [bay for bay in everyone if bay.withdrawn_at is None]
    return page(
        request,
        "bays.html",
        status=200 if error is None else status_of(error),
        change=change,
        bays=in_use,
        withdrawn=[bay.name for bay in everyone if bay.withdrawn_at is not None],
        choices=_choices(desk, in_use),
        new=new,
        screen=screen,
        with_screens={one.bay_id for one in desk.book.access.screens() if one.withdrawn_at is None},
        error=error,
        typed=typed,
        address=str(request.base_url).rstrip("/"),
        crumbs=(("/", "Today"),),
    )


def _choices(desk: Desk, in_use: list[Bay]) -> list[LessonChoice]:
    """The latest lessons, and those that bays hit for."""
    names = {student.id: student.name for student in desk.book.students()}
    lessons = desk.book.lessons()
    pointed = {bay.lesson_id for bay in in_use}
    latest = lessons[-LESSONS_OFFERED:]
    offered = [one for one in lessons if one in latest or one.id in pointed]
    return [
        LessonChoice(
            id=one.id, words=f"{names[one.student_id]}, {one.held_on.isoformat()}: {one.title}"
        )
        for one in reversed(offered)
    ]


def _number(text: str) -> int | None:
    return int(text) if text.isascii() and text.isdecimal() else None


def _role(text: str) -> Role:
    if text not in get_args(Role):
        raise InputError(
            f"{text!r} is not what a block can be.",
            fix="Choose before, with the change, or neither.",
        )
    return cast("Literal['before', 'with_change', 'other']", text)
