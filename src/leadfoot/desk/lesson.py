"""A lesson as it goes on: balls typed in, left out, taken back, judged, printed."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from functools import lru_cache
from types import MappingProxyType
from typing import Any, Literal

import numpy as np

from leadfoot.desk.answer import Answer, SeveralLessons
from leadfoot.desk.desk import Desk
from leadfoot.desk.history import past_lessons
from leadfoot.desk.judging import answer_for
from leadfoot.desk.places import STUDIO, place_named
from leadfoot.desk.planned_before import planned_before
from leadfoot.desk.reader import language_for
from leadfoot.desk.records import (
    Block,
    Hand,
    Lesson,
    NewShot,
    RawFile,
    Role,
    StoredShot,
    Student,
)
from leadfoot.desk.running_plan import RunningPlan, follow_plan, standing
from leadfoot.desk.settings import studio_of
from leadfoot.desk.several import several_lessons
from leadfoot.desk.sides import Question
from leadfoot.desk.studio import USUAL_STUDIO, Studio
from leadfoot.desk.typing_in import read_line
from leadfoot.errors import InputError
from leadfoot.language.catalogue import ENGLISH
from leadfoot.language.say import noted, speaking, spoken
from leadfoot.shots.shot import Readings, ShotTable
from leadfoot.units import UNITS

LEAVE_OUT_REASONS = (
    noted("the ball was not struck in earnest"),
    noted("the instrument misread it"),
    noted("something disturbed the swing"),
)
"""Reasons offered for leaving a shot out. A mishit is none: mishits count."""

NOTHING_TO_COMPARE = "There is nothing to compare yet."
BALLS_BEFORE = "Hit some balls as usual first: they are what the change is compared with."
BALLS_WITH = "Now hit some balls with the change."


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LessonView:
    """Everything the page of one lesson shows."""

    student: Student
    lesson: Lesson
    blocks: tuple[Block, ...]
    shots: tuple[StoredShot, ...]
    files: tuple[RawFile, ...]
    answer: Answer | None
    """None until there are shots before and with the change."""
    waiting_for: str
    """What is still needed for an answer, in words; empty once there is one."""
    studio: Studio = USUAL_STUDIO
    """In whose units the balls stand, and through whose air they fly."""
    plan: RunningPlan | None = None
    """The plan that is being hit; None where none was started."""


def add_student(
    desk: Desk, *, name: str, hand: Hand, goals: str = "", cautions: str = ""
) -> Student:
    """Put a new student into the book.

    Raises
    ------
    InputError
        If the name is empty.
    """
    if not name.strip():
        raise InputError("The student has no name.", fix="Type a name.")
    return desk.book.add_student(
        name=name.strip(),
        hand=hand,
        goals=goals.strip(),
        cautions=cautions.strip(),
        invented=False,
        at=desk.clock(),
    )


def add_lesson(
    desk: Desk,
    student_id: int,
    *,
    title: str = "",
    change: str = "",
    club: str | None = None,
    place: str = STUDIO,
) -> Lesson:
    """Begin a lesson today; its blocks come with the first balls.

    Raises
    ------
    InputError
        If the place has too many letters.
    """
    return desk.book.add_lesson(
        student_id=student_id,
        held_on=desk.clock().date(),
        title=title.strip() or "Lesson",
        change=change.strip(),
        club=(club or "").strip() or None,
        place=place_named(place.strip() or STUDIO),
    )


def type_shot(
    desk: Desk, block_id: int, line: str, fields: Sequence[str], *, key: str | None = None
) -> StoredShot:
    """Put one ball into a block from a typed line such as ``94 165 2R``.

    Parameters
    ----------
    desk
        Where it is written.
    block_id
        The block that is being hit.
    line
        Values in the order of `fields`, separated by blanks.
    fields
        Quantity keys, each with a unit after a colon where it is not the usual one:
        ``("club_speed", "carry:m", "offline")``.
    key
        The page's own word for this ball; sent again, it is the same ball and not another one.

    Raises
    ------
    InputError
        If a value can't be read; nothing is written then.
    """
    block = desk.book.block(block_id)
    lesson = desk.book.lesson(block.lesson_id)
    hand = desk.book.student(lesson.student_id).hand
    shot = NewShot(club=lesson.club, values=read_line(line, fields, hand=hand))
    kept = desk.book.add_shot(block_id, shot, at=desk.clock(), key=key)
    follow_plan(desk, lesson.id)
    return kept


def leave_out(desk: Desk, shot_id: int, reason: str) -> StoredShot:
    """Leave a shot out of the judging, with the reason that every page will show.

    Raises
    ------
    InputError
        If no reason is given.
    """
    if not reason.strip():
        raise InputError(
            "A shot can't be left out without a reason.", fix="Choose a reason, or type one."
        )
    return desk.book.leave_out(shot_id, reason=reason.strip())


def take_back(desk: Desk, shot_id: int) -> StoredShot:
    """Let a shot that was left out count again."""
    return desk.book.take_back(shot_id)


def add_block(desk: Desk, lesson_id: int, *, label: str, role: Role) -> Block:
    """Begin a new block.

    Raises
    ------
    InputError
        If the label is empty.
    """
    if not label.strip():
        raise InputError("The block has no name.", fix="Type one, such as: before.")
    return desk.book.add_block(lesson_id, label=label.strip(), role=role)


def block_for(desk: Desk, lesson_id: int, role: Role) -> Block:
    """The block that a ball hit now belongs to: the running one, or a new one for another role.

    Going back to "before" after balls with the change begins a block of its own, so that the
    order in which the balls were hit is kept.
    """
    blocks = desk.book.blocks(lesson_id)
    if blocks and blocks[-1].role == role:
        return blocks[-1]
    label = {"before": "before", "with_change": "with the change", "other": "other"}[role]
    return desk.book.add_block(lesson_id, label=label, role=role)


def set_role(desk: Desk, block_id: int, role: Role) -> Block:
    """Say what a block is: before the change, with it, or neither."""
    block = desk.book.block(block_id)
    return desk.book.change_block(block_id, label=block.label, role=role)


def lesson_view(desk: Desk, lesson_id: int) -> LessonView:
    """Gather a lesson and judge it as it stands; reading only, nothing is written."""
    book = desk.book
    with book.at_once():
        lesson = book.lesson(lesson_id)
        student = book.student(lesson.student_id)
        studio = studio_of(desk)
        blocks, shots = book.blocks(lesson_id), studio.shown(book.shots(lesson_id))
        files = _tables(desk, lesson_id)
        plan = standing(book.running_plan(lesson_id), blocks, shots)
        asked = _question(desk, lesson, blocks, shots)
        together = several_lessons(desk, lesson)
    return LessonView(
        student=student,
        lesson=lesson,
        blocks=blocks,
        shots=shots,
        files=files,
        answer=None if isinstance(asked, str) else _answer(asked, together),
        waiting_for=asked if isinstance(asked, str) else "",
        studio=studio,
        plan=plan,
    )


def _tables(desk: Desk, lesson_id: int) -> tuple[RawFile, ...]:
    """The files of a lesson that are no force recordings."""
    recorded = {one.raw_file_id for one in desk.book.recordings(lesson_id)}
    return tuple(one for one in desk.book.raw_files(lesson_id) if one.id not in recorded)


def judge_lesson(desk: Desk, lesson_id: int) -> Answer | None:
    """Judge a lesson and keep the answer in the book, unless it is the one kept last.

    Returns
    -------
    Answer or None
        None while there are no shots to compare.
    """
    view = lesson_view(desk, lesson_id)
    keep_answer(desk, view)
    return view.answer


def kept_form(answer: Answer) -> dict[str, Any]:
    """An answer as the book keeps it: the published form, and what weighs its cue among others."""
    trial = None if answer.trial is None else asdict(answer.trial)
    return {**answer.as_json(), "club": answer.club, "trial": trial}


def keep_answer(desk: Desk, view: LessonView) -> bool:
    """Keep the answer of a judged lesson, unless it is the one kept last; say whether it was."""
    if view.answer is None:
        return False
    text = json.dumps(kept_form(view.answer), sort_keys=True, allow_nan=False)
    kept = desk.book.judgements(view.lesson.id)
    if kept and (kept[-1].answer_json, kept[-1].version) == (text, desk.version):
        return False
    desk.book.save_judgement(
        view.lesson.id, answer_json=text, version=desk.version, at=desk.clock()
    )
    return True


def sheet(
    desk: Desk,
    lesson_id: int,
    paper: Literal["a4", "us-letter"] = "a4",
    *,
    language: str | None = None,
) -> bytes:
    """Print the student's sheet of a lesson, and keep the answer that stands on it.

    Parameters
    ----------
    desk, lesson_id
        The lesson.
    paper
        Size of the paper.
    language
        Code of the language of this one sheet; None: the student's.

    Raises
    ------
    InputError
        If there is no answer to print yet.
    """
    view = lesson_view(desk, lesson_id)
    if view.answer is None:
        raise InputError("There is nothing to print yet.", fix=view.waiting_for)
    keep_answer(desk, view)
    with speaking(language_for(view.student, language)):
        # The answer kept is the coach's, in English; the sentences of the sheet are said anew.
        answer = view.answer if spoken().code == ENGLISH else lesson_view(desk, lesson_id).answer
        return desk.printer(
            answer or view.answer,
            student=view.student.name,
            held_on=view.lesson.held_on,
            change=view.lesson.change or None,
            invented=view.student.invented,
            paper=paper,
        )


def left_out_of(shots: Sequence[StoredShot]) -> dict[int, str]:
    """Index of each shot that was left out, to its reason."""
    return {
        index: shot.left_out_reason
        for index, shot in enumerate(shots)
        if shot.left_out_reason is not None
    }


def table_of(shots: Sequence[StoredShot], blocks: Sequence[Block]) -> ShotTable:
    """The shots of a lesson as one table in hitting order; rows are their places in the lesson.

    A quantity that came in two units (typed in yards, a file in metres) is brought to the unit of
    its first shot.
    """
    label_of = block_names(blocks)
    keys = dict.fromkeys(key for shot in shots for key in shot.values)
    return ShotTable(
        rows=np.array([shot.place for shot in shots], dtype=np.int64),
        blocks=tuple(label_of[shot.block_id] for shot in shots),
        clubs=tuple(shot.club for shot in shots),
        readings=MappingProxyType({key: _column(shots, key) for key in keys}),
    )


@lru_cache(maxsize=8)  # a page lays its balls out more than once
def view_table(view: LessonView) -> ShotTable:
    """The shots of a lesson that was gathered, as one table; see `table_of`."""
    return table_of(view.shots, view.blocks)


def block_names(blocks: Sequence[Block]) -> Mapping[int, str]:
    """Name of each block by id; one label with two roles is told apart by the blocks' places."""
    roles: dict[str, set[Role]] = {}
    for block in blocks:
        roles.setdefault(block.label, set()).add(block.role)
    return {
        block.id: block.label
        if len(roles[block.label]) == 1
        else f"{block.label} (block {block.place})"
        for block in blocks
    }


