"""Did it last: what of a gain is still there weeks later, in a test without the cue.

Three kinds of blocks speak: without the change, from before it; with the change; and tests without
it, later. Each block has a level, and days differ: the blocks of one day share what that day did to
the student. With the level L, the gain g and the share k of it that stayed:

    before  = L       + day + error
    with it = L +   g + day + error
    test    = L + k g + day + error

Given k and how much days differ, all of it is normal, so that the odds of every k come in closed
form. A block level compared with another day's is far less sure than two blocks of one lesson: that
is why one test can rarely say more than "cannot tell yet".
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from leadfoot.errors import InputError, OutOfRangeError
from leadfoot.evidence.noise import DIRECTION_NOISE, LENGTH_NOISE, Noise, split

Floats = NDArray[np.float64]
Kind = Literal["before", "with_change", "test"]
Lasting = Literal["lasted", "partly", "gone", "cannot_tell", "nothing_to_keep"]

KEPT = np.linspace(-0.4, 1.6, 51)
"""Shares of the gain that may have stayed: none and all lie well inside, so that neither is held
unlikely from the start. All are equally likely beforehand: no study gives a better prior for a
lesson of golf."""
MOSTLY, HARDLY = 2.0 / 3.0, 1.0 / 3.0
"""Less than two thirds kept is clearly worse than at the end of the lesson; less than one third is
as good as gone. Our own choice."""
SHOWN = 0.95
DAY_SD = 0.65
"""How much days differ, in usual shot-to-shot spreads: 0.8 mph of 1.2 mph. Assumed; control groups
vary by some 0.8 m/s at most over three tests in seven weeks (A. J. Fradkin et al., 2004, read
second-hand)."""
DAY_DOUBT = 0.35
"""Standard deviation of the logarithm of that. Assumed."""
GAIN_SD, GAIN_SHARE = (1.0, 3.0), (0.7, 0.3)
"""What a change does, in usual spreads, beforehand; as in `leadfoot.evidence.change`."""
LEVEL_SD = 100.0
STABLE_GAIN = 2.0
"""A kept share is told only where the gain is at least so many of its standard deviations: a ratio
with an unsure denominator says nothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BlockLevel:
    """The level of one block.

    Attributes
    ----------
    kind
        Which of the three kinds of block.
    day
        Number of the day; blocks of one day share its number.
    mean, variance
        Level and how sure it is; variance above 0, in the squared unit of the mean.
    """

    kind: Kind
    day: int
    mean: float
    variance: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Retention:
    """What stayed.

    Attributes
    ----------
    answer
        ``nothing_to_keep`` where no gain worth having was shown in the first place.
    gain, gain_low, gain_high
        The gain with the change, with its 95 % range.
    left, left_low, left_high
        What is left of it at the tests, with its 95 % range, in the same unit.
    kept, kept_low, kept_high
        Share of the gain that stayed, with its 95 % range; None where it would not be stable.
    odds_some
        Probability that something worth having is left.
    odds_mostly, odds_hardly
        Probability that at least two thirds, less than one third of the gain stayed.
    """

    answer: Lasting
    gain: float
    gain_low: float
    gain_high: float
    left: float
    left_low: float
    left_high: float
    kept: float | None
    kept_low: float | None
    kept_high: float | None
    odds_some: float
    odds_mostly: float
    odds_hardly: float


def block_level(
    values: Floats, *, kind: Kind, day: int, usual_sd: float, either_way: bool = False
) -> BlockLevel:
    """The level of one block, mishits weighed down.

    Parameters
    ----------
    values
        Shape (n,), n of 1 or more, SI; NaN is left away.
    kind, day
        As in `BlockLevel`.
    usual_sd
        The student's usual spread, above 0, SI.
    either_way
        Whether a mishit goes either way (directions) instead of short (lengths and speeds).

    Raises
    ------
    InputError
        If no value is left.

    Examples
    --------
    >>> found = block_level(np.array([40.0, 40.4, 39.8, 33.0]), kind="test", day=3, usual_sd=0.5)
    >>> round(found.mean, 1), round(found.variance, 2)
    (39.9, 0.08)
    """
    known = values[np.isfinite(values)]
    if not known.size:
        raise InputError("A block has no values.", fix="Leave it away, or hit balls.")
    noise: Noise = DIRECTION_NOISE if either_way else LENGTH_NOISE
    scale, mean = np.array(usual_sd), float(np.median(known))
    for _ in range(40):
        parts = split(known - mean, scale, noise)
        sharp = max(float(parts.curvature.sum()), 0.25 * float(parts.weight.sum()))
        step = float(parts.score.sum()) / sharp
        mean += step
        if abs(step) < 1e-6 * usual_sd:
            break
    parts = split(known - mean, scale, noise)
    sharp = max(float(parts.curvature.sum()), 0.25 * float(parts.weight.sum()))
    return BlockLevel(kind=kind, day=day, mean=mean, variance=1.0 / sharp)


