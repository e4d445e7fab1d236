"""What a coach who looks after every ball gets to hear, and how often it is wrong."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from leadfoot.evidence.judge import weigh
from leadfoot.evidence.judgement import Decision, LessonShots
from leadfoot.evidence.posteriors import posteriors
from leadfoot.evidence.settings import DEFAULT_SETTINGS, JudgeSettings
from leadfoot.evidence.verdict import Decided, decide
from tests.rates.lessons import (
    NO_CHANGE,
    REFERENCE,
    Day,
    Plan,
    Truth,
    first_balls,
    looks,
    simulate,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """What one lesson came to: whether each was said after any ball, and when it was first kept."""

    kept: bool
    kept_at: int | None
    """Balls with the change at the first "keep"."""
    dropped: bool
    longer: bool
    straighter: bool
    both: bool
    at_end: Decision


def answers(
    lesson: LessonShots, settings: JudgeSettings = DEFAULT_SETTINGS
) -> Iterator[tuple[int, Decided]]:
    """The answer after each ball: balls so far, and what `judge` decides on them."""
    for n in looks(lesson):
        so_far = first_balls(lesson, n)
        yield n, decide(weigh(so_far, posteriors(so_far), settings), settings)


def heard(lesson: LessonShots, settings: JudgeSettings = DEFAULT_SETTINGS) -> Heard:
    """Look after every ball to the end of the lesson."""
    told = list(answers(lesson, settings))
    kept_at = next((n for n, answer in told if answer.decision == "keep"), None)
    return Heard(
        kept=kept_at is not None,
        kept_at=None if kept_at is None else int(lesson.with_change[:kept_at].sum()),
        dropped=any(answer.decision == "drop" for _, answer in told),
        longer=any(answer.longer.verdict == "yes" for _, answer in told),
        straighter=any(answer.straighter.verdict == "yes" for _, answer in told),
        both=any(answer.both.verdict == "yes" for _, answer in told),
        at_end=told[-1][1].decision,
    )


def many(
    n_lessons: int, seed: int, plan: Plan, day: Day = REFERENCE, truth: Truth = NO_CHANGE
) -> list[Heard]:
    """Many lessons of one kind."""
    rng = np.random.default_rng(seed)
    return [heard(simulate(rng, plan, day, truth)) for _ in range(n_lessons)]


def share(lessons: Sequence[Heard], what: str) -> float:
    """Share of lessons in which something was said after any ball."""
    return float(np.mean([getattr(lesson, what) for lesson in lessons]))
