"""An invented student with a whole bag, over several lessons, for the tests of the clubs."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import timedelta
from types import MappingProxyType

import numpy as np

from leadfoot.desk.desk import Desk
from leadfoot.desk.records import NewShot, Student
from leadfoot.shots.shot import Reading

CARRIES_YD: Mapping[str, float] = MappingProxyType(
    {"driver": 210.0, "5 iron": 160.0, "7 iron": 140.0, "8 iron": 136.0, "pitching wedge": 100.0}
)
SPREAD_YD = 6.0


def fill_bag(
    desk: Desk,
    *,
    name: str = "Bea Bagful",
    n: int = 12,
    days_ago: tuple[int, ...] = (120, 0),
    with_ball: bool = True,
    seed: int = 4,
) -> Student:
    """Put lessons with every club into the book; a ball has its flight where `with_ball`."""
    student = desk.book.add_student(
        name=name, hand="right", goals="", cautions="", invented=True, at=desk.clock()
    )
    rng = np.random.default_rng(seed)
    for days in days_ago:
        day = desk.clock().date() - timedelta(days=days)
        lesson = desk.book.add_lesson(
            student_id=student.id, held_on=day, title="The bag", change="", club=None
        )
        for club, middle in CARRIES_YD.items():
            block = desk.book.add_block(lesson.id, label=club, role="before")
            for _ in range(n):
                desk.book.add_shot(
                    block.id, ball(rng, club, middle, with_ball=with_ball), at=desk.clock()
                )
    return student


def ball(rng: np.random.Generator, club: str, middle: float, *, with_ball: bool) -> NewShot:
    """One invented ball of a club, with total and offline beside its carry."""
    carry = rng.normal(middle, SPREAD_YD)
    values = {
        "carry": Reading(value=round(carry, 1), unit="yd"),
        "total": Reading(value=round(carry * 1.06, 1), unit="yd"),
        "offline": Reading(value=round(rng.normal(0.0, 8.0), 1), unit="yd"),
    }
    if with_ball:
        values |= {
            "ball_speed": Reading(value=round(40.0 + 0.5 * carry, 1), unit="mph"),
            "launch_angle": Reading(value=round(36.0 - 0.11 * carry, 1), unit="deg"),
            "spin_rate": Reading(value=float(round(9500.0 - 32.0 * carry)), unit="rpm"),
        }
    shot = NewShot(club=club, values=MappingProxyType(values))
    return replace(shot, row=None)
