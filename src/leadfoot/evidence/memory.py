"""What earlier lessons tell of a student's usual spread: within a day, and from day to day.

A ball strays about the day's level with the day's spread. The day's spread strays about the
student's own (a factor whose logarithm has the standard deviation ``day spread``), and the day's
level about the student's own level. Old lessons fade: their say halves with each half-life. Until
the student's own balls outweigh it, the value of players in general counts.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Literal

import numpy as np

from leadfoot.errors import OutOfRangeError
from leadfoot.evidence.block_curves import FINE, block_curves, levels_of
from leadfoot.evidence.judgement import Aim, UsualSpread
from leadfoot.evidence.lesson import SMALLEST_SPREAD_SI
from leadfoot.evidence.noise import DIRECTION_NOISE, LENGTH_NOISE, Floats, Noise
from leadfoot.evidence.usual import BALLS_PER_LOG, DAY_DOUBT, STUDENT_DOUBT

HALF_LIFE_DAYS = 180.0
"""A lesson that is so old counts half as much as one of today. A choice: half a year, in which a
student who practises becomes another player. No source."""
DAY_SPREADS: Floats = np.array([0.08, 0.12, 0.17, 0.24, 0.34])
"""Day spreads that are held possible, about the assumed one of `DAY_DOUBT`."""
DAY_SPREAD_DOUBT = 0.4
"""Standard deviation of the logarithm of the day spread around the assumed one. Assumed."""
LEVEL_WANDERS: Floats = np.linspace(0.0, 4.0, 81)
"""Day-to-day standard deviations of the level that are held possible, in usual spreads."""
LEVEL_WANDER_SD = 1.0
"""Scale of the half-normal for how much the level wanders from day to day, in usual spreads.
Assumed."""
FEWEST_IN_BLOCK = 3
"""A block of fewer balls says nothing of a spread."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PastLesson:
    """One quantity in one earlier lesson with one club.

    Attributes
    ----------
    age_days
        How long ago it was, 0 or more.
    blocks
        Values of each block in SI, NaN where missing. Each block keeps its own level.
    baseline
        Values of the balls hit as usual, from which the day's level is told; may be empty.
    """

    age_days: float
    blocks: tuple[Floats, ...]
    baseline: Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class DayToDay:
    """Standard deviation of the level from day to day, in SI; it lies in the range with 90 %."""

    sd: float
    low: float
    high: float
    n_days: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Memory:
    """What is known of a student's usual spread of one quantity, and where it came from.

    Attributes
    ----------
    usual
        The spread within a day. Its ``n_shots`` is what the earlier balls are worth: fewer than
        were hit where they are old, or were hit on few days.
    source
        ``learnt`` from the student's own balls, or ``assumed`` from players in general.
    n_lessons, n_balls
        Earlier lessons and balls behind it.
    newest_days, oldest_days
        Their ages; None where there are none.
    day_spread
        Standard deviation of the logarithm of a day's spread around the usual one.
    day_to_day
        How the level wanders from day to day; None with fewer than two baselines.
    """

    usual: UsualSpread
    source: Literal["learnt", "assumed"]
    n_lessons: int
    n_balls: int
    newest_days: float | None
    oldest_days: float | None
    day_spread: float
    day_to_day: DayToDay | None


def remember(
    lessons: Sequence[PastLesson],
    *,
    start: UsualSpread,
    aim: Aim,
    half_life_days: float = HALF_LIFE_DAYS,
) -> Memory:
    """Learn the usual spread from earlier lessons, with the noise of the judging itself.

    A spread measured in another way (a plain standard deviation, say) must not be used as history:
    it would not mean the same.

    Parameters
    ----------
    lessons
        Earlier lessons with this club, in any order.
    start
        The population value, which counts until the student's own balls outweigh it.
    aim
        ``more`` for lengths and speeds, ``nearer_zero`` for directions.
    half_life_days
        After how long a lesson counts half, above 0; infinite: nothing fades.

    Raises
    ------
    OutOfRangeError
        If an age is negative or the half-life is not above 0.

    Examples
    --------
    >>> balls = np.array([44.0, 44.8, 45.1, 44.2, 44.6]), np.array([45.0, 45.9, 45.3, 46.0])
    >>> past = [PastLesson(age_days=30.0, blocks=balls, baseline=balls[0])]
    >>> known = remember(past, start=UsualSpread(sd=0.68), aim="more")
    >>> round(known.usual.sd, 2), known.n_balls, known.source
    (0.6, 9, 'learnt')
    """
    _check(lessons, half_life_days)
    told = [(lesson, _finite(lesson.blocks)) for lesson in lessons]
    told = [(lesson, blocks) for lesson, blocks in told if blocks]
    if not told:
        return _assumed(start)
    noise = LENGTH_NOISE if aim == "more" else DIRECTION_NOISE
    curves = block_curves([block for _, blocks in told for block in blocks], start.sd, noise)
    starts = np.cumsum([0, *(len(blocks) for _, blocks in told[:-1])])
    say = np.array([0.5 ** (lesson.age_days / half_life_days) for lesson, _ in told])
    mean, variance, day_spread = _own_spread(np.add.reduceat(curves, starts, axis=0), say)
    usual = UsualSpread(
        sd=max(start.sd * math.exp(mean), SMALLEST_SPREAD_SI),
        n_shots=start.n_shots + _worth(variance),
    )
    ages = [lesson.age_days for lesson, _ in told]
    return Memory(
        usual=usual,
        source="learnt",
        n_lessons=len(told),
        n_balls=sum(len(block) for _, blocks in told for block in blocks),
        newest_days=min(ages),
        oldest_days=max(ages),
        day_spread=day_spread,
        day_to_day=_day_to_day([lesson for lesson, _ in told], say, usual.sd, noise),
    )


