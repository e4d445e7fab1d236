"""The loops of the compiled look (`tests.rates.twin`): ball by ball, node by node."""

import math

import numpy as np
from numba import njit
from numpy.typing import NDArray

from leadfoot.evidence.change import FURTHEST_SD
from leadfoot.evidence.peak import CAREFUL_STEPS, MOST_STEPS, SMALL_STEP
from leadfoot.evidence.usual import MAD_TO_SD, UNUSUAL

UP, DOWN, ABOVE_ZERO, MEAN, SD, BELOW_TRUTH, COLD, HITS_BEFORE, HITS_AFTER = range(9)
"""Columns of a look: odds of a gain and of a loss beyond the worth, of any gain; mean and standard
deviation in usual spreads; posterior probability below the true change; odds that the first balls
were cold; expected mishits before and with the change."""
N_COLUMNS = 9

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]


@njit(cache=True)
def all_looks(
    values: Floats,
    with_change: Flags,
    numbers: Floats,
    looks: NDArray[np.int64],
    model: tuple[Floats, Floats, Floats, float, float],
    limits: tuple[float, float, float],
    follow: bool,
    wanted: Flags,
    found: Floats,
) -> None:
    """Fill `found`, of shape (lessons, looks, columns).

    ``model`` holds places, precision, noise, doubt and the balls of a cold start; ``limits`` the
    worth, the truth and the size of a cold start that is asked for. With `follow` each look starts
    from the modes of the one before. Looks that are not wanted are left as they are.
    """
    beta = np.empty((len(model[0]), 4))
    frame = np.empty(3)
    for lesson in range(values.shape[0]):
        frame[1] = 0.0
        for place in range(len(looks)):
            n = looks[place]
            if not wanted[lesson, place]:
                continue
            if not follow:
                frame[1] = 0.0
            _look(
                values[lesson, :n],
                with_change[:n],
                numbers[:n],
                model,
                limits,
                beta,
                frame,
                found[lesson, place],
            )


@njit(cache=True)
def _unit(values: Floats, with_change: Flags, doubt: float) -> float:
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
def _cholesky(matrix: Floats, root: Floats) -> bool:
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
def _solve(root: Floats, right: Floats) -> None:
    for i in range(4):
        for k in range(i):
            right[i] -= root[i, k] * right[k]
        right[i] /= root[i, i]
    for i in range(3, -1, -1):
        for k in range(i + 1, 4):
            right[i] -= root[k, i] * right[k]
        right[i] /= root[i, i]


@njit(cache=True)
def _full(matrix: Floats) -> Floats:
    whole = matrix.copy()
    for a in range(4):
        for b in range(a):
            whole[b, a] = matrix[a, b]
    return whole


@njit(cache=True)
def _sums(
    z: Floats,
    terms: Floats,
    beta: Floats,
    scale: float,
    precision: Floats,
    noise: Floats,
    kind: int,
    matrix: Floats,
    pull: Floats,
) -> float:
    """Fill the matrix of a careful (1) or exact (3) step, of the exact (0) or expected (2) end."""
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
    values: Floats,
    with_change: Flags,
    numbers: Floats,
    model: tuple[Floats, Floats, Floats, float, float],
    limits: tuple[float, float, float],
    beta: Floats,
    frame: Floats,
    found: Floats,
) -> None:
    """One look at one lesson; `beta` holds the modes of the last one in its `frame`.

    A frame is the middle of the balls before, the unit and the mean ball number; unit 0 is none.
    """
    places, precision_in, noise, doubt, warm_balls = model
    unit = _unit(values, with_change, doubt)
    reference = np.median(values[~with_change])
    z = np.minimum(np.maximum((values - reference) / unit, -FURTHEST_SD), FURTHEST_SD)
    terms = _terms(with_change, numbers, warm_balls)
    middle = numbers.mean()
    careful_steps = CAREFUL_STEPS
    if frame[1] > 0.0:
        beta *= frame[1] / unit
        beta[:, 0] += (frame[0] - reference) / unit + beta[:, 2] * (middle - frame[2])
        careful_steps = 0
    else:
        beta[:] = 0.0
        beta[:, 1] = np.median(z[with_change])
    frame[0], frame[1], frame[2] = reference, unit, middle
    precision = np.empty((len(places), 4))
    precision[:] = precision_in
    precision[:, 1] = places[:, 2]
    scale = np.exp(doubt * places[:, 0])
    _climb(z, terms, beta, scale, precision, noise, careful_steps)
    weight, variance, warm_variance = _normals(
        z, terms, beta, scale, precision, noise, places[:, 1]
    )
    _odds(weight, beta, variance, warm_variance, unit, limits, found)
    if not careful_steps:
        return  # a look that follows another leaves the mishits out
    _mishits(z, terms, beta, scale, noise, weight, found)


