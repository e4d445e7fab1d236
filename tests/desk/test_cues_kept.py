"""Cues told from the answers that a book keeps are those told from lessons judged anew."""

import json

import pytest

from leadfoot.desk import lesson as deeds
from leadfoot.desk.answer import SeveralLessons
from leadfoot.desk.cues import cues_kept, cues_tried
from leadfoot.desk.desk import Desk
from leadfoot.desk.lesson import LessonView, lesson_view
from tests.web.lessons import give_lesson

CUES = ("soft block", "feet together", "Soft block.")


@pytest.fixture
def student_id(desk: Desk) -> int:
    first = give_lesson(desk, change=CUES[0])
    for cue in CUES[1:]:
        more = give_lesson(desk, change=cue)
        desk.book.merge_students(first.student.id, more.student.id, at=desk.clock())
    for lesson in desk.book.lessons(first.student.id):
        deeds.judge_lesson(desk, lesson.id)
    return first.student.id


def not_asked(lesson_id: int) -> LessonView:
    raise AssertionError(lesson_id)


def test_kept_answers_tell_the_same_as_lessons_judged_anew(desk: Desk, student_id: int) -> None:
    kept = cues_kept(desk, student_id, not_asked)
    assert kept == cues_tried(desk, student_id)
    assert len(kept[0].cues) == 2


def test_an_answer_of_an_earlier_version_is_judged_anew(desk: Desk, student_id: int) -> None:
    lesson = desk.book.lessons(student_id)[0]
    answer = lesson_view(desk, lesson.id).answer
    assert answer is not None
    desk.book.save_judgement(
        lesson.id, answer_json=json.dumps(answer.as_json()), version="0.0.old", at=desk.clock()
    )
    judged: list[int] = []

    def view_of(lesson_id: int) -> LessonView:
        judged.append(lesson_id)
        return lesson_view(desk, lesson_id)

    assert cues_kept(desk, student_id, view_of) == cues_tried(desk, student_id)
    assert judged == [lesson.id]


def test_what_several_lessons_say_comes_back_from_its_published_form() -> None:
    said = SeveralLessons(
        quantity="offline", unit="yd", n_lessons=3, n_before=30, n_after=28, spread_before=14.0,
        spread_after=11.5, narrower=0.93, verdict="not_yet", sentence="Over 3 lessons.",
    )  # fmt: skip
    assert SeveralLessons.from_json(said.as_json()) == said
