"""Did it last: the change of a lesson against its tests, judged quantity by quantity."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from leadfoot.desk.desk import Desk
from leadfoot.desk.follow_up import lessons_of_tests
from leadfoot.desk.records import Lesson, Role
from leadfoot.desk.wording import amount, in_100
from leadfoot.errors import InputError
from leadfoot.evidence.memory import Memory, PastLesson, remember
from leadfoot.evidence.retention import (
    DAY_DOUBT,
    BlockLevel,
    Kind,
    Lasting,
    Retention,
    block_level,
    retention,
)
from leadfoot.evidence.usual import usual_spread
from leadfoot.quantities import glossary
from leadfoot.shots.club import club_class, club_name
from leadfoot.units import si_into

Floats = NDArray[np.float64]

SAID: Mapping[Lasting, str] = {
    "lasted": "It lasted",
    "partly": "Part of it lasted",
    "gone": "It is gone",
    "cannot_tell": "Cannot tell yet whether it lasted",
    "nothing_to_keep": "There was no gain shown that could last",
}
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


@dataclass(frozen=True, slots=True, kw_only=True)
class LastedQuantity:
    """What stayed of one quantity, in `unit`; see `leadfoot.evidence.retention.Retention`."""

    quantity: str
    name: str
    unit: str | None
    answer: Lasting
    sentence: str
    gain: float
    gain_low: float
    gain_high: float
    left: float
    left_low: float
    left_high: float
    kept: float | None
    kept_low: float | None
    kept_high: float | None
    odds_some: float
    n_baselines: int
    n_tests: int
    n_test_balls: int
    day_learnt: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Lasted:
    """What stayed of the change of one lesson; the first quantity is the one to speak of."""

    change: str
    club: str | None
    quantities: tuple[LastedQuantity, ...]
    waiting_for: str
    """What is missing for an answer; empty once there is one."""

    @property
    def sentence(self) -> str:
        """The answer in one sentence, or what it waits for."""
        return self.quantities[0].sentence if self.quantities else self.waiting_for

    def as_json(self) -> dict[str, Any]:
        """The published form, ``leadfoot.lasted/1``."""
        return {
            "schema": "leadfoot.lasted/1",
            "change": self.change,
            "club": self.club,
            "sentence": self.sentence,
            "waiting_for": self.waiting_for,
            "quantities": [asdict(one) for one in self.quantities],
        }


def lasted(desk: Desk, lesson_id: int) -> Lasted:
    """Judge what stayed of the change of a lesson, by every test of it with the same club."""
    lesson = desk.book.lesson(lesson_id)
    tests = [one for one in lessons_of_tests(desk, lesson) if same_club(one, lesson)]
    earlier = [
        one
        for one in desk.book.lessons(lesson.student_id)
        if same_club(one, lesson) and (one.held_on, one.id) < (lesson.held_on, lesson.id)
    ]
    if not tests:
        return _waiting(lesson, "No test without the cue was hit yet with this club.")
    days_of = {
        key: days
        for key, days in _days(desk, [*earlier, lesson], tests).items()
        if len(days[len(earlier)].with_change)
    }
    return lasted_over(
        {key: (days, len(earlier)) for key, days in days_of.items()},
        change=lesson.change,
        club=lesson.club,
        units=_units(desk, lesson),
    )


def lasted_over(
    days_of: Mapping[str, tuple[Sequence[Day], int]],
    *,
    change: str,
    club: str | None,
    units: Mapping[str, str | None],
) -> Lasted:
    """The same over days of any source.

    Parameters
    ----------
    days_of
        Quantity to its days in order, and the index of the one on which the change was made.
    change, club
        What was tried, with which club.
    units
        Unit in which each quantity is told.
    """
    found = []
    for key in _in_order(days_of):
        days, at = days_of[key]
        if _enough(days, at) and has_usual_spread(key):
            found.append(_judged(key, days, at, club, units.get(key, glossary()[key].unit)))
    waiting = (
        ""
        if found
        else "No quantity was measured before, with the change and in the test: it can't be told."
    )
    return Lasted(change=change, club=club, quantities=tuple(found), waiting_for=waiting)


def _in_order(keys: Mapping[str, Any]) -> list[str]:
    first = ("carry", "ball_speed", "club_speed", "offline", "launch_direction", "face_to_path")
    known = [key for key in first if key in keys]
    return known + [key for key in keys if key not in known]


def _enough(days: Sequence[Day], at: int) -> bool:
    has_before = any(len(day.before) for day in days[: at + 1])
    has_test = any(day.is_test and len(day.before) for day in days[at + 1 :])
    return has_before and has_test and len(days[at].with_change) > 0


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


def _judged(
    key: str, days: Sequence[Day], at: int, club: str | None, unit: str | None
) -> LastedQuantity:
    more = glossary()[key].better == "more"
    memory = _memory(key, days, club)
    sd = memory.usual.sd
    blocks: list[BlockLevel] = []
    for index, day in enumerate(days):
        kind: Kind = "before" if index <= at else "test"
        if len(day.before) and (index <= at or day.is_test):
            blocks.append(
                block_level(day.before, kind=kind, day=day.number, usual_sd=sd, either_way=not more)
            )
    change = days[at]
    blocks.append(
        block_level(
            change.with_change,
            kind="with_change",
            day=change.number,
            usual_sd=sd,
            either_way=not more,
        )
    )
    base = float(np.mean([block.mean for block in blocks if block.kind == "before"]))
    day_sd, doubt = _day_spread(memory)
    found = retention(
        blocks,
        usual_sd=sd,
        day_sd=day_sd,
        day_doubt=doubt,
        more_is_better=more or base < 0.0,
    )
    tests = [day for day in days[at + 1 :] if day.is_test and len(day.before)]
    n_baselines = sum(1 for block in blocks if block.kind == "before")
    return _told(key, unit, found, (n_baselines, tests, day_sd is not None))


def _told(
    key: str, unit: str | None, found: Retention, counts: tuple[int, Sequence[Day], bool]
) -> LastedQuantity:
    def people(value: float) -> float:
        return si_into(value, unit) - si_into(0.0, unit)

    n_baselines, tests, learnt = counts
    numbers = {
        name: people(getattr(found, name))
        for name in ("gain", "gain_low", "gain_high", "left", "left_low", "left_high")
    }
    return LastedQuantity(
        quantity=key,
        name=glossary()[key].name,
        unit=unit,
        answer=found.answer,
        sentence=_sentence(key, unit, found, numbers, sum(len(day.before) for day in tests)),
        kept=found.kept,
        kept_low=found.kept_low,
        kept_high=found.kept_high,
        odds_some=found.odds_some,
        n_baselines=n_baselines,
        n_tests=len(tests),
        n_test_balls=sum(len(day.before) for day in tests),
        day_learnt=learnt,
        **numbers,
    )


def _sentence(
    key: str, unit: str | None, found: Retention, numbers: Mapping[str, float], n_balls: int
) -> str:
    name = glossary()[key].name
    head = SAID[found.answer]
    if found.answer == "nothing_to_keep":
        return f"{head} ({name})."
    of = f"{amount(abs(numbers['left']), unit)} of {amount(abs(numbers['gain']), unit)} {name}"
    share = "" if found.kept is None else f", about {_percent(found.kept)} of the gain"
    if found.answer == "cannot_tell":
        return f"{head}: about {of} after {n_balls} test balls; days differ too much to be sure."
    return f"{head}: about {of} is left{share}; {in_100(found.odds_some)} that some of it is."


def _percent(share: float) -> str:
    return f"{100.0 * min(max(share, 0.0), 1.5):.0f} %"


def _memory(key: str, days: Sequence[Day], club: str | None) -> Memory:
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


def _day_spread(memory: Memory) -> tuple[float | None, float]:
    """How much days differ, if the student's own baselines tell, and how sure that is."""
    known = memory.day_to_day
    if known is None or known.n_days < 3 or known.low <= 0.0:
        return None, DAY_DOUBT
    return known.sd, max(math.log(known.high / known.low) / NINETY, 0.1)


