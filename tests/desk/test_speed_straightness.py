"""Faster against straighter on the desk: what is gathered, and what is said when it is unsure."""

from dataclasses import replace
from types import MappingProxyType

import numpy as np
import pytest

from leadfoot.coaching.speed_straightness import SpeedBlock, speed_against
from leadfoot.desk.desk import Desk
from leadfoot.desk.records import NewShot, Student
from leadfoot.desk.speed_straightness import missing_balls, speed_line, speed_lines
from leadfoot.shots.shot import Reading


def blocks(widening: float, n_blocks: int, seed: int = 3) -> list[SpeedBlock]:
    """Blocks of twenty in which a faster ball is wider by exp(widening) a usual difference."""
    rng = np.random.default_rng(seed)
    found = []
    for _ in range(n_blocks):
        speed = rng.normal(42.0, 0.6, 20)
        wide = 0.03 * np.exp(widening * (speed - 42.0) / 0.6)
        found.append(
            SpeedBlock(
                club_speed_mps=speed,
                direction=wide * rng.normal(size=20),
                ball_number=np.arange(20.0),
            )
        )
    return found


def student_with(desk: Desk, given: list[SpeedBlock], club: str = "driver") -> Student:
    student = desk.book.add_student(
        name="Sam Swift", hand="right", goals="", cautions="", invented=True, at=desk.clock()
    )
    lesson = desk.book.add_lesson(
        student_id=student.id, held_on=desk.clock().date(), title="", change="", club=club
    )
    fill(desk, lesson.id, club, given)
    return student


def fill(desk: Desk, lesson_id: int, club: str, given: list[SpeedBlock]) -> None:
    """Put blocks of balls into a lesson."""
    for k, block in enumerate(given):
        kept = desk.book.add_block(lesson_id, label=f"run {k}", role="before")
        for speed, face in zip(block.club_speed_mps, block.direction, strict=True):
            values = {
                "club_speed": Reading(value=float(speed / 0.44704), unit="mph"),
                "face_angle": Reading(value=float(np.degrees(face)), unit="deg"),
                "offline": Reading(value=float(200.0 * face), unit="yd"),
            }
            shot = NewShot(club=club, values=MappingProxyType(values))
            desk.book.add_shot(kept.id, shot, at=desk.clock())


def test_what_is_gathered_is_what_was_hit(desk: Desk) -> None:
    given = blocks(0.5, 6)
    (found,) = speed_lines(desk, student_with(desk, given).id)
    assert (found.club, found.n_lessons, found.computed) == ("driver", 1, 0)
    assert [line.direction for line in found.lines] == ["face", "offline"]
    shifted = [
        SpeedBlock(
            club_speed_mps=block.club_speed_mps,
            direction=block.direction,
            ball_number=block.ball_number + 20.0 * k,
        )
        for k, block in enumerate(given)
    ]
    truth = speed_against(shifted)
    line = found.lines[0].against
    assert line is not None
    assert line.widening == pytest.approx(truth.widening, rel=1e-6)
    assert line.n_balls == 120


def test_a_wider_swing_is_said_in_degrees() -> None:
    line = speed_line("face", blocks(0.5, 10), "deg", "mph")
    assert line.said == (
        "Face angle: a swing 1.4 mph faster is wider: the spread goes from 1.5° to 2.3° (+36 to "
        "+66 %), odds over 99 in 100."
    )
    assert line.n_missing == 0


def test_too_few_balls_are_counted(desk: Desk) -> None:
    (found,) = speed_lines(desk, student_with(desk, blocks(0.0, 1)).id)
    assert found.lines[0].n_missing == 20
    assert found.lines[0].said == (
        "Face angle: cannot tell yet from 20 balls; 20 more would let us look."
    )


def test_missing_balls_follow_the_range() -> None:
    told = speed_against(blocks(0.5, 10))
    assert missing_balls(told) == 0
    unsure = replace(
        told,
        says="cannot tell yet",
        n_balls=100,
        widening=np.exp(0.1),
        widening_low=np.exp(0.1 - 0.2),
        widening_high=np.exp(0.1 + 0.2),
    )
    # A range twice as wide as the slope is from nothing: four times the balls, so 300 more.
    assert missing_balls(unsure) == 300
    wider = replace(unsure, widening_low=np.exp(-0.2), widening_high=np.exp(0.4))
    assert missing_balls(wider) in {800, 810}  # rounded up to tens
    even = replace(unsure, widening=1.0)
    assert missing_balls(even) is None
    assert missing_balls(replace(unsure, widening=np.exp(0.02))) is None


def test_a_student_who_is_as_straight_at_any_speed_is_not_called_wild() -> None:
    line = speed_line("offline", blocks(0.0, 6), "yd", "mph")
    assert "cannot tell whether a faster swing is wider" in line.said
    assert "No speed is clearly better than the usual one" in line.best


def test_the_same_speed_for_all_balls_says_to_check_the_columns() -> None:
    still = [
        SpeedBlock(
            club_speed_mps=np.full(25, 42.0),
            direction=np.random.default_rng(k).normal(0.0, 0.02, 25),
            ball_number=np.arange(25.0),
        )
        for k in range(2)
    ]
    line = speed_line("face", still, "deg", "mph")
    assert "Check the columns of these lessons." in line.said


def test_lessons_without_club_speed_say_nothing(desk: Desk) -> None:
    student = desk.book.add_student(
        name="Nora None", hand="left", goals="", cautions="", invented=True, at=desk.clock()
    )
    assert speed_lines(desk, student.id) == ()


def test_the_place_of_most_balls_is_taken_and_the_others_are_named(desk: Desk) -> None:
    student = student_with(desk, blocks(0.0, 3))
    (alone,) = speed_lines(desk, student.id)
    lesson = desk.book.add_lesson(
        student_id=student.id,
        held_on=desk.clock().date(),
        title="",
        change="",
        club="driver",
        place="range",
    )
    fill(desk, lesson.id, "driver", blocks(0.6, 2, seed=9))
    (found,) = speed_lines(desk, student.id)
    assert (found.place, found.elsewhere) == ("studio", (("range", 40),))
    assert found.lines == alone.lines
    fill(desk, lesson.id, "driver", blocks(0.6, 4, seed=10))
    (turned,) = speed_lines(desk, student.id)
    assert (turned.place, turned.elsewhere) == ("range", (("studio", 60),))
    assert turned.lines[0].n_balls == 120
