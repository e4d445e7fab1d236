"""Tests after a lesson, cautions said in it, and the season in which the tests stand."""

import csv
from collections import Counter
from io import StringIO
from typing import Annotated, Literal

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse, JSONResponse, RedirectResponse, Response

from leadfoot.coaching.safety import cautions
from leadfoot.desk.desk import Desk
from leadfoot.desk.follow_up import USUAL_TESTS, begin_test, drop_test, lessons_of_tests, plan_tests
from leadfoot.desk.lasting import lasted
from leadfoot.desk.records import Lesson
from leadfoot.desk.season import season
from leadfoot.desk.season_records import Season
from leadfoot.desk.season_sheet import season_sheet
from leadfoot.errors import InputError
from leadfoot.figures.look import DAY, NIGHT, PRINT
from leadfoot.figures.season import season_picture
from leadfoot.tables.safe_csv import safe_cell
from leadfoot.web.download import pdf_page
from leadfoot.web.page import DeskHere, FormHere, LanguageAsked, page, said
from leadfoot.web.pages.today import answer_line

router = APIRouter()

LOOKS = {"paper": DAY, "slate": NIGHT, "print": PRINT}
ClubChoice = Annotated[str | None, Query(alias="club", max_length=200)]
QuantityChoice = Annotated[str | None, Query(alias="quantity", max_length=40)]


@router.get("/lessons/{lesson_id}/after")
def show_after(request: Request, desk: DeskHere, lesson_id: int) -> HTMLResponse:
    """What follows a lesson: cautions said, tests to come, what lasted."""
    lesson = desk.book.lesson(lesson_id)
    student = desk.book.student(lesson.student_id)
    tests = desk.book.planned_tests(lesson_id)
    return page(
        request,
        "after.html",
        change=desk.book.last_change(),
        lesson_id=lesson_id,
        lesson=lesson,
        student=student,
        tests=tests,
        usual=USUAL_TESTS,
        today=desk.clock().date(),
        lasted=lasted(desk, lesson_id) if lessons_of_tests(desk, lesson) else None,
        cautions=cautions(),
        given={one.key: one for one in desk.book.cautions_given(lesson_id)},
        invented=student.invented,
        crumbs=(
            ("/", "Today"),
            (f"/students/{student.id}", student.name),
            (f"/lessons/{lesson.id}", "Lesson"),
        ),
    )


@router.post("/lessons/{lesson_id}/tests")
def plan(desk: DeskHere, form: FormHere, lesson_id: int) -> Response:
    """Plan the usual tests, or those that were chosen."""
    plan_tests(desk, lesson_id, [str(key) for key in form.getlist("keys")])
    return RedirectResponse(f"/lessons/{lesson_id}/after", status_code=303)


@router.post("/lessons/{lesson_id}/cautions")
def say_cautions(desk: DeskHere, form: FormHere, lesson_id: int) -> Response:
    """Record which cautions were said."""
    for key in form.getlist("keys"):
        known = cautions().get(str(key))
        if known is not None:
            text = f"{known.title}. {known.text}"
            desk.book.give_caution(lesson_id, key=known.key, text=text, at=desk.clock())
    return RedirectResponse(f"/lessons/{lesson_id}/after", status_code=303)


@router.post("/tests/{test_id}/begin")
def begin(desk: DeskHere, form: FormHere, test_id: int) -> Response:
    """Begin the lesson in which a test is hit: with which club, and where."""
    begun = begin_test(desk, test_id, club=said(form, "club"), place=said(form, "place"))
    return RedirectResponse(f"/lessons/{begun.id}", status_code=303)


@router.post("/tests/{test_id}/drop")
def drop(desk: DeskHere, test_id: int) -> Response:
    """Call a test off."""
    test = drop_test(desk, test_id)
    return RedirectResponse(f"/lessons/{test.lesson_id}/after", status_code=303)


