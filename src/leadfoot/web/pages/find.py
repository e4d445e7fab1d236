"""What limits the student: findings of the balls hit as usual, with what answers each."""

from typing import TYPE_CHECKING, Annotated, Literal

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse, JSONResponse, Response

from leadfoot.coaching.rules import rules
from leadfoot.desk.baseline import baseline_of
from leadfoot.desk.best_cues import BestCues, best_cues, lines_of_drills, way_of
from leadfoot.desk.care import care_for
from leadfoot.desk.desk import Desk
from leadfoot.desk.finding import Found, find_for
from leadfoot.desk.lesson import own_club_of
from leadfoot.desk.own_drills import own_drills
from leadfoot.desk.settings import studio_of
from leadfoot.desk.works import CueLine
from leadfoot.errors import InputError
from leadfoot.figures.finding import finding_picture
from leadfoot.figures.look import DAY, NIGHT, PRINT
from leadfoot.units import parse_written, si_from
from leadfoot.web.page import DeskHere, page

if TYPE_CHECKING:
    from leadfoot.web.works_job import WorksJob

router = APIRouter(prefix="/lessons/{lesson_id}")

_LOOKS = {"paper": DAY, "slate": NIGHT, "print": PRINT}
ModelClub = Annotated[str | None, Query(alias="club", max_length=40)]
Goal = Annotated[str, Query(max_length=40)]


def _found(desk: Desk, lesson_id: int, model_club: str | None, goal: str) -> Found:
    lesson = desk.book.lesson(lesson_id)
    studio = studio_of(desk)
    blocks, shots = desk.book.blocks(lesson_id), desk.book.shots(lesson_id)
    question = baseline_of(blocks, shots, studio, own_club_of(studio, lesson, shots))
    hand = desk.book.student(lesson.student_id).hand
    return find_for(
        question,
        hand=hand,
        club_key=model_club or None,
        goal_speed_mps=_speed_mps(goal, studio.units.speed or "mph"),
        care=care_for(desk, lesson.student_id),
        book_drills=own_drills(desk),
    )


def _speed_mps(goal: str, unit_meant: str) -> float | None:
    """A club speed as it was typed; in the unit of the studio where none was."""
    if not goal.strip():
        return None
    bare = goal.strip().replace(",", ".")
    written = f"{bare} {unit_meant}" if bare.replace(".", "", 1).isdigit() else bare
    value, unit = parse_written(written, "speed")
    return si_from(value, unit)


def _of_the_book(
    request: Request, found: Found | None
) -> tuple[dict[str, BestCues], dict[str, CueLine], bool]:
    """Best cues by finding, lines by finding and drill, and whether the book was ever pooled."""
    job: WorksJob = request.app.state.works
    works = job.last()
    if found is None or works is None:
        return {}, {}, works is not None
    best, lines = {}, {}
    for one in found.findings:
        cues = best_cues(works, one.key, way_of(rules()[one.key], one.side))
        if cues is not None:
            best[one.key] = cues
            tried = lines_of_drills(works, cues, one.drills)
            lines.update({f"{one.key} {key}": line for key, line in tried.items()})
    return best, lines, True


@router.get("/find")
def show_find(
    request: Request, desk: DeskHere, lesson_id: int, model_club: ModelClub = None, goal: Goal = ""
) -> HTMLResponse:
    """The page of the findings; where nothing can be found, it says what is missing."""
    lesson = desk.book.lesson(lesson_id)
    student = desk.book.student(lesson.student_id)
    found, missing = None, None
    try:
        found = _found(desk, lesson_id, model_club, goal)
    except InputError as error:
        missing = error
    best, of_book, pooled = _of_the_book(request, found)
    return page(
        request,
        "find.html",
        lesson=lesson,
        student=student,
        found=found,
        missing=missing,
        care=care_for(desk, student.id),
        best=best,
        of_book=of_book,
        pooled=pooled,
        clubs=studio_of(desk).clubs,
        goal=goal,
        model_club=model_club or (found.model_club if found else ""),
        invented=student.invented,
        crumbs=(
            ("/", "Today"),
            (f"/students/{student.id}", student.name),
            (f"/lessons/{lesson.id}", "Lesson"),
        ),
    )


@router.get("/find.json")
def give_json(
    desk: DeskHere, lesson_id: int, model_club: ModelClub = None, goal: Goal = ""
) -> JSONResponse:
    """The findings in their published form."""
    return JSONResponse(_found(desk, lesson_id, model_club, goal).as_json())


@router.get("/find.{kind}")
def give_picture(
    desk: DeskHere,
    lesson_id: int,
    kind: Literal["svg", "png"],
    *,
    model_club: ModelClub = None,
    goal: Goal = "",
    look: Literal["paper", "slate", "print"] = "print",
) -> Response:
    """The findings as a picture to take away."""
    picture = finding_picture(_found(desk, lesson_id, model_club, goal), look=_LOOKS[look])
    data, media = (
        (picture.svg(), "image/svg+xml") if kind == "svg" else (picture.png(), "image/png")
    )
    name = f"find-{lesson_id}.{kind}"
    return Response(
        data, media_type=media, headers={"Content-Disposition": f'attachment; filename="{name}"'}
    )
