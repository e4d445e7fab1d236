"""One student: goals, cautions, and all lessons with their answers."""

import json
from collections.abc import Mapping

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from leadfoot.desk import lesson as deeds
from leadfoot.desk.answer import SeveralLessons
from leadfoot.desk.cues import cues_kept
from leadfoot.desk.desk import Desk
from leadfoot.desk.home_practice import NO_TEST
from leadfoot.desk.records import Lesson, StoredJudgement
from leadfoot.desk.several import newest_of_each
from leadfoot.errors import InputError
from leadfoot.figures.season import season_picture
from leadfoot.language.catalogue import languages
from leadfoot.web.page import DeskHere, FormHere, page, said, views_of
from leadfoot.web.pages.follow_up import followed, student_season
from leadfoot.web.pages.today import answer_line
from leadfoot.web.views import Views

router = APIRouter()


@router.get("/students/{student_id}")
def showstudent_page(request: Request, desk: DeskHere, student_id: int) -> HTMLResponse:
    """One student's page."""
    return student_page(request, desk, student_id)


@router.post("/students/{student_id}")
def changestudent_page(
    request: Request, desk: DeskHere, form: FormHere, student_id: int
) -> Response:
    """Write down what is known of the student."""
    typed = {name: said(form, name) for name in ("name", "hand", "goals", "cautions")}
    if not typed["name"].strip():
        error = InputError("The student has no name.", fix="Type a name.")
        return student_page(request, desk, student_id, typed=typed, error=error, status=422)
    desk.book.change_student(
        student_id,
        name=typed["name"].strip(),
        hand="left" if typed["hand"] == "left" else "right",
        goals=typed["goals"].strip(),
        cautions=typed["cautions"].strip(),
    )
    return RedirectResponse(f"/students/{student_id}", status_code=303)


@router.post("/students/{student_id}/lessons")
def add_lesson(desk: DeskHere, form: FormHere, student_id: int) -> Response:
    """Begin a lesson today."""
    lesson = deeds.add_lesson(
        desk,
        student_id,
        title=said(form, "title"),
        change=said(form, "change"),
        club=said(form, "club") or None,
        place=said(form, "place"),
    )
    return RedirectResponse(f"/lessons/{lesson.id}", status_code=303)


def student_page(
    request: Request,
    desk: Desk,
    student_id: int,
    *,
    typed: dict[str, str] | None = None,
    error: InputError | None = None,
    agreed: Mapping[str, object] | None = None,
    agreed_error: InputError | None = None,
    status: int = 200,
) -> HTMLResponse:
    """The page of a student; what was typed and refused stands in its form again."""
    change = desk.book.last_change()
    student = desk.book.student(student_id)
    views = views_of(request)
    shown = student_season(desk, student_id, quantity=request.query_params.get("quantity"))
    kept = desk.book.last_judgements(student_id)
    lessons = sorted(
        desk.book.lessons(student_id), key=lambda one: (one.held_on, one.id), reverse=True
    )
    return page(
        request,
        "student.html",
        status=status,
        change=change,
        student=student,
        lines=[answer_line(lesson, student, kept.get(lesson.id)) for lesson in lessons],
        together=[
            (one, several)
            for one in newest_of_each(lessons)
            if (several := _several(views, one, kept.get(one.id))) is not None
        ],
        clubs=cues_kept(desk, student_id, lambda lesson_id: views.of(lesson_id)[1]),
        followed=followed(desk, student_id, lessons),
        season=shown,
        season_alt=season_picture(shown).alt if shown else "",
        no_test=NO_TEST,
        typed=typed
        or {
            "name": student.name,
            "hand": student.hand,
            "goals": student.goals,
            "cautions": student.cautions,
        },
        error=error,
        agreed=agreed
        or {
            "consent_on": student.consent_on or "",
            "consent_words": student.consent_words,
            "minor": student.minor,
            "guardian": student.guardian,
        },
        agreed_error=agreed_error,
        languages=languages(),
        others=[
            one for one in desk.book.students() if one.id != student_id and one.hand == student.hand
        ],
        invented=student.invented,
        crumbs=(("/", "Today"),),
    )


def _several(views: Views, lesson: Lesson, kept: StoredJudgement | None) -> SeveralLessons | None:
    """What several lessons say together, as the book keeps it; judged anew where it does not."""
    straighter = json.loads(kept.answer_json).get("straighter", {}) if kept else {}
    if "several_lessons" not in straighter:
        judged = views.of(lesson.id)[1].answer
        return judged.several if judged else None
    said = straighter["several_lessons"]
    return SeveralLessons.from_json(said) if said else None
