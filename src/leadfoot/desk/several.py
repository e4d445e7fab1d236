"""Straighter over several lessons: what the lessons with one change and one club say together.

One lesson hardly tells a narrower pattern; the earlier lessons in which the same change was tried
often do. They are pooled by `leadfoot.evidence.pooled`, each with its own level and day's spread.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date

import numpy as np

from leadfoot.desk.answer import SeveralLessons
from leadfoot.desk.desk import Desk
from leadfoot.desk.records import Lesson, Role, StoredShot
from leadfoot.desk.settings import studio_of
from leadfoot.desk.wording import amount, in_100
from leadfoot.evidence.judgement import Verdict
from leadfoot.evidence.lesson import Seen
from leadfoot.evidence.pooled import (
    FEWEST_AFTER,
    PastLesson,
    PooledPattern,
    pooled_pattern,
    pooled_verdict,
)
from leadfoot.evidence.usual import usual_spread
from leadfoot.language.say import noted, say
from leadfoot.quantities import glossary
from leadfoot.shots.club import club_class, club_name
from leadfoot.units import si_into

DIRECTIONS = ("offline", "launch_direction", "face_angle", "face_to_path", "club_path")
"""The direction that is pooled: the first that two lessons or more were measured in."""
SAID: Mapping[Verdict, str] = {
    "yes": noted(
        "Over {lessons} lessons with this change ({n_before} balls before, {n_after} with it) "
        "straighter is shown: {name} spreads by {before} before and {after} with it; "
        "{odds} that it is narrower."
    ),
    "no": noted(
        "Over {lessons} lessons with this change ({n_before} balls before, {n_after} with it) "
        "wilder is shown: {name} spreads by {before} before and {after} with it; "
        "{odds} that it is narrower."
    ),
    "not_yet": noted(
        "Over {lessons} lessons with this change ({n_before} balls before, {n_after} with it) "
        "whether it is straighter is not shown yet: {name} spreads by {before} before and {after} "
        "with it; {odds} that it is narrower."
    ),
}


def newest_of_each(lessons: Iterable[Lesson]) -> list[Lesson]:
    """The newest lesson of each change and club that was tried more than once, newest first."""
    tried: dict[tuple[str, str], list[Lesson]] = {}
    for one in lessons:
        if one.change.strip():
            tried.setdefault(_key(one), []).append(one)
    newest = [max(same, key=_when) for same in tried.values() if len(same) > 1]
    return sorted(newest, key=_when, reverse=True)


def _when(lesson: Lesson) -> tuple[date, int]:
    return lesson.held_on, lesson.id


def _key(lesson: Lesson) -> tuple[str, str]:
    """One change with one club, whatever the spelling."""
    return lesson.change.strip().casefold(), club_name(lesson.club or "")


def several_lessons(desk: Desk, lesson: Lesson) -> SeveralLessons | None:
    """Pool a lesson with the earlier ones of the same student, change and club.

    Returns
    -------
    SeveralLessons or None
        None where the lesson names no change, or where fewer than two lessons have balls of one
        direction before and with the change.
    """
    if not lesson.change.strip():
        return None
    same = [
        one
        for one in desk.book.lessons(lesson.student_id)
        if _key(one) == _key(lesson) and _when(one) <= _when(lesson)
    ]
    if len(same) < 2:
        return None
    shots = {one.id: desk.book.shots(one.id) for one in same}
    for key in DIRECTIONS:
        past = [
            PastLesson(balls=balls, age_days=float((lesson.held_on - one.held_on).days))
            for one in same
            if (balls := _seen(desk, one, shots[one.id], key)) is not None
        ]
        n_after = sum(one.balls.n_after for one in past)
        if len(past) >= 2 and n_after >= FEWEST_AFTER:
            read = next(
                (one.values[key].unit for one in shots[lesson.id] if key in one.values), None
            )
            unit = studio_of(desk).units.of(key) or read or glossary()[key].unit
            return _told(key, past, lesson, _usual_carry(shots.values()), unit)
    return None


def _seen(desk: Desk, lesson: Lesson, shots: Sequence[StoredShot], key: str) -> Seen | None:
    """The balls of one lesson that have a value; None unless there are some on both sides."""
    roles: Mapping[int, Role] = {block.id: block.role for block in desk.book.blocks(lesson.id)}
    rows = [
        (shot.values[key].si, roles[shot.block_id] == "with_change", float(place))
        for place, shot in enumerate(shots)
        if shot.left_out_reason is None and key in shot.values and roles[shot.block_id] != "other"
    ]
    balls = Seen(
        values=np.array([value for value, _, _ in rows], dtype=np.float64),
        with_change=np.array([changed for _, changed, _ in rows], dtype=np.bool_),
        ball_number=np.array([number for _, _, number in rows], dtype=np.float64),
    )
    return balls if balls.fewest > 0 else None


def _usual_carry(every: Iterable[Sequence[StoredShot]]) -> float | None:
    values = [
        shot.values["carry"].si
        for shots in every
        for shot in shots
        if "carry" in shot.values and shot.left_out_reason is None
    ]
    return float(np.median(values)) if values else None


def _told(
    key: str,
    past: Sequence[PastLesson],
    lesson: Lesson,
    carry_m: float | None,
    unit: str | None,
) -> SeveralLessons:
    # The spread to count in must not be learnt from these same lessons: players in general.
    usual = usual_spread(key, club_class(lesson.club), carry_m if key == "offline" else None)
    found: PooledPattern = pooled_pattern(past, usual)
    before, after = (
        si_into(value, unit) for value in (found.change.spread.before, found.change.spread.after)
    )
    verdict = pooled_verdict(found)
    return SeveralLessons(
        quantity=key,
        unit=unit,
        n_lessons=found.n_lessons,
        n_before=found.n_before,
        n_after=found.n_after,
        spread_before=before,
        spread_after=after,
        narrower=found.change.narrower,
        verdict=verdict,
        sentence=say(
            SAID[verdict],
            lessons=found.n_lessons,
            n_before=found.n_before,
            n_after=found.n_after,
            name=say(glossary()[key].name),
            before=amount(before, unit),
            after=amount(after, unit),
            odds=in_100(found.change.narrower),
        ),
    )
