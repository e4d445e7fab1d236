"""Why the pattern is wide: the spread of offline shared out over what varies in the swing."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.stats import wishart

from leadfoot.coaching.attribution import TAIL, Balls, Model
from leadfoot.coaching.shapley import variance_shares
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
    balls: Balls, model: Model, error_variance: Floats, *, n_draws: int = N_DRAWS, seed: int = 0
) -> Wideness:
    """Share out the spread of offline among the parts of the swing.

    Parameters
    ----------
    balls
        Balls of one block, or of several less their own middles.
    model
        What lands them, and the parts.
    error_variance
        Shape (p,): variance of what the monitor is off by in each input; taken off the diagonal of
        the covariance, which then keeps only what is not negative. That the errors of explained
        inputs go together is not taken off.
    n_draws, seed
        Draws of the covariance behind the ranges (inverse Wishart, n - 1 degrees of freedom).

    Raises
    ------
    InputError
        If fewer than ten balls can be landed.

    Notes
    -----
    Offline is taken as a straight line in the inputs near the middle ball; the shares are Shapley
    effects, so that face and path that go together share what they do together.

    Examples
    --------
    >>> rng = np.random.default_rng(1)
    >>> rows = rng.normal(size=(2, 200)) * np.array([[0.03], [0.01]])
    >>> nothing = np.full(200, np.nan)
    >>> model = Model(parts={"face": (0,), "path": (1,)},
    ...               land=lambda r: (0.0 * r[0], 300.0 * r[0] - 100.0 * r[1]))
    >>> found = wideness(Balls(rows=rows, carry_m=nothing, offline_m=nothing), model, np.zeros(2))
    >>> [(each.part, round(each.share, 2)) for each in found.shares]
    [('face', 0.99), ('path', 0.01)]
    """
    rows = balls.rows[:, np.isfinite(balls.rows).all(axis=0)]
    n = rows.shape[1]
    if n < FEWEST:
        raise InputError(
            f"{n} balls can be struck and flown; a spread is shared out from {FEWEST} on.",
            fix="Hit more balls, or take several lessons together.",
        )
    covariance = np.cov(rows)
    slopes = _slopes(rows.mean(axis=1), np.sqrt(np.diag(covariance)), model)
    parts = list(model.parts.values())
    drawn = np.concatenate([covariance[np.newaxis], _draws(covariance, n, n_draws, seed)])
    found = variance_shares(slopes, _without_error(drawn, error_variance), parts)
    whole = found.sum(axis=0)
    share = np.where(whole > 0.0, found / np.where(whole > 0.0, whole, 1.0), 1.0 / len(parts))
    low, high = np.quantile(share[:, 1:], (TAIL, 1.0 - TAIL), axis=1)
    return Wideness(
        offline_sd_m=float(np.sqrt(whole[0])),
        error_sd_m=float(np.sqrt(slopes**2 @ error_variance)),
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


def _draws(covariance: Floats, n: int, n_draws: int, seed: int) -> Floats:
    """Covariances that could stand behind this one, shape (n_draws, p, p)."""
    p = len(covariance)
    scatter = np.atleast_3d(
        wishart(df=max(n - 1, p), scale=np.eye(p)).rvs(n_draws, random_state=seed)
    ).reshape(n_draws, p, p)
    values, vectors = np.linalg.eigh(covariance)
    root = vectors * np.sqrt(np.clip(values, 0.0, None))
    middle = (n - 1) * np.linalg.inv(scatter)
    return np.asarray(root @ middle @ root.T)


def _without_error(covariance: Floats, error_variance: Floats) -> Floats:
    """Covariances of the swing itself: never less than nothing in any direction."""
    scale = np.sqrt(np.maximum(np.diagonal(covariance, axis1=-2, axis2=-1), 1e-300))
    unit = scale[..., :, np.newaxis] * scale[..., np.newaxis, :]
    left = (covariance - np.diag(error_variance)) / unit
    values, vectors = np.linalg.eigh(left)
    kept = np.clip(values, 0.0, None)[..., np.newaxis, :]
    return np.asarray((vectors * kept) @ np.swapaxes(vectors, -1, -2) * unit)
