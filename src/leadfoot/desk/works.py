"""What works for whom: every cue of the book, over all students, quantity by quantity.

Each lesson with a change gives one figure a quantity: what changed, before anything is drawn in,
and how sure that is. Only what was measured counts: a computed carry is left away.
"""

from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any, Literal

import numpy as np

from leadfoot.desk.club_days import has_usual_spread
from leadfoot.desk.desk import Desk
from leadfoot.desk.pooling_port import LessonBalls
from leadfoot.desk.records import Lesson
from leadfoot.desk.settings import studio_of
from leadfoot.desk.studio import UnitChoice
from leadfoot.desk.wording import amount, in_100
from leadfoot.evidence.change import levels_together
from leadfoot.evidence.cues import WIDE
from leadfoot.evidence.lesson import Seen
from leadfoot.evidence.noise import DIRECTION_NOISE, LENGTH_NOISE, Noise
from leadfoot.evidence.usual import usual_spread
from leadfoot.evidence.what_works import CueEffect, OwnEffect, Tries, WhatWorks, what_works
from leadfoot.quantities import glossary
from leadfoot.shots.club import club_class, club_name
from leadfoot.units import si_into

Progress = Callable[[int, int], None]
"""Told how many steps are done, and of how many."""
Way = Literal["more", "less"]

