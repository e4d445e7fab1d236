"""Why a lesson changed the ball: the shares of each part of the swing, to see and to take away."""

from typing import Annotated

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse, JSONResponse, Response

from leadfoot.coaching.attribution import OutcomeName
from leadfoot.desk.desk import Desk
from leadfoot.desk.lesson import question_of
from leadfoot.desk.settings import studio_of
from leadfoot.desk.why import Why, why_for
from leadfoot.errors import InputError
from leadfoot.figures.why import why_picture
from leadfoot.tables.safe_csv import safe_csv
from leadfoot.web.download import LOOKS, LookName, PictureKind, csv_file, picture_file
from leadfoot.web.page import DeskHere, page

router = APIRouter(prefix="/lessons/{lesson_id}")

ModelClub = Annotated[str | None, Query(alias="club", max_length=40)]


def _why(desk: Desk, lesson_id: int, model_club: str | None) -> Why:
    lesson = desk.book.lesson(lesson_id)
    question = question_of(desk, lesson, desk.book.blocks(lesson_id), desk.book.shots(lesson_id))
    hand = desk.book.student(lesson.student_id).hand
    return why_for(question, hand=hand, club_key=model_club or None)


@router.get("/why")
def show_why(
    request: Request, desk: DeskHere, lesson_id: int, model_club: ModelClub = None
) -> HTMLResponse:
    """The page of the shares; where they can't be told, it says what is missing."""
    lesson = desk.book.lesson(lesson_id)
    student = desk.book.student(lesson.student_id)
    why, missing = None, None
    try:
        why = _why(desk, lesson_id, model_club)
    except InputError as error:
        missing = error
    return page(
        request,
        "why.html",
        lesson=lesson,
        student=student,
        why=why,
        missing=missing,
        clubs=studio_of(desk).clubs,
        model_club=model_club or (why.model_club if why else ""),
        invented=student.invented,
        crumbs=(
            ("/", "Today"),
            (f"/students/{student.id}", student.name),
            (f"/lessons/{lesson.id}", "Lesson"),
        ),
    )


@router.get("/why.json")
def give_json(desk: DeskHere, lesson_id: int, model_club: ModelClub = None) -> JSONResponse:
    """The shares in their published form."""
    return JSONResponse(_why(desk, lesson_id, model_club).as_json())


@router.get("/why.csv")
def give_table(desk: DeskHere, lesson_id: int, model_club: ModelClub = None) -> Response:
    """The shares as a table."""
    why = _why(desk, lesson_id, model_club)
    rows = []
    for split in why.splits.values():
        rest = () if split.unexplained is None else (split.unexplained,)
        rows += [
            (split.name, share.part, share.value, share.low, share.high)
            for share in (*split.shares, split.change, *rest)
        ]
    header = ("outcome", "part", f"share ({why.unit})", "low", "high")
    return csv_file(safe_csv(header, rows, decimals=2), f"why-{lesson_id}")


@router.get("/why/{outcome}.{kind}")
def give_picture(
    desk: DeskHere,
    lesson_id: int,
    outcome: OutcomeName,
    kind: PictureKind,
    *,
    look: LookName = "print",
    model_club: ModelClub = None,
) -> Response:
    """The shares of one outcome as a picture."""
    picture = why_picture(_why(desk, lesson_id, model_club), outcome, look=LOOKS[look])
    return picture_file(picture, kind, f"why-{lesson_id}-{outcome}")
