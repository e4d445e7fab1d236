"""Several cues tried on one student: the best of many is not taken at its word.

The best of k tries looks better than it is. So all are weighed together: what a cue really gives
lies around what cues give this student on average, and how far around is learnt from the tries,
summed over a grid (D. B. Rubin, Journal of Educational Statistics 6:377-401, 1981; a half-normal
prior on that spread: A. Gelman, Bayesian Analysis 1:515-534, 2006; both from memory).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy.special import ndtr

from leadfoot.errors import InputError, OutOfRangeError
from leadfoot.evidence.change import DEFAULT_PRIOR, level_change
from leadfoot.evidence.judgement import LessonShots
from leadfoot.evidence.lesson import seen
from leadfoot.evidence.noise import Floats

SPREAD_SD = 1.0
"""Scale of the half-normal for how far cues lie apart, in usual spreads. Assumed."""
AVERAGE_SD = 2.0
"""What cues give on average lies this far around nothing, in usual spreads. Assumed."""
N_NODES = 80
N_DRAWS = 8_192
WIDE = replace(DEFAULT_PRIOR, change_sd=(30.0,), change_share=(1.0,))
"""The model of the judging with hardly anything assumed of the change: what the balls alone say."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """What the balls of one lesson say of one cue, before anything is drawn in.

    Attributes
    ----------
    quantity
        The declared distance of the lesson.
    gain, error
        Change of the typical ball and its standard error, in SI; the error is above 0.
    unit
        The usual spread, in SI.
    """

    quantity: str
    gain: float
    error: float
    unit: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CueWorth:
    """One cue among those that were tried.

    Attributes
    ----------
    raw
        Its gain as the balls alone have it, SI.
    gain, low, high
        Its gain drawn in toward the others; the range holds it with 90 % probability. SI.
    odds_best
        Probability that it gives more than every other one that was tried.
    odds_worth
        Probability that it gives a gain worth talking of.
    """

    raw: float
    gain: float
    low: float
    high: float
    odds_best: float
    odds_worth: float


def trial_of(lesson: LessonShots) -> Trial | None:
    """What a lesson says of its cue by the declared distance; None without balls on both sides.

    Examples
    --------
    >>> from leadfoot.evidence.judgement import Track, UsualSpread
    >>> speed = np.array([42.1, 42.8, 42.3, 43.0, 42.5, 42.4, 44.9, 44.2, 44.6, 45.1, 44.4])
    >>> lesson = LessonShots(
    ...     with_change=np.arange(11) >= 6, ball_number=np.arange(11.0),
    ...     tracks={"club_speed": Track(quantity="club_speed", values=speed, aim="more",
    ...                                 usual=UsualSpread(sd=0.54, n_shots=60))},
    ...     declared_distance="club_speed", declared_direction=None)
    >>> trial = trial_of(lesson)
    >>> round(trial.gain, 1), round(trial.error, 1)
    (2.1, 0.3)
    """
    key = lesson.declared_distance
    if key is None:
        return None
    balls = seen(lesson, lesson.tracks[key])
    if balls.fewest == 0:
        return None
    found = level_change(balls, lesson.tracks[key].usual, prior=WIDE)
    return Trial(
        quantity=key,
        gain=found.unit_si * found.mean,
        error=found.unit_si * found.sd,
        unit=found.unit_si,
    )


def weigh_cues(
    gains: Sequence[float] | Floats,
    errors: Sequence[float] | Floats,
    unit: float,
    *,
    spread_sd: float = SPREAD_SD,
    average_sd: float = AVERAGE_SD,
    worth_sd: float = 0.2,
) -> tuple[CueWorth, ...]:
    """Weigh all cues that were tried together.

    Parameters
    ----------
    gains, errors
        Gain of each cue before any drawing in, and its standard error above 0; one entry a cue,
        all in one unit.
    unit
        The usual spread in that unit, in which the priors are counted.
    spread_sd, average_sd
        Scale of the half-normal prior for how far cues lie apart, above 0, and standard deviation
        of what they give on average (infinite: nothing is assumed), in usual spreads.
    worth_sd
        A gain worth talking of, in usual spreads.

    Returns
    -------
    tuple of CueWorth
        In the order of the tries; the same tries always give the same answer.

    Raises
    ------
    InputError
        If there is no cue, or the numbers do not fit together.
    OutOfRangeError
        If an error or the unit is not above 0.

    Examples
    --------
    >>> found = weigh_cues([9.0, 1.0, 2.0, -1.0], [3.0, 3.0, 3.0, 3.0], 8.0)
    >>> round(found[0].gain, 1), round(found[0].odds_best, 1)
    (6.1, 0.8)
    """
    y, se = np.asarray(gains, dtype=np.float64), np.asarray(errors, dtype=np.float64)
    _check(y, se, unit)
    y, se = y / unit, se / unit
    spread, weight, given = _summed(y, se, spread_sd, average_sd)
    best = _odds_best(spread, weight, given, y, se)
    sds = np.sqrt(given.variance)
    mean = weight @ given.mean
    worth = weight @ ndtr((given.mean - worth_sd) / sds)
    return tuple(
        CueWorth(
            raw=unit * float(y[k]),
            gain=unit * float(mean[k]),
            low=unit * low,
            high=unit * high,
            odds_best=float(best[k]),
            odds_worth=float(worth[k]),
        )
        for k, (low, high) in enumerate(_ranges(weight, given.mean, sds))
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Given:
    """For each node of the spread: the cues' average, and each cue."""

    middle: Floats  # (nodes,)
    middle_variance: Floats  # (nodes,)
    mean: Floats  # (nodes, k)
    variance: Floats  # (nodes, k)
    log_weight: Floats  # (nodes,)


