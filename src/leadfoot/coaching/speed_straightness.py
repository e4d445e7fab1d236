"""Faster against straighter in one student: whether a faster swing goes with a wider pattern.

From this student's own balls alone, inside blocks, so that neither a cue nor a good day passes for
speed. With s the club speed about its block's middle,

    direction = block + lean·s + drift·ball + warm·exp(-ball / 6) + noise
    spread    = σ·exp(widening·s)

with the noise of `leadfoot.evidence.noise`: mishits weigh less. Widening and spread are summed over
a grid; at each node the coefficients get their mode by Newton steps (Laplace).

No rule says that faster is wilder: over-arm throws are most variable at some 60 % of full effort
(B. J. Urbin et al., Motor Control 16:19, 2012, abstract read), kicks less variable the faster (A.
Chappell et al., ibid. 20:222, 2016, abstract read); for the golf swing no trial within golfers was
found.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from leadfoot.errors import InputError
from leadfoot.evidence.misses import average_miss
from leadfoot.evidence.noise import DIRECTION_NOISE, split

Floats = NDArray[np.float64]
Says = Literal["wider", "narrower", "cannot tell yet"]

FEWEST_BALLS = 40
"""Balls below which nothing is said: a slope of a spread is a claim of several lessons. Our own."""
FEWEST_OF_BLOCK = 5
SAID_FROM = 0.95
WIDENING = np.linspace(-0.8, 0.8, 33)
"""Nodes of the widening: change of the logarithm of the spread, a usual difference of speed."""
WIDENING_SD = 0.4
"""Prior: a ball one usual difference faster flies at most some 1.5 times as wide (assumed)."""
SPREADS = np.exp(np.linspace(-0.6, 0.4, 9))
"""Nodes of the spread, in robust spreads of these balls."""
LEAN_SD, DRIFT_SD, WARM_SD, WARM_BALLS = 0.5, 0.03, 0.5, 6.0
"""Prior spreads of the coefficients, in spreads of the direction (assumed, as in the judging)."""
PLACES = np.linspace(-2.0, 2.0, 17)
"""Speeds that are compared, in usual differences from the middle: where there are balls."""
_SD_PER_MAD = 1.4826


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SpeedBlock:
    """One block of one student with one club, in hitting order.

    Attributes
    ----------
    club_speed_mps, direction
        Shape (n,); NaN where missing. The direction is any number whose zero is the target line:
        face angle, start direction, offline, low point about its wanted place; SI.
    ball_number
        Shape (n,): number of the ball in its lesson, from 0.
    """

    club_speed_mps: Floats
    direction: Floats
    ball_number: Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class SpeedAgainst:
    """How one direction goes with club speed in one student.

    Attributes
    ----------
    says
        Whether a faster ball flies wider, narrower, or cannot be told.
    odds_wider
        Probability that the spread grows with speed.
    usual_difference_mps
        One standard deviation of club speed within blocks: what "faster" means here. [m/s]
    spread
        Spread of the direction at the middle speed, in its unit.
    widening, widening_low, widening_high
        Factor on the spread for a usual difference faster, with its 90 % range.
    lean, lean_low, lean_high
        How far the direction moves for a usual difference faster, with its 90 % range.
    best_speed_mps
        Speed at which the expected miss is least, about the student's middle speed; None where it
        cannot be told from the middle.
    odds_best
        Probability that the miss there is less than at the middle speed.
    miss_here, miss_there
        Expected miss at the middle speed and at the best one.
    n_balls, n_blocks
        What it rests on.
    """

    says: Says
    odds_wider: float
    usual_difference_mps: float
    spread: float
    widening: float
    widening_low: float
    widening_high: float
    lean: float
    lean_low: float
    lean_high: float
    best_speed_mps: float | None
    odds_best: float
    miss_here: float
    miss_there: float
    n_balls: int
    n_blocks: int


def speed_against(blocks: Sequence[SpeedBlock]) -> SpeedAgainst:
    """Say how a direction goes with club speed.

    Parameters
    ----------
    blocks
        The student's blocks, over as many lessons as there are.

    Raises
    ------
    InputError
        If fewer than 40 balls in blocks of five or more have both numbers, or the speed does not
        vary.

    Examples
    --------
    >>> rng = np.random.default_rng(3)
    >>> def block():
    ...     speed = rng.normal(42.0, 0.6, 20)
    ...     wide = 0.03 * np.exp(0.5 * (speed - 42.0) / 0.6)
    ...     return SpeedBlock(club_speed_mps=speed, direction=wide * rng.normal(size=20),
    ...                       ball_number=np.arange(20.0))
    >>> found = speed_against([block() for _ in range(10)])
    >>> found.says, round(found.widening, 1)
    ('wider', 1.5)
    """
    told = _Told.of(blocks)
    weight, lean = _posterior(told)
    by_widening = weight.sum(axis=1)
    odds_wider = float(by_widening[WIDENING > 0].sum() + 0.5 * by_widening[WIDENING == 0].sum())
    factor = _quantiles(np.exp(WIDENING), by_widening)
    spread = float(weight.sum(axis=0) @ SPREADS) * told.unit
    best = _best(told, weight, lean)
    lean_mean, lean_sd = lean.moments(weight)
    return SpeedAgainst(
        says=_says(odds_wider),
        odds_wider=odds_wider,
        usual_difference_mps=told.difference_mps,
        spread=spread,
        widening=float(np.exp(by_widening @ WIDENING)),
        widening_low=factor[0],
        widening_high=factor[1],
        lean=lean_mean * told.unit,
        lean_low=(lean_mean - 1.645 * lean_sd) * told.unit,
        lean_high=(lean_mean + 1.645 * lean_sd) * told.unit,
        best_speed_mps=best.speed_mps,
        odds_best=best.odds,
        miss_here=best.miss_here,
        miss_there=best.miss_there,
        n_balls=len(told.away),
        n_blocks=told.n_blocks,
    )


def _says(odds_wider: float) -> Says:
    if odds_wider > SAID_FROM:
        return "wider"
    return "narrower" if odds_wider < 1.0 - SAID_FROM else "cannot tell yet"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Told:
    """All balls, each about its block: direction in robust spreads, speed in usual differences."""

    away: Floats
    faster: Floats
    terms: Floats
    """Shape (n, 3): speed, drift, warm-up, each about its block."""
    unit: float
    difference_mps: float
    middle_mps: float
    level: float
    n_blocks: int

    @classmethod
    def of(cls, blocks: Sequence[SpeedBlock]) -> "_Told":
        read = [each for each in map(_read, blocks) if len(each.direction) >= FEWEST_OF_BLOCK]
        n = sum(len(each.direction) for each in read)
        if n < FEWEST_BALLS:
            raise InputError(
                f"{n} balls have club speed and direction, in blocks of {FEWEST_OF_BLOCK} or more; "
                f"it takes {FEWEST_BALLS}.",
                fix="Take more lessons together.",
            )
        faster = np.concatenate([each.club_speed_mps - each.club_speed_mps.mean() for each in read])
        difference = float(faster.std())
        away = np.concatenate([each.direction - np.median(each.direction) for each in read])
        unit = _SD_PER_MAD * float(np.median(np.abs(away)))
        if not (difference > 1e-6 and unit > 1e-12):
            raise InputError(
                "Club speed or direction is the same for all balls.",
                fix="Check the columns of these lessons.",
            )
        number = np.concatenate([each.ball_number - each.ball_number.mean() for each in read])
        warm = [np.exp(-each.ball_number / WARM_BALLS) for each in read]
        warmth = np.concatenate([each - each.mean() for each in warm])
        return cls(
            away=np.clip(away / unit, -1e3, 1e3),
            faster=faster / difference,
            terms=np.column_stack([faster / difference, number, warmth]),
            unit=unit,
            difference_mps=difference,
            middle_mps=float(np.mean([each.club_speed_mps.mean() for each in read])),
            level=float(np.mean([np.median(each.direction) for each in read])) / unit,
            n_blocks=len(read),
        )


def _read(block: SpeedBlock) -> SpeedBlock:
    both = np.isfinite(block.club_speed_mps) & np.isfinite(block.direction)
    return SpeedBlock(
        club_speed_mps=block.club_speed_mps[both],
        direction=block.direction[both],
        ball_number=block.ball_number[both],
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Lean:
    """Normal of the lean at each node, shape (widening, spread)."""

    mean: Floats
    variance: Floats

    def moments(self, weight: Floats) -> tuple[float, float]:
        mean = float((weight * self.mean).sum())
        spread = (weight * (self.variance + (self.mean - mean) ** 2)).sum()
        return mean, float(np.sqrt(spread))


def _posterior(told: _Told) -> tuple[Floats, _Lean]:
    """Weights of the nodes, shape (widening, spread), and the lean at each."""
    precision = 1.0 / np.array([LEAN_SD, DRIFT_SD, WARM_SD]) ** 2
    widening, spread = (grid.ravel() for grid in np.meshgrid(WIDENING, SPREADS, indexing="ij"))
    scale = spread[:, np.newaxis] * np.exp(widening[:, np.newaxis] * told.faster)
    mode = np.zeros((len(widening), 3))
    products = (told.terms[:, :, np.newaxis] * told.terms[:, np.newaxis, :]).reshape(-1, 9)
    for _ in range(30):
        parts = split(told.away - mode @ told.terms.T, scale, DIRECTION_NOISE)
        sharp = np.maximum(parts.curvature, 0.25 * parts.weight)
        normal = (sharp @ products).reshape(-1, 3, 3) + np.diag(precision)
        pull = parts.score @ told.terms - mode * precision
        step = np.linalg.solve(normal, pull[:, :, np.newaxis])[:, :, 0]
        mode += step
        if np.abs(step).max() < 1e-3:
            break
    parts = split(told.away - mode @ told.terms.T, scale, DIRECTION_NOISE)
    sharp = np.maximum(parts.curvature, 0.25 * parts.weight)
    normal = (sharp @ products).reshape(-1, 3, 3) + np.diag(precision)
    log_weight = (
        parts.log_density.sum(axis=1)
        - 0.5 * (mode**2 * precision).sum(axis=1)
        - 0.5 * np.linalg.slogdet(normal)[1]
        - 0.5 * (widening / WIDENING_SD) ** 2
    )
    shape = (len(WIDENING), len(SPREADS))
    weight = np.exp(log_weight - log_weight.max())
    lean = _Lean(
        mean=mode[:, 0].reshape(shape),
        variance=np.asarray(np.linalg.inv(normal)[:, 0, 0].reshape(shape), dtype=np.float64),
    )
    return np.asarray((weight / weight.sum()).reshape(shape)), lean


@dataclass(frozen=True, slots=True, kw_only=True)
class _Best:
    speed_mps: float | None
    odds: float
    miss_here: float
    miss_there: float


def _best(told: _Told, weight: Floats, lean: _Lean) -> _Best:
    """The speed of the least expected miss, and whether it is better than the middle one."""
    growth = np.exp(WIDENING[:, np.newaxis, np.newaxis] * PLACES)
    spread = SPREADS[np.newaxis, :, np.newaxis] * growth
    middle = told.level + lean.mean[:, :, np.newaxis] * PLACES
    miss = average_miss(middle, spread)
    expected = (weight[:, :, np.newaxis] * miss).sum(axis=(0, 1))
    at, here = int(expected.argmin()), len(PLACES) // 2
    gain = miss[:, :, here] - miss[:, :, at]
    doubt = np.abs(PLACES[at]) * np.sqrt(lean.variance) + 1e-12
    odds = float((weight * ndtr(gain / doubt)).sum()) if at != here else 0.5
    speed = told.middle_mps + told.difference_mps * float(PLACES[at])
    return _Best(
        speed_mps=speed if odds > SAID_FROM else None,
        odds=odds,
        miss_here=float(expected[here]) * told.unit,
        miss_there=float(expected[at]) * told.unit,
    )


def _quantiles(places: Floats, weight: Floats) -> tuple[float, float]:
    below = np.cumsum(weight) - 0.5 * weight
    low, high = np.interp((0.05, 0.95), below, places)
    return float(low), float(high)
