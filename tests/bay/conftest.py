"""A desk on a real book with a lesson and a bay that hits for it."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Literal

import pytest

from leadfoot.book.store import open_book
from leadfoot.desk import bays
from leadfoot.desk import lesson as deeds
from leadfoot.desk.answer import Answer
from leadfoot.desk.bay_records import Bay
from leadfoot.desk.desk import Desk
from leadfoot.desk.records import Lesson

NOON = datetime(2026, 5, 4, 12, tzinfo=UTC)


def print_nothing(
    answer: Answer,
    *,
    student: str | None,
    held_on: date | None,
    change: str | None,
    invented: bool,
    paper: Literal["a4", "us-letter"],
) -> bytes:
    raise NotImplementedError


@dataclass(frozen=True)
class Bench:
    """What the tests of a bay stand on."""

    desk: Desk
    lesson: Lesson
    bay: Bay
    token: str

    def carries(self) -> list[float]:
        """Carry of each ball in the lesson, in order."""
        shots = self.desk.book.shots(self.lesson.id)
        assert all(shot.source == "live" for shot in shots)
        return [shot.values["carry"].value for shot in shots]


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    with open_book(tmp_path / "lessons.book", clock=lambda: NOON) as book:
        desk = Desk(book=book, clock=lambda: NOON, printer=print_nothing, version="0.0.test")
        student = deeds.add_student(desk, name="Ida Invented", hand="right")
        lesson = deeds.add_lesson(desk, student.id, change="soft block", club="driver")
        new = bays.add_bay(desk, "bay-1", lesson_id=lesson.id)
        yield Bench(desk=desk, lesson=lesson, bay=new.bay, token=new.token)
