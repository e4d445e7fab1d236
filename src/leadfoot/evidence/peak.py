"""The most probable coefficients of the level model, and the normal around them.

Each lesson is weighed on a grid: today's scale by the prior part of every change. At each node the
coefficients get their mode by Newton steps and a normal around it (Laplace; L. Tierney and
J. B. Kadane, J. Am. Stat. Assoc. 81:82-86, 1986, from memory). Several quantities that were seen on
the same balls go through the steps together, which costs hardly more than one of them.
"""

import math
from dataclasses import dataclass
from itertools import product

import numpy as np

from leadfoot.evidence.noise import Floats, Noise, Split, split

CAREFUL_STEPS, MOST_STEPS, SMALL_STEP = 3, 60, 1e-4
"""The first steps to a mode are careful, the others Newton's own, which double the digits each
time: after a step below the last number the mode is right to about its square."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LevelPrior:
    """What is held possible before the first ball, in usual standard deviations.

    All values are assumptions, checked by the simulated lessons in tests/rates: other values of the
    change, recalibrated, move the power by less than two points; the drift terms matter.

    Attributes
    ----------
    change_sd, change_share
        The change is zero on average: mostly small (sd 1), sometimes large (sd 3), so that a large
        one is not shrunk away.
    slope_sd
        Steady drift, a ball (getting warmer, getting tired).
    warm_sd, warm_balls
        A cold start that fades over so many balls.
    level_sd
        The level around the middle of the balls before: nearly flat.
    n_nodes, reach
        Nodes of the grid over the logarithm of today's scale, and how many prior standard
        deviations it reaches to either side.
    day_doubt
        Doubt about today's spread, as a standard deviation of its logarithm, beside that which the
        usual spread leaves.
    range_stretch
        Factor on the range of the change; set so that it holds the truth as often as it says in
        the simulated lessons.
    """

    change_sd: tuple[float, ...] = (1.0, 3.0)
    change_share: tuple[float, ...] = (0.7, 0.3)
    slope_sd: float = 0.015
    warm_sd: float = 0.5
    warm_balls: float = 6.0
    level_sd: float = 10.0
    n_nodes: int = 7
    reach: float = 2.7
    day_doubt: float = 0.0
    range_stretch: float = 1.05


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Grid:
    """The nodes: today's scale by prior part of every change.

    Attributes
    ----------
    scale
        Shape (k,): today's spread over the usual one.
    log_prior
        Shape (k,).
    precision
        Shape (k, p): prior precision of the coefficients.
    """

    scale: Floats
    log_prior: Floats
    precision: Floats

    @classmethod
    def over(cls, doubt: float, prior: LevelPrior, n_changes: int = 1) -> "Grid":
        """The grid for a doubt about today's scale, and so many changes side by side.

        Examples
        --------
        >>> Grid.over(0.2, LevelPrior()).precision.shape
        (14, 4)
        """
        places = np.linspace(-prior.reach, prior.reach, prior.n_nodes)
        parts = list(
            product(zip(prior.change_sd, prior.change_share, strict=True), repeat=n_changes)
        )
        sds = np.array([[sd for sd, _ in part] for part in parts])
        log_share = np.array([sum(math.log(share) for _, share in part) for part in parts])
        precision = np.empty((len(parts), prior.n_nodes, n_changes + 3))
        precision[:, :, 0] = 1.0 / prior.level_sd**2
        precision[:, :, 1:-2] = 1.0 / sds[:, None, :] ** 2
        precision[:, :, -2:] = 1.0 / prior.slope_sd**2, 1.0 / prior.warm_sd**2
        log_prior = (log_share - np.log(sds).sum(axis=1))[:, None] - 0.5 * places**2
        return cls(
            scale=np.tile(np.exp(doubt * places), len(parts)),
            log_prior=log_prior.ravel(),
            precision=precision.reshape(-1, n_changes + 3),
        )


def open_weights(weights: Floats, prior: LevelPrior, n_changes: int = 1) -> Floats:
    """Weights of the nodes that hold the largest changes possible, and of no other.

    Parameters
    ----------
    weights
        Shape (k,): weights of all nodes of `Grid.over`.
    prior, n_changes
        What the grid was made of.

    Returns
    -------
    array
        Shape (k,); they add up to 1.

    Examples
    --------
    >>> open_weights(np.full(14, 1 / 14), LevelPrior()).round(2)
    array([0.  , 0.  , 0.  , 0.  , 0.  , 0.  , 0.  , 0.14, 0.14, 0.14, 0.14,
           0.14, 0.14, 0.14])
    """
    largest = max(prior.change_sd)
    parts = [set(part) == {largest} for part in product(prior.change_sd, repeat=n_changes)]
    kept = np.where(np.repeat(parts, prior.n_nodes), weights, 0.0)
    total = kept.sum()
    # No weight left at all: the balls are so sure of "no change" that either range is a point.
    return np.asarray(kept / total) if total > 1e-200 else weights


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Peaks:
    """One quantity at every node: coefficients, their normals and how probable the node is.

    Attributes
    ----------
    weights
        Shape (k,); they add up to 1.
    mode, covariance
        Shapes (k, p) and (k, p, p).
    at_mode
        The balls at the modes; arrays of shape (k, n).
    scale
        Shape (k,).
    """

    weights: Floats
    mode: Floats
    covariance: Floats
    at_mode: Split
    scale: Floats

    @property
    def information(self) -> float:
        """Information of a ball like today's about a level; a fifth of a clean one's at least."""
        tight = 1.0 / self.scale**2
        share = np.clip(self.at_mode.curvature.mean(axis=1) / tight, 0.2, 1.0)
        return float(self.weights @ (share * tight))


def peaks(z: Floats, terms: Floats, grids: list[Grid], noise: Noise) -> list[Peaks]:
    """Weigh one or more quantities of the same balls.

    Parameters
    ----------
    z
        Shape (quantities, n), in usual standard deviations around the balls before.
    terms
        Shape (n, p): level, changes, slope, cold start. Columns 1 to p - 3 are 0 or 1.
    grids
        One for each quantity, all of one size.
    noise
        The mishit part.
    """
    n_nodes, n_terms = len(grids[0].scale), terms.shape[1]
    grid = Grid(
        scale=np.concatenate([grid.scale for grid in grids]),
        log_prior=np.concatenate([grid.log_prior for grid in grids]),
        precision=np.concatenate([grid.precision for grid in grids]),
    )
    start = np.zeros((len(grids), n_terms))
    for change in range(1, n_terms - 2):
        start[:, change] = np.median(z[:, terms[:, change] > 0.0], axis=1)
    mode, at_mode = _modes(
        np.repeat(z, n_nodes, axis=0), terms, grid, noise, np.repeat(start, n_nodes, axis=0)
    )
    covariance, log_volume = _normals(at_mode, terms, grid)
    log_weight = (
        at_mode.log_density.sum(axis=1)
        - 0.5 * (mode * mode * grid.precision).sum(axis=1)
        + log_volume
        + grid.log_prior
    ).reshape(len(grids), n_nodes)
    weight = np.exp(log_weight - log_weight.max(axis=1, keepdims=True))
    weight /= weight.sum(axis=1, keepdims=True)
    return [
        Peaks(
            weights=weight[place],
            mode=mode[mine],
            covariance=covariance[mine],
            at_mode=at_mode.rows(mine),
            scale=grid.scale[mine],
        )
        for place, mine in (
            (place, slice(place * n_nodes, (place + 1) * n_nodes)) for place in range(len(grids))
        )
    ]


def _modes(
    z: Floats, terms: Floats, grid: Grid, noise: Noise, start: Floats
) -> tuple[Floats, Split]:
    """Most probable coefficients at each node, shape (k, p), by Newton's steps."""
    mode, scale, across = start, grid.scale[:, None], terms.T
    at_mode = split(z - mode @ across, scale, noise)
    products = _products(terms)
    for n_steps in range(MOST_STEPS):
        # Far from the peak a ball that is about to become a mishit pulls its own way; there no
        # ball counts for less than a quarter of the sure step of reweighted least squares.
        pull = at_mode.score @ terms - mode * grid.precision
        if n_steps < CAREFUL_STEPS:
            step = _step(_careful(at_mode), pull, products, grid.precision)
        else:
            step = _step(at_mode.curvature, pull, products, grid.precision)
            lost = ((step * pull).sum(axis=1) <= 0.0) | (np.abs(step[:, :-2]).max(axis=1) > 1.0)
            if lost.any():
                careful = _careful(at_mode)[lost]
                step[lost] = _step(careful, pull[lost], products, grid.precision[lost])
        mode = mode + step
        at_mode = split(z - mode @ across, scale, noise)
        if np.abs(step).max() < SMALL_STEP:
            break
    return mode, at_mode


