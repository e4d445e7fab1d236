"""Faster against straighter: what a faster swing costs this student, club by club."""

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from leadfoot.desk.speed_straightness import (
    LOW_POINT_NOTE,
    ONE_PLACE,
    OVER_BLOCKS,
    YARDS_NOTE,
    speed_lines,
)
from leadfoot.units import si_into
from leadfoot.web.page import DeskHere, page

router = APIRouter(prefix="/students/{student_id}/speed")


@router.get("")
def show_speed(request: Request, desk: DeskHere, student_id: int) -> HTMLResponse:
    """The page; where it cannot be told, it says how many balls are missing."""
    student = desk.book.student(student_id)
    change = desk.book.last_change()
    return page(
        request,
        "speed.html",
        change=change,
        student=student,
        clubs=speed_lines(desk, student_id),
        into=si_into,
        rests=(OVER_BLOCKS, ONE_PLACE, YARDS_NOTE, LOW_POINT_NOTE),
        invented=student.invented,
        crumbs=(("/", "Today"), (f"/students/{student.id}", student.name)),
    )
