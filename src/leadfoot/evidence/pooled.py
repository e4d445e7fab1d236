"""Several lessons brought together: what one lesson cannot tell of the spread, eight often can.

Each lesson keeps its own level and day's spread; shared are the student's spread, by what the
change multiplies it, the student's bias and how the change moves it. Half of the drift (as a
variance) is the lesson's own, half comes back in every lesson, since ten lessons in which the
change always came second cannot tell a habit of drifting from the change. A lesson counts less the
older it is: its say halves with every half-life, as if half of its balls had been hit.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from leadfoot.errors import InputError, OutOfRangeError
from leadfoot.evidence.blocks import LOG_SPREADS, STEP, Blocks, weigh_blocks
from leadfoot.evidence.judgement import UsualSpread, Verdict
from leadfoot.evidence.lesson import Seen
from leadfoot.evidence.memory import HALF_LIFE_DAYS
from leadfoot.evidence.noise import Floats
from leadfoot.evidence.pairs import DEFAULT_PATTERN_PRIOR, Pairs, PatternPrior
from leadfoot.evidence.pattern import FURTHEST_SD, PatternChange, change_in
from leadfoot.evidence.usual import DAY_DOUBT, scale_doubt
from leadfoot.evidence.verdict import DirectionShown

DAY_LEVEL_SD = 0.3
"""How far a day's aim lies from the student's own, in usual spreads. Assumed."""
POOLED_SHOWN: tuple[tuple[int, DirectionShown], ...] = (
    (4, DirectionShown(straighter=0.97, narrower=0.942, nearer=0.9935, wilder=0.96)),
    (6, DirectionShown(straighter=0.982, narrower=0.947, nearer=0.997, wilder=0.96)),
    (10**6, DirectionShown(straighter=0.99, narrower=0.952, nearer=0.999, wilder=0.96)),
)
"""Above which odds several lessons show something, up to so many of them; narrower is then asked by
more than 5 in 100, since there are more looks. A nearer mean is asked for so strictly because a
drift that comes back in every lesson looks like one. Set by simulation on seeds of their own, so
that a change that does nothing is called straighter in fewer than 7 of 100 students, such a drift
included (docs/explain/straighter.md)."""
SIDE_CONDITION = 0.60
"""As in one lesson: a narrower pattern or a nearer mean must not come with a larger miss."""
FEWEST_AFTER = 10
"""Balls with the change below which several lessons show nothing. A choice."""
DAY_STEPS = 4
"""The day's spread is summed over so many steps of the grid to either side."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PastLesson:
    """One direction in one lesson: its balls before or with the change, or both, and its age."""

    balls: Seen
    age_days: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PooledPattern:
    """What several lessons say together.

    Attributes
    ----------
    change
        Bias, spread and odds, as of one lesson.
    n_lessons, n_before, n_after
        Lessons and balls behind it.
    counted_before, counted_after
        Balls, each counted by the age of its lesson.
    """

    change: PatternChange
    n_lessons: int
    n_before: int
    n_after: int
    counted_before: float
    counted_after: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LessonSays:
    """What one lesson says, before its age is counted.

    Attributes
    ----------
    log_spreads
        Shape (24 before, 24 with): log evidence of the student's spreads, day's spread summed out.
    precision, pull
        Shape (3, 3) and (3,): of the student's means before and with, in usual spreads, and of the
        drift that comes back in every lesson.
    n_before, n_after
        Balls on either side.
    """

    log_spreads: Floats
    precision: Floats
    pull: Floats
    n_before: int
    n_after: int


def pooled_pattern(
    lessons: Sequence[PastLesson],
    usual: UsualSpread,
    *,
    half_life_days: float = HALF_LIFE_DAYS,
    prior: PatternPrior = DEFAULT_PATTERN_PRIOR,
) -> PooledPattern:
    """Bias and spread of a direction over several lessons with and without one change.

    Parameters
    ----------
    lessons
        In any order; lessons of one side only are welcome.
    usual
        The spread to count in. It must not be learnt from these same lessons, or they would count
        twice: give the population value, or what was known before the first of them.
    half_life_days
        Above 0; infinity lets every lesson count in full.
    prior
        The model's assumptions, those of one lesson.

    Raises
    ------
    InputError
        If there is no ball before, or none with the change.
    OutOfRangeError
        If an age is below 0 or not a number, or the half-life is not above 0.

    Examples
    --------
    >>> rng = np.random.default_rng(1)
    >>> def lesson(age_days):
    ...     offline = np.concatenate((rng.normal(5, 12, 12), rng.normal(5, 7, 18)))
    ...     balls = Seen(values=offline, with_change=np.arange(30) >= 12,
    ...                  ball_number=np.arange(30.0))
    ...     return PastLesson(balls=balls, age_days=age_days)
    >>> found = pooled_pattern([lesson(7.0 * week) for week in range(6)], UsualSpread(sd=12.0))
    >>> found.change.narrower > 0.99, found.n_after, round(found.counted_after, 1)
    (True, 108, 101.1)
    """
    _check(lessons, half_life_days)
    said = [lesson_says(one.balls, usual, prior=prior) for one in lessons]
    counted = [0.5 ** (one.age_days / half_life_days) for one in lessons]
    return pool(said, counted, usual, prior=prior)


