"""The level look of `leadfoot.evidence.change`, compiled, for thousands of lessons at a time.

Only the simulations use it; the program itself compiles nothing to judge. It is written ball by
ball instead of array by array, so that it is a second writing-down of the same sums, and
`tests/rates/test_twin.py` holds the two to a millionth of each other on random lessons.
"""

import math
from dataclasses import dataclass

import numpy as np
from numba import njit
from numpy.typing import NDArray

from leadfoot.evidence.change import (
    CAREFUL_STEPS,
    DEFAULT_PRIOR,
    FURTHEST_SD,
    MOST_STEPS,
    SMALL_STEP,
    LevelPrior,
)
from leadfoot.evidence.noise import LENGTH_NOISE, Noise
from leadfoot.evidence.usual import MAD_TO_SD, UNUSUAL, scale_doubt

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

UP, DOWN, ABOVE_ZERO, MEAN, SD, BELOW_TRUTH, COLD, HITS_BEFORE, HITS_AFTER = range(9)
"""Columns of a look: odds of a gain and of a loss beyond the worth, of any gain; mean and standard
deviation in usual spreads; posterior probability below the true change; odds that the first balls
were cold; expected mishits before and with the change."""
N_COLUMNS = 9


@dataclass(frozen=True, slots=True, kw_only=True)
class Model:
    """The assumptions of a look as the compiled loops take them."""

    places: Floats
    """Rows of (scale as power of the doubt, log prior, precision of the change)."""
    precision: Floats
    warm_balls: float
    noise: tuple[float, float, float]
    doubt: float
    worth: float
    cold: float

    @classmethod
    def of(
        cls,
        n_shots: int,
        *,
        prior: LevelPrior = DEFAULT_PRIOR,
        noise: Noise = LENGTH_NOISE,
        worth: float = 0.2,
        cold: float = 0.0,
    ) -> "Model":
        """The model of `level_change` for a student with so many earlier shots."""
        at = np.linspace(-prior.reach, prior.reach, prior.n_nodes)
        rows = [
            (place, math.log(share) - math.log(sd) - 0.5 * place**2, 1.0 / sd**2)
            for sd, share in zip(prior.change_sd, prior.change_share, strict=True)
            for place in at
        ]
        return cls(
            places=np.array(rows),
            precision=1.0 / np.array([prior.level_sd, 1.0, prior.slope_sd, prior.warm_sd]) ** 2,
            warm_balls=prior.warm_balls,
            noise=(noise.share, noise.shift, noise.widening),
            doubt=scale_doubt(n_shots),
            worth=worth,
            cold=cold,
        )


def looks_at(
    values: Floats,
    with_change: Flags,
    looks: NDArray[np.int64],
    model: Model,
    truth: float = 0.0,
    first_ball: int = 0,
) -> Floats:
    """Every look at every lesson, shape (lessons, looks, columns).

    Parameters
    ----------
    values
        Shape (lessons, balls), in usual standard deviations.
    with_change
        Shape (balls,).
    looks
        Numbers of balls after which is looked.
    model, truth
        Assumptions, and the true change in usual standard deviations.
    first_ball
        Number of the first ball that counts: balls hit to get warm keep their numbers.
    """
    found = np.empty((len(values), len(looks), N_COLUMNS))
    numbers = first_ball + np.arange(values.shape[1], dtype=np.float64)
    _all_looks(
        np.ascontiguousarray(values, dtype=np.float64),
        with_change,
        numbers,
        looks,
        model.places,
        model.precision,
        model.warm_balls,
        np.array(model.noise),
        model.doubt,
        model.worth,
        truth,
        model.cold,
        found,
    )
    return found


@njit(cache=True)
def _all_looks(
    values, with_change, numbers, looks, places, precision, warm_balls, noise, doubt, worth, truth,
    cold, found,
):  # fmt: skip
    for lesson in range(values.shape[0]):
        for place in range(len(looks)):
            n = looks[place]
            _look(
                values[lesson, :n], with_change[:n], numbers[:n], places, precision, warm_balls,
                noise, doubt, worth, truth, cold, found[lesson, place],
            )  # fmt: skip


