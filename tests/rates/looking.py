"""What a coach who looks after every ball gets to hear, and how often it is wrong."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from leadfoot.evidence.judge import judge, weigh
from leadfoot.evidence.judgement import Decision, LessonShots, UsualSpread
from leadfoot.evidence.lesson import Planned
from leadfoot.evidence.memory import learn_usual_spread
from leadfoot.evidence.posteriors import posteriors
from leadfoot.evidence.settings import DEFAULT_SETTINGS, JudgeSettings
from leadfoot.evidence.verdict import Decided, decide
from tests.rates.lessons import (
    NO_CHANGE,
    PLANS,
    REFERENCE,
    Day,
    Plan,
    Truth,
    first_balls,
    looks,
    simulate,
)

LOSSES = {"shorter", "slower", "wilder", "more_mishits"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """What one lesson came to: whether each was said after any ball, and when it was first kept."""

    kept: bool
    kept_at: int | None
    """Balls with the change at the first "keep"."""
    dropped: bool
    worse: bool
    """Something was said to be shown worse: shorter, wilder, more mishits."""
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
    return heard_in(lesson.with_change, list(answers(lesson, settings)))


def heard_with_and_without_plan(lesson: LessonShots) -> tuple[Heard, Heard]:
    """The same lesson twice, weighed once: nothing planned, and all of it before the change."""
    plan = Planned.of(lesson.with_change)
    told: tuple[list[tuple[int, Decided]], ...] = ([], [])
    for n in looks(lesson):
        so_far = first_balls(lesson, n)
        found = posteriors(so_far)
        for list_of, planned in zip(told, (None, plan), strict=True):
            weighed = weigh(so_far, replace(found, planned=planned), DEFAULT_SETTINGS)
            list_of.append((n, decide(weighed, DEFAULT_SETTINGS)))
    return heard_in(lesson.with_change, told[0]), heard_in(lesson.with_change, told[1])


def heard_in(with_change: NDArray[np.bool_], told: Sequence[tuple[int, Decided]]) -> Heard:
    """What the answers of one lesson come to: balls so far and what was decided, in order."""
    kept_at = next((n for n, answer in told if answer.decision == "keep"), None)
    return Heard(
        kept=kept_at is not None,
        kept_at=None if kept_at is None else int(with_change[:kept_at].sum()),
        dropped=any(answer.decision == "drop" for _, answer in told),
        worse=any(LOSSES & set(answer.reasons) for _, answer in told),
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


def many_both(
    n_lessons: int, seed: int, plan: Plan, day: Day = REFERENCE, truth: Truth = NO_CHANGE
) -> tuple[list[Heard], list[Heard]]:
    """The same lessons as `many`, without a plan and with one."""
    rng = np.random.default_rng(seed)
    pairs = [heard_with_and_without_plan(simulate(rng, plan, day, truth)) for _ in range(n_lessons)]
    return [one for one, _ in pairs], [two for _, two in pairs]


def share(lessons: Sequence[Heard], what: str) -> float:
    """Share of lessons in which something was said after any ball."""
    return float(np.mean([getattr(lesson, what) for lesson in lessons]))


def chances_and_what_came(n_lessons: int, seed: int) -> list[tuple[float, bool]]:
    """Predicted after 8 balls with the change: will more balls tell? And whether they then did.

    Half of the changes do nothing, the others gain 0.8 ± 0.6 usual spreads of carry.
    """
    rng = np.random.default_rng(seed)
    plan = replace(PLANS["10 before, 15 with"], blocks=(10, 38))
    found: list[tuple[float, bool]] = []
    while len(found) < n_lessons:
        gain_yd = float(rng.random() < 0.5) * 8.0 * (0.8 + 0.6 * rng.standard_normal())
        lesson = simulate(rng, plan, REFERENCE, Truth(carry_yd=gain_yd))
        now = judge(first_balls(lesson, 18))
        if now.decision != "hit_more" or now.chance_more_tells is None:
            continue
        until = 18 + (now.n_more or 30)
        verdicts = {
            (answer.longer.verdict, answer.straighter.verdict)
            for n, answer in answers(lesson)
            if 18 < n <= until
        }
        told = verdicts != {(now.longer.verdict, now.straighter.verdict)}
        found.append((now.chance_more_tells, told))
    return found


def with_learnt_spreads(
    rng: np.random.Generator, plan: Plan, day: Day = REFERENCE, n_earlier: int = 6
) -> LessonShots:
    """A lesson without a change of a student whose spreads were learnt from earlier baselines."""
    before = replace(plan, blocks=(10,))
    earlier = [simulate(rng, before, day) for _ in range(n_earlier)]
    lesson = simulate(rng, plan, day)
    tracks = {
        key: replace(
            track,
            usual=learn_usual_spread(
                [one.tracks[key].values for one in earlier],
                start=UsualSpread(sd=track.usual.sd * float(np.exp(0.2 * rng.standard_normal()))),
                aim=track.aim,
            ),
        )
        for key, track in lesson.tracks.items()
    }
    return replace(lesson, tracks=tracks)
