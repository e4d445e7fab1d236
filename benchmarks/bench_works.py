"""What works for whom from a book in a file: 200 students, 1,250 lessons, 50,000 balls.

What is promised: within 10 s. Once with club speed alone, and once with ten measured quantities.
"""

from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture
from sqlalchemy import insert

from leadfoot.book.store import SqlBook, open_book
from leadfoot.book.tables import BlockRow, LessonRow, ShotRow, StudentRow
from leadfoot.desk.desk import Desk
from leadfoot.desk.records import StoredShot
from leadfoot.desk.works import what_works_for_whom
from leadfoot.shots.shot import Reading
from tests.desk.conftest import printer
from tests.desk.simulated_book import AT, simulated

MORE = {
    "ball_speed": (140.0, 3.0, "mph"),
    "carry": (220.0, 9.0, "yd"),
    "smash_factor": (1.45, 0.03, None),
    "offline": (3.0, 15.0, "yd"),
    "launch_direction": (0.0, 2.0, "deg"),
    "face_angle": (0.0, 2.0, "deg"),
    "club_path": (0.0, 2.0, "deg"),
    "face_to_path": (0.0, 2.0, "deg"),
    "attack_angle": (0.0, 1.5, "deg"),
}
"""Mean, spread and unit of what is measured beside the club speed; invented."""


def fill(book: SqlBook, *, measured: dict[str, tuple[float, float, str | None]]) -> None:
    """Write the simulated book into a file."""
    made = simulated(200, 50_000, seed=0).desk.book
    rng = np.random.default_rng(1)

    def readings(shot: StoredShot) -> dict[str, Reading]:
        more = {
            key: Reading(value=mean + sd * rng.normal(), unit=unit)
            for key, (mean, sd, unit) in measured.items()
        }
        return {**shot.values, **more}

    lessons = made.lessons()
    with book.writing() as session:
        session.execute(
            insert(StudentRow),
            [
                {"id": one.id, "name": one.name, "hand": one.hand, "goals": "", "cautions": "",
                 "invented": True, "added_at": AT}
                for one in made.students()
            ],
        )  # fmt: skip
        session.execute(
            insert(LessonRow),
            [
                {"id": one.id, "student_id": one.student_id, "held_on": one.held_on, "title": "",
                 "change": one.change, "club": one.club, "notes": ""}
                for one in lessons
            ],
        )  # fmt: skip
        session.execute(
            insert(BlockRow),
            [
                {"id": one.id, "lesson_id": one.lesson_id, "place": one.place,
                 "label": one.label, "role": one.role}
                for lesson in lessons
                for one in made.blocks(lesson.id)
            ],
        )  # fmt: skip
        session.execute(
            insert(ShotRow),
            [
                {"id": one.id, "lesson_id": one.lesson_id, "block_id": one.block_id,
                 "place": one.place, "club": one.club, "readings": readings(one),
                 "source": "typed", "hit_at": AT}
                for lesson in lessons
                for one in made.shots(lesson.id)
            ],
        )  # fmt: skip


@pytest.fixture(params=[{}, MORE], ids=["club speed", "ten quantities"])
def desk(tmp_path: Path, request: pytest.FixtureRequest) -> Iterator[Desk]:
    with open_book(tmp_path / "lessons.book") as book:
        fill(book, measured=request.param)
        yield Desk(book=book, clock=lambda: AT, printer=printer, version="0.0.bench")


def test_what_works_for_whom(benchmark: BenchmarkFixture, desk: Desk) -> None:
    works = benchmark.pedantic(what_works_for_whom, args=(desk,), rounds=3)
    assert works.n_shots == 50_000
