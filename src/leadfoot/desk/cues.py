"""Every cue that was tried on a student, with its answer, weighed together with the others."""

import json
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from leadfoot.desk.desk import Desk
from leadfoot.desk.lesson import LessonView, lesson_view
from leadfoot.desk.records import Lesson
from leadfoot.desk.wording import amount, in_100
from leadfoot.evidence.cues import CueWorth, Trial, weigh_cues
from leadfoot.quantities import glossary
from leadfoot.shots.club import club_name
from leadfoot.units import si_into


@dataclass(frozen=True, slots=True, kw_only=True)
class CueTried:
    """One cue with the lessons in which it was tried.

    Attributes
    ----------
    cue
        As the coach wrote it last.
    lessons
        The lessons, the latest first.
    raw, gain, low, high
        Its gain as the balls alone have it, and drawn in toward the other cues with its 90 % range,
        in the unit of the club's list.
    odds_best, odds_worth
        Probability that it is the best of those tried, and that its gain is worth talking of.
    """

    cue: str
    lessons: tuple[Lesson, ...]
    raw: float
    gain: float
    low: float
    high: float
    odds_best: float
    odds_worth: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CuesOfClub:
    """All cues that were tried with one club, the best first.

    Attributes
    ----------
    club
        The club; None where none was named.
    quantity, unit
        What the gains are of, and their unit.
    cues
        Those with a measured gain of that quantity.
    not_compared
        Lessons with a change whose gain of that quantity is not known.
    sentence
        What to make of the best, in one sentence.
    """

    club: str | None
    quantity: str
    unit: str | None
    cues: tuple[CueTried, ...]
    not_compared: tuple[Lesson, ...]
    sentence: str


def cues_tried(desk: Desk, student_id: int) -> tuple[CuesOfClub, ...]:
    """Every cue on record for one student, by club."""
    return cues_of([lesson_view(desk, one.id) for one in desk.book.lessons(student_id)])


def cues_so_far(desk: Desk, lesson: Lesson) -> int:
    """How many cues were tried on this student with this club, up to this lesson and with it."""
    when = (lesson.held_on, lesson.id)
    return len(
        {
            _same_cue(other.change)
            for other in desk.book.lessons(lesson.student_id)
            if other.change.strip()
            and (other.held_on, other.id) <= when
            and club_name(other.club or "") == club_name(lesson.club or "")
        }
    )


def cues_of(views: Iterable[LessonView]) -> tuple[CuesOfClub, ...]:
    """The same from lessons that are judged already; a club without any trial is left out."""
    return _by_club([_judged(view) for view in views])


def cues_kept(
    desk: Desk, student_id: int, view_of: Callable[[int], LessonView]
) -> tuple[CuesOfClub, ...]:
    """The same from the answers that the book keeps: years of lessons are not judged anew.

    Parameters
    ----------
    desk, student_id
        Whose.
    view_of
        Judges a lesson whose kept answer says nothing of the cue: one of an earlier version.
    """
    kept = desk.book.last_judgements(student_id)
    tried = []
    for lesson in desk.book.lessons(student_id):
        if lesson.change.strip():
            answer = json.loads(kept[lesson.id].answer_json) if lesson.id in kept else {}
            told = "trial" in answer
            tried.append(_as_kept(lesson, answer) if told else _judged(view_of(lesson.id)))
    return _by_club(tried)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Tried:
    """A lesson, and what its answer says of its cue."""

    lesson: Lesson
    club: str | None
    trial: Trial | None
    units: Mapping[str, str | None]
    """The unit of each quantity whose level was compared."""


def _judged(view: LessonView) -> _Tried:
    answer = view.answer
    outcomes = answer.outcomes if answer else ()
    return _Tried(
        lesson=view.lesson,
        club=_club(view.lesson, answer.club if answer else None),
        trial=answer.trial if answer else None,
        units={one.quantity: one.unit for one in outcomes if one.kind == "level"},
    )