def _careful(at: Split) -> Floats:
    return np.maximum(at.curvature, 0.25 * at.weight)


def _products(terms: Floats) -> Floats:
    n, p = terms.shape
    return (terms[:, :, None] * terms[:, None, :]).reshape(n, p * p)


def _normal_matrix(sharpness: Floats, products: Floats, precision: Floats) -> Floats:
    p = precision.shape[1]
    matrix: Floats = sharpness @ products
    matrix[:, :: p + 1] += precision
    return matrix.reshape(-1, p, p)


def _step(sharpness: Floats, pull: Floats, products: Floats, precision: Floats) -> Floats:
    normal = _normal_matrix(sharpness, products, precision)
    return np.asarray(np.linalg.solve(normal, pull[:, :, None])[:, :, 0], dtype=np.float64)


def _normals(at_mode: Split, terms: Floats, grid: Grid) -> tuple[Floats, Floats]:
    """Covariance at each node and the logarithm of its volume.

    Where the exact curvature is not that of a peak, the expected one stands for it.
    """
    products = _products(terms)
    exact = _normal_matrix(at_mode.curvature, products, grid.precision)
    try:
        root = np.linalg.cholesky(exact)
    except np.linalg.LinAlgError:
        flat = np.linalg.eigvalsh(exact)[:, 0] <= 1e-9
        exact[flat] = _normal_matrix(at_mode.weight, products, grid.precision)[flat]
        root = np.linalg.cholesky(exact)
    log_volume = -np.log(np.diagonal(root, axis1=1, axis2=2)).sum(axis=1)
    return np.asarray(np.linalg.inv(exact), dtype=np.float64), log_volume
