"""Many small lessons at once: how far to draw each one's result toward the middle of all.

The best of many looks better than it is. Drawn in by as much as its own error deserves, it is
nearer the truth on average.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import chdtrc

from leadfoot.errors import InputError, OutOfRangeError
from leadfoot.evidence.second.numbers import finite_numbers

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Pooled:
    """One common effect.

    Attributes
    ----------
    mean, error
        Weighted by precision, with its standard error.
    q, p
        Cochran's heterogeneity and its chi-square p: small if the effects differ.
    """

    mean: float
    error: float
    q: float
    p: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Shrunk:
    """Effects drawn toward their middle.

    Attributes
    ----------
    middle
        The middle toward which they are drawn.
    effect
        Shape (n,): posterior means, in the order given.
    between
        Standard deviation of the true effects: as given, or its posterior mean.
    """

    middle: float
    effect: Floats
    between: float


def pooled_effect(effects: ArrayLike, errors: ArrayLike) -> Pooled:
    """The common effect, if there is one.

    Parameters
    ----------
    effects, errors
        Shape (n,): estimates and their standard errors (above 0), at least two.

    Raises
    ------
    InputError
        If shapes differ, there are fewer than two, or an error is not above 0.

    Notes
    -----
    W. G. Cochran, Biometrics 10:101-129, 1954 (from memory).

    Examples
    --------
    >>> found = pooled_effect([2.0, 4.0], [1.0, 1.0])
    >>> found.mean, round(found.q, 6)
    (3.0, 2.0)
    """
    y, se = _checked(effects, errors)
    weight = 1.0 / se**2
    mean = float(weight @ y / weight.sum())
    q = float(weight @ (y - mean) ** 2)
    return Pooled(
        mean=mean,
        error=1.0 / math.sqrt(float(weight.sum())),
        q=q,
        p=float(chdtrc(len(y) - 1, q)),
    )


def shrink(effects: ArrayLike, errors: ArrayLike, *, between: float) -> Shrunk:
    """Draw effects in, for a known spread between the true ones.

    Parameters
    ----------
    effects, errors
        As for `pooled_effect`.
    between
        Standard deviation of the true effects, above 0.

    Raises
    ------
    InputError
        As `pooled_effect`.
    OutOfRangeError
        If `between` is not above 0.

    Notes
    -----
    ``(y / s² + mu / tau²) / (1 / s² + 1 / tau²)``, mu weighted by ``1 / (s² + tau²)``: the normal
    hierarchical model, D. B. Rubin, Journal of Educational Statistics 6:377-401, 1981.

    Examples
    --------
    >>> found = shrink([2.0, 4.0], [1.0, 1.0], between=1.0)
    >>> found.middle, found.effect.tolist()
    (3.0, [2.5, 3.5])
    """
    y, se = _checked(effects, errors)
    if not 0.0 < between < math.inf:
        raise OutOfRangeError(
            f"The spread between the effects is {between:g}.",
            fix="Give one above 0, or use shrink_unknown.",
        )
    middle, effect, _ = _drawn_in(y, se, np.array([between]))
    return Shrunk(middle=float(middle[0]), effect=effect[0], between=between)


def shrink_unknown(effects: ArrayLike, errors: ArrayLike, *, n_nodes: int = 4001) -> Shrunk:
    """Draw effects in, with the spread between the true ones unknown and its prior flat.

    Parameters
    ----------
    effects, errors
        As for `pooled_effect`, at least four: with fewer a flat prior has no posterior mean.
    n_nodes
        Nodes of the grid over the spread, 101 or more.

    Raises
    ------
    InputError
        As `pooled_effect`, or with fewer than four effects.

    Notes
    -----
    A. Gelman and others, Bayesian Data Analysis, chapter 5: the posterior of the spread in closed
    form up to a factor, summed over a grid even in ``tau / (tau + typical error)``.

    Examples
    --------
    >>> found = shrink_unknown([28.0, 8, -3, 7, -1, 1, 18, 12], [15.0, 10, 16, 11, 9, 11, 10, 18])
    >>> round(float(found.effect[0]), 1), round(found.middle, 1)
    (11.4, 7.9)
    """
    y, se = _checked(effects, errors)
    if len(y) < 4:
        raise InputError(
            f"From {len(y)} effects the spread between them cannot be learnt.",
            fix="Give at least four, or use shrink with a spread from elsewhere.",
        )
    place = (np.arange(max(n_nodes, 101)) + 0.5) / max(n_nodes, 101)
    unit = float(np.median(se)) + float(np.std(y))
    between = unit * place / (1.0 - place)
    middle, effect, log_density = _drawn_in(y, se, between)
    log_weight = log_density - 2.0 * np.log1p(-place)
    weight = np.exp(log_weight - log_weight.max())
    weight /= weight.sum()
    return Shrunk(
        middle=float(weight @ middle),
        effect=np.asarray(weight @ effect, dtype=np.float64),
        between=float(weight @ between),
    )


def james_stein(effects: ArrayLike, error: float) -> Shrunk:
    """Draw effects of one common error toward their mean by the factor of James and Stein.

    Parameters
    ----------
    effects
        Shape (n,), at least four.
    error
        Standard error of each, above 0.

    Returns
    -------
    Shrunk
        `between` is the spread that the factor implies, 0 where it draws all the way in.

    Raises
    ------
    InputError
        If there are fewer than four effects or the error is not above 0.

    Notes
    -----
    Factor ``1 - (n - 3) s² / sum of squares``, never below 0: B. Efron and C. Morris, Journal of
    the American Statistical Association 70:311-319, 1975.

    Examples
    --------
    >>> james_stein([0.0, 2, 4, 6], 1.0).effect.round(2).tolist()
    [0.15, 2.05, 3.95, 5.85]
    """
    y = finite_numbers(effects, "effects", fewest=4)
    if not 0.0 < error < math.inf:
        raise InputError(f"The standard error is {error:g}.", fix="Give one above 0.")
    middle = float(y.mean())
    squares = float(((y - middle) ** 2).sum())
    factor = max(1.0 - (len(y) - 3) * error**2 / squares, 0.0) if squares > 0.0 else 0.0
    between = error * math.sqrt(factor / (1.0 - factor)) if factor < 1.0 else math.inf
    return Shrunk(middle=middle, effect=middle + factor * (y - middle), between=between)


def _drawn_in(y: Floats, se: Floats, between: Floats) -> tuple[Floats, Floats, Floats]:
    """Middle (k,), effects (k, n) and log density (k,) of each spread between, under flat mu."""
    variance = se**2 + between[:, None] ** 2
    weight = 1.0 / variance
    total = weight.sum(axis=1)
    middle = (weight @ y) / total
    away = y - middle[:, None]
    effect = middle[:, None] + between[:, None] ** 2 * weight * away
    log_density = 0.5 * (
        np.log(weight).sum(axis=1) - np.log(total) - (weight * away**2).sum(axis=1)
    )
    return middle, effect, log_density


def _checked(effects: ArrayLike, errors: ArrayLike) -> tuple[Floats, Floats]:
    y = finite_numbers(effects, "effects", fewest=2)
    se = finite_numbers(errors, "errors", fewest=2)
    if y.shape != se.shape or not (se > 0.0).all():
        raise InputError(
            f"There are {len(y)} effects and {len(se)} errors, or an error is not above 0.",
            fix="Give one error above 0 for each effect.",
        )
    return y, se
