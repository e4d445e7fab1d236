"""When a planned order of balls would show a change: many fixed walks of the estimate.

The judging is followed in its normal approximation. For a planned order the estimate of the change
after each ball is a weighted sum of the balls; the weights follow from the model of
`leadfoot.evidence.change`, and so does how large the estimate must be to be shown. The walks carry
the day's spread, drift, cold start and the memory from ball to ball. A true change only shifts a
walk, so one set of walks answers for every size: each walk has a smallest change that it shows.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr, ndtri

from leadfoot.evidence.change import DEFAULT_PRIOR, UNWARMED_PRIOR, LevelPrior, design
from leadfoot.evidence.lesson import Order, Planned, Seen, Stage, order_of_blocks
from leadfoot.evidence.noise import LENGTH_NOISE, Floats, split
from leadfoot.evidence.settings import DEFAULT_SETTINGS, JudgeSettings
from leadfoot.evidence.usual import BALLS_PER_LOG

N_WALKS = 512
"""Walks, each with its mirror image: a chance is known to about ±0.015."""
SEED = 20_261
SCALE_NODES: Floats = np.arange(-3.0, 4.0)
"""Logarithms of today's scale at which limits are worked out, in doubts."""
INNER_NODES: Floats = np.sqrt(3.0) * np.array([-1.0, 0.0, 1.0])
INNER_SHARES = (1 / 6, 2 / 3, 1 / 6)
"""Gauss and Hermite's three points: what is left of the doubt."""
ESTIMATES: Floats = np.linspace(0.0, 8.0, 61)
"""Estimates of the change among which the limit is looked for, in usual spreads."""
WARM_BALLS = 6.0
"""A cold start fades over so many balls, as in the simulated lessons. Assumed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Straying:
    """How balls stray beside the usual spread, in usual standard deviations. All assumed.

    The values of the reference lesson in docs/explain/evidence.md.

    Attributes
    ----------
    slope_sd
        Steady drift a ball.
    warm_sd
        Cold start.
    memory
        Correlation of a ball with the next, at least 0 and below 1.
    """

    slope_sd: float = 0.01
    warm_sd: float = 0.3
    memory: float = 0.1


DEFAULT_STRAYING = Straying()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Walks:
    """For each walk, the smallest change that is shown by each look.

    Attributes
    ----------
    n_balls
        Shape (k,): balls hit at each look, increasing.
    smallest_sd
        Shape (walks, k), in usual standard deviations, falling along a row.
    """

    n_balls: NDArray[np.int64]
    smallest_sd: Floats

    def chance(self, change_sd: float) -> float:
        """Chance that a change of this size is shown by the end."""
        return float((self.smallest_sd[:, -1] < change_sd).mean())

    def balls(self, change_sd: float) -> Floats:
        """Balls hit in each walk: until the change is shown, or all of them; shape (walks,)."""
        shown = self.smallest_sd < change_sd
        first = np.where(shown.any(axis=1), shown.argmax(axis=1), len(self.n_balls) - 1)
        return self.n_balls[first].astype(np.float64)

    def balls_for(self, change_sd: float, chance: float) -> int | None:
        """Balls by which the change is shown with this chance; None where the plan ends before."""
        by_look = (self.smallest_sd < change_sd).mean(axis=0)
        likely = self.n_balls[by_look >= chance]
        return int(likely[0]) if len(likely) else None

    def smallest(self, chance: float) -> float:
        """The smallest change that is shown by the end with this chance, in usual spreads."""
        return float(np.quantile(self.smallest_sd[:, -1], chance, method="higher"))


def walks(
    with_change: Sequence[bool] | NDArray[np.bool_],
    doubt: float,
    *,
    beside_speed: bool = False,
    settings: JudgeSettings = DEFAULT_SETTINGS,
    straying: Straying = DEFAULT_STRAYING,
) -> Walks:
    """Walk through a planned order, looking after every ball.

    Parameters
    ----------
    with_change
        Which balls are hit with the change, in hitting order.
    doubt
        Standard deviation of the logarithm of today's spread about the usual one, above 0
        (`leadfoot.evidence.usual.scale_doubt`).
    beside_speed
        Whether club speed may be claimed beside the planned quantity: a stricter threshold then.
    settings
        What makes the odds stricter for other orders, what is worth showing, and the fewest balls.
    straying
        How the balls stray.

    Returns
    -------
    Walks
        With the last ball as its one look, which shows nothing, where one side has too few.

    Examples
    --------
    >>> found = walks((False,) * 10 + (True,) * 10, 0.23)
    >>> bool(0.5 < found.chance(1.7) < found.chance(3.3) <= 1.0)
    True
    """
    changed = np.asarray(with_change, dtype=np.bool_)
    looks = _looks(changed, settings.fewest)
    if not len(looks):
        end = np.array([len(changed)])
        return Walks(n_balls=end, smallest_sd=np.full((2 * N_WALKS, 1), np.inf))
    orders = [order_of_blocks(changed[:n]) for n in looks]
    plan = Planned.of(changed)
    stages = [_stage(changed[:n], order, plan) for n, order in zip(looks, orders, strict=True)]
    needed = np.array([settings.distance(one, beside_speed=beside_speed) for one in stages])
    model = _Model.of(changed, looks, orders)
    stray, about = _strayed(len(changed), doubt, straying)
    # Small sums: the threads of a matrix product would cost more than they save.
    estimate = np.einsum("wn,kn->wk", stray, model.weights())
    returned = np.array([order != "once" for order in orders])
    scale, left = _scale_seen(
        about,
        changed,
        looks,
        np.where(returned, math.hypot(doubt, UNWARMED_PRIOR.day_doubt), doubt),
    )
    limits = model.limits(doubt, left, needed, settings.worth_sd)
    needed_sd = _at_scale(limits, scale, doubt)
    missing = np.concatenate((needed_sd - estimate, needed_sd + estimate))
    return Walks(n_balls=looks, smallest_sd=np.minimum.accumulate(missing, axis=1))


def _stage(changed: NDArray[np.bool_], order: Order, plan: Planned) -> Stage:
    """How far the plan has come; no balls to get warm are counted on."""
    n_after = int(changed.sum())
    n_before = len(changed) - n_after
    return Stage(order=order, n_before=n_before, n_after=n_after, warm=False, planned=plan)


def _looks(changed: NDArray[np.bool_], fewest: int) -> NDArray[np.int64]:
    """Balls hit at each look: every ball from the fewest on either side."""
    n_with = np.cumsum(changed)
    n_without = np.arange(1, len(changed) + 1) - n_with
    enough = np.minimum(n_with, n_without) >= fewest
    return np.flatnonzero(enough).astype(np.int64) + 1


@cache
def ball_information() -> float:
    """Information of a ball about the level, against that of a ball that is never mishit.

    The integral of score² over the density of `leadfoot.evidence.noise.LENGTH_NOISE`.

    Examples
    --------
    >>> round(ball_information(), 3)
    0.831
    """
    residual = np.linspace(-40.0, 40.0, 16_001)
    parts = split(residual, np.array(1.0), LENGTH_NOISE)
    density = np.exp(parts.log_density) / np.sqrt(2.0 * np.pi)
    return float(np.trapezoid(density * parts.score**2, residual))


def _strayed(n: int, doubt: float, straying: Straying) -> tuple[Floats, Floats]:
    """How far the balls of each walk lie from their level, and the part of it that is spread.

    Both of shape (walks, n), without the mirror images. A ball strays by more than the spread of
    solid balls: mishits take from what it tells.
    """
    rng = np.random.default_rng(SEED)
    own = _remembered(rng.standard_normal((N_WALKS, n)), straying.memory)
    places = ndtri((rng.permutation(N_WALKS) + 0.5) / N_WALKS)
    about = np.exp(doubt * places)[:, None] * own
    number = np.arange(n)
    drift = straying.slope_sd * rng.standard_normal((N_WALKS, 1)) * number
    cold = straying.warm_sd * rng.standard_normal((N_WALKS, 1))
    return about / np.sqrt(ball_information()) + drift - cold * np.exp(-number / WARM_BALLS), about


def _remembered(steps: Floats, memory: float) -> Floats:
    """Unit-variance series in which each ball hangs on the one before."""
    series = steps.copy()
    for ball in range(1, steps.shape[1]):
        series[:, ball] = memory * series[:, ball - 1] + np.sqrt(1 - memory**2) * steps[:, ball]
    return series


def _scale_seen(
    about: Floats, changed: NDArray[np.bool_], looks: NDArray[np.int64], doubt: Floats
) -> tuple[Floats, Floats]:
    """What the judging takes for today's scale, by walk and look, and the doubt that is left.

    ``doubt`` is that of the judging at each look.

    Returns
    -------
    tuple of arrays
        Logarithm of the scale, shape (walks, k); standard deviation of that logarithm, shape (k,).
    """
    squares = np.zeros((len(about), len(looks)))
    for side in (changed, ~changed):
        count = np.cumsum(side)
        summed = np.cumsum(about * side, axis=1)
        square = np.cumsum(about**2 * side, axis=1) - summed**2 / np.maximum(count, 1)
        squares += square[:, looks - 1]
    free = looks - 2.0
    told = free / BALLS_PER_LOG
    trust = told / (told + 1.0 / doubt**2)
    log_scale = 0.5 * np.log(squares / free)
    return trust * log_scale, doubt * np.sqrt(1.0 - trust)


def _assumed(prior: LevelPrior) -> Floats:
    """Prior precision of level, change, slope and warm-up; nothing is assumed of the change."""
    return np.diag([prior.level_sd**-2, 0.0, prior.slope_sd**-2, prior.warm_sd**-2])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Model:
    """The model of the judging at each look, in usual spreads."""

    terms: Floats  # (n, 4)
    looks: NDArray[np.int64]  # (k,)
    told: Floats  # (k, 4, 4): sum over the balls so far, at scale 1
    assumed: Floats  # (k, 4, 4): what the judging assumes of the terms, nothing of the change

    @classmethod
    def of(
        cls, changed: NDArray[np.bool_], looks: NDArray[np.int64], orders: Sequence[Order]
    ) -> "_Model":
        n = len(changed)
        balls = Seen(values=np.zeros(n), with_change=changed, ball_number=np.arange(float(n)))
        terms = design(balls, DEFAULT_PRIOR)
        told = ball_information() * np.cumsum(terms[:, :, None] * terms[:, None, :], axis=0)
        assumed = [_assumed(DEFAULT_PRIOR if o == "once" else UNWARMED_PRIOR) for o in orders]
        return cls(terms=terms, looks=looks, told=told[looks - 1], assumed=np.array(assumed))

    def inverse(self, scale: Floats) -> Floats:
        """Covariance of the four terms with nothing assumed of the change; scale (..., k)."""
        found = np.linalg.inv(self.told / scale[..., None, None] ** 2 + self.assumed)
        return np.asarray(found, dtype=np.float64)

    def weights(self) -> Floats:
        """What each ball adds to the estimate of the change, shape (k, n), at the usual scale."""
        row = self.inverse(np.ones(len(self.looks)))[:, 1, :]
        hit = np.arange(len(self.terms)) < self.looks[:, None]
        return np.asarray(ball_information() * (row @ self.terms.T) * hit)

    def limits(self, doubt: float, left: Floats, needed: Floats, worth_sd: float) -> Floats:
        """The estimate from which on the change is shown, by node of the scale and look."""
        log_scale = (doubt * SCALE_NODES)[:, None, None] + left * INNER_NODES[:, None]
        variance = self.inverse(np.exp(log_scale))[..., 1, 1]
        odds = self._odds(variance, worth_sd)
        over = odds > needed
        last = np.clip(over.argmax(axis=-2), 1, len(ESTIMATES) - 1)[:, None, :]
        low, high = (np.take_along_axis(odds, last - back, axis=1)[:, 0] for back in (1, 0))
        part = (needed - low) / np.maximum(high - low, 1e-12)
        limit = ESTIMATES[last[:, 0] - 1] + np.clip(part, 0.0, 1.0) * ESTIMATES[1]
        return np.where(over.any(axis=1), limit, np.inf)

    def _odds(self, variance: Floats, worth_sd: float) -> Floats:
        """Odds that the change is worth having, shape (nodes, estimates, k)."""
        found = ESTIMATES[:, None]
        total = upper = np.zeros(1)
        for inner, share_inner in enumerate(INNER_SHARES):
            error = variance[:, inner, None, :]
            for sd, share in zip(DEFAULT_PRIOR.change_sd, DEFAULT_PRIOR.change_share, strict=True):
                spread = sd**2 + error
                weight = share_inner * share / np.sqrt(spread) * np.exp(-0.5 * found**2 / spread)
                drawn = found * sd**2 / spread
                upper = upper + weight * ndtr((drawn - worth_sd) / np.sqrt(sd**2 * error / spread))
                total = total + weight
        return np.asarray(upper / total)


def _at_scale(limits: Floats, log_scale: Floats, doubt: float) -> Floats:
    """The limits between the nodes, shape (walks, k)."""
    place = np.clip(log_scale / doubt, SCALE_NODES[0], SCALE_NODES[-1]) - SCALE_NODES[0]
    low = np.minimum(place.astype(np.int64), len(SCALE_NODES) - 2)
    column = np.arange(limits.shape[1])
    part = place - low
    return np.asarray(limits[low, column] * (1 - part) + limits[low + 1, column] * part)
