"""A simulated book whose truth is known: cues that differ, students who differ, lessons that do."""

from collections import defaultdict
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from types import MappingProxyType

import numpy as np

from leadfoot.desk.desk import Desk
from leadfoot.desk.records import Block, Lesson, Role, StoredShot
from leadfoot.shots.shot import Reading
from tests.desk.conftest import printer
from tests.desk.fake_book import FakeBook

AT = datetime(2026, 5, 4, 12, tzinfo=UTC)
SPREAD_MPH, MISHITS = 1.2, 0.08


@dataclass(eq=False)
class FullBook(FakeBook):
    """A book in memory that finds the shots of a lesson at once."""

    shots_of: dict[int, list[StoredShot]] = field(default_factory=lambda: defaultdict(list))
    blocks_of: dict[int, list[Block]] = field(default_factory=lambda: defaultdict(list))

    def shots(self, lesson_id: int) -> tuple[StoredShot, ...]:
        return tuple(self.shots_of[lesson_id])

    def blocks(self, lesson_id: int) -> tuple[Block, ...]:
        return tuple(self.blocks_of[lesson_id])


@dataclass(frozen=True, kw_only=True)
class Simulated:
    """The book and its truth, in mph: what each cue does on average, and to each student."""

    desk: Desk
    cues: dict[str, float]
    own: dict[tuple[int, str], float]
    n_shots: int


def simulated(n_students: int, n_shots: int, seed: int, n_cues: int = 8) -> Simulated:
    """Lessons of 40 balls, half with a cue, until the book has so many shots."""
    rng = np.random.default_rng(seed)
    book = FullBook()
    desk = Desk(book=book, clock=lambda: AT, printer=printer, version="1.2.3")
    effects = {f"cue {k + 1}": 0.5 * k - 0.6 for k in range(n_cues)}
    own: dict[tuple[int, str], float] = {}
    students = [
        book.add_student(
            name=f"Student {k}", hand="right", goals="", cautions="", invented=True, at=AT
        )
        for k in range(n_students)
    ]
    level = rng.normal(92.0, 8.0, n_students)
    made = 0
    while made < n_shots:
        place = len(book.all_lessons) % n_students
        student, cue = students[place], str(rng.choice(list(effects)))
        truth = own.setdefault((student.id, cue), effects[cue] + 0.6 * rng.normal())
        lesson = book.add_lesson(
            student_id=student.id,
            held_on=date(2024, 1, 1) + timedelta(days=len(book.all_lessons) // 4),
            title="",
            change=cue,
            club="driver",
        )
        day = level[place] + 0.8 * rng.normal()
        gain = truth + 0.3 * rng.normal()
        hit = (("before", 0.0), ("with_change", gain))
        for number, (role, more) in enumerate(hit):
            _hit(book, lesson, role, number, _speeds(day + more, 20, rng))  # type: ignore[arg-type]
        made += 40
    return Simulated(desk=desk, cues=effects, own=own, n_shots=made)


def _speeds(level: float, n: int, rng: np.random.Generator) -> np.ndarray:
    short = rng.random(n) < MISHITS
    return level + SPREAD_MPH * rng.normal(size=n) - short * rng.exponential(4.0, n)


def _hit(book: FullBook, lesson: Lesson, role: Role, number: int, speeds: np.ndarray) -> None:
    block = book.add_block(lesson.id, label=role, role=role)
    book.blocks_of[lesson.id].append(block)
    for k, speed in enumerate(speeds):
        shot = StoredShot(
            id=len(book.all_shots) + 1,
            lesson_id=lesson.id,
            block_id=block.id,
            place=20 * number + k + 1,
            club="driver",
            values=MappingProxyType({"club_speed": Reading(value=float(speed), unit="mph")}),
            source="typed",
            raw_file_id=None,
            row=None,
            left_out_reason=None,
            hit_at=AT,
        )
        book.all_shots[shot.id] = shot
        book.shots_of[lesson.id].append(shot)
