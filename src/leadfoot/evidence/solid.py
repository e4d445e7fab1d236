"""Which balls of one block were mishits: shorter than the typical ball can stray."""

import math

import numpy as np
from numpy.typing import NDArray

from leadfoot.errors import InputError
from leadfoot.evidence.noise import LENGTH_NOISE, Floats, Noise, split
from leadfoot.evidence.usual import MAD_TO_SD

FEWEST_BALLS = 3
"""Balls below which nothing is said: two balls do not show which of them was the mishit."""
_LOG_SCALES = np.linspace(-1.2, 1.2, 25)
_SCALE_DOUBT = 0.5
"""Doubt about the logarithm of the solid spread around its first guess. Assumed; wide."""


def mishit_odds(values: Floats, *, noise: Noise = LENGTH_NOISE) -> Floats:
    """Probability of each ball of one block to be a mishit.

    The two-part noise of the judging, with its level and its spread fitted to this block alone; the
    spread is summed over a grid. A ball longer than the typical one is no mishit.

    Parameters
    ----------
    values
        Shape (n,): carry, ball speed or another length of one club without any change, finite.
    noise
        The mishit part.

    Returns
    -------
    Floats
        Shape (n,), in [0, 1]; zeros for fewer than three balls and for equal ones.

    Raises
    ------
    InputError
        If a value is no number.

    Examples
    --------
    >>> mishit_odds(np.array([182.0, 176, 185, 179, 91, 188, 174, 181])).round(2).tolist()
    [0.0, 0.02, 0.0, 0.01, 1.0, 0.0, 0.02, 0.0]
    """
    if values.ndim != 1 or not np.isfinite(values).all():
        raise InputError(
            f"The values have shape {values.shape}, or hold what is no number.",
            fix="Give one number for each ball, without NaN.",
        )
    guess = _first_guess(values)
    if len(values) < FEWEST_BALLS or guess == 0.0:
        return np.zeros(len(values))
    scale = guess * np.exp(_LOG_SCALES)[:, None]
    level = np.full(len(scale), float(np.median(values)))
    for _ in range(60):
        parts = split(values - level[:, None], scale, noise)
        sharpness = _sharpness(parts.curvature, parts.weight)
        step = parts.score.sum(axis=1) / sharpness
        level = level + step
        if np.abs(step / scale[:, 0]).max() < 1e-6:
            break
    residual = values - level[:, None]
    parts = split(residual, scale, noise)
    log_weight = (
        parts.log_density.sum(axis=1)
        - 0.5 * np.log(_sharpness(parts.curvature, parts.weight))
        - 0.5 * (_LOG_SCALES / _SCALE_DOUBT) ** 2
    )
    weight = np.exp(log_weight - log_weight.max())
    short = (1.0 - parts.solid) * (residual < 0.0)
    return np.asarray(np.clip(weight @ short / weight.sum(), 0.0, 1.0), dtype=np.float64)


def _sharpness(curvature: Floats, weight: Floats) -> NDArray[np.float64]:
    return np.asarray(np.maximum(curvature.sum(axis=1), 0.25 * weight.sum(axis=1)))


def _first_guess(values: Floats) -> float:
    """Spread by the median distance; by the mean one where more than half are equal."""
    if not len(values):
        return 0.0
    away = np.abs(values - np.median(values))
    return MAD_TO_SD * float(np.median(away)) or math.sqrt(0.5 * math.pi) * float(away.mean())
