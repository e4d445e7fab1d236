"""A student's season: the level of one quantity with one club, lesson by lesson, and practice."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from leadfoot.desk.club_days import has_usual_spread, same_club
from leadfoot.desk.desk import Desk
from leadfoot.desk.home_practice import club_of_shot, values_of
from leadfoot.desk.home_shots import shots_in
from leadfoot.desk.past_balls import past_balls
from leadfoot.desk.places import STUDIO, same_place
from leadfoot.desk.pooling_port import CountedBalls
from leadfoot.desk.records import Lesson, Role
from leadfoot.desk.season_records import PointKind, Season, SeasonPoint
from leadfoot.desk.settings import studio_of
from leadfoot.evidence.memory import PastLesson, remember
from leadfoot.evidence.retention import block_level
from leadfoot.evidence.usual import usual_spread
from leadfoot.quantities import glossary
from leadfoot.shots.club import club_class, club_name
from leadfoot.units import si_into

Balls = Mapping[tuple[str, Role], Sequence[float]]
SIDES: tuple[Role, Role] = ("before", "with_change")
REACH = 1.645
"""Half the range of 90 in 100, in standard deviations."""
FIRST_SHOWN = ("carry", "ball_speed", "club_speed", "offline", "launch_direction")


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
    """The season of a student; None where fewer than two days have a level.

    Practice stands in it as points of their own; it has no part in the student's usual spread.

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
    read = past_balls(desk, [one.id for one in chosen])
    balls = [_by_role(read.get(one.id)) for one in chosen]
    choices = _choices([{key for key, role in day if role in SIDES} for day in balls])
    if not choices:
        return None
    key = quantity if quantity in choices else choices[0]
    inside = {one.id for one in chosen}
    tests = {
        test.done_lesson_id
        for test in desk.book.tests_of(student_id)
        if test.lesson_id in inside and not test.dropped
    }
    unit = _unit(desk, chosen, key)
    spreads = _usual_spreads(key, chosen, balls)
    points = [
        replace(_point(key, one, spreads, unit), decision=(decisions or {}).get(one.lesson.id, ""))
        for one in _hit(key, chosen, balls, tests)
    ]
    practised = [
        _point(key, one, spreads, unit) for one in _practised(desk, student_id, key, first)
    ]
    if len({point.lesson_id for point in points}) + bool(practised) < 2:
        return None
    points = sorted([*points, *practised], key=lambda one: one.day)
    return Season(
        club=wanted,
        quantity=key,
        name=glossary()[key].name,
        unit=unit,
        points=tuple(points),
        choices=choices,
    )


def _by_role(balls: CountedBalls | None) -> Balls:
    """The balls of a lesson by quantity and what their block is; SI."""
    found: dict[tuple[str, Role], Sequence[float]] = {}
    if balls is None:
        return found
    for role in dict.fromkeys(balls.roles):
        inside = np.array([one == role for one in balls.roles])
        for column, key in enumerate(balls.quantities):
            values = balls.values[inside, column]
            values = values[~np.isnan(values)]
            if len(values):
                found[key, role] = values.tolist()
    return found


def _choices(days: Sequence[set[str]]) -> tuple[str, ...]:
    n = Counter(key for day in days for key in day)
    known = [key for key in n if glossary()[key].better != "none" and has_usual_spread(key)]
    rank = {key: place for place, key in enumerate(FIRST_SHOWN)}
    return tuple(sorted(known, key=lambda key: (-n[key], rank.get(key, len(rank)), key)))


def _unit(desk: Desk, lessons: Sequence[Lesson], key: str) -> str | None:
    chosen = studio_of(desk).units.of(key)
    if chosen is not None:
        return chosen
    for lesson in reversed(lessons):
        for shot in desk.book.shots(lesson.id):
            if key in shot.values:
                return shot.values[key].unit
    return glossary()[key].unit


@dataclass(frozen=True, slots=True, kw_only=True)
class _Balls:
    """Some balls of one quantity in SI, and whose they are."""

    lesson: Lesson
    day: date
    kind: PointKind
    values: Sequence[float]
    place: str = ""


def _hit(
    key: str, lessons: Sequence[Lesson], balls: Sequence[Balls], tests: set[int | None]
) -> list[_Balls]:
    """What was hit in the lessons, role by role."""
    found = []
    for lesson, day in zip(lessons, balls, strict=True):
        for role in SIDES:
            kind: PointKind = "with_change" if role == "with_change" else "before"
            if lesson.id in tests and kind == "before":
                kind = "test"
            if values := day.get((key, role)):
                found.append(
                    _Balls(
                        lesson=lesson,
                        day=lesson.held_on,
                        kind=kind,
                        values=values,
                        place="" if same_place(lesson.place, STUDIO) else lesson.place,
                    )
                )
    return found


def _practised(desk: Desk, student_id: int, key: str, club: Lesson) -> list[_Balls]:
    """What was hit at home with the club of a lesson, table by table, the oldest first."""
    found = []
    for plan in desk.book.homework_of(student_id):
        lesson = desk.book.lesson(plan.lesson_id)
        for table in desk.book.home_tables(plan.id):
            if table.left_out_reason is not None:
                continue
            wanted = club_name(club.club or "")
            balls = [one for one in shots_in(table) if club_of_shot(one, lesson) == wanted]
            if values := values_of(balls).get(key):
                found.append(
                    _Balls(
                        lesson=lesson,
                        day=table.done_on,
                        kind="practice",
                        values=values,
                        place=table.place,
                    )
                )
    return sorted(found, key=lambda one: one.day)


def _point(key: str, balls: _Balls, spreads: Mapping[str, float], unit: str | None) -> SeasonPoint:
    values = np.array(balls.values)
    sd = spreads.get((balls.place or STUDIO).casefold(), next(iter(spreads.values())))
    either_way = glossary()[key].better != "more"
    found = block_level(values, kind="before", day=0, usual_sd=sd, either_way=either_way)
    reach = REACH * float(np.sqrt(found.variance))
    return SeasonPoint(
        lesson_id=balls.lesson.id,
        day=balls.day,
        kind=balls.kind,
        level=si_into(found.mean, unit),
        low=si_into(found.mean - reach, unit),
        high=si_into(found.mean + reach, unit),
        n_balls=len(values),
        change=balls.lesson.change,
        decision="",
        place=balls.place,
    )


def _usual_spreads(
    key: str, lessons: Sequence[Lesson], balls: Sequence[Balls]
) -> Mapping[str, float]:
    """The student's usual spread at each place, that with the most balls first.

    Another place has another monitor, other balls and other ground, and so another spread. Where
    only practice was hit, that of the first place stands in.
    """
    at: dict[str, list[int]] = {}
    n: Counter[str] = Counter()
    for k, (lesson, day) in enumerate(zip(lessons, balls, strict=True)):
        if size := sum(len(day[key, role]) for role in SIDES if (key, role) in day):
            at.setdefault(lesson.place.casefold(), []).append(k)
            n[lesson.place.casefold()] += size
    return {
        place: _usual_sd(key, [lessons[k] for k in at[place]], [balls[k] for k in at[place]])
        for place, _ in n.most_common()
    }


def _usual_sd(key: str, lessons: Sequence[Lesson], balls: Sequence[Balls]) -> float:
    """The student's usual spread from these lessons of one place, and from nothing hit at home."""
    more = glossary()[key].better == "more"
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