def retention(
    blocks: Sequence[BlockLevel],
    *,
    usual_sd: float,
    worth_sd: float = 0.2,
    day_sd: float | None = None,
    day_doubt: float = DAY_DOUBT,
    more_is_better: bool = True,
) -> Retention:
    """Say what stayed of a gain.

    Parameters
    ----------
    blocks
        At least one of each kind. The first baseline, and all others from before the change; the
        blocks with it; the tests that count for "now".
    usual_sd
        The student's usual shot-to-shot spread, above 0, in the unit of the levels.
    worth_sd
        Gain that is worth having, in usual spreads.
    day_sd, day_doubt
        How much days differ, in the unit of the levels (None: assumed), and the standard deviation
        of its logarithm.
    more_is_better
        False where the gain is a fall.

    Raises
    ------
    InputError
        If one of the three kinds of block is missing.
    OutOfRangeError
        If a spread or a variance is not above 0.

    Examples
    --------
    >>> def block(kind, day, mean):
    ...     return BlockLevel(kind=kind, day=day, mean=mean, variance=0.03)
    >>> blocks = [*(block("before", day, 40.0) for day in range(4)), block("with_change", 3, 42.5),
    ...           *(block("test", day, 42.4) for day in range(4, 7))]
    >>> found = retention(blocks, usual_sd=0.54)
    >>> found.answer, round(found.kept, 1)
    ('lasted', 0.9)
    """
    _check(blocks, usual_sd, day_sd)
    sign = 1.0 if more_is_better else -1.0
    values = np.array([sign * block.mean for block in blocks]) / usual_sd
    error = np.array([block.variance for block in blocks]) / usual_sd**2
    middle = DAY_SD if day_sd is None else day_sd / usual_sd
    nodes = weighed(blocks, values, error, middle, day_doubt)
    kept = nodes.by_kept()
    mostly = float(kept[KEPT >= MOSTLY].sum())
    hardly = float(kept[KEPT < HARDLY].sum())
    gain, left = nodes.gain(), nodes.left()
    stable = gain.mean > STABLE_GAIN * gain.sd
    share = _quantiles(KEPT, kept) if stable else (None, None, None)
    ends = [(sign * usual_sd * each.mean, *ends_of(each, sign * usual_sd)) for each in (gain, left)]
    return Retention(
        answer=_answer(nodes.gain_above(worth_sd), nodes.left_above(worth_sd), mostly, hardly),
        gain=ends[0][0],
        gain_low=ends[0][1],
        gain_high=ends[0][2],
        left=ends[1][0],
        left_low=ends[1][1],
        left_high=ends[1][2],
        kept=share[0],
        kept_low=share[1],
        kept_high=share[2],
        odds_some=nodes.left_above(worth_sd),
        odds_mostly=mostly,
        odds_hardly=hardly,
    )


def _check(blocks: Sequence[BlockLevel], usual_sd: float, day_sd: float | None) -> None:
    wanted: tuple[Kind, ...] = ("before", "with_change", "test")
    for kind in wanted:
        if not any(block.kind == kind for block in blocks):
            raise InputError(
                f"There is no block of the kind {kind!r}.",
                fix="Give blocks from before the change, with it, and from a later test.",
            )
    spreads = [
        usual_sd,
        *(block.variance for block in blocks),
        *([] if day_sd is None else [day_sd]),
    ]
    if not all(0.0 < spread < np.inf for spread in spreads):
        raise OutOfRangeError(
            "A spread or a variance is not above 0.", fix="Check the levels and the usual spread."
        )


def _answer(shown: float, some: float, mostly: float, hardly: float) -> Lasting:
    """From odds to a word.

    It lasted if something worth having is shown to be left and the loss since the lesson is not
    clear; partly if both are shown; gone if hardly anything can be left.
    """
    if shown < SHOWN:
        return "nothing_to_keep"
    if hardly > SHOWN:
        return "gone"
    if some > SHOWN:
        return "partly" if 1.0 - mostly > SHOWN else "lasted"
    return "cannot_tell"


@dataclass(frozen=True, slots=True, kw_only=True)
class Normal:
    """A mean with its standard deviation."""

    mean: float
    sd: float


def ends_of(found: Normal, factor: float) -> tuple[float, float]:
    """The range of 95 in 100, times a factor; the lower end first."""
    ends = sorted(factor * (found.mean + way * 1.96 * found.sd) for way in (-1.0, 1.0))
    return ends[0], ends[1]


