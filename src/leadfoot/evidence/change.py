"""How much a length or a speed changed: a robust posterior in closed form, in one pass.

Everything is counted in the student's usual standard deviation. For ball ``i``

    z = level + change·[with the change] + slope·(ball - mean) + warm·exp(-ball / 6) + noise

with the noise of `leadfoot.evidence.noise`, whose scale may differ today. The scale is summed over
a short grid; at each node the four coefficients get their mode by Newton steps and a normal around
it (Laplace). The change is then a small mixture of normals, so every odds is a sum of normal tails.
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr

from leadfoot.evidence.judgement import UsualSpread
from leadfoot.evidence.lesson import Seen
from leadfoot.evidence.noise import LENGTH_NOISE, Floats, Noise, Split, split
from leadfoot.evidence.usual import scale_doubt, spread_today

FURTHEST_SD = 1000.0
"""A ball further than this from the middle of the ones before counts as this far; keeps the sums
finite and cannot matter for a verdict."""
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
    """

    change_sd: tuple[float, ...] = (1.0, 3.0)
    change_share: tuple[float, ...] = (0.7, 0.3)
    slope_sd: float = 0.015
    warm_sd: float = 0.5
    warm_balls: float = 6.0
    level_sd: float = 10.0
    n_nodes: int = 7
    reach: float = 2.7


DEFAULT_PRIOR = LevelPrior()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LevelChange:
    """Posterior of the change: a mixture of normals, in units of `unit_si`.

    Attributes
    ----------
    weights, means, variances
        Shape (k,); the weights add up to 1.
    unit_si
        The standard deviation that serves as unit, in SI.
    before_si
        Typical ball before the change, in SI, mishits weighed down and drift taken out.
    mishit
        Shape (n,): probability that each ball was a mishit, short of the typical one.
    information
        Information of a ball like today's about a level, in 1 / unit².
    wider_than_usual
        True if today's balls stray so much more than the usual spread that it was raised.
    """

    weights: Floats
    means: Floats
    variances: Floats
    unit_si: float
    before_si: float
    mishit: Floats
    information: float
    wider_than_usual: bool

    @property
    def mean(self) -> float:
        """Posterior mean of the change, in units."""
        return float(self.weights @ self.means)

    @property
    def sd(self) -> float:
        """Posterior standard deviation of the change, in units."""
        spread = self.weights @ (self.variances + (self.means - self.mean) ** 2)
        return float(np.sqrt(spread))

    def above(self, limit: float) -> float:
        """Probability that the change exceeds a limit, given in units."""
        tails = ndtr((self.means - limit) / np.sqrt(self.variances))
        return float(np.clip(self.weights @ tails, 0.0, 1.0))

    def interval(self, probability: float = 0.9) -> tuple[float, float]:
        """Central interval of the change, in units."""
        widths = np.sqrt(self.variances)
        ends = float((self.means - 6 * widths).min()), float((self.means + 6 * widths).max())
        places = np.linspace(*ends, 1001)
        below = ndtr((places[:, None] - self.means) / widths) @ self.weights
        tail = 0.5 * (1.0 - probability)
        low, high = np.interp((tail, 1.0 - tail), below, places)
        return float(low), float(high)


def level_change(
    balls: Seen,
    usual: UsualSpread,
    *,
    prior: LevelPrior = DEFAULT_PRIOR,
    noise: Noise = LENGTH_NOISE,
) -> LevelChange:
    """Posterior of the change of the typical ball.

    Parameters
    ----------
    balls
        At least one ball before and one with the change, in any order of blocks.
    usual
        The student's usual spread of this quantity.
    prior, noise
        The model's assumptions.

    Examples
    --------
    >>> balls = Seen(values=np.array([44.1, 44.9, 44.4, 44.6, 44.5, 46.0, 46.6, 46.2, 46.4, 46.1]),
    ...              with_change=np.arange(10) >= 5, ball_number=np.arange(10.0))
    >>> found = level_change(balls, UsualSpread(sd=0.54, n_shots=80))
    >>> round(found.mean * found.unit_si, 2), round(found.above(0.2), 4)
    (1.62, 0.9999)
    """
    doubt = scale_doubt(usual.n_shots)
    unit_si, wider = spread_today(balls, usual)
    reference_si = float(np.median(balls.values[~balls.with_change]))
    z = np.clip((balls.values - reference_si) / unit_si, -FURTHEST_SD, FURTHEST_SD)
    terms = design(balls, prior)
    grid = _Grid.over(doubt, prior)
    start = float(np.median(z[balls.with_change]))
    mode, at_mode = _modes(z, terms, grid, noise, start)
    curvature = _curvature(at_mode, terms, grid)
    weights = _weights(at_mode, mode, curvature, grid)
    before = np.delete(terms[~balls.with_change].mean(axis=0), 1)
    level = float(weights @ (np.delete(mode, 1, axis=1) @ before))
    short = (z < mode @ terms.T).astype(np.float64)
    return LevelChange(
        weights=weights,
        means=mode[:, 1],
        variances=np.asarray(np.linalg.inv(curvature)[:, 1, 1], dtype=np.float64),
        unit_si=unit_si,
        before_si=reference_si + unit_si * level,
        mishit=np.clip(weights @ ((1.0 - at_mode.solid) * short), 0.0, 1.0),
        information=_information(at_mode, weights, grid),
        wider_than_usual=wider,
    )