@njit(cache=True)
def _terms(with_change: Flags, numbers: Floats, warm_balls: float) -> Floats:
    terms = np.empty((len(numbers), 4))
    middle = numbers.mean()
    for i in range(len(numbers)):
        terms[i, 0] = 1.0
        terms[i, 1] = 1.0 if with_change[i] else 0.0
        terms[i, 2] = numbers[i] - middle
        terms[i, 3] = math.exp(-numbers[i] / warm_balls)
    return terms


@njit(cache=True)
def _climb(
    z: Floats,
    terms: Floats,
    beta: Floats,
    scale: Floats,
    precision: Floats,
    noise: Floats,
    careful_steps: int,
) -> None:
    """Move every node to its mode; all nodes step until the last one stands still."""
    matrix, root = np.empty((4, 4)), np.zeros((4, 4))
    pull, step = np.empty(4), np.empty(4)
    for n_steps in range(MOST_STEPS):
        furthest = 0.0
        for node in range(len(beta)):
            careful = n_steps < careful_steps
            if not careful:
                _sums(z, terms, beta[node], scale[node], precision[node], noise, 3, matrix, pull)
                step[:] = pull
                if _cholesky(matrix, root):
                    _solve(root, step)
                else:
                    step[:] = np.linalg.solve(_full(matrix), pull)
                uphill = step @ pull > 0.0
                careful = not uphill or max(abs(step[0]), abs(step[1])) > 1.0
            if careful:
                _sums(z, terms, beta[node], scale[node], precision[node], noise, 1, matrix, pull)
                _cholesky(matrix, root)
                step[:] = pull
                _solve(root, step)
            for a in range(4):
                beta[node, a] += step[a]
                furthest = max(furthest, abs(step[a]))
        if furthest < SMALL_STEP:
            break


@njit(cache=True)
def _normals(
    z: Floats,
    terms: Floats,
    beta: Floats,
    scale: Floats,
    precision: Floats,
    noise: Floats,
    log_prior: Floats,
) -> tuple[Floats, Floats, Floats]:
    """Weights of the nodes, and at each the variances of the change and of the cold start."""
    nodes = len(beta)
    matrix, root, pull = np.empty((4, 4)), np.zeros((4, 4)), np.empty(4)
    log_weight, variance, warm_variance = np.empty(nodes), np.empty(nodes), np.empty(nodes)
    for node in range(nodes):
        log_weight[node] = log_prior[node] + _sums(
            z, terms, beta[node], scale[node], precision[node], noise, 0, matrix, pull
        )
        if not _cholesky(matrix, root):
            _sums(z, terms, beta[node], scale[node], precision[node], noise, 2, matrix, pull)
            _cholesky(matrix, root)
        for a in range(4):
            log_weight[node] -= math.log(root[a, a]) + 0.5 * precision[node, a] * beta[node, a] ** 2
        pull[:] = 0.0
        pull[1] = 1.0
        _solve(root, pull)
        variance[node] = pull[1]
        pull[:] = 0.0
        pull[3] = 1.0
        _solve(root, pull)
        warm_variance[node] = pull[3]
    weight = np.exp(log_weight - log_weight.max())
    return weight / weight.sum(), variance, warm_variance


@njit(cache=True)
def _above(limit: float, mean: float, variance: float) -> float:
    return 0.5 * math.erfc((limit - mean) / math.sqrt(2.0 * variance))


@njit(cache=True)
def _odds(
    weight: Floats,
    beta: Floats,
    variance: Floats,
    warm_variance: Floats,
    unit: float,
    limits: tuple[float, float, float],
    found: Floats,
) -> None:
    worth, truth, cold = limits
    found[:] = 0.0
    for node in range(len(weight)):
        w, mean, v = weight[node], beta[node, 1], variance[node]
        found[UP] += w * _above(worth, mean, v)
        found[DOWN] += w * _above(worth, -mean, v)
        found[ABOVE_ZERO] += w * _above(0.0, mean, v)
        found[BELOW_TRUTH] += w * _above(-truth / unit, -mean, v)
        found[MEAN] += w * mean
        found[SD] += w * (v + mean * mean)
        found[COLD] += w * _above(cold, -beta[node, 3], warm_variance[node])
    found[SD] = unit * math.sqrt(found[SD] - found[MEAN] ** 2)
    found[MEAN] *= unit


@njit(cache=True)
def _mishits(
    z: Floats,
    terms: Floats,
    beta: Floats,
    scale: Floats,
    noise: Floats,
    weight: Floats,
    found: Floats,
) -> None:
    share, shift, widening = noise
    for node in range(len(weight)):
        tight = 1.0 / scale[node] ** 2
        for i in range(len(z)):
            r = z[i] - terms[i] @ beta[node]
            if r < 0:
                off = r - shift * scale[node]
                ahead = math.log(share / widening) - math.log1p(-share)
                ahead += 0.5 * r * r * tight - 0.5 * off * off * tight / widening**2
                hit = 1.0 / (1.0 + math.exp(-ahead)) if ahead > -500.0 else 0.0
                found[HITS_AFTER if terms[i, 1] > 0.0 else HITS_BEFORE] += weight[node] * hit
