"""The season over several places: every point is weighed by the usual spread of its own place."""

from dataclasses import replace
from datetime import timedelta
from types import MappingProxyType

import numpy as np

from leadfoot.desk.desk import Desk
from leadfoot.desk.records import NewShot
from leadfoot.desk.season import season
from leadfoot.desk.season_records import SeasonPoint
from leadfoot.shots.shot import Reading


def hit(desk: Desk, student_id: int, place: str, spread_mph: float, *, seed: int) -> None:
    """Three lessons at a place, with a spread of its own."""
    rng = np.random.default_rng(seed)
    for week in range(3):
        lesson = desk.book.add_lesson(
            student_id=student_id,
            held_on=desk.clock().date() + timedelta(days=7 * week),
            title="",
            change="",
            club="driver",
            place=place,
        )
        block = desk.book.add_block(lesson.id, label="usual", role="before")
        for speed in rng.normal(95.0, spread_mph, 20):
            values = {"club_speed": Reading(value=float(speed), unit="mph")}
            shot = NewShot(club="driver", values=MappingProxyType(values))
            desk.book.add_shot(block.id, replace(shot, row=None), at=desk.clock())


def points(desk: Desk, student_id: int) -> tuple[SeasonPoint, ...]:
    found = season(desk, student_id, quantity="club_speed")
    assert found is not None
    return found.points


def test_a_wilder_place_moves_nothing_of_the_studio(desk: Desk) -> None:
    student = desk.book.add_student(
        name="Ada", hand="right", goals="", cautions="", invented=True, at=desk.clock()
    )
    hit(desk, student.id, "studio", 0.8, seed=1)
    alone = points(desk, student.id)
    hit(desk, student.id, "course", 3.2, seed=2)
    both = points(desk, student.id)
    here = [one for one in both if not one.place]
    there = [one for one in both if one.place == "course"]
    assert [(one.level, one.low, one.high) for one in here] == [
        (one.level, one.low, one.high) for one in alone
    ]
    widths = [np.mean([one.high - one.low for one in some]) for some in (here, there)]
    assert widths[1] > 1.8 * widths[0]