POOLED = (
    "club_speed",
    "ball_speed",
    "carry",
    "smash_factor",
    "offline",
    "launch_direction",
    "face_angle",
    "club_path",
    "face_to_path",
    "attack_angle",
    "low_point",
    "strike_heel_toe",
    "strike_high_low",
    "dynamic_loft",
    "spin_axis",
)
"""What a coach asks of a cue: length, direction, strike, loft, curve. In the order of the page."""
FEWEST_A_SIDE = 3
"""A block of fewer balls says too little to be pooled. Our own choice."""
SURELY_BEST = 0.8
"""Below this chance to be the best, the page warns of the best of many tries. Our own choice."""
FEW_STUDENTS = 3
LESSONS_AT_ONCE = 100
"""Lessons read by one query: few enough that the page sees progress. Our own choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Summary:
    """What one lesson says of one quantity; SI. ``unit`` is a usual spread of it."""

    lesson_id: int
    student_id: int
    cue: str
    quantity: str
    change: float
    error: float
    unit: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CueLine:
    """One cue on one quantity, in the unit of its table.

    Attributes
    ----------
    cue
        As the coach wrote it last.
    mean, low, high
        What it does to a student one has not met yet, drawn in as far as luck demands, with its
        95 % range.
    raw
        Plain mean of its lessons: what one would believe without this page.
    odds_more, odds_most, odds_least
        Chance that it moves the quantity up; that it moves it most of all, and least.
    n_students, n_lessons
        What it rests on.
    """

    cue: str
    mean: float
    low: float
    high: float
    raw: float
    odds_more: float
    odds_most: float
    odds_least: float
    n_students: int
    n_lessons: int


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnLine:
    """One cue on one student; see `leadfoot.evidence.what_works.OwnEffect`."""

    student_id: int
    cue: str
    mean: float
    low: float
    high: float
    n_lessons: int


@dataclass(frozen=True, slots=True, kw_only=True)
class QuantityWorks:
    """All cues on one quantity, the largest first."""

    quantity: str
    name: str
    unit: str | None
    better: str
    lines: tuple[CueLine, ...]
    own: tuple[OwnLine, ...]
    students_sd: float
    lessons_sd: float
    n_students: int
    n_lessons: int
    sentences: tuple[str, ...]

    def best(self, way: Way = "more") -> CueLine:
        """The cue that moves it most in one direction."""
        return self.lines[0] if way == "more" else self.lines[-1]


@dataclass(frozen=True, slots=True, kw_only=True)
class Works:
    """What works for whom; ``spellings`` are the cues of the book as they may be merged."""

    quantities: tuple[QuantityWorks, ...]
    spellings: Mapping[str, int]
    merged: Mapping[str, str]
    n_students: int
    n_lessons: int
    n_shots: int

    def as_json(self) -> dict[str, Any]:
        """The published form, ``leadfoot.works/1``."""
        return {
            "schema": "leadfoot.works/1",
            "n_students": self.n_students,
            "n_lessons": self.n_lessons,
            "n_shots": self.n_shots,
            "quantities": [asdict(one) for one in self.quantities],
        }


def what_works_for_whom(desk: Desk, progress: Progress | None = None) -> Works:
    """Pool every lesson of the book that tried a change.

    Parameters
    ----------
    desk
        Whose book.
    progress
        Told after every lesson and every quantity.
    """
    book = desk.book
    lessons = [lesson for lesson in book.lessons() if lesson.change.strip()]
    keys = tuple(key for key in POOLED if key in glossary() and has_usual_spread(key))
    merged = book.cue_names()
    chosen = studio_of(desk).units
    said: dict[str, str] = {}
    spellings: dict[str, int] = defaultdict(int)
    summaries: list[Summary] = []
    n_shots = 0
    steps = len(lessons) + len(POOLED)
    for done, (lesson, balls) in enumerate(_with_balls(desk, lessons, keys)):
        own = same_cue(lesson.change)
        cue = meaning(own, merged)
        spellings[own] += 1
        if own == cue:
            said[cue] = lesson.change.strip()
        if balls is not None:
            n_shots += balls.n_shots
            summaries.extend(summaries_of(lesson, balls, keys, cue))
        _tell(progress, done + 1, steps)
    found = []
    for place, key in enumerate(POOLED):
        pooled = [one for one in summaries if one.quantity == key]
        if pooled:
            found.append(_pooled(key, pooled, said, chosen))
        _tell(progress, len(lessons) + place + 1, steps)
    return Works(
        quantities=tuple(found),
        spellings=dict(sorted(spellings.items())),
        merged=merged,
        n_students=len({lesson.student_id for lesson in lessons}),
        n_lessons=len(lessons),
        n_shots=n_shots,
    )


def _with_balls(
    desk: Desk, lessons: Sequence[Lesson], keys: Sequence[str]
) -> Iterator[tuple[Lesson, LessonBalls | None]]:
    """Every lesson with its balls, read from the book some lessons at a time."""
    for start in range(0, len(lessons), LESSONS_AT_ONCE):
        some = lessons[start : start + LESSONS_AT_ONCE]
        balls = desk.book.balls_of([lesson.id for lesson in some], keys)
        for lesson in some:
            yield lesson, balls.get(lesson.id)


def _tell(progress: Progress | None, done: int, steps: int) -> None:
    if progress is not None:
        progress(done, steps)


def same_cue(change: str) -> str:
    """A cue without what does not matter in its spelling.

    Examples
    --------
    >>> same_cue("  Press the  Block. ")
    'press the block'
    """
    return " ".join(change.casefold().strip().rstrip(".").split())


def meaning(spelling: str, merged: Mapping[str, str]) -> str:
    """The cue that a spelling stands for; a circle of merges ends where it began.

    Examples
    --------
    >>> meaning("press", {"press": "press the block"})
    'press the block'
    """
    seen = [spelling]
    while seen[-1] in merged and merged[seen[-1]] not in seen:
        seen.append(merged[seen[-1]])
    return seen[-1]


def merge(desk: Desk, spelling: str, means: str) -> None:
    """Let one spelling of a cue stand for another; an empty `means` takes the merge back."""
    own = same_cue(spelling)
    desk.book.merge_cue(own, same_cue(means) or own, at=desk.clock())


def summaries_of(
    lesson: Lesson, balls: LessonBalls, keys: Sequence[str], cue: str
) -> Iterator[Summary]:
    """One figure a quantity: the change of the typical ball with hardly anything assumed of it.

    Parameters
    ----------
    lesson, cue
        The lesson, and the cue that its change stands for.
    balls, keys
        Its balls, and which quantities their columns are.
    """
    named = [club_name(club) if club else None for club in balls.clubs]
    club = max(dict.fromkeys(named), key=named.count, default=None)
    judged = np.array([name == club for name in named], dtype=bool)
    values, changed = balls.values[judged], balls.with_change[judged]
    # Quantities that were seen on the same balls are weighed in one go.
    together: dict[tuple[bytes, bool], list[int]] = defaultdict(list)
    for column, key in enumerate(keys):
        known = np.isfinite(values[:, column])
        if min((known & changed).sum(), (known & ~changed).sum()) >= FEWEST_A_SIDE:
            length = glossary()[key].better == "more"
            together[known.tobytes(), length].append(column)
    for (_, length), columns in together.items():
        known = np.isfinite(values[:, columns[0]])
        place = np.flatnonzero(known).astype(np.float64)
        seen = {
            keys[column]: Seen(
                values=values[known, column], with_change=changed[known], ball_number=place
            )
            for column in columns
        }
        yield from _summaries(lesson, cue, seen, club, LENGTH_NOISE if length else DIRECTION_NOISE)


def _summaries(
    lesson: Lesson, cue: str, seen: Mapping[str, Seen], club: str | None, noise: Noise
) -> Iterator[Summary]:
    usual = [
        usual_spread(
            key,
            club_class(club),
            None if key == "offline" else float(np.median(balls.values)),
        )
        for key, balls in seen.items()
    ]
    found = levels_together(list(seen.values()), usual, prior=WIDE, noise=noise)
    for key, spread, change in zip(seen, usual, found, strict=True):
        yield Summary(
            lesson_id=lesson.id,
            student_id=lesson.student_id,
            cue=cue,
            quantity=key,
            change=change.unit_si * change.mean,
            error=change.unit_si * change.sd,
            unit=spread.sd,
        )


def _pooled(
    key: str, summaries: Sequence[Summary], said: Mapping[str, str], chosen: UnitChoice
) -> QuantityWorks:
    cues = sorted({one.cue for one in summaries})
    students = sorted({one.student_id for one in summaries})
    number_of = {cue: number for number, cue in enumerate(cues)}
    place_of = {student: place for place, student in enumerate(students)}
    change = np.array([one.change for one in summaries])
    tries = Tries(
        student=np.array([place_of[one.student_id] for one in summaries], dtype=np.intp),
        cue=np.array([number_of[one.cue] for one in summaries], dtype=np.intp),
        change=change,
        standard_error=np.array([one.error for one in summaries]),
    )
    usual = float(np.median([one.unit for one in summaries]))
    found = what_works(tries, unit=usual)
    least = _odds_least(tries, usual)
    unit = chosen.usual(key)
    lines = tuple(
        _line(one, said.get(cues[one.cue], cues[one.cue]), least[one.cue], unit)
        for one in found.cues
    )
    return QuantityWorks(
        quantity=key,
        name=glossary()[key].name,
        unit=unit,
        better=glossary()[key].better,
        lines=lines,
        own=_own(found, students, [said.get(cue, cue) for cue in cues], unit),
        students_sd=_size(found.students_sd, unit),
        lessons_sd=_size(found.lessons_sd, unit),
        n_students=len(students),
        n_lessons=len(summaries),
        sentences=_sentences(key, lines, unit),
    )


def _odds_least(tries: Tries, usual: float) -> Mapping[int, float]:
    """Chance of each cue to move the quantity down most: the same pooling, upside down."""
    turned = Tries(
        student=tries.student,
        cue=tries.cue,
        change=-tries.change,
        standard_error=tries.standard_error,
    )
    return {one.cue: one.odds_best for one in what_works(turned, unit=usual).cues}


def _size(value_si: float, unit: str | None) -> float:
    return si_into(value_si, unit) - si_into(0.0, unit)


def _line(one: CueEffect, cue: str, odds_least: float, unit: str | None) -> CueLine:
    return CueLine(
        cue=cue,
        mean=_size(one.mean, unit),
        low=_size(one.low, unit),
        high=_size(one.high, unit),
        raw=_size(one.raw_mean, unit),
        odds_more=one.odds_helps,
        odds_most=one.odds_best,
        odds_least=odds_least,
        n_students=one.n_students,
        n_lessons=one.n_lessons,
    )


def _own(
    found: WhatWorks, students: Sequence[int], cues: Sequence[str], unit: str | None
) -> tuple[OwnLine, ...]:
    def line(one: OwnEffect) -> OwnLine:
        return OwnLine(
            student_id=students[one.student],
            cue=cues[one.cue],
            mean=_size(one.mean, unit),
            low=_size(one.low, unit),
            high=_size(one.high, unit),
            n_lessons=one.n_lessons,
        )

    return tuple(sorted(map(line, found.own), key=lambda one: (one.student_id, -one.mean)))


_WAYS: Mapping[Way, str] = {"more": "more", "less": "less"}
_SIDES: Mapping[Way, str] = {"more": "farther right", "less": "farther left"}
_ON_THE_FACE: Mapping[str, Mapping[Way, str]] = {
    "strike_heel_toe": {"more": "nearer the toe", "less": "nearer the heel"},
    "strike_high_low": {"more": "higher on the face", "less": "lower on the face"},
}


def _sentences(key: str, lines: Sequence[CueLine], unit: str | None) -> tuple[str, ...]:
    """The best cue for every wish that a coach may have of the quantity, with its warning."""
    ways: tuple[Way, ...] = ("more",) if glossary()[key].better == "more" else ("more", "less")
    return tuple(best_said(key, lines, unit, way) for way in ways)


def best_said(key: str, lines: Sequence[CueLine], unit: str | None, way: Way) -> str:
    """The cue that moves a quantity most in one direction, in a sentence with its warning."""
    known = glossary()[key]
    line = lines[0] if way == "more" else lines[-1]
    word = _ON_THE_FACE.get(key, _SIDES if known.better == "nearer_zero" else _WAYS)[way]
    if (line.mean > 0.0) != (way == "more"):
        return f"For {known.name} {word}: no cue so far moves it that way."
    odds = line.odds_most if way == "more" else line.odds_least
    size = amount(abs(line.mean), unit)
    people = "student" if line.n_students == 1 else "students"
    text = f"For {known.name} {word}: {line.cue.rstrip('.')}, about {size}"
    return f"{text} ({line.n_students} {people}).{_warning(line, len(lines), odds)}"


def _warning(line: CueLine, n_cues: int, odds: float) -> str:
    if n_cues == 1:
        return " The only cue so far: there is nothing to compare it with."
    if odds < SURELY_BEST:
        return (
            f" Mind: it is the best of {n_cues} tries, and only {in_100(odds)} that it is truly "
            "the best of them."
        )
    if line.n_students < FEW_STUDENTS:
        return " Mind: so few students say little of the next one."
    return ""