def _as_kept(lesson: Lesson, answer: Mapping[str, Any]) -> _Tried:
    levels = (one for one in answer["outcomes"] if one["kind"] == "level")
    return _Tried(
        lesson=lesson,
        club=_club(lesson, answer["club"]),
        trial=None if answer["trial"] is None else Trial(**answer["trial"]),
        units={one["quantity"]: one["unit"] for one in levels},
    )


def _club(lesson: Lesson, judged: str | None) -> str | None:
    named = lesson.club or judged
    return club_name(named) if named else None


def _by_club(every: Sequence[_Tried]) -> tuple[CuesOfClub, ...]:
    by_club: dict[str | None, list[_Tried]] = defaultdict(list)
    for one in every:
        if one.lesson.change.strip():
            by_club[one.club].append(one)
    found = (_of_club(club, those) for club, those in by_club.items())
    return tuple(one for one in found if one is not None)


def _of_club(club: str | None, views: Sequence[_Tried]) -> CuesOfClub | None:
    trials = [(view, view.trial) for view in views if view.trial]
    if not trials:
        return None
    ((quantity, _),) = Counter(trial.quantity for _, trial in trials).most_common(1)
    tries: dict[str, list[tuple[_Tried, Trial]]] = defaultdict(list)
    for view, trial in trials:
        if trial.quantity == quantity:
            tries[_same_cue(view.lesson.change)].append((view, trial))
    unit = _unit([view for those in tries.values() for view, _ in those], quantity)
    pooled = [_pooled([trial for _, trial in those]) for those in tries.values()]
    usual = float(np.median([trial.unit for those in tries.values() for _, trial in those]))
    worth = weigh_cues([gain for gain, _ in pooled], [error for _, error in pooled], usual)
    cues = [
        _cue([view for view, _ in those], one, unit)
        for those, one in zip(tries.values(), worth, strict=True)
    ]
    cues.sort(key=lambda cue: -cue.gain)
    compared = {lesson.id for cue in cues for lesson in cue.lessons}
    return CuesOfClub(
        club=club,
        quantity=quantity,
        unit=unit,
        cues=tuple(cues),
        not_compared=tuple(view.lesson for view in views if view.lesson.id not in compared),
        sentence=_sentence(cues, quantity, unit),
    )


def _same_cue(change: str) -> str:
    return " ".join(change.casefold().rstrip(".").split())


def _unit(views: Sequence[_Tried], quantity: str) -> str | None:
    """The unit in which the latest lesson shows the quantity."""
    for view in reversed(views):
        if quantity in view.units:
            return view.units[quantity]
    return glossary()[quantity].unit


def _pooled(trials: Sequence[Trial]) -> tuple[float, float]:
    """One cue in several lessons: each counts by what its balls tell."""
    told = np.array([1.0 / trial.error**2 for trial in trials])
    gains = np.array([trial.gain for trial in trials])
    return float(told @ gains / told.sum()), float(1.0 / np.sqrt(told.sum()))


def _cue(views: Sequence[_Tried], worth: CueWorth, unit: str | None) -> CueTried:
    lessons = sorted((view.lesson for view in views), key=lambda one: (one.held_on, one.id))
    return CueTried(
        cue=lessons[-1].change.strip(),
        lessons=tuple(reversed(lessons)),
        raw=si_into(worth.raw, unit),
        gain=si_into(worth.gain, unit),
        low=si_into(worth.low, unit),
        high=si_into(worth.high, unit),
        odds_best=worth.odds_best,
        odds_worth=worth.odds_worth,
    )


def _sentence(cues: Sequence[CueTried], quantity: str, unit: str | None) -> str:
    best = cues[0]
    if len(cues) == 1:
        return "One cue so far: there is nothing yet to compare it with."
    name = glossary()[quantity].name
    size = f"{amount(abs(best.gain), unit)} {'more' if best.gain >= 0 else 'less'} {name}"
    return (
        f"Best of {len(cues)} tries: {best.cue.rstrip('.')}, about {size} after drawing in; "
        f"{in_100(best.odds_best)} that it is the best of them."
    )