@njit(cache=True)
def _unit(values, with_change, doubt):
    """The usual spread, 1, or today's own where the balls stray far more."""
    away = np.empty(len(values))
    n_away = 0
    for side in (False, True):
        mine = values[with_change == side]
        if len(mine) > 2:
            middle = np.median(mine)
            for value in mine:
                away[n_away] = abs(value - middle) * math.sqrt(len(mine) / (len(mine) - 1))
                n_away += 1
    observed = MAD_TO_SD * np.median(away[:n_away]) if n_away else 0.0
    return max(1.0, observed * math.exp(-UNUSUAL * doubt))


@njit(cache=True)
def _cholesky(matrix, root):
    for j in range(4):
        left = matrix[j, j]
        for k in range(j):
            left -= root[j, k] * root[j, k]
        if left <= 1e-9:
            return False
        root[j, j] = math.sqrt(left)
        for i in range(j + 1, 4):
            left = matrix[i, j]
            for k in range(j):
                left -= root[i, k] * root[j, k]
            root[i, j] = left / root[j, j]
    return True


@njit(cache=True)
def _solve(root, right):
    for i in range(4):
        for k in range(i):
            right[i] -= root[i, k] * right[k]
        right[i] /= root[i, i]
    for i in range(3, -1, -1):
        for k in range(i + 1, 4):
            right[i] -= root[k, i] * right[k]
        right[i] /= root[i, i]


@njit(cache=True)
def _full(matrix):
    whole = matrix.copy()
    for a in range(4):
        for b in range(a):
            whole[b, a] = matrix[a, b]
    return whole


@njit(cache=True)
def _sums(z, terms, beta, scale, precision, noise, kind, matrix, pull):
    """Fill the matrix of a careful (1) or exact (3) step, the exact (0) or expected (2) curvature."""
    share, shift, widening = noise
    tight = 1.0 / (scale * scale)
    wide = tight / (widening * widening)
    log_odds = math.log(share / widening) - math.log1p(-share)
    centre = shift * scale
    h_1 = h_b = h_t = h_w = h_bt = h_bw = h_tt = h_tw = h_ww = 0.0
    p_1 = p_b = p_t = p_w = 0.0
    log_density = 0.0
    for i in range(len(z)):
        b, t, w = terms[i, 1], terms[i, 2], terms[i, 3]
        r = z[i] - beta[0] - b * beta[1] - t * beta[2] - w * beta[3]
        off = r - centre
        log_solid = -0.5 * r * r * tight
        ahead = log_odds - 0.5 * off * off * wide - log_solid
        small = math.exp(-abs(ahead))
        mishit = (1.0 if ahead > 0 else small) / (1.0 + small)
        solid = 1.0 - mishit
        weight = solid * tight + mishit * wide
        lean = r * tight - off * wide
        h = weight
        if kind != 2:
            h = weight - solid * mishit * lean * lean
        if kind == 1:
            h = max(h, 0.25 * weight)
        elif kind != 3:
            log_density += log_solid + max(ahead, 0.0) + math.log1p(small)
        score = solid * r * tight + mishit * off * wide
        hb, ht, hw = h * b, h * t, h * w
        h_1 += h
        h_b += hb
        h_t += ht
        h_w += hw
        h_bt += hb * t
        h_bw += hb * w
        h_tt += ht * t
        h_tw += ht * w
        h_ww += hw * w
        p_1 += score
        p_b += score * b
        p_t += score * t
        p_w += score * w
    matrix[0, 0] = h_1 + precision[0]
    matrix[1, 0] = h_b
    matrix[1, 1] = h_b + precision[1]
    matrix[2, 0], matrix[2, 1], matrix[2, 2] = h_t, h_bt, h_tt + precision[2]
    matrix[3, 0], matrix[3, 1], matrix[3, 2], matrix[3, 3] = h_w, h_bw, h_tw, h_ww + precision[3]
    pull[0] = p_1 - precision[0] * beta[0]
    pull[1] = p_b - precision[1] * beta[1]
    pull[2] = p_t - precision[2] * beta[2]
    pull[3] = p_w - precision[3] * beta[3]
    return log_density + len(z) * (math.log1p(-share) - math.log(scale))


