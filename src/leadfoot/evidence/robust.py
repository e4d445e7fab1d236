"""Middle and shape of a cloud of balls that a few mishits do not move: a multivariate t."""

import math
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import quad
from scipy.optimize import brentq

from leadfoot.errors import InputError, OutOfRangeError

Floats = NDArray[np.float64]

TAILS = 4.0
"""Degrees of freedom: heavy enough for a mishit in ten, light enough for a dozen clean balls. A
choice; a t with 3 to 7 is common practice for shots."""
_MOST_STEPS = 500
_STILL = 1e-10


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Cloud:
    """Middle and shape of points in p dimensions.

    Attributes
    ----------
    centre
        Shape (p,).
    covariance
        Shape (p, p): for clean normal points the ordinary covariance, for others that of their
        solid part.
    weight
        Shape (n,): how much each point counted, 0 to 1; a mishit near 0.
    """

    centre: Floats
    covariance: Floats
    weight: Floats


def robust_cloud(
    points: Floats, *, tails: float = TAILS, counts: Floats | None = None
) -> Cloud | None:
    """Fit a multivariate t with fixed tails by expectation and maximisation.

    Parameters
    ----------
    points
        Shape (n, p), finite. A share of mishits up to about ``1 / (p + tails)`` is borne.
    tails
        Degrees of freedom, 1 or more; fewer bear more mishits and waste more of clean points.
    counts
        Shape (n,), above 0: how much each point counts from the start, such as by its age; None:
        all alike. Only their ratios matter.

    Returns
    -------
    Cloud or None
        None where the points fill no volume: too few, equal, on a line, or all but a few so.

    Raises
    ------
    InputError
        If the array is not (n, p) or holds what is no number.
    OutOfRangeError
        If `tails` is below 1.

    Notes
    -----
    The likelihood equations of K. L. Lange, R. J. A. Little and J. M. G. Taylor, Journal of the
    American Statistical Association 84:881-896, 1989, with the scatter divided by the factor that
    makes it the covariance for normal points. For a few points it is multiplied by
    ``n / (n - 1)``, as the sample covariance is, with n the points that would count as much if all
    counted alike.

    Examples
    --------
    >>> balls = np.array([[-4.0, 201], [3, 195], [6, 204], [-1, 199], [2, 207], [-6, 196], [9, 91]])
    >>> found = robust_cloud(balls)
    >>> found.centre.round(0), found.weight.round(1).tolist()
    (array([  0., 200.]), [0.8, 0.8, 0.6, 1.0, 0.8, 0.6, 0.0])
    """
    if points.ndim != 2 or not np.isfinite(points).all():
        raise InputError(
            f"The points have shape {points.shape}, or hold what is no number.",
            fix="Give one row for each ball, without NaN.",
        )
    if not tails >= 1.0:
        raise OutOfRangeError(f"The tails are {tails:g}.", fix="Give 1 or more, such as 4.")
    n, p = points.shape
    if n <= p:
        return None
    middle = np.median(points, axis=0)
    unit = np.abs(points - middle).mean(axis=0)
    if not (unit > 0.0).all():
        return None
    whole = np.ones(n) if counts is None else counts
    if whole.shape != (n,) or not (whole > 0.0).all():
        raise InputError("Not every point counts.", fix="Give each point a weight above 0.")
    fitted = _fit((points - middle) / unit, tails, whole)
    if fitted is None:
        return None
    centre, scatter, weight = fitted
    alike = float(whole.sum() ** 2 / (whole**2).sum())
    to_sample = alike / (alike - 1.0) / _consistency(tails, p) if alike > 1.0 else np.inf
    return Cloud(
        centre=middle + unit * centre,
        covariance=scatter * np.outer(unit, unit) * to_sample,
        weight=weight,
    )


def _fit(z: Floats, tails: float, counts: Floats) -> tuple[Floats, Floats, Floats] | None:
    """Centre, scatter and weights of the points in [0, 1]; None where the scatter collapses."""
    p = z.shape[1]
    centre: Floats = np.zeros(p)
    scatter: Floats = np.eye(p)
    for _ in range(_MOST_STEPS):
        squared = _squared_distance(z - centre, scatter)
        weight = counts * (tails + p) / (tails + squared)
        moved = weight @ z / weight.sum()
        away = z - moved
        # Dividing by the sum of the weights leads to the same place in fewer steps.
        wider = (away * weight[:, None]).T @ away / weight.sum()
        still = max(np.abs(moved - centre).max(), np.abs(wider - scatter).max())
        centre, scatter = moved, wider
        parts = np.linalg.eigvalsh(scatter)
        if not parts[0] > 1e-10 * parts[-1] > 0.0:
            return None
        if still < _STILL:
            break
    squared = _squared_distance(z - centre, scatter)
    return centre, scatter, np.asarray(tails / (tails + squared), dtype=np.float64)


def _squared_distance(away: Floats, scatter: Floats) -> Floats:
    return np.asarray((away * np.linalg.solve(scatter, away.T).T).sum(axis=1), dtype=np.float64)


@cache
def _consistency(tails: float, p: int) -> float:
    """Scatter of the fit over the covariance, for very many normal points.

    With u = chi²(p) / c it solves ``E[(tails + p) u / (tails + u)] = p``.
    """
    log_norm = math.lgamma(0.5 * p) + 0.5 * p * math.log(2.0)

    def excess(factor: float) -> float:
        def density(root: float) -> float:
            u = root * root / factor
            chi = math.exp((p - 1) * math.log(root) - 0.5 * root * root - log_norm)
            return 2.0 * (tails + p) * u / (tails + u) * chi

        return float(quad(density, 1e-12, 12.0 + p, limit=200)[0]) - p

    return float(brentq(excess, 1e-3, 1.0, xtol=1e-12))