def pooled_verdict(found: PooledPattern) -> Verdict:
    """Whether the balls go straighter, over several lessons.

    Examples
    --------
    >>> balls = Seen(values=np.array([1.0, 3.0, 2.0, 0.0, 1.0, -1.0]),
    ...              with_change=np.arange(6) >= 3, ball_number=np.arange(6.0))
    >>> pooled_verdict(pooled_pattern([PastLesson(balls=balls)], UsualSpread(sd=2.0)))
    'not_yet'
    """
    change, shown = found.change, pooled_shown(found.n_lessons)
    if found.n_after < FEWEST_AFTER:
        return "not_yet"
    part = change.narrower_clearly > shown.narrower or change.nearer_clearly > shown.nearer
    part = part and change.misses_less > SIDE_CONDITION
    if change.misses_clearly_less > shown.straighter or part:
        return "yes"
    return "no" if change.misses_clearly_more > shown.wilder else "not_yet"


def pooled_shown(n_lessons: int) -> DirectionShown:
    """The thresholds for so many lessons.

    Examples
    --------
    >>> pooled_shown(5).narrower
    0.947
    """
    return next(shown for most, shown in POOLED_SHOWN if n_lessons <= most)


def lesson_says(
    balls: Seen, usual: UsualSpread, *, prior: PatternPrior = DEFAULT_PATTERN_PRIOR
) -> LessonSays:
    """Weigh one lesson by itself.

    Notes
    -----
    The spreads come from the blocks with the level of each left free. The means then take each
    block at its own most likely spreads, which hardly matters once there are several lessons.

    Examples
    --------
    >>> balls = Seen(values=np.array([1.0, 3.0, 2.0, 0.0, 1.0, -1.0]),
    ...              with_change=np.arange(6) >= 3, ball_number=np.arange(6.0))
    >>> says = lesson_says(balls, UsualSpread(sd=2.0))
    >>> says.log_spreads.shape, says.n_before
    ((24, 24), 3)
    """
    z = np.clip(balls.values / usual.sd, -FURTHEST_SD, FURTHEST_SD)
    blocks = weigh_blocks(z, balls, tails=prior.tails)
    precision, pull = _means(blocks, scale_doubt(usual.n_shots), prior)
    return LessonSays(
        log_spreads=_over_days(
            blocks.log_evidence[:, ~blocks.with_change].sum(axis=1),
            blocks.log_evidence[:, blocks.with_change].sum(axis=1),
        ),
        precision=precision,
        pull=pull,
        n_before=balls.n_before,
        n_after=balls.n_after,
    )


def pool(
    said: Sequence[LessonSays],
    counted: Sequence[float],
    usual: UsualSpread,
    *,
    prior: PatternPrior = DEFAULT_PATTERN_PRIOR,
) -> PooledPattern:
    """Bring lessons together, each counted by a share of 0 to 1.

    Examples
    --------
    >>> balls = Seen(values=np.array([1.0, 3.0, 2.0, 0.0, 1.0, -1.0]),
    ...              with_change=np.arange(6) >= 3, ball_number=np.arange(6.0))
    >>> usual = UsualSpread(sd=2.0)
    >>> says = lesson_says(balls, usual)
    >>> pool([says, says], [1.0, 0.5], usual).counted_after
    4.5
    """
    log_ratio = LOG_SPREADS[None, :] - LOG_SPREADS[:, None]
    log_weight = -0.5 * (LOG_SPREADS[:, None] / scale_doubt(usual.n_shots)) ** 2
    log_weight = log_weight - 0.5 * (log_ratio / prior.ratio_doubt) ** 2
    tie = 1.0 / prior.shift_sd**2
    precision = np.diag((1.0 / prior.level_sd**2 + tie, tie, _half_drift(prior)))
    precision[0, 1] = precision[1, 0] = -tie
    pull = np.zeros(3)
    for says, share in zip(said, counted, strict=True):
        log_weight = log_weight + share * says.log_spreads
        precision = precision + share * says.precision
        pull = pull + share * says.pull
    weight = np.exp(log_weight - log_weight.max())
    covariance = np.linalg.inv(precision)
    before, after, _ = covariance @ pull
    even = np.ones(weight.shape)
    table = Pairs(
        weight=weight / weight.sum(),
        mean_before=before * even,
        mean_after=after * even,
        variance_before=covariance[0, 0] * even,
        variance_after=covariance[1, 1] * even,
        lean=covariance[0, 1] * even,
    )
    pairs = list(zip(said, counted, strict=True))
    return PooledPattern(
        change=change_in(table, usual.sd, wider_than_usual=False),
        n_lessons=len(said),
        n_before=sum(says.n_before for says in said),
        n_after=sum(says.n_after for says in said),
        counted_before=float(sum(share * says.n_before for says, share in pairs)),
        counted_after=float(sum(share * says.n_after for says, share in pairs)),
    )


