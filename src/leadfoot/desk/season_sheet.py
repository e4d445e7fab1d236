"""The season on paper: how a student's levels went, what was tried, and what lasted of it."""

import json
from typing import Literal

from leadfoot.desk.desk import Desk
from leadfoot.desk.follow_up import state_of
from leadfoot.desk.lasting import lasted
from leadfoot.desk.reader import language_for
from leadfoot.desk.records import Lesson, StoredJudgement
from leadfoot.desk.season import season
from leadfoot.desk.season_records import Followed, SeasonSheet, ToCome
from leadfoot.errors import InputError
from leadfoot.language.say import speaking

Paper = Literal["a4", "us-letter"]


def season_on_paper(
    desk: Desk, student_id: int, *, club: str | None = None, quantity: str | None = None
) -> SeasonSheet:
    """Gather the sheet; its sentences are said in the language that is spoken.

    Parameters
    ----------
    desk, student_id
        Whose.
    club, quantity
        As in `leadfoot.desk.season.season`.

    Raises
    ------
    InputError
        If there is no season yet.
    """
    kept = desk.book.last_judgements(student_id)
    decisions = {lesson_id: _decision(answer) for lesson_id, answer in kept.items()}
    found = season(desk, student_id, club=club, quantity=quantity, decisions=decisions)
    if found is None:
        raise InputError(
            "There is no season to print yet.", fix="Two lessons with one club make one."
        )
    shown = {point.lesson_id for point in found.points}
    lessons = [one for one in desk.book.lessons(student_id) if one.id in shown]
    planned = [one for one in desk.book.tests_of(student_id) if not one.dropped]
    tests = {one.id: [test for test in planned if test.lesson_id == one.id] for one in lessons}
    today = desk.clock().date()
    return SeasonSheet(
        student=desk.book.student(student_id),
        day=today,
        season=found,
        followed=tuple(
            Followed(day=one.held_on, change=_name(one), sentence=lasted(desk, one.id).sentence)
            for one in lessons
            if any(test.done_lesson_id is not None for test in tests[one.id])
        ),
        to_come=tuple(
            ToCome(
                change=_name(one),
                kind=test.kind,
                due_from=test.due_from,
                due_to=test.due_to,
                overdue=state_of(test, today) == "overdue",
            )
            for one in lessons
            for test in tests[one.id]
            if test.done_lesson_id is None
        ),
    )


def season_sheet(
    desk: Desk,
    student_id: int,
    paper: Paper,
    *,
    club: str | None = None,
    quantity: str | None = None,
    language: str | None = None,
) -> bytes:
    """Print the season of a student.

    Parameters
    ----------
    desk, student_id
        Whose.
    paper
        Size of the paper.
    club, quantity
        As in `leadfoot.desk.season.season`.
    language
        Code of the language of this one sheet; None: the student's.

    Raises
    ------
    InputError
        If there is no season yet, or there are no texts in that language.
    ReportError
        If this desk prints no seasons.
    """
    with speaking(language_for(desk.book.student(student_id), language)):
        found = season_on_paper(desk, student_id, club=club, quantity=quantity)
        return desk.season_printer(found, paper=paper)


def _decision(kept: StoredJudgement) -> str:
    return str(json.loads(kept.answer_json).get("decision", ""))


def _name(lesson: Lesson) -> str:
    return (lesson.change or lesson.title).strip().rstrip(".")