@njit(cache=True)
def _look(
    values, with_change, numbers, places, precision_in, warm_balls, noise, doubt, worth, truth,
    cold, found,
):  # fmt: skip
    n, nodes = len(values), len(places)
    unit = _unit(values, with_change, doubt)
    reference = np.median(values[~with_change])
    z = np.minimum(np.maximum((values - reference) / unit, -FURTHEST_SD), FURTHEST_SD)
    terms = np.empty((n, 4))
    middle = numbers.mean()
    for i in range(n):
        terms[i, 0] = 1.0
        terms[i, 1] = 1.0 if with_change[i] else 0.0
        terms[i, 2] = numbers[i] - middle
        terms[i, 3] = math.exp(-numbers[i] / warm_balls)
    beta = np.zeros((nodes, 4))
    beta[:, 1] = np.median(z[with_change])
    precision = np.empty((nodes, 4))
    for node in range(nodes):
        precision[node] = precision_in
        precision[node, 1] = places[node, 2]
    matrix, root, pull = np.empty((4, 4)), np.zeros((4, 4)), np.empty(4)
    step = np.empty(4)
    for n_steps in range(MOST_STEPS):
        furthest = 0.0
        for node in range(nodes):
            scale = math.exp(doubt * places[node, 0])
            lost = n_steps < CAREFUL_STEPS
            if not lost:
                _sums(z, terms, beta[node], scale, precision[node], noise, 3, matrix, pull)
                step[:] = pull
                if _cholesky(matrix, root):
                    _solve(root, step)
                else:
                    step[:] = np.linalg.solve(_full(matrix), pull)
                lost = step @ pull <= 0.0 or max(abs(step[0]), abs(step[1])) > 1.0
            if lost:
                _sums(z, terms, beta[node], scale, precision[node], noise, 1, matrix, pull)
                _cholesky(matrix, root)
                _solve(root, pull)
                step[:] = pull
            for a in range(4):
                beta[node, a] += step[a]
                furthest = max(furthest, abs(step[a]))
        if furthest < SMALL_STEP:
            break
    log_weight, variance, warm_variance = np.empty(nodes), np.empty(nodes), np.empty(nodes)
    for node in range(nodes):
        scale = math.exp(doubt * places[node, 0])
        density = _sums(z, terms, beta[node], scale, precision[node], noise, 0, matrix, pull)
        if not _cholesky(matrix, root):
            density = _sums(z, terms, beta[node], scale, precision[node], noise, 2, matrix, pull)
            _cholesky(matrix, root)
        log_weight[node] = density + places[node, 1]
        for a in range(4):
            log_weight[node] -= (
                math.log(root[a, a]) + 0.5 * precision[node, a] * beta[node, a] ** 2
            )
        pull[:] = 0.0
        pull[1] = 1.0
        _solve(root, pull)
        variance[node] = pull[1]
        pull[:] = 0.0
        pull[3] = 1.0
        _solve(root, pull)
        warm_variance[node] = pull[3]
    weight = np.exp(log_weight - log_weight.max())
    weight /= weight.sum()
    found[:] = 0.0
    for node in range(nodes):
        w, m, s = weight[node], beta[node, 1], math.sqrt(2.0 * variance[node])
        found[UP] += w * 0.5 * math.erfc((worth - m) / s)
        found[DOWN] += w * 0.5 * math.erfc((worth + m) / s)
        found[ABOVE_ZERO] += w * 0.5 * math.erfc(-m / s)
        found[BELOW_TRUTH] += w * 0.5 * math.erfc((m - truth / unit) / s)
        found[MEAN] += w * m
        found[SD] += w * (variance[node] + m * m)
        found[COLD] += w * 0.5 * math.erfc((cold + beta[node, 3]) / math.sqrt(2.0 * warm_variance[node]))
        tight = 1.0 / math.exp(doubt * places[node, 0]) ** 2
        share, shift, widening = noise
        for i in range(n):
            r = z[i]
            for a in range(4):
                r -= terms[i, a] * beta[node, a]
            if r < 0:
                off = r - shift / math.sqrt(tight)
                ahead = (
                    math.log(share / widening) - math.log1p(-share)
                    - 0.5 * off * off * tight / widening**2 + 0.5 * r * r * tight
                )  # fmt: skip
                hit = 1.0 / (1.0 + math.exp(-ahead)) if ahead > -500 else 0.0
                found[HITS_AFTER if with_change[i] else HITS_BEFORE] += w * hit
    found[SD] = math.sqrt(found[SD] - found[MEAN] ** 2)
    found[MEAN] *= unit
    found[SD] *= unit
