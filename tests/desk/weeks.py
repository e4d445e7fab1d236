"""A student over weeks in the book: lessons and tests whose truth is known."""

from dataclasses import replace
from datetime import datetime, timedelta
from types import MappingProxyType

import numpy as np

from leadfoot.desk.desk import Desk
from leadfoot.desk.records import Lesson, NewShot, Role
from leadfoot.shots.shot import Reading


def at(desk: Desk, now: datetime) -> Desk:
    """The same desk with its clock set."""
    return replace(desk, clock=lambda: now)


def hit(
    desk: Desk,
    block_id: int,
    mph: float,
    n: int,
    rng: np.random.Generator,
    *,
    club: str = "driver",
) -> None:
    """Hit balls into a block."""
    for speed in mph + 1.2 * rng.normal(size=n):
        values = {
            "club_speed": Reading(value=round(float(speed), 2), unit="mph"),
            "carry": Reading(value=round(float(2.4 * speed + 3.0 * rng.normal()), 1), unit="yd"),
        }
        shot = NewShot(club=club, values=MappingProxyType(values))
        desk.book.add_shot(block_id, shot, at=desk.clock())


def lesson_with(
    desk: Desk,
    student_id: int,
    *,
    change: str,
    gain_mph: float,
    seed: int,
    mph: float = 92.0,
    n: int = 14,
) -> Lesson:
    """A lesson today with balls before and with the change."""
    rng = np.random.default_rng(seed)
    lesson = desk.book.add_lesson(
        student_id=student_id,
        held_on=desk.clock().date(),
        title="Lesson",
        change=change,
        club="driver",
    )
    day = mph + 0.3 * rng.normal()
    sides: tuple[tuple[Role, float], ...] = (("before", 0.0), ("with_change", gain_mph))
    for role, more in sides:
        block = desk.book.add_block(lesson.id, label=role, role=role)
        hit(desk, block.id, day + more, n, rng)
    return lesson


def days_later(desk: Desk, days: int) -> Desk:
    """The desk so many days on."""
    return at(desk, desk.clock() + timedelta(days=days))
