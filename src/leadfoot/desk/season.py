"""A student's season: the level of one quantity with one club, lesson by lesson."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Literal

import numpy as np

from leadfoot.desk.club_days import has_usual_spread, same_club, values_by_role
from leadfoot.desk.desk import Desk
from leadfoot.desk.records import Lesson, Role
from leadfoot.evidence.memory import PastLesson, remember
from leadfoot.evidence.retention import block_level
from leadfoot.evidence.usual import usual_spread
from leadfoot.quantities import glossary
from leadfoot.shots.club import club_class
from leadfoot.units import si_into

Balls = Mapping[tuple[str, Role], Sequence[float]]
PointKind = Literal["before", "with_change", "test"]
SIDES: tuple[Role, Role] = ("before", "with_change")
REACH = 1.645
"""Half the range of 90 in 100, in standard deviations."""
FIRST_SHOWN = ("carry", "ball_speed", "club_speed", "offline", "launch_direction")


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonPoint:
    """One level of one lesson with its 90 % range, in the unit of the season."""

    lesson_id: int
    day: date
    kind: PointKind
    level: float
    low: float
    high: float
    n_balls: int
    change: str
    decision: str
    """The last answer of that lesson; empty where there is none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Season:
    """All levels of one quantity with one club, the oldest first."""

    club: str | None
    quantity: str
    name: str
    unit: str | None
    points: tuple[SeasonPoint, ...]
    choices: tuple[str, ...]
    """Quantities that could be shown instead."""


def clubs_of(lessons: Sequence[Lesson]) -> tuple[str | None, ...]:
    """The clubs of some lessons, the most used first; two spellings are one club."""
    named: list[Lesson] = []
    for lesson in lessons:
        if not any(same_club(lesson, other) for other in named):
            named.append(lesson)
    n = Counter(next(other.id for other in named if same_club(lesson, other)) for lesson in lessons)
    return tuple(one.club for one in sorted(named, key=lambda one: -n[one.id]))


def season(
    desk: Desk,
    student_id: int,
    *,
    club: str | None = None,
    quantity: str | None = None,
    decisions: dict[int, str] | None = None,
) -> Season | None:
    """The season of a student; None where fewer than two lessons have a level.

    Parameters
    ----------
    desk, student_id
        Whose.
    club, quantity
        None: the club most used, and the first quantity that most of its lessons have.
    decisions
        The answer of each lesson by its id, where known.
    """
    lessons = desk.book.lessons(student_id)
    clubs = clubs_of(lessons)
    if not clubs:
        return None
    wanted = club if club in clubs else clubs[0]
    first = next(one for one in lessons if one.club == wanted)
    chosen = [one for one in lessons if same_club(one, first)]
    balls = [values_by_role(desk, one) for one in chosen]
    choices = _choices([{key for key, _ in day} for day in balls])
    if not choices:
        return None
    key = quantity if quantity in choices else choices[0]
    tests = {
        test.done_lesson_id
        for one in chosen
        for test in desk.book.planned_tests(one.id)
        if not test.dropped
    }
    unit = _unit(desk, chosen, key)
    points = [
        replace(point, decision=(decisions or {}).get(point.lesson_id, ""))
        for point in _points(key, chosen, balls, tests, unit)
    ]
    if len({point.lesson_id for point in points}) < 2:
        return None
    return Season(
        club=wanted,
        quantity=key,
        name=glossary()[key].name,
        unit=unit,
        points=tuple(points),
        choices=choices,
    )


def _choices(days: Sequence[set[str]]) -> tuple[str, ...]:
    n = Counter(key for day in days for key in day)
    known = [key for key in n if glossary()[key].better != "none" and has_usual_spread(key)]
    rank = {key: place for place, key in enumerate(FIRST_SHOWN)}
    return tuple(sorted(known, key=lambda key: (-n[key], rank.get(key, len(rank)), key)))


def _unit(desk: Desk, lessons: Sequence[Lesson], key: str) -> str | None:
    for lesson in reversed(lessons):
        for shot in desk.book.shots(lesson.id):
            if key in shot.values:
                return shot.values[key].unit
    return glossary()[key].unit


def _points(
    key: str,
    lessons: Sequence[Lesson],
    balls: Sequence[Balls],
    tests: set[int | None],
    unit: str | None,
) -> list[SeasonPoint]:
    more = glossary()[key].better == "more"
    sd = _usual_sd(key, lessons, balls, more=more)
    points = []
    for lesson, day in zip(lessons, balls, strict=True):
        for role in SIDES:
            values = np.array(day.get((key, role), ()))
            if not len(values):
                continue
            found = block_level(values, kind="before", day=0, usual_sd=sd, either_way=not more)
            reach = REACH * float(np.sqrt(found.variance))
            kind: PointKind = "with_change" if role == "with_change" else "before"
            points.append(
                SeasonPoint(
                    lesson_id=lesson.id,
                    day=lesson.held_on,
                    kind="test" if lesson.id in tests and kind == "before" else kind,
                    level=si_into(found.mean, unit),
                    low=si_into(found.mean - reach, unit),
                    high=si_into(found.mean + reach, unit),
                    n_balls=len(values),
                    change=lesson.change,
                    decision="",
                )
            )
    return points


def _usual_sd(
    key: str,
    lessons: Sequence[Lesson],
    balls: Sequence[Balls],
    *,
    more: bool,
) -> float:
    """The student's usual spread from all these lessons."""
    sides = [[np.array(day[key, role]) for role in SIDES if (key, role) in day] for day in balls]
    every = np.concatenate([block for day in sides for block in day])
    typical = None if key == "offline" else float(np.median(every))
    newest = max(one.held_on for one in lessons)
    past = [
        PastLesson(
            age_days=float((newest - one.held_on).days), blocks=tuple(day), baseline=np.zeros(0)
        )
        for one, day in zip(lessons, sides, strict=True)
        if day
    ]
    start = usual_spread(key, club_class(lessons[0].club), typical)
    return remember(past, start=start, aim="more" if more else "nearer_zero").usual.sd
