"""The next few balls of a running lesson: on with the change, or back to without it."""

from dataclasses import dataclass, replace

from leadfoot.evidence.judgement import LessonShots
from leadfoot.evidence.more import chance_of_answer
from leadfoot.evidence.outlook import limits_of
from leadfoot.evidence.posteriors import Posteriors, posteriors
from leadfoot.evidence.settings import DEFAULT_SETTINGS, JudgeSettings

SMALL_BLOCK = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class NextStep:
    """What to hit next, and the chance that it brings a verdict on the declared distance.

    Attributes
    ----------
    with_change
        Whether the better next block is with the change.
    balls
        Balls of that block.
    chance_with, chance_without
        Chance that so many balls with the change, or without it again, bring a verdict.
    """

    with_change: bool
    balls: int
    chance_with: float
    chance_without: float

    @property
    def chance(self) -> float:
        """Chance of the better one."""
        return self.chance_with if self.with_change else self.chance_without


def next_step(
    lesson: LessonShots,
    *,
    balls: int = SMALL_BLOCK,
    settings: JudgeSettings = DEFAULT_SETTINGS,
    found: Posteriors | None = None,
) -> NextStep | None:
    """Weigh a few more balls with the change against as many without it.

    Parameters
    ----------
    lesson
        The balls so far; the last one is the running block.
    balls
        Balls of the next block, at least 1.
    settings
        When a verdict falls.
    found
        What the balls say, where it is known already (`posteriors`).

    Returns
    -------
    NextStep or None
        None where no length or speed has the fewest balls on both sides yet.

    Examples
    --------
    >>> import numpy as np
    >>> from leadfoot.evidence.judgement import Track, UsualSpread
    >>> speed = np.array([42.1, 42.8, 42.3, 43.0, 42.5, 42.4, 43.1, 42.7, 43.4, 42.9, 43.2])
    >>> lesson = LessonShots(
    ...     with_change=np.arange(11) >= 6, ball_number=np.arange(11.0),
    ...     tracks={"club_speed": Track(quantity="club_speed", values=speed, aim="more",
    ...                                 usual=UsualSpread(sd=0.54, n_shots=60))},
    ...     declared_distance="club_speed", declared_direction=None)
    >>> step = next_step(lesson)
    >>> step.with_change, step.balls
    (False, 5)
    """
    found = posteriors(lesson) if found is None else found
    keys = [
        key
        for key in dict.fromkeys((lesson.declared_distance, "club_speed"))
        if key in found.levels and min(found.counts(key)) >= settings.fewest
    ]
    if lesson.declared_distance not in keys:
        return None
    on, back = (
        max(
            _chance(lesson, found, key, with_change=kind, n=balls, settings=settings)
            for key in keys
        )
        for kind in (True, False)
    )
    return NextStep(with_change=on >= back, balls=balls, chance_with=on, chance_without=back)


def _chance(
    lesson: LessonShots,
    found: Posteriors,
    key: str,
    *,
    with_change: bool,
    n: int,
    settings: JudgeSettings,
) -> float:
    """Chance of a verdict on one quantity; club speed beside a distance can only speak for it."""
    limits = limits_of(key, lesson, found, settings, n_more=n, with_change=with_change)
    if key != lesson.declared_distance:
        limits = replace(limits, given_up=0.0)
    chances = chance_of_answer(
        found.levels[key], found.seen[key], limits, n_more=n, with_change=with_change
    )
    return float(chances[-1])