def design(balls: Seen, prior: LevelPrior) -> Floats:
    """The four terms of the model for each ball, shape (n, 4).

    Examples
    --------
    >>> balls = Seen(values=np.zeros(2), with_change=np.array([False, True]),
    ...              ball_number=np.array([0.0, 6.0]))
    >>> design(balls, DEFAULT_PRIOR).round(3)
    array([[ 1.   ,  0.   , -3.   ,  1.   ],
           [ 1.   ,  1.   ,  3.   ,  0.368]])
    """
    number = balls.ball_number
    return np.column_stack(
        (
            np.ones(len(number)),
            balls.with_change.astype(np.float64),
            number - number.mean(),
            np.exp(-number / prior.warm_balls),
        )
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Grid:
    """The nodes: today's scale by prior part of the change."""

    scale: Floats  # (k, 1)
    log_prior: Floats  # (k,)
    precision: Floats  # (k, 4): prior precision of the coefficients

    @classmethod
    def over(cls, doubt: float, prior: LevelPrior) -> "_Grid":
        places = np.linspace(-prior.reach, prior.reach, prior.n_nodes)
        n_parts = len(prior.change_sd)
        place = np.tile(places, n_parts)
        change_sd = np.repeat(np.asarray(prior.change_sd), prior.n_nodes)
        share = np.repeat(np.asarray(prior.change_share), prior.n_nodes)
        precision = np.empty((len(place), 4))
        precision[:] = 1 / np.array([prior.level_sd, 1.0, prior.slope_sd, prior.warm_sd]) ** 2
        precision[:, 1] = 1 / change_sd**2
        return cls(
            scale=np.exp(doubt * place)[:, None],
            log_prior=np.log(share) - np.log(change_sd) - 0.5 * place**2,
            precision=precision,
        )


def _modes(
    z: Floats, terms: Floats, grid: _Grid, noise: Noise, start: float
) -> tuple[Floats, Split]:
    """Most probable coefficients at each node, shape (k, p), by Newton's steps."""
    mode = np.zeros((len(grid.scale), terms.shape[1]))
    mode[:, 1] = start
    at_mode = split(z - mode @ terms.T, grid.scale, noise)
    for n_steps in range(MOST_STEPS):
        # Far from the peak a ball that is about to become a mishit pulls its own way; there no
        # ball counts for less than a quarter of the sure step of reweighted least squares.
        pull = at_mode.score @ terms - mode * grid.precision
        if n_steps < CAREFUL_STEPS:
            step = _step(_careful(at_mode), pull, terms, grid.precision)
        else:
            step = _step(at_mode.curvature, pull, terms, grid.precision)
            lost = ((step * pull).sum(axis=1) <= 0.0) | (np.abs(step[:, :2]).max(axis=1) > 1.0)
            if lost.any():
                careful = _careful(at_mode)[lost]
                step[lost] = _step(careful, pull[lost], terms, grid.precision[lost])
        mode += step
        at_mode = split(z - mode @ terms.T, grid.scale, noise)
        if np.abs(step).max() < SMALL_STEP:
            break
    return mode, at_mode


def _careful(at: Split) -> Floats:
    return np.maximum(at.curvature, 0.25 * at.weight)


def _step(sharpness: Floats, pull: Floats, terms: Floats, precision: Floats) -> Floats:
    normal = _normal_matrix(sharpness, terms, precision)
    return np.asarray(np.linalg.solve(normal, pull[:, :, None])[:, :, 0], dtype=np.float64)


def _normal_matrix(weight: Floats, terms: Floats, precision: Floats) -> Floats:
    n, p = terms.shape
    products = (terms[:, :, None] * terms[:, None, :]).reshape(n, p * p)
    matrix: Floats = (weight @ products).reshape(-1, p, p)
    corner = np.arange(p)
    matrix[:, corner, corner] += precision
    return matrix


def _curvature(at_mode: Split, terms: Floats, grid: _Grid) -> Floats:
    """Curvature of the log posterior; where it is not a peak, the expected one."""
    exact = _normal_matrix(at_mode.curvature, terms, grid.precision)
    flat = np.linalg.eigvalsh(exact)[:, 0] <= 1e-9
    if flat.any():
        exact[flat] = _normal_matrix(at_mode.weight, terms, grid.precision)[flat]
    return exact


def _weights(at_mode: Split, mode: Floats, curvature: Floats, grid: _Grid) -> Floats:
    log_weight = (
        at_mode.log_density.sum(axis=1)
        - 0.5 * (mode**2 * grid.precision).sum(axis=1)
        - 0.5 * np.linalg.slogdet(curvature)[1]
        + grid.log_prior
    )
    weight: Floats = np.exp(log_weight - log_weight.max())
    return np.asarray(weight / weight.sum(), dtype=np.float64)


def _information(at_mode: Split, weights: Floats, grid: _Grid) -> float:
    """Information of a ball like today's; a fifth of a clean ball's at least."""
    tight = 1.0 / grid.scale[:, 0] ** 2
    share = np.clip(at_mode.curvature.mean(axis=1) / tight, 0.2, 1.0)
    return float(weights @ (share * tight))