def learn_usual_spread(blocks: Sequence[Floats], *, start: UsualSpread, aim: Aim) -> UsualSpread:
    """Learn the usual spread from blocks without dates: each counts as a day of its own, unfaded.

    Examples
    --------
    >>> earlier = [np.array([44.0, 44.8, 45.1, 44.2, 44.6]), np.array([45.0, 45.9, 45.3, 46.0])]
    >>> learnt = learn_usual_spread(earlier, start=UsualSpread(sd=0.68), aim="more")
    >>> round(learnt.sd, 2), learnt.n_shots
    (0.58, 6)
    """
    days = [PastLesson(age_days=0.0, blocks=(block,), baseline=np.zeros(0)) for block in blocks]
    return remember(days, start=start, aim=aim).usual


def _check(lessons: Sequence[PastLesson], half_life_days: float) -> None:
    if not half_life_days > 0:
        raise OutOfRangeError(
            f"A half-life of {half_life_days:g} days can't be.",
            fix="Give a number of days above 0, such as 180.",
        )
    for lesson in lessons:
        if not 0 <= lesson.age_days < math.inf:
            raise OutOfRangeError(
                f"A lesson {lesson.age_days:g} days ago is not an earlier one.",
                fix="Give its age in days, 0 or more.",
            )


def _finite(blocks: Sequence[Floats]) -> list[Floats]:
    finite = [block[np.isfinite(block)].astype(np.float64) for block in blocks]
    return [block for block in finite if len(block) >= FEWEST_IN_BLOCK]


def _assumed(start: UsualSpread) -> Memory:
    return Memory(
        usual=start,
        source="assumed",
        n_lessons=0,
        n_balls=0,
        newest_days=None,
        oldest_days=None,
        day_spread=DAY_DOUBT,
        day_to_day=None,
    )


def _own_spread(days: Floats, say: Floats) -> tuple[float, float, float]:
    """Mean and variance of log(own spread / population value), and the day spread.

    Parameters
    ----------
    days
        Log likelihood of the scale of each day over `FINE`, shape (days, 101).
    say
        Weight of each day, shape (days,).
    """
    likelihood = np.exp(days - days.max(axis=1, keepdims=True))
    blurred = np.log(np.maximum(likelihood @ _blurs(), 1e-290))  # (spreads, days, 101)
    log_prior = -0.5 * (FINE / STUDENT_DOUBT) ** 2
    of_spread = -0.5 * (np.log(DAY_SPREADS / DAY_DOUBT) / DAY_SPREAD_DOUBT) ** 2
    log_weight = np.einsum("d,sdk->sk", say, blurred) + log_prior + of_spread[:, None]
    weight = np.exp(log_weight - log_weight.max())
    weight /= weight.sum()
    own = weight.sum(axis=0)
    mean = float(own @ FINE)
    return mean, float(own @ (FINE - mean) ** 2), float(weight.sum(axis=1) @ DAY_SPREADS)


@cache
def _blurs() -> Floats:
    """For each day spread, what a day says of the student's own spread, shape (spreads, 101, 101).

    Column j holds the weights of the days' spreads if the student's own is that of node j.
    """
    apart = (FINE[:, None] - FINE[None, :]) / DAY_SPREADS[:, None, None]
    weight = np.exp(-0.5 * apart**2)
    return np.asarray(weight / weight.sum(axis=1, keepdims=True))


def _worth(variance: float) -> int:
    """Shots that leave the same doubt by the rule of `leadfoot.evidence.usual.scale_doubt`."""
    return max(1, round(BALLS_PER_LOG * (1.0 / variance - 1.0 / STUDENT_DOUBT**2)))


def _day_to_day(
    lessons: Sequence[PastLesson], say: Floats, sd: float, noise: Noise
) -> DayToDay | None:
    """How the level of the baselines wanders: its standard deviation summed over a grid."""
    finite = [lesson.baseline[np.isfinite(lesson.baseline)] for lesson in lessons]
    enough = np.array([len(balls) >= FEWEST_IN_BLOCK for balls in finite])
    if enough.sum() < 2:
        return None
    level, error = levels_of(
        [balls for balls in finite if len(balls) >= FEWEST_IN_BLOCK], sd, noise
    )
    level, error = level / sd, error / sd**2
    total = LEVEL_WANDERS[:, None] ** 2 + error
    precision = say[enough] / total
    middle = (precision @ level) / precision.sum(axis=1)
    fit = say[enough] * (np.log(total) + (level - middle[:, None]) ** 2 / total)
    log_weight = -0.5 * (
        fit.sum(axis=1) + np.log(precision.sum(axis=1)) + (LEVEL_WANDERS / LEVEL_WANDER_SD) ** 2
    )
    weight = np.exp(log_weight - log_weight.max())
    below = np.cumsum(weight) / weight.sum()
    low, high = np.interp((0.05, 0.95), below, LEVEL_WANDERS)
    mean = float(weight @ LEVEL_WANDERS / weight.sum())
    return DayToDay(
        sd=sd * mean, low=sd * float(low), high=sd * float(high), n_days=int(enough.sum())
    )
