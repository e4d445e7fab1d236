"""A desk on a real book in a folder of the test's own."""

from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Literal

import pytest

from leadfoot.book.store import open_book
from leadfoot.desk.answer import Answer
from leadfoot.desk.desk import Desk
from leadfoot.desk.lesson import add_lesson, add_student

NOON = datetime(2026, 5, 4, 12, tzinfo=UTC)


def printer(
    answer: Answer,
    *,
    student: str | None,
    held_on: date | None,
    change: str | None,
    invented: bool,
    paper: Literal["a4", "us-letter"],
) -> bytes:
    """Prints what it was told, so that a test can read it."""
    return f"{student}|{held_on}|{change}|{invented}|{paper}|{answer.sentence}".encode()


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    with open_book(tmp_path / "test.book", clock=lambda: NOON) as book:
        yield Desk(book=book, clock=lambda: NOON, printer=printer, version="1.2.3")


@pytest.fixture
def lesson_id(desk: Desk) -> int:
    student = add_student(desk, name="Ada Nowhere", hand="right", goals="longer")
    return add_lesson(desk, student.id, change="push", club="Driver").id