def _given(y: Floats, se: Floats, spread: Floats, average_sd: float) -> _Given:
    """All in closed form once it is known how far cues lie apart."""
    total = se**2 + spread[:, None] ** 2
    precision = (1.0 / total).sum(axis=1) + (1.0 / average_sd**2)
    middle = (y / total).sum(axis=1) / precision
    trust = spread[:, None] ** 2 / total
    return _Given(
        middle=middle,
        middle_variance=1.0 / precision,
        mean=trust * y + (1.0 - trust) * middle[:, None],
        variance=trust * se**2 + (1.0 - trust) ** 2 / precision[:, None],
        log_weight=-0.5
        * (
            np.log(total).sum(axis=1)
            + np.log(precision)
            + (y**2 / total).sum(axis=1)
            - precision * middle**2
        ),
    )


def _summed(
    y: Floats, se: Floats, spread_sd: float, average_sd: float
) -> tuple[Floats, Floats, _Given]:
    """Nodes of the spread, close together near nothing, with their weights."""
    place, share = np.polynomial.legendre.leggauss(N_NODES)
    place = 0.5 * (place + 1.0)
    furthest = min(5.0 * spread_sd, 20.0 * (float(np.ptp(y)) + float(se.max())))
    spread = furthest * place**2
    given = _given(y, se, spread, average_sd)
    log_weight = given.log_weight + np.log(share * place) - 0.5 * (spread / spread_sd) ** 2
    weight = np.exp(log_weight - log_weight.max())
    return spread, np.asarray(weight / weight.sum()), given


def _odds_best(spread: Floats, weight: Floats, given: _Given, y: Floats, se: Floats) -> Floats:
    """Share of fixed draws in which each cue gives the most."""
    rng = np.random.default_rng(20_262)
    evenly = (np.arange(N_DRAWS) + 0.5) / N_DRAWS
    node = np.minimum(np.searchsorted(np.cumsum(weight), evenly), len(weight) - 1)
    own, shared = rng.standard_normal((N_DRAWS, len(y))), rng.standard_normal((N_DRAWS, 1))
    middle = given.middle[node, None] + np.sqrt(given.middle_variance[node, None]) * shared
    trust = spread[node, None] ** 2 / (spread[node, None] ** 2 + se**2)
    drawn = trust * y + (1.0 - trust) * middle + np.sqrt(trust) * se * own
    return np.bincount(drawn.argmax(axis=1), minlength=len(y)) / N_DRAWS


def _ranges(weight: Floats, mean: Floats, sds: Floats) -> list[tuple[float, float]]:
    """The 90 % range of each cue from its mixture of normals."""
    ranges = []
    for centre, sd in zip(mean.T, sds.T, strict=True):
        places = np.linspace((centre - 5 * sd).min(), (centre + 5 * sd).max(), 801)
        below = ndtr((places[:, None] - centre) / sd) @ weight
        low, high = np.interp((0.05, 0.95), below, places)
        ranges.append((float(low), float(high)))
    return ranges


def _check(y: Floats, se: Floats, unit: float) -> None:
    if y.ndim != 1 or y.shape != se.shape or not len(y) or not np.isfinite(y).all():
        raise InputError(
            f"Gains of shape {y.shape} with errors of shape {se.shape} can't be weighed.",
            fix="Give one finite gain and one error for each cue, and at least one cue.",
        )
    if not ((se > 0) & np.isfinite(se)).all() or not 0 < unit < math.inf:
        raise OutOfRangeError(
            f"The smallest error is {se.min():g} and the unit {unit:g}.",
            fix="Give errors and a unit above 0.",
        )
