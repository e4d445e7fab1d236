"""Invented lessons for the tests of the pages, and the tables that they would stand in."""

from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from leadfoot.desk import lesson as deeds
from leadfoot.desk.desk import Desk
from leadfoot.desk.records import Lesson, NewShot, Student
from leadfoot.shots.shot import Reading

_UNITS = {
    "club_speed": "mph",
    "ball_speed": "mph",
    "launch_angle": "deg",
    "launch_direction": "deg",
    "spin_rate": "rpm",
    "spin_axis": "deg",
    "carry": "yd",
    "offline": "yd",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """A lesson in the book, with its student."""

    student: Student
    lesson: Lesson


def ball(rng: np.random.Generator, gain_mph: float) -> dict[str, float]:
    """One invented drive; `gain_mph` is added to the club speed."""
    club = rng.normal(92.0 + gain_mph, 1.6)
    speed = club * rng.normal(1.44, 0.02)
    direction, axis = rng.normal(1.0, 1.8), rng.normal(3.0, 4.0)
    return {
        "club_speed": round(club, 1),
        "ball_speed": round(speed, 1),
        "launch_angle": round(rng.normal(12.0, 1.5), 1),
        "launch_direction": round(direction, 1),
        "spin_rate": float(round(rng.normal(2700.0, 200.0))),
        "spin_axis": round(axis, 1),
        "carry": round(speed * 1.55 - 20.0, 1),
        "offline": round(direction * 3.0 + axis * 1.5 + rng.normal(0.0, 3.0), 1),
    }


def new_shot(values: dict[str, float]) -> NewShot:
    """A ball on its way into the book."""
    readings = {key: Reading(value=value, unit=_UNITS[key]) for key, value in values.items()}
    return NewShot(club="driver", values=MappingProxyType(readings))


def give_lesson(
    desk: Desk,
    *,
    name: str = "Ida Invented",
    change: str = "soft block under the lead foot",
    cautions: str = "",
    n_before: int = 10,
    n_with: int = 12,
    gain_mph: float = 6.0,
    seed: int = 3,
) -> Given:
    """Put a lesson with its balls into the book, and judge it."""
    student = desk.book.add_student(
        name=name, hand="right", goals="", cautions=cautions, invented=True, at=desk.clock()
    )
    lesson = deeds.add_lesson(desk, student.id, title="Driver", change=change, club="driver")
    rng = np.random.default_rng(seed)
    for label, role, n, gain in (
        ("before", "before", n_before, 0.0),
        ("with the block", "with_change", n_with, gain_mph),
    ):
        if n:
            block = desk.book.add_block(lesson.id, label=label, role=role)  # type: ignore[arg-type]
            for _ in range(n):
                desk.book.add_shot(block.id, new_shot(ball(rng, gain)), at=desk.clock())
    deeds.judge_lesson(desk, lesson.id)
    return Given(student=student, lesson=lesson)


def table_text(*, n_before: int = 8, n_with: int = 10, gain_mph: float = 6.0, seed: int = 5) -> str:
    """A table as a coach might type it, with a block column."""
    rng = np.random.default_rng(seed)
    lines = ["Block,Club speed (mph),Carry (yd),Offline (yd)"]
    for label, n, gain in (("before", n_before, 0.0), ("with the block", n_with, gain_mph)):
        for _ in range(n):
            one = ball(rng, gain)
            lines.append(f"{label},{one['club_speed']},{one['carry']},{one['offline']}")
    return "\n".join(lines) + "\n"
