"""Days of one club: what was hit as usual, with the change and in tests, as levels to compare."""

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from leadfoot.desk.desk import Desk
from leadfoot.desk.records import Lesson, Role, StoredShot
from leadfoot.desk.settings import studio_of
from leadfoot.errors import InputError
from leadfoot.evidence.memory import Memory, PastLesson, remember
from leadfoot.evidence.retention import DAY_DOUBT, BlockLevel, Kind, block_level
from leadfoot.evidence.usual import usual_spread
from leadfoot.quantities import glossary
from leadfoot.shots.club import club_class, club_name

Floats = NDArray[np.float64]

NINETY = 3.29
"""Width of the range of 90 in 100, in standard deviations."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Day:
    """One day of one quantity with one club: what was hit as usual, and with the change; SI."""

    number: int
    age_days: float
    before: Floats
    with_change: Floats
    is_test: bool


def has_usual_spread(key: str) -> bool:
    """Whether a usual spread is known for a quantity: without one nothing can be weighed.

    Examples
    --------
    >>> has_usual_spread("carry")
    True
    """
    try:
        usual_spread(key, "driver", None)
    except InputError:
        return False
    return True


def in_order(keys: Mapping[str, Any]) -> list[str]:
    """Quantities, the one to speak of first."""
    first = ("carry", "ball_speed", "club_speed", "offline", "launch_direction", "face_to_path")
    known = [key for key in first if key in keys]
    return known + [key for key in keys if key not in known]


def levels(days: Sequence[Day], at: int, *, usual_sd: float, more: bool) -> list[BlockLevel]:
    """The levels of the days: before up to the change, with the change on its day, tests after it.

    Parameters
    ----------
    days, at
        The days in order, and the index of the one of the change.
    usual_sd
        The student's usual spread, above 0, SI.
    more
        Whether more is better; else the quantity is a direction.
    """

    def level(values: Floats, kind: Kind, day: Day) -> BlockLevel:
        return block_level(
            values, kind=kind, day=day.number, usual_sd=usual_sd, either_way=not more
        )

    found = [level(day.before, "before", day) for day in days[: at + 1] if len(day.before)]
    found += [
        level(day.before, "test", day) for day in days[at + 1 :] if day.is_test and len(day.before)
    ]
    change = days[at]
    if len(change.with_change):
        found.append(level(change.with_change, "with_change", change))
    return found


def more_is_better(key: str, blocks: Sequence[BlockLevel]) -> bool:
    """Whether a gain is a rise; a direction gains toward nought from where it was before."""
    base = float(np.mean([block.mean for block in blocks if block.kind == "before"]))
    return glossary()[key].better == "more" or base < 0.0


def memory_of(key: str, days: Sequence[Day], club: str | None) -> Memory:
    """What the days tell of a quantity with one club; at least one has balls hit as usual."""
    more = glossary()[key].better == "more"
    typical = float(np.median(np.concatenate([day.before for day in days])))
    start = usual_spread(key, club_class(club), None if key == "offline" else typical)
    newest = max(day.age_days for day in days) if days else 0.0
    past = [
        PastLesson(
            age_days=max(newest - day.age_days, 0.0),
            blocks=tuple(block for block in (day.before, day.with_change) if len(block)),
            # A day after the change is no baseline of before: it may hold part of the gain.
            baseline=day.before if not day.is_test else np.zeros(0),
        )
        for day in days
    ]
    return remember(past, start=start, aim="more" if more else "nearer_zero")


def day_spread(memory: Memory) -> tuple[float | None, float]:
    """How much days differ, if the student's own baselines tell, and how sure that is."""
    known = memory.day_to_day
    if known is None or known.n_days < 3 or known.low <= 0.0:
        return None, DAY_DOUBT
    return known.sd, max(math.log(known.high / known.low) / NINETY, 0.1)


def same_club(one: Lesson, other: Lesson) -> bool:
    """Whether two lessons were hit with one club, whatever its spelling."""
    return club_name(one.club or "") == club_name(other.club or "")


def days_of(
    desk: Desk,
    lessons: Sequence[Lesson],
    tests: Sequence[Lesson],
    club: str,
    *,
    unnamed: bool = True,
) -> dict[str, list[Day]]:
    """Each quantity's days with one club, in order: the lessons up to the change, then the tests.

    Parameters
    ----------
    desk, lessons, tests
        The lessons, the oldest first, and those in which the tests were hit.
    club, unnamed
        As in `values_by_role`.
    """
    numbers: dict[str, list[Day]] = {}
    every = [*lessons, *tests]
    if not every:
        return numbers
    first = every[0].held_on
    balls = [values_by_role(desk, one, club, unnamed=unnamed) for one in every]
    keys = {key for day in balls for key, _ in day if glossary()[key].better != "none"}
    for key in sorted(keys):
        numbers[key] = [
            Day(
                number=(one.held_on - first).days,
                age_days=float((one.held_on - first).days),
                before=np.array(day.get((key, "before"), ())),
                with_change=np.array(day.get((key, "with_change"), ())),
                is_test=place >= len(lessons),
            )
            for place, (one, day) in enumerate(zip(every, balls, strict=True))
        ]
    return numbers


def values_by_role(
    desk: Desk, lesson: Lesson, club: str = "", *, unnamed: bool = True
) -> dict[tuple[str, Role], list[float]]:
    """The balls of a lesson that count, by quantity and what their block is; SI.

    Parameters
    ----------
    desk, lesson
        Whose balls.
    club
        Only those of this club, in its one spelling; empty: all.
    unnamed
        Whether a ball whose club nobody named counts as one of it.
    """
    roles = {block.id: block.role for block in desk.book.blocks(lesson.id)}
    found: dict[tuple[str, Role], list[float]] = {}
    for shot in desk.book.shots(lesson.id):
        if shot.left_out_reason is None and _is_of(shot, lesson, club, unnamed=unnamed):
            for key, reading in shot.values.items():
                found.setdefault((key, roles[shot.block_id]), []).append(reading.si)
    return found


def _is_of(shot: StoredShot, lesson: Lesson, club: str, *, unnamed: bool) -> bool:
    named = club_of(shot, lesson)
    return not club or named == club or (unnamed and not named)


def club_of(shot: StoredShot, lesson: Lesson) -> str:
    """The club of a ball in its one spelling: its own, else its lesson's; empty if unknown."""
    return club_name(shot.club or lesson.club or "")


def clubs_hit(desk: Desk, lesson: Lesson, role: Role) -> tuple[str, ...]:
    """The clubs of the balls of one role that count, the one hit most first; empty is unknown."""
    roles = {block.id: block.role for block in desk.book.blocks(lesson.id)}
    n = Counter(
        club_of(shot, lesson)
        for shot in desk.book.shots(lesson.id)
        if shot.left_out_reason is None and roles[shot.block_id] == role
    )
    return tuple(name for name, _ in n.most_common())


def club_of_change(desk: Desk, lesson: Lesson) -> str:
    """The club with which a lesson's change was tried; empty if nobody named one."""
    if lesson.club:
        return club_name(lesson.club)
    hit = clubs_hit(desk, lesson, "with_change")
    return hit[0] if hit else ""


def units_of(desk: Desk, lesson: Lesson) -> dict[str, str | None]:
    """The unit of each quantity: that of the studio, else that of the lesson's table."""
    chosen = studio_of(desk).units
    units: dict[str, str | None] = {}
    for shot in desk.book.shots(lesson.id):
        for key, reading in shot.values.items():
            units.setdefault(key, chosen.of(key) or reading.unit)
    return units
