"""How one student's own shots go with the push: within a block shot by shot, and block by block.

Both come from this student alone, never from a table of strangers: between golfers, strength and
skill go together with speed, which says nothing of what a harder push would do for this one.

Within blocks, each outcome is a straight line in all measures of the push at once,

    z = block + drift·(ball - mean) + Σ slope·push + noise

counted in its own spread within blocks, with the noise of `leadfoot.evidence.noise`: mishits weigh
less. The scale is summed over a grid; at each node the coefficients get their mode by Newton steps
and a normal around it (Laplace), so that each slope is a mixture of normals.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr, stdtr, stdtrit

from leadfoot.errors import InputError
from leadfoot.evidence.noise import DIRECTION_NOISE, LENGTH_NOISE, Noise, Split, split

Floats = NDArray[np.float64]
Says = Literal["more", "less", "cannot tell yet"]

SPEEDS = ("club_speed", "ball_speed", "carry", "total")
"""Outcomes whose mishits are short; those of the others go either way."""
SAID_FROM = 0.95
"""Odds from which a direction is said (own choice; the coverage is in tests/coaching). [-]"""
FEWEST_SHOTS = 12
"""Shots below which nothing is said (own choice). [-]"""
FEWEST_BLOCKS = 4
"""Blocks below which nothing is said from block to block (own choice). [-]"""
SLOPE_SD = 0.5
"""Prior of a slope, in spreads of the outcome a spread of the push: most pushes explain a part of
the spread, few all of it (assumed). [-]"""
DRIFT_SD = 0.03
"""Prior of the drift, in spreads a ball (assumed). [-]"""
BLOCK_SD = 3.0
"""Prior of a block's own level about its middle, in spreads: nearly flat (assumed). [-]"""
_SCALES = np.exp(np.linspace(np.log(0.25), np.log(1.7), 17))
_SD_PER_MAD = 1.4826


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PushedShots:
    """Shots of one student with one club, on plates and launch monitor; n of them.

    Attributes
    ----------
    block
        Label of the block of each shot, in the order played.
    push
        Measures of the push by name, each of shape (n,): peak lead force over weight, its time
        before the strike, its impulse. NaN where missing.
    outcome
        What the ball or the club did, by the glossary's keys, SI, each of shape (n,); NaN where
        missing.

    Raises
    ------
    InputError
        If the lengths differ, or there is no push or no outcome.
    """

    block: tuple[str, ...]
    push: Mapping[str, Floats]
    outcome: Mapping[str, Floats]

    def __post_init__(self) -> None:
        if not self.push or not self.outcome:
            raise InputError(
                "There is no measure of the push, or no outcome.",
                fix="Give one of each or more, a value for every shot.",
            )
        n = len(self.block)
        for name, values in {**self.push, **self.outcome}.items():
            if values.shape != (n,):
                raise InputError(
                    f"{name!r} has the shape {values.shape}; there are {n} shots.",
                    fix="Give one value a shot, NaN where it is missing.",
                )


@dataclass(frozen=True, slots=True, kw_only=True)
class Slope:
    """How an outcome goes with one measure of the push.

    Attributes
    ----------
    push, outcome
        Names.
    slope, low, high
        Outcome a unit of push, SI, with the ends that hold it nine times in ten.
    per_spread
        Outcome a usual difference (one standard deviation within blocks) of the push.
    odds_more
        Probability that the slope is above 0.
    says
        ``more``, ``less``, or ``cannot tell yet``.
    n
        Shots, or blocks.
    """

    push: str
    outcome: str
    slope: float
    low: float
    high: float
    per_spread: float
    odds_more: float
    says: Says
    n: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PushLinks:
    """Links within one student.

    Attributes
    ----------
    within
        Shot by shot inside the blocks, every measure of the push held against the others.
    between
        Block by block, one measure at a time; empty for fewer than four blocks. Blocks differ in
        what the teacher changed, so these say less of the push than `within`.
    """

    within: tuple[Slope, ...]
    between: tuple[Slope, ...]


