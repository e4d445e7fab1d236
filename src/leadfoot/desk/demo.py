"""Fill a book with the demo studio: invented students, months of lessons, known truth."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, tzinfo

import numpy as np

from leadfoot.desk.demo_ground import record_jumps, record_swings
from leadfoot.desk.demo_studio.balls import Ball, hit_balls, read_balls
from leadfoot.desk.demo_studio.plan import PlannedLesson, Player, Truth, studio
from leadfoot.desk.demo_studio.table import LABELS, lesson_csv
from leadfoot.desk.ports import Book
from leadfoot.desk.records import Lesson, NewShot, Role

WARM_UP_BALLS = 5
"""Balls of the warm-up block that stands before each lesson's first block."""

LEFT_OUT_EVERY = 3
"""In every third lesson one ball is left out, with a reason."""

ON_PLATES = 0
"""Place of the student whose last lesson was hit on force plates, and who jumps."""

_REASONS = ("the instrument misread it", "something disturbed the swing")


@dataclass(frozen=True, slots=True, kw_only=True)
class DemoReport:
    """What was put into the book.

    Examples
    --------
    >>> str(DemoReport(n_students=8, n_lessons=41, n_shots=1100))
    '8 invented students, 41 lessons, 1100 balls.'
    """

    n_students: int
    n_lessons: int
    n_shots: int

    def __str__(self) -> str:
        return (
            f"{self.n_students} invented students, {self.n_lessons} lessons, {self.n_shots} balls."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class DemoTruth:
    """What is true of one lesson of the demo studio: known, since it was made so."""

    student: str
    title: str
    truth: Truth
    speed_mph: float
    """What the change adds to the club speed."""


DEMO_TRUTH: tuple[DemoTruth, ...] = tuple(
    DemoTruth(
        student=player.name,
        title=lesson.title,
        truth=lesson.truth,
        speed_mph=lesson.effect.speed_mph,
    )
    for player in studio()
    for lesson in player.lessons
)
"""The truth behind every lesson, in the order in which `fill` writes them."""


def fill(book: Book, *, seed: int = 7, today: date, zone: tzinfo = UTC) -> DemoReport:
    """Put the invented studio into a book.

    The same seed gives the same balls; every student is marked as invented, and every kept file
    says so in its first row.

    Parameters
    ----------
    book
        An empty book.
    seed
        Where chance begins.
    today
        The day of the last lesson; the others lie up to five months before it.
    zone
        Zone of the times at which the balls were hit.
    """
    n_lessons = n_shots = 0
    for place, player in enumerate(studio()):
        first = today - timedelta(days=player.lessons[0].days_ago)
        student = book.add_student(
            name=player.name,
            hand=player.hand,
            goals=player.goals,
            cautions=player.cautions,
            invented=True,
            at=_at(first, 0, zone),
        )
        for number, planned in enumerate(player.lessons):
            rng = np.random.default_rng([seed, place, number])
            held_on = today - timedelta(days=planned.days_ago)
            lesson = book.add_lesson(
                student_id=student.id,
                held_on=held_on,
                title=planned.title,
                change=planned.change,
                club=player.club,
            )
            if planned.notes:
                book.change_lesson(
                    lesson.id,
                    title=lesson.title,
                    change=lesson.change,
                    club=lesson.club,
                    notes=planned.notes,
                )
            blocks = lesson_blocks(player, number, rng=rng)
            n_shots += _write(book, lesson, planned, blocks, zone)
            if n_lessons % LEFT_OUT_EVERY == 1:
                _leave_one_out(book, lesson, rng)
            n_lessons += 1
        if place == ON_PLATES:
            rng = np.random.default_rng([seed, place])
            record_swings(book, lesson.id, hand=player.hand, rng=rng, zone=zone)
            record_jumps(book, student.id, today=today, rng=rng, zone=zone)
    return DemoReport(n_students=len(studio()), n_lessons=n_lessons, n_shots=n_shots)


def lesson_blocks(
    player: Player, number: int, *, rng: np.random.Generator
) -> list[tuple[Role, list[NewShot]]]:
    """Hit all balls of one lesson: a warm-up, then the blocks of its plan.

    Parameters
    ----------
    player
        The invented student.
    number
        Number of the lesson in the student's plan, from 0.
    rng
        Where chance comes from.

    Returns
    -------
    list of tuple
        Role and balls of each block, in hitting order.

    Examples
    --------
    >>> blocks = lesson_blocks(studio()[0], 0, rng=np.random.default_rng(1))
    >>> [(role, len(balls)) for role, balls in blocks]
    [('other', 5), ('before', 10), ('with_change', 10)]
    """
    planned = player.lessons[number]
    before = player.swing_at(number)
    with_change = planned.effect.on(*before)
    plan: list[tuple[Role, int]] = [("other", WARM_UP_BALLS), *planned.blocks]
    swings = [
        with_change if role == "with_change" else before for role, n in plan for _ in range(n)
    ]
    balls: list[Ball] = hit_balls(
        swings, club_name=player.club, hand=player.hand, already_hit=0, rng=rng
    )
    readings = read_balls(balls, units=player.units, rng=rng)
    shots = [NewShot(club=player.club, values=values) for values in readings]
    blocks, start = [], 0
    for role, n in plan:
        blocks.append((role, shots[start : start + n]))
        start += n
    return blocks


def _write(
    book: Book,
    lesson: Lesson,
    planned: PlannedLesson,
    blocks: Sequence[tuple[Role, list[NewShot]]],
    zone: tzinfo,
) -> int:
    """Write the balls of one lesson, from a file or typed in; give their number."""
    if planned.typed:
        return _type_in(book, lesson, blocks, zone)
    text, rows = lesson_csv(blocks)
    at = _at(lesson.held_on, 50, zone)
    raw_file = book.keep_file(
        lesson.id, name=f"{lesson.held_on}.csv", data=text.encode("utf-8"), at=at
    )
    stored = book.import_shots(
        raw_file.id, [(LABELS[role], role, run) for role, run in rows], at=at
    )
    return len(stored)


def _type_in(
    book: Book, lesson: Lesson, blocks: Sequence[tuple[Role, list[NewShot]]], zone: tzinfo
) -> int:
    minute = 5
    for role, run in blocks:
        block = book.add_block(lesson.id, label=LABELS[role], role=role)
        for shot in run:
            book.add_shot(block.id, shot, at=_at(lesson.held_on, minute, zone))
            minute += 1
    return minute - 5


def _leave_one_out(book: Book, lesson: Lesson, rng: np.random.Generator) -> None:
    """Leave one judged ball out, as a coach would: a reason, never "it was a bad one"."""
    roles = {block.id: block.role for block in book.blocks(lesson.id)}
    shots = [shot for shot in book.shots(lesson.id) if roles[shot.block_id] != "other"]
    chosen = shots[int(rng.integers(len(shots)))]
    book.leave_out(chosen.id, reason=_REASONS[int(rng.integers(len(_REASONS)))])


def _at(day: date, minute: int, zone: tzinfo) -> datetime:
    """A time in the first hour of the studio's day."""
    return datetime.combine(day, time(hour=8), tzinfo=zone) + timedelta(minutes=minute)
