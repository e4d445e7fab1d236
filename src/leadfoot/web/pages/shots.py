"""The balls of a lesson: typed in, left out, taken back; and what each block is."""

from typing import Literal, cast, get_args

from fastapi import APIRouter, Request
from fastapi.responses import RedirectResponse, Response
from starlette.datastructures import FormData

from leadfoot.desk import lesson as deeds
from leadfoot.desk.desk import Desk
from leadfoot.desk.records import Lesson, Role
from leadfoot.desk.typing_in import read_line
from leadfoot.errors import InputError
from leadfoot.web.page import DeskHere, FormHere, ViewsHere, said
from leadfoot.web.pages.lesson import FormTrouble, field_choices, lesson_page

router = APIRouter()

_YEAR_S = 365 * 86_400
_LONGEST_KEY = 64


@router.post("/lessons/{lesson_id}/shots")
def type_shot(
    request: Request, desk: DeskHere, views: ViewsHere, form: FormHere, lesson_id: int
) -> Response:
    """Put a ball into a block from a typed line."""
    fields, key = _fields(form), said(form, "once")[:_LONGEST_KEY] or None
    came = None if key is None else desk.book.typed_shot(lesson_id, key)
    try:
        # Sent again because its answer was lost: no second ball, and no second new block for it.
        block_id = came.block_id if came else _typed_into(desk, form, lesson_id, fields)
        if came is None:
            deeds.type_shot(desk, block_id, said(form, "line"), fields, key=key)
    except InputError as error:
        typed = {name: said(form, name) for name in ("line", "block")}
        trouble = FormTrouble(form="type", error=error, typed=typed)
        return lesson_page(request, lesson_id, trouble=trouble)
    views.keep_answer(lesson_id)
    response = RedirectResponse(f"/lessons/{lesson_id}?block={block_id}#type", status_code=303)
    response.set_cookie("fields", ".".join(fields), max_age=_YEAR_S, samesite="strict")
    return response


@router.post("/lessons/{lesson_id}/leave-out")
def leave_out(
    request: Request, desk: DeskHere, views: ViewsHere, form: FormHere, lesson_id: int
) -> Response:
    """Leave a ball out of the judging, with a reason."""
    shot, reason = said(form, "shot"), said(form, "reason")
    own_words = said(form, "own_words").strip()
    try:
        shot_id = _shot_of(desk, lesson_id, shot)
        deeds.leave_out(desk, shot_id, own_words or reason)
    except InputError as error:
        typed = {"shot": shot, "reason": reason, "own_words": own_words}
        trouble = FormTrouble(form="leave-out", error=error, typed=typed)
        return lesson_page(request, lesson_id, trouble=trouble)
    views.keep_answer(lesson_id)
    return RedirectResponse(f"/lessons/{lesson_id}#shots", status_code=303)


@router.post("/lessons/{lesson_id}/take-back/{shot_id}")
def take_back(
    request: Request, desk: DeskHere, views: ViewsHere, lesson_id: int, shot_id: int
) -> Response:
    """Let a ball count again."""
    try:
        deeds.take_back(desk, _shot_of(desk, lesson_id, str(shot_id)))
    except InputError as error:
        trouble = FormTrouble(form="leave-out", error=error)
        return lesson_page(request, lesson_id, trouble=trouble)
    views.keep_answer(lesson_id)
    return RedirectResponse(f"/lessons/{lesson_id}#shots", status_code=303)


@router.post("/lessons/{lesson_id}/roles")
def set_roles(desk: DeskHere, views: ViewsHere, form: FormHere, lesson_id: int) -> Response:
    """Say what each block is: before the change, with it, or neither."""
    for block in desk.book.blocks(lesson_id):
        wanted = said(form, f"role-{block.id}", block.role)
        if wanted != block.role:
            deeds.set_role(desk, block.id, _role(wanted))
    views.keep_answer(lesson_id)
    return RedirectResponse(f"/lessons/{lesson_id}#blocks", status_code=303)


def _typed_into(desk: Desk, form: FormData, lesson_id: int, fields: tuple[str, ...]) -> int:
    """The block that the ball goes into; a new one begins only if the line can be read."""
    wanted = said(form, "block")
    if not wanted.startswith("new:"):
        return _block_of(desk, lesson_id, wanted)
    role = _role(wanted.removeprefix("new:"))
    lesson = desk.book.lesson(lesson_id)
    hand = desk.book.student(lesson.student_id).hand
    read_line(said(form, "line"), fields, hand=hand)
    return deeds.add_block(desk, lesson_id, label=_label(role, lesson), role=role).id


def _label(role: Role, lesson: Lesson) -> str:
    return {
        "before": "before",
        "with_change": lesson.change or "with the change",
        "other": "other balls",
    }[role]


def _fields(form: FormData) -> tuple[str, ...]:
    known = {value for value, _ in field_choices()}
    given = (value for value in form.getlist("field") if isinstance(value, str))
    return tuple(dict.fromkeys(value for value in given if value in known))


def _role(text: str) -> Role:
    if text not in get_args(Role):
        raise InputError(
            f"{text!r} is not what a block can be.",
            fix="Choose before, with the change, or neither.",
        )
    return cast("Literal['before', 'with_change', 'other']", text)


def _block_of(desk: Desk, lesson_id: int, text: str) -> int:
    for block in desk.book.blocks(lesson_id):
        if str(block.id) == text:
            return block.id
    raise InputError(
        "No block was chosen for this ball.", fix="Choose a block, or begin a new one."
    )


def _shot_of(desk: Desk, lesson_id: int, text: str) -> int:
    for shot in desk.book.shots(lesson_id):
        if str(shot.id) == text:
            return shot.id
    raise InputError("No ball was chosen.", fix="Choose a ball in the table first.")