@router.get("/lessons/{lesson_id}/lasted.json")
def give_lasted(desk: DeskHere, lesson_id: int) -> JSONResponse:
    """What lasted, in its published form."""
    return JSONResponse(lasted(desk, lesson_id).as_json())


@router.get("/students/{student_id}/season.csv")
def give_table(
    desk: DeskHere, student_id: int, club: ClubChoice = None, quantity: QuantityChoice = None
) -> Response:
    """The season as a table."""
    found = _season(desk, student_id, club, quantity)
    out = StringIO()
    table = csv.writer(out, lineterminator="\n")
    unit = found.unit or "no unit"
    heads = ("day", "what", f"{found.name} ({unit})", "low", "high", "balls", "change", "place")
    table.writerow(heads)
    for one in found.points:
        ends = (f"{number:.3f}" for number in (one.level, one.low, one.high))
        said = map(safe_cell, (one.change, one.place))
        table.writerow((one.day.isoformat(), one.kind, *ends, one.n_balls, *said))
    return _download(out.getvalue().encode(), "text/csv", f"season-{student_id}.csv")


@router.get("/students/{student_id}/season.pdf")
def print_it(
    desk: DeskHere,
    student_id: int,
    *,
    paper: Literal["a4", "us-letter"] = "a4",
    club: ClubChoice = None,
    quantity: QuantityChoice = None,
    language: LanguageAsked = None,
) -> Response:
    """The season on paper, in the student's language or another for this once."""
    pdf = season_sheet(desk, student_id, paper, club=club, quantity=quantity, language=language)
    return pdf_page(pdf, f"season-{student_id}-{paper}.pdf")


@router.get("/students/{student_id}/season.{kind}")
def give_picture(
    desk: DeskHere,
    student_id: int,
    kind: Literal["svg", "png"],
    *,
    club: ClubChoice = None,
    quantity: QuantityChoice = None,
    look: Literal["paper", "slate", "print"] = "print",
    here: bool = False,
) -> Response:
    """The season as a picture."""
    picture = season_picture(_season(desk, student_id, club, quantity), look=LOOKS[look])
    if here:
        return Response(picture.png(), media_type="image/png")
    name = f"season-{student_id}.{kind}"
    if kind == "svg":
        return _download(picture.svg(), "image/svg+xml", name)
    return _download(picture.png(), "image/png", name)


def student_season(
    desk: Desk, student_id: int, *, club: str | None = None, quantity: str | None = None
) -> Season | None:
    """The season with the answer of each lesson."""
    student = desk.book.student(student_id)
    kept = desk.book.last_judgements(student_id)
    decisions = {
        lesson.id: answer_line(lesson, student, kept.get(lesson.id)).decision
        for lesson in desk.book.lessons(student_id)
    }
    return season(desk, student_id, club=club, quantity=quantity, decisions=decisions)


def followed(desk: Desk, student_id: int, lessons: list[Lesson]) -> list[tuple[Lesson, str, int]]:
    """Lessons with planned tests: what lasted in a sentence, and how many tests are open."""
    tests = [one for one in desk.book.tests_of(student_id) if not one.dropped]
    n_open = Counter(one.lesson_id for one in tests if one.done_lesson_id is None)
    tested = {one.lesson_id for one in tests}
    return [
        (lesson, lasted(desk, lesson.id).sentence, n_open[lesson.id])
        for lesson in lessons
        if lesson.id in tested
    ]


def _season(desk: Desk, student_id: int, club: str | None, quantity: str | None) -> Season:
    found = student_season(desk, student_id, club=club, quantity=quantity)
    if found is None:
        raise InputError(
            "There is no season to draw yet.",
            fix="Two lessons with one club make one, or a lesson and practice.",
        )
    return found


def _download(data: bytes, kind: str, name: str) -> Response:
    return Response(
        data, media_type=kind, headers={"Content-Disposition": f'attachment; filename="{name}"'}
    )