def _column(shots: Sequence[StoredShot], key: str) -> Readings:
    unit = next(shot.values[key].unit for shot in shots if key in shot.values)
    values = np.full(len(shots), np.nan)
    for index, shot in enumerate(shots):
        reading = shot.values.get(key)
        if reading is None:
            continue
        same = reading.unit == unit or unit is None
        values[index] = reading.value if same else reading.si / UNITS[unit or ""].si_per_unit
    return Readings(values=values, unit=unit)


def question_of(
    desk: Desk, lesson: Lesson, blocks: Sequence[Block], shots: Sequence[StoredShot]
) -> Question:
    """Put a lesson as the question that is judged.

    Parameters
    ----------
    desk
        Where the student's earlier lessons are.
    lesson, blocks, shots
        The lesson.

    Raises
    ------
    InputError
        If there are no shots yet before the change, or none with it; it says what to do next.
    """
    role_of = {block.id: block.role for block in blocks}
    sides = {role_of[shot.block_id] for shot in shots if shot.left_out_reason is None}
    if "before" not in sides:
        raise InputError(NOTHING_TO_COMPARE, fix=BALLS_BEFORE)
    if "with_change" not in sides:
        raise InputError(NOTHING_TO_COMPARE, fix=BALLS_WITH)
    names = block_names(blocks)
    studio = studio_of(desk)
    return Question(
        table=table_of(studio.shown(shots), blocks),
        roles={names[block.id]: block.role for block in blocks},
        left_out=left_out_of(shots),
        earlier=past_lessons(desk, lesson),
        planned=planned_before(desk.book.plans(lesson.id), blocks, shots),
        studio=studio,
        own_club=own_club_of(studio, lesson, shots),
    )


def own_club_of(studio: Studio, lesson: Lesson, shots: Sequence[StoredShot]) -> str | None:
    """Key of the studio's own club with which every ball of a lesson was hit; None: of none."""
    named = {shot.club or lesson.club for shot in shots}
    return studio.own_named(named.pop()) if len(named) == 1 else None


def _question(
    desk: Desk, lesson: Lesson, blocks: Sequence[Block], shots: Sequence[StoredShot]
) -> Question | str:
    """The question that is judged, or what is missing for one."""
    try:
        return question_of(desk, lesson, blocks, shots)
    except InputError as missing:
        return missing.fix


def _answer(question: Question, together: SeveralLessons | None) -> Answer:
    """The answer, with what several lessons say together where there are some."""
    answer = answer_for(question)
    if together is None:
        return answer
    return replace(answer, several=together, notes=(together.sentence, *answer.notes))