def _over_days(before: Floats, after: Floats) -> Floats:
    """Log evidence of the student's pair of spreads, when the day multiplies both alike."""
    both = np.exp(before - before.max())[:, None] * np.exp(after - after.max())[None, :]
    days = np.arange(-DAY_STEPS, DAY_STEPS + 1)
    share = np.exp(-0.5 * (days * STEP / DAY_DOUBT) ** 2)
    share = share / share.sum()
    edged = np.pad(both, DAY_STEPS, mode="edge")
    size = len(LOG_SPREADS)
    summed = np.zeros_like(both)
    for day, one in zip(days + DAY_STEPS, share, strict=True):
        summed += one * edged[day : day + size, day : day + size]
    return np.asarray(np.log(np.maximum(summed, 1e-300)), dtype=np.float64)


def _means(blocks: Blocks, doubt: float, prior: PatternPrior) -> tuple[Floats, Floats]:
    """What a lesson says of the student's two means, with its drift and its day's aim free."""
    spread_doubt = math.hypot(doubt, DAY_DOUBT)
    log_weight = blocks.log_evidence - 0.5 * (LOG_SPREADS[:, None] / spread_doubt) ** 2
    weight = np.exp(log_weight - log_weight.max(axis=0))
    weight = weight / weight.sum(axis=0)
    mean, sharpness, place, slope_pull, slope_sharpness = (
        (weight * part).sum(axis=0)
        for part in (
            blocks.mean,
            blocks.sharpness,
            blocks.place,
            blocks.slope_pull,
            blocks.slope_sharpness,
        )
    )
    precision = 1.0 / (1.0 / sharpness + 0.5 * prior.wander_sd**2)
    after = blocks.with_change.astype(np.float64)
    # Rows: mean before, mean with, drift of every lesson, drift of this one, the day's aim.
    terms = np.stack((1.0 - after, after, place, place, np.ones(len(after))))
    told = (terms * precision) @ terms.T
    pull = terms @ (precision * mean)
    told[2:4, 2:4] += slope_sharpness.sum()
    pull[2:4] += slope_pull.sum()
    told[3, 3] += _half_drift(prior)
    told[4, 4] += 1.0 / DAY_LEVEL_SD**2
    solved = np.linalg.solve(told[3:, 3:], np.column_stack((told[3:, :3], pull[3:])))
    return told[:3, :3] - told[:3, 3:] @ solved[:, :3], pull[:3] - told[:3, 3:] @ solved[:, 3]


def _half_drift(prior: PatternPrior) -> float:
    """Prior precision of each half of the drift."""
    return 2.0 / max(prior.slope_sd, 1e-9) ** 2


def _check(lessons: Sequence[PastLesson], half_life_days: float) -> None:
    if not half_life_days > 0.0:
        raise OutOfRangeError(
            f"The half-life is {half_life_days:g} days.",
            fix="Give a number above 0, or math.inf if old lessons shall count in full.",
        )
    for one in lessons:
        if not (math.isfinite(one.age_days) and one.age_days >= 0.0):
            raise OutOfRangeError(
                f"A lesson is {one.age_days:g} days old.",
                fix="Count the days back from the newest lesson, which is 0 days old.",
            )
    n_after = sum(one.balls.n_after for one in lessons)
    n_before = sum(one.balls.n_before for one in lessons)
    if n_before == 0 or n_after == 0:
        raise InputError(
            f"The lessons have {n_before} balls before and {n_after} with the change.",
            fix="Give lessons with at least one ball on either side between them.",
        )
