"""A student with very many balls, written straight into a book; every ball is invented."""

import json
from datetime import UTC, date, datetime, timedelta
from typing import Any

from sqlalchemy import insert

from leadfoot.bay.simulated import InventedStudent
from leadfoot.book.store import SqlBook
from leadfoot.book.tables import BlockRow, JudgementRow, LessonRow, ShotRow
from leadfoot.desk.desk import Desk
from leadfoot.desk.lesson import kept_form, lesson_view
from leadfoot.desk.records import Role, Student

CLUBS = ("driver", "7 iron")
ROLES: tuple[Role, ...] = ("before", "with_change")
N_CUES = 12
DAYS_APART = 9
"""From lesson to lesson."""


def write_long_student(desk: Desk, book: SqlBook, *, n_balls: int, a_lesson: int = 200) -> Student:
    """A student with `n_balls` in lessons of `a_lesson`, half as usual and half with the change."""
    n_lessons = n_balls // a_lesson
    student = book.add_student(
        name="Lena Long", hand="right", goals="", cautions="", invented=True, at=desk.clock()
    )
    with book.writing() as session:
        first = {
            table: (session.query(table.id).order_by(table.id.desc()).limit(1).scalar() or 0) + 1
            for table in (LessonRow, BlockRow)
        }
    balls = {club: InventedStudent(club=club, change="faster").hit(a_lesson) for club in CLUBS}
    lessons: list[dict[str, Any]] = []
    blocks: list[dict[str, Any]] = []
    shots: list[dict[str, Any]] = []
    for number in range(n_lessons):
        lesson_id = first[LessonRow] + number
        day = desk.clock().date() - timedelta(days=DAYS_APART * (n_lessons - 1 - number))
        hit_at = datetime(day.year, day.month, day.day, 12, tzinfo=UTC)
        club = CLUBS[number % len(CLUBS)]
        lessons.append(_lesson(lesson_id, student.id, day, number, club))
        for place, role in enumerate(ROLES):
            block_id = first[BlockRow] + 2 * number + place
            blocks.append({"id": block_id, "lesson_id": lesson_id, "place": place + 1,
                           "label": role, "role": role})  # fmt: skip
            for at in range(place * a_lesson // 2, (place + 1) * a_lesson // 2):
                shot = balls[club].shot((at + 7 * number) % a_lesson, role, run="long")
                shots.append({"lesson_id": lesson_id, "block_id": block_id, "place": at + 1,
                              "club": club, "readings": shot.values, "source": "typed",
                              "hit_at": hit_at})  # fmt: skip
    with book.writing() as session:
        for table, rows in ((LessonRow, lessons), (BlockRow, blocks), (ShotRow, shots)):
            session.execute(insert(table), rows)
    _keep_answers(desk, book, [one["id"] for one in lessons])
    return student


def _lesson(
    lesson_id: int, student_id: int, day: date, number: int, club: str
) -> dict[str, object]:
    cue = f"invented cue {number // len(CLUBS) % N_CUES + 1}"
    return {"id": lesson_id, "student_id": student_id, "held_on": day, "title": "", "change": cue,
            "club": club, "notes": ""}  # fmt: skip


def _keep_answers(desk: Desk, book: SqlBook, lesson_ids: list[int]) -> None:
    """The answer of the first lesson of each club stands for all: only times are asked for."""
    texts = []
    for lesson_id in lesson_ids[: len(CLUBS)]:
        answer = lesson_view(desk, lesson_id).answer
        assert answer is not None
        texts.append(json.dumps(kept_form(answer), sort_keys=True))
    with book.writing() as session:
        session.execute(
            insert(JudgementRow),
            [
                {"lesson_id": lesson_id, "made_at": desk.clock(), "version": desk.version,
                 "answer_json": texts[number % len(CLUBS)]}
                for number, lesson_id in enumerate(lesson_ids)
            ],
        )  # fmt: skip