def same_club(one: Lesson, other: Lesson) -> bool:
    """Whether two lessons were hit with one club, whatever its spelling."""
    return club_name(one.club or "") == club_name(other.club or "")


def _waiting(lesson: Lesson, missing: str) -> Lasted:
    return Lasted(change=lesson.change, club=lesson.club, quantities=(), waiting_for=missing)


def _days(desk: Desk, lessons: Sequence[Lesson], tests: Sequence[Lesson]) -> dict[str, list[Day]]:
    """Each quantity's days in order: the lessons up to the change, then the tests."""
    numbers: dict[str, list[Day]] = {}
    every = [*lessons, *tests]
    first = every[0].held_on
    balls = [values_by_role(desk, one) for one in every]
    keys = {key for day in balls for key, _ in day if glossary()[key].better != "none"}
    for key in sorted(keys):
        numbers[key] = [
            Day(
                number=(one.held_on - first).days,
                age_days=float((one.held_on - first).days),
                before=np.array(day.get((key, "before"), ())),
                with_change=np.array(day.get((key, "with_change"), ())),
                is_test=one in tests,
            )
            for one, day in zip(every, balls, strict=True)
        ]
    return numbers


def values_by_role(desk: Desk, lesson: Lesson) -> dict[tuple[str, Role], list[float]]:
    """The balls of a lesson that count, by quantity and what their block is; SI."""
    roles = {block.id: block.role for block in desk.book.blocks(lesson.id)}
    found: dict[tuple[str, Role], list[float]] = {}
    for shot in desk.book.shots(lesson.id):
        if shot.left_out_reason is None:
            for key, reading in shot.values.items():
                found.setdefault((key, roles[shot.block_id]), []).append(reading.si)
    return found


def _units(desk: Desk, lesson: Lesson) -> dict[str, str | None]:
    """The unit in which the lesson's table has each quantity."""
    units: dict[str, str | None] = {}
    for shot in desk.book.shots(lesson.id):
        for key, reading in shot.values.items():
            units.setdefault(key, reading.unit)
    return units