def push_links(shots: PushedShots) -> PushLinks:
    """Find how the outcomes go with the push.

    Parameters
    ----------
    shots
        Of one student with one club.

    Notes
    -----
    A link is no proof that a harder push makes the difference: what else changed from shot to shot
    may make both. Try it in a lesson, before and with the change.

    Examples
    --------
    >>> rng = np.random.default_rng(3)
    >>> peak = rng.normal(1.1, 0.06, 40)
    >>> speed = 42.0 + 8.0 * (peak - 1.1) + rng.normal(0.0, 0.4, 40)
    >>> (found,) = push_links(PushedShots(block=("a",) * 20 + ("b",) * 20,
    ...     push={"lead_peak_share": peak}, outcome={"club_speed": speed})).within
    >>> found.says, bool(found.low < 8.0 < found.high)
    ('more', True)
    """
    within: list[Slope] = []
    between: list[Slope] = []
    for outcome in shots.outcome:
        within += _within(shots, outcome)
        between += [one for push in shots.push if (one := _between(shots, push, outcome))]
    return PushLinks(within=tuple(within), between=tuple(between))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Fit:
    """Mixture of normals for every coefficient: weights (k,), means and variances (k, p)."""

    weights: Floats
    means: Floats
    variances: Floats

    def above(self, column: int) -> float:
        tails = ndtr(self.means[:, column] / np.sqrt(self.variances[:, column]))
        return float(np.clip(self.weights @ tails, 0.0, 1.0))

    def mean(self, column: int) -> float:
        return float(self.weights @ self.means[:, column])

    def interval(self, column: int) -> tuple[float, float]:
        means, widths = self.means[:, column], np.sqrt(self.variances[:, column])
        places = np.linspace((means - 6.0 * widths).min(), (means + 6.0 * widths).max(), 2001)
        below = ndtr((places[:, None] - means) / widths) @ self.weights
        low, high = np.interp((0.05, 0.95), below, places)
        return float(low), float(high)


def _within(shots: PushedShots, outcome: str) -> list[Slope]:
    names = list(shots.push)
    values = np.column_stack([shots.outcome[outcome], *(shots.push[name] for name in names)])
    known = np.isfinite(values).all(axis=1)
    blocks = np.array(shots.block)[known]
    n = int(known.sum())
    if n < 3:
        return []
    centred = _less_block_medians(values[known], blocks)
    units = _spreads(centred)
    if not (units > 0.0).all():
        return []
    z = centred / units
    noise = LENGTH_NOISE if outcome in SPEEDS else DIRECTION_NOISE
    terms, prior_sd = _design(z[:, 1:], blocks)
    fit = _fitted(z[:, 0], terms, prior_sd, noise)
    found = []
    for column, name in enumerate(names):
        turned = units[0] / units[1 + column]
        low, high = fit.interval(column)
        odds = fit.above(column)
        found.append(
            Slope(
                push=name,
                outcome=outcome,
                slope=turned * fit.mean(column),
                low=turned * low,
                high=turned * high,
                per_spread=float(units[0]) * fit.mean(column),
                odds_more=odds,
                says=_says(odds, enough=n >= FEWEST_SHOTS),
                n=n,
            )
        )
    return found


def _between(shots: PushedShots, push: str, outcome: str) -> Slope | None:
    """A straight line through the blocks' medians, with Student's t."""
    x_all, y_all = shots.push[push], shots.outcome[outcome]
    known = np.isfinite(x_all) & np.isfinite(y_all)
    blocks = np.array(shots.block)
    labels = [label for label in dict.fromkeys(shots.block) if (known & (blocks == label)).any()]
    if len(labels) < FEWEST_BLOCKS:
        return None
    x, y = (
        np.array([np.median(values[known & (blocks == label)]) for label in labels])
        for values in (x_all, y_all)
    )
    off = x - x.mean()
    square = float(off @ off)
    if square <= 0.0:
        return None
    slope = float(off @ y) / square
    left = y - y.mean() - slope * off
    freedom = len(labels) - 2
    error = float(np.sqrt(left @ left / freedom / square))
    reach = float(stdtrit(freedom, 0.95)) * error
    odds = float(stdtr(freedom, slope / error)) if error > 0.0 else float(slope > 0.0)
    return Slope(
        push=push,
        outcome=outcome,
        slope=slope,
        low=slope - reach,
        high=slope + reach,
        per_spread=slope
        * float(_spreads(_less_block_medians(x_all[known][:, None], blocks[known]))[0]),
        odds_more=odds,
        says=_says(odds, enough=True),
        n=len(labels),
    )


