"""Why the pattern is wide: the spread of offline shared out over what varies in the swing."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.stats import wishart

from leadfoot.coaching.attribution import TAIL, Balls, Model
from leadfoot.coaching.shapley import by_chance, variance_shares
from leadfoot.errors import InputError

Floats = NDArray[np.float64]

FEWEST = 10
"""Fewer balls say too little of a spread to share it out: with ten, its own 95 % range is 0.7 to
1.8 times itself (chi-square)."""
STEP_SHARE = 0.1
"""Slopes are taken over this share of the spread of each input to either side. Our own choice."""
N_DRAWS = 400


@dataclass(frozen=True, slots=True, kw_only=True)
class SpreadShare:
    """Share of one part in the variance of offline, 0 to 1; the range holds it with 95 %."""

    part: str
    share: float
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Wideness:
    """The spread of offline, shared out.

    Attributes
    ----------
    offline_sd_m
        Standard deviation of offline in the model, monitor error taken off. [m]
    error_sd_m
        What the error of the monitor would add by itself. [m]
    shares
        They add up to 1.
    n_balls
        Balls behind it.
    """

    offline_sd_m: float
    error_sd_m: float
    shares: tuple[SpreadShare, ...]
    n_balls: int


def wideness(
    blocks: Sequence[Balls],
    model: Model,
    error_covariance: Floats,
    *,
    n_draws: int = N_DRAWS,
    seed: int = 0,
) -> Wideness:
    """Share out the spread of offline among the parts of the swing.

    Parameters
    ----------
    blocks
        One block or several; each counts about its own middle, so that a change between blocks is
        not taken for spread.
    model
        What lands them, and the parts.
    error_covariance
        Shape (p, p): what the monitor's errors add; it is taken off, and what is then left below
        nothing in some direction counts as nothing.
    n_draws, seed
        Draws of the covariance behind the ranges: inverse Wishart, with as many degrees of freedom
        as balls less blocks.

    Raises
    ------
    InputError
        If fewer than ten balls can be landed.

    Notes
    -----
    Offline is taken as a straight line in the inputs near the middle ball; the shares are Shapley
    effects, so that face and path that go together share what they do together. In a few balls
    every input goes with every other by chance, and would seem to explain what it does not: that is
    taken off (`by_chance`), twice from the draws, since each draw has the chance of the sample and
    its own. A share below nothing counts as nothing.

    Examples
    --------
    >>> rng = np.random.default_rng(1)
    >>> rows = rng.normal(size=(2, 200)) * np.array([[0.03], [0.01]])
    >>> nothing = np.full(200, np.nan)
    >>> model = Model(parts={"face": (0,), "path": (1,)},
    ...               land=lambda r: (0.0 * r[0], 300.0 * r[0] - 100.0 * r[1]))
    >>> balls = Balls(rows=rows, carry_m=nothing, offline_m=nothing)
    >>> found = wideness([balls], model, np.zeros((2, 2)))
    >>> [(each.part, round(each.share, 2)) for each in found.shares]
    [('face', 0.99), ('path', 0.01)]
    """
    read = [block.rows[:, np.isfinite(block.rows).all(axis=0)] for block in blocks]
    read = [rows for rows in read if rows.shape[1] > 1]
    n = sum(rows.shape[1] for rows in read)
    if n < FEWEST:
        raise InputError(
            f"{n} balls can be struck and flown; a spread is shared out from {FEWEST} on.",
            fix="Hit more balls, or take several lessons together.",
        )
    middle = np.concatenate(read, axis=1).mean(axis=1)
    beside = np.concatenate([rows - rows.mean(axis=1, keepdims=True) for rows in read], axis=1)
    freedom = n - len(read)
    covariance = beside @ beside.T / freedom
    slopes = _slopes(middle, np.sqrt(np.diag(covariance)), model)
    parts = list(model.parts.values())
    draws = _draws(covariance, freedom, n_draws, seed)
    found = np.concatenate(
        [
            variance_shares(
                slopes,
                without_error(drawn, error_covariance),
                parts,
                unexplained=by_chance(freedom, times),
            )
            for drawn, times in ((covariance[np.newaxis], 1), (draws, 2))
        ],
        axis=1,
    )
    found = np.maximum(found, 0.0)
    whole = found.sum(axis=0)
    share = np.where(whole > 0.0, found / np.where(whole > 0.0, whole, 1.0), 1.0 / len(parts))
    low, high = np.quantile(share[:, 1:], (TAIL, 1.0 - TAIL), axis=1)
    return Wideness(
        offline_sd_m=float(np.sqrt(whole[0])),
        error_sd_m=float(np.sqrt(slopes @ error_covariance @ slopes)),
        shares=tuple(
            SpreadShare(part=name, share=float(share[k, 0]), low=float(low[k]), high=float(high[k]))
            for k, name in enumerate(model.parts)
        ),
        n_balls=n,
    )


def _slopes(middle: Floats, sd: Floats, model: Model) -> Floats:
    """How offline moves with each input near the middle ball, shape (p,)."""
    step = np.where(sd > 0.0, STEP_SHARE * sd, 1e-6)
    p = len(middle)
    rows = np.repeat(middle[:, np.newaxis], 2 * p, axis=1)
    at = np.arange(p)
    rows[at, at] += step
    rows[at, p + at] -= step
    _, offline_m = model.land(rows)
    slopes = (offline_m[:p] - offline_m[p:]) / (2.0 * step)
    if not np.isfinite(slopes).all():
        raise InputError(
            "The middle ball can't be struck and flown.",
            fix="Check the readings of the club against those of the ball.",
        )
    return np.asarray(slopes)


def _draws(covariance: Floats, freedom: int, n_draws: int, seed: int) -> Floats:
    """Covariances that could stand behind this one, shape (n_draws, p, p)."""
    p = len(covariance)
    scatter = np.atleast_3d(
        wishart(df=max(freedom, p), scale=np.eye(p)).rvs(n_draws, random_state=seed)
    ).reshape(n_draws, p, p)
    values, vectors = np.linalg.eigh(covariance)
    root = vectors * np.sqrt(np.clip(values, 0.0, None))
    middle = freedom * np.linalg.inv(scatter)
    return np.asarray(root @ middle @ root.T)


def without_error(covariance: Floats, error_covariance: Floats) -> Floats:
    """Take the monitor's share off a covariance: what is left is never below nothing.

    Parameters
    ----------
    covariance
        Shape (..., p, p).
    error_covariance
        Shape (p, p).

    Examples
    --------
    >>> without_error(np.diag([4.0, 1.0]), np.diag([1.0, 2.0]))
    array([[3., 0.],
           [0., 0.]])
    """
    scale = np.sqrt(np.maximum(np.diagonal(covariance, axis1=-2, axis2=-1), 1e-300))
    unit = scale[..., :, np.newaxis] * scale[..., np.newaxis, :]
    left = (covariance - error_covariance) / unit
    values, vectors = np.linalg.eigh(left)
    kept = np.clip(values, 0.0, None)[..., np.newaxis, :]
    return np.asarray((vectors * kept) @ np.swapaxes(vectors, -1, -2) * unit)
