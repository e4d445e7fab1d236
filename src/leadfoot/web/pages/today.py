"""The first page: the lessons of today, and all students."""

import json
from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from leadfoot.desk import lesson as deeds
from leadfoot.desk.desk import Desk
from leadfoot.desk.follow_up import due_tests
from leadfoot.desk.keeping import find_students
from leadfoot.desk.records import Hand, Lesson, StoredJudgement, Student
from leadfoot.errors import InputError
from leadfoot.web.page import DeskHere, FormHere, page, said

router = APIRouter()


@dataclass(frozen=True, slots=True, kw_only=True)
class LessonLine:
    """A lesson in a list; ``sentence`` is its last answer, empty where there is none yet."""

    lesson: Lesson
    student: Student
    sentence: str
    decision: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StudentLine:
    """A student in the list, with the last lesson."""

    student: Student
    n_lessons: int
    last: LessonLine | None


def lesson_line(desk: Desk, lesson: Lesson, student: Student) -> LessonLine:
    """A lesson with the answer that was kept last."""
    kept = desk.book.judgements(lesson.id)
    return answer_line(lesson, student, kept[-1] if kept else None)


def answer_line(lesson: Lesson, student: Student, kept: StoredJudgement | None) -> LessonLine:
    """A lesson with an answer that was kept, or with none."""
    answer = json.loads(kept.answer_json) if kept else {}
    return LessonLine(
        lesson=lesson,
        student=student,
        sentence=str(answer.get("sentence", "")),
        decision=str(answer.get("decision", "")),
    )


@router.get("/")
def show_today(
    request: Request, desk: DeskHere, find: str = "", archived: str = ""
) -> HTMLResponse:
    """The lessons of today and all students, or those that are looked for."""
    return _today(request, desk, find=find, archived=archived == "yes")


@router.post("/students")
def add_student(request: Request, desk: DeskHere, form: FormHere) -> Response:
    """Put a new student into the book."""
    typed = {name: said(form, name) for name in ("name", "hand", "goals", "cautions")}
    hand: Hand = "left" if typed["hand"] == "left" else "right"
    try:
        student = deeds.add_student(
            desk, name=typed["name"], hand=hand, goals=typed["goals"], cautions=typed["cautions"]
        )
    except InputError as error:
        return _today(request, desk, typed=typed, error=error, status=422)
    return RedirectResponse(f"/students/{student.id}", status_code=303)


def _today(
    request: Request,
    desk: Desk,
    *,
    typed: dict[str, str] | None = None,
    error: InputError | None = None,
    find: str = "",
    archived: bool = False,
    status: int = 200,
) -> HTMLResponse:
    change = desk.book.last_change()
    day = desk.clock().date()
    students = desk.book.students()
    by_id = {student.id: student for student in students}
    lessons = desk.book.lessons()
    todays = [
        lesson_line(desk, lesson, by_id[lesson.student_id])
        for lesson in lessons
        if lesson.held_on == day
    ]
    return page(
        request,
        "today.html",
        status=status,
        change=change,
        day=day,
        todays=todays,
        due=[one for one in due_tests(desk) if one.student.archived_at is None],
        lines=[
            _student_line(desk, student, lessons)
            for student in find_students(students, find, archived=archived)
        ],
        find=find,
        archived=archived,
        n_students=len(students),
        n_archived=sum(student.archived_at is not None for student in students),
        typed=typed or {"name": "", "hand": "right", "goals": "", "cautions": ""},
        error=error,
        invented=bool(students) and all(student.invented for student in students),
    )


def _student_line(desk: Desk, student: Student, lessons: tuple[Lesson, ...]) -> StudentLine:
    own = [lesson for lesson in lessons if lesson.student_id == student.id]
    last = max(own, key=lambda lesson: (lesson.held_on, lesson.id), default=None)
    return StudentLine(
        student=student,
        n_lessons=len(own),
        last=lesson_line(desk, last, student) if last is not None else None,
    )