def _says(odds_more: float, *, enough: bool) -> Says:
    if not enough or 1.0 - SAID_FROM < odds_more < SAID_FROM:
        return "cannot tell yet"
    return "more" if odds_more >= SAID_FROM else "less"


def _less_block_medians(values: Floats, blocks: NDArray[np.str_]) -> Floats:
    found = values.copy()
    for label in dict.fromkeys(blocks.tolist()):
        mine = blocks == label
        found[mine] -= np.median(values[mine], axis=0)
    return found


def _spreads(centred: Floats) -> Floats:
    """Robust spread of each column within blocks; the plain one where most values are equal."""
    robust = _SD_PER_MAD * np.median(np.abs(centred), axis=0)
    plain = np.sqrt(np.mean(centred**2, axis=0))
    return np.where(robust > 0.2 * plain, robust, plain)


def _design(push: Floats, blocks: NDArray[np.str_]) -> tuple[Floats, Floats]:
    """Terms (n, p): pushes, drift, one level a block; and their prior standard deviations."""
    labels = list(dict.fromkeys(blocks.tolist()))
    levels = np.column_stack([(blocks == label).astype(np.float64) for label in labels])
    number = np.arange(len(blocks), dtype=np.float64)
    drift = _less_block_medians(number[:, None], blocks)
    sds: Sequence[float] = [SLOPE_SD] * push.shape[1] + [DRIFT_SD] + [BLOCK_SD] * len(labels)
    return np.column_stack((push, drift, levels)), np.asarray(sds)


def _fitted(z: Floats, terms: Floats, prior_sd: Floats, noise: Noise) -> _Fit:
    scale = _SCALES[:, None]
    precision = 1.0 / prior_sd**2
    mode = np.zeros((len(scale), terms.shape[1]))
    at_mode = split(z - mode @ terms.T, scale, noise)
    for _ in range(60):
        # Newton's step, but never more than four times the sure one of reweighted least squares.
        sharpness = np.maximum(at_mode.curvature, 0.25 * at_mode.weight)
        pull = at_mode.score @ terms - mode * precision
        step = np.linalg.solve(_matrix(sharpness, terms, precision), pull[:, :, None])[:, :, 0]
        mode += step
        at_mode = split(z - mode @ terms.T, scale, noise)
        if np.abs(step).max() < 1e-5:
            break
    curvature = _peaked(at_mode, terms, precision)
    log_weight = (
        at_mode.log_density.sum(axis=1)
        - 0.5 * (mode**2 * precision).sum(axis=1)
        - 0.5 * np.linalg.slogdet(curvature)[1]
    )
    weights = np.exp(log_weight - log_weight.max())
    inverse = np.linalg.inv(curvature)
    return _Fit(
        weights=np.asarray(weights / weights.sum()),
        means=mode,
        variances=np.asarray(np.diagonal(inverse, axis1=1, axis2=2)),
    )


def _matrix(weight: Floats, terms: Floats, precision: Floats) -> Floats:
    matrix = np.einsum("kn,np,nq->kpq", weight, terms, terms, optimize=True)
    return np.asarray(matrix + np.diag(precision))


def _peaked(at_mode: Split, terms: Floats, precision: Floats) -> Floats:
    """Curvature of the log posterior; where it is not a peak, the expected one."""
    exact = _matrix(at_mode.curvature, terms, precision)
    flat = np.linalg.eigvalsh(exact)[:, 0] <= 1e-9
    if flat.any():
        exact[flat] = _matrix(at_mode.weight, terms, precision)[flat]
    return exact
