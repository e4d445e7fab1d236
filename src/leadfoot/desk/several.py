"""Straighter over several lessons: what the lessons with one change and one club say together.

One lesson hardly tells a narrower pattern; the earlier lessons in which the same change was tried
often do. They are pooled by `leadfoot.evidence.pooled`, each with its own level and day's spread.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from leadfoot.desk.desk import Desk
from leadfoot.desk.records import Lesson, Role, StoredShot
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
from leadfoot.quantities import glossary
from leadfoot.shots.club import club_class, club_name
from leadfoot.units import si_into

DIRECTIONS = ("offline", "launch_direction", "face_angle", "face_to_path", "club_path")
"""The direction that is pooled: the first that two lessons or more were measured in."""
SAID: Mapping[Verdict, str] = {
    "yes": "straighter is shown",
    "no": "wilder is shown",
    "not_yet": "whether it is straighter is not shown yet",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class SeveralLessons:
    """What several lessons with one change say of a direction, spreads in `unit`.

    ``narrower`` is the probability that the student's pattern is narrower with the change.
    """

    quantity: str
    unit: str | None
    n_lessons: int
    n_before: int
    n_after: int
    spread_before: float
    spread_after: float
    narrower: float
    verdict: Verdict

    @property
    def sentence(self) -> str:
        """The answer in one sentence."""
        name = glossary()[self.quantity].name
        return (
            f"Over {self.n_lessons} lessons with this change ({self.n_before} balls before, "
            f"{self.n_after} with it) {SAID[self.verdict]}: {name} spreads by "
            f"{amount(self.spread_before, self.unit)} before and "
            f"{amount(self.spread_after, self.unit)} with it; "
            f"{in_100(self.narrower)} that it is narrower."
        )


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
        if _is_same(one, lesson) and (one.held_on, one.id) <= (lesson.held_on, lesson.id)
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
            return _told(key, past, lesson, _usual_carry(shots.values()), shots[lesson.id])
    return None


def _is_same(one: Lesson, other: Lesson) -> bool:
    """Whether two lessons tried one change with one club, whatever the spelling."""
    same_change = one.change.strip().casefold() == other.change.strip().casefold()
    return same_change and club_name(one.club or "") == club_name(other.club or "")


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
    shots: Sequence[StoredShot],
) -> SeveralLessons:
    # The spread to count in must not be learnt from these same lessons: players in general.
    usual = usual_spread(key, club_class(lesson.club), carry_m if key == "offline" else None)
    found: PooledPattern = pooled_pattern(past, usual)
    unit = next((one.values[key].unit for one in shots if key in one.values), glossary()[key].unit)
    spread = found.change.spread
    return SeveralLessons(
        quantity=key,
        unit=unit,
        n_lessons=found.n_lessons,
        n_before=found.n_before,
        n_after=found.n_after,
        spread_before=si_into(spread.before, unit),
        spread_after=si_into(spread.after, unit),
        narrower=found.change.narrower,
        verdict=pooled_verdict(found),
    )