def _quantiles(places: Floats, weight: Floats) -> tuple[float, float, float]:
    """Mean and 95 % range of a share given by weights on an even grid."""
    below = np.concatenate([[0.0], np.cumsum(weight)])
    half = 0.5 * (places[1] - places[0])
    edges = np.concatenate([places - half, [places[-1] + half]])
    low, high = np.interp((0.025, 0.975), below, edges)
    return float(weight @ places), max(float(low), 0.0), float(high)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Nodes:
    """Posterior by node: kept share x how much days differ x part of the gain's prior.

    Attributes
    ----------
    weight, kept
        Shape (nodes,): the weight of each node, and its share.
    gain_mean, gain_variance
        Shape (nodes,): of the gain given the node, in usual spreads.
    """

    weight: Floats
    kept: Floats
    gain_mean: Floats
    gain_variance: Floats

    def by_kept(self) -> Floats:
        """Weight of each share of `KEPT`."""
        index = np.searchsorted(KEPT, self.kept)
        return np.bincount(index, self.weight, len(KEPT)).astype(np.float64)

    def gain(self) -> Normal:
        """The gain."""
        return self._moments(np.ones_like(self.kept))

    def left(self) -> Normal:
        """What is left of it."""
        return self._moments(self.kept)

    def gain_above(self, limit: float) -> float:
        """Probability that the gain exceeds a limit."""
        return float(self.weight @ ndtr((self.gain_mean - limit) / np.sqrt(self.gain_variance)))

    def left_above(self, limit: float) -> float:
        """Probability that what is left exceeds a limit above nothing."""
        spread = np.maximum(np.abs(self.kept), 1e-9) * np.sqrt(self.gain_variance)
        return float(self.weight @ ndtr((self.kept * self.gain_mean - limit) / spread))

    def _moments(self, factor: Floats) -> Normal:
        means = factor * self.gain_mean
        mean = float(self.weight @ means)
        spread = self.weight @ (factor**2 * self.gain_variance + (means - mean) ** 2)
        return Normal(mean=mean, sd=float(np.sqrt(spread)))


def weighed(
    blocks: Sequence[BlockLevel], values: Floats, error: Floats, day_sd: float, doubt: float
) -> Nodes:
    """Everything given each node is normal: evidence, and mean and variance of the gain.

    Parameters
    ----------
    blocks
        What each block is, and on which day; at least one from before.
    values, error
        Shape (blocks,): levels, better way up, and their variances, in usual spreads.
    day_sd, doubt
        How much days differ, in usual spreads, and the standard deviation of its logarithm.
    """
    kinds = np.array([block.kind for block in blocks])
    days = np.array([block.day for block in blocks])
    places, prior_sd = np.linspace(-2.5, 2.5, 7), np.array(GAIN_SD)
    kept, place, part = (
        grid.ravel() for grid in np.meshgrid(KEPT, places, np.arange(len(GAIN_SD)), indexing="ij")
    )
    part = part.astype(np.intp)
    carries = np.where(kinds == "test", kept[:, np.newaxis], 1.0 * (kinds == "with_change"))
    of_day = (day_sd * np.exp(doubt * place)) ** 2
    same_day = (days[:, np.newaxis] == days[np.newaxis, :]).astype(np.float64)
    noise = np.diag(error) + LEVEL_SD**2 + of_day[:, np.newaxis, np.newaxis] * same_day
    gain_variance = prior_sd[part] ** 2
    outer = carries[:, :, np.newaxis] * carries[:, np.newaxis, :]
    root = np.linalg.cholesky(noise + gain_variance[:, np.newaxis, np.newaxis] * outer)
    centred = values - values[kinds == "before"].mean()
    both = np.stack([np.broadcast_to(centred, carries.shape), carries], axis=-1)
    white = np.linalg.solve(root, both)
    along = gain_variance[:, np.newaxis] * white[:, :, 1]
    log_weight = (
        np.log(np.array(GAIN_SHARE))[part]
        - 0.5 * place**2
        - 0.5 * (white[:, :, 0] ** 2).sum(axis=1)
        - np.log(np.diagonal(root, axis1=1, axis2=2)).sum(axis=1)
    )
    weight = np.exp(log_weight - log_weight.max())
    return Nodes(
        weight=weight / weight.sum(),
        kept=kept.astype(np.float64),
        gain_mean=(along * white[:, :, 0]).sum(axis=1),
        gain_variance=np.maximum(gain_variance - (along**2).sum(axis=1), 1e-12),
    )
