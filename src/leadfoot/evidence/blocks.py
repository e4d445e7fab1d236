"""What each block of balls says of its mean, at every spread that is held possible.

The balls stray by Student's t with few degrees of freedom, so that a ball far off weighs little for
the mean and has a bounded say on the spread, whatever the shape of the tails. At each spread of a
grid the mean of each block gets its mode by Newton steps and a normal around it (Laplace); to first
order the block also says how its mean drifted from ball to ball.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leadfoot.evidence.lesson import Seen
from leadfoot.evidence.noise import Floats

STEP = 0.1
LOG_SPREADS: Floats = -1.3 + STEP * np.arange(24, dtype=np.float64)
"""Nodes of the grid over the logarithm of a spread: 0.27 to 2.7 usual spreads."""

_SURE = 0.25
"""A block that splits into two heaps has no peak; this share of the expected sharpness then stands
for a broad one, and holds the Newton steps in check."""
_MOST_STEPS = 60
_CLOSE = 1e-7


@dataclass(frozen=True, slots=True, kw_only=True)
class Tails:
    """How far the balls of a direction stray: a t whose scale is a share of the solid spread.

    Attributes
    ----------
    freedom
        Degrees of freedom. K. L. Lange, R. J. A. Little, J. M. G. Taylor, J. Am. Stat. Assoc.
        84:881-896, 1989 (from memory) hold a fixed small number for a sound default; 4 was chosen
        by the error rates in docs/explain/straighter.md.
    scale
        Scale of the t over the standard deviation of the solid balls: the one number that fits
        best where 8 of 100 balls stray three times as far as the solid ones
        (`leadfoot.evidence.noise.DIRECTION_NOISE`). Computed; tests/outside solves for it again.
    """

    freedom: float = 4.0
    scale: float = 0.92635


DIRECTION_TAILS = Tails()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Blocks:
    """What the blocks say; every array but the first has the shape (24 spreads, blocks).

    Attributes
    ----------
    with_change
        Shape (blocks,).
    mean, sharpness
        Most probable mean in usual spreads, and minus the second derivative there.
    log_evidence
        Logarithm of the density of the balls with the mean integrated out.
    place
        Ball number that the mean stands for, mishits weighed down, from the middle of the lesson.
    slope_pull, slope_sharpness
        First and (expected) second derivative for a drift a ball within the block.
    """

    with_change: NDArray[np.bool_]
    mean: Floats
    sharpness: Floats
    log_evidence: Floats
    place: Floats
    slope_pull: Floats
    slope_sharpness: Floats


def block_starts(with_change: NDArray[np.bool_]) -> NDArray[np.intp]:
    """Where each block starts: the first ball, and every ball after a change of side.

    Examples
    --------
    >>> block_starts(np.array([False, False, True, True, False]))
    array([0, 2, 4])
    """
    return np.concatenate(([0], np.flatnonzero(with_change[1:] != with_change[:-1]) + 1))


def weigh_blocks(
    z: Floats,
    balls: Seen,
    starts: NDArray[np.intp] | None = None,
    *,
    tails: Tails = DIRECTION_TAILS,
) -> Blocks:
    """Fit every block at every spread of `LOG_SPREADS`.

    Parameters
    ----------
    z
        Shape (n,): the values in usual spreads, in hitting order.
    balls
        The same balls, for their side and number.
    starts
        Where each block starts; from the changes of side if None.
    tails
        The noise.

    Examples
    --------
    >>> offline = np.array([1.0, 1.2, 0.8, 1.0, 9.0, 0.1, -0.1, 0.0])
    >>> balls = Seen(values=offline, with_change=np.arange(8) >= 5, ball_number=np.arange(8.0))
    >>> weigh_blocks(offline, balls).mean[10].round(2)
    array([1.06, 0.  ])
    """
    first = block_starts(balls.with_change) if starts is None else starts
    size = np.diff(np.concatenate((first, [len(z)])))
    scale = tails.scale * np.exp(LOG_SPREADS)[:, None]
    spare = tails.freedom * scale * scale
    number = balls.ball_number - balls.ball_number.mean()
    mean = np.tile(_medians(z, first, size), (len(LOG_SPREADS), 1))
    for _ in range(_MOST_STEPS):
        away, weight, rest = _residuals(z, mean, size, spare, tails)
        step = np.add.reduceat(weight * away, first, axis=1) / _sharpness(weight, rest, first)
        mean = mean + step
        if np.abs(step).max() < _CLOSE:
            break
    away, weight, rest = _residuals(z, mean, size, spare, tails)
    sharpness = _sharpness(weight, rest, first)
    log_density = -0.5 * (tails.freedom + 1.0) * np.log1p(away * away / spare)
    total = np.add.reduceat(weight, first, axis=1)
    place = np.add.reduceat(weight * number, first, axis=1) / total
    beside = number - np.repeat(place, size, axis=1)
    lever = weight * beside
    return Blocks(
        with_change=balls.with_change[first],
        mean=mean,
        sharpness=sharpness,
        log_evidence=np.add.reduceat(log_density, first, axis=1)
        - size * LOG_SPREADS[:, None]
        - 0.5 * np.log(sharpness),
        place=place,
        slope_pull=np.add.reduceat(lever * away, first, axis=1),
        slope_sharpness=np.add.reduceat(lever * beside, first, axis=1),
    )


def _medians(z: Floats, first: NDArray[np.intp], size: NDArray[np.intp]) -> Floats:
    return np.array([np.median(z[a : a + n]) for a, n in zip(first, size, strict=True)])


def _residuals(
    z: Floats, mean: Floats, size: NDArray[np.intp], spare: Floats, tails: Tails
) -> tuple[Floats, Floats, Floats]:
    """Ball less mean, weight of the ball, and its share of the noise that is not its own."""
    away = z - np.repeat(mean, size, axis=1)
    square = away * away
    total = spare + square
    return away, (tails.freedom + 1.0) / total, (spare - square) / total


def _sharpness(weight: Floats, rest: Floats, first: NDArray[np.intp]) -> Floats:
    exact = np.add.reduceat(weight * rest, first, axis=1)
    return np.maximum(exact, _SURE * np.add.reduceat(weight, first, axis=1))
