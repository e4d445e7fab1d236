"""The judging of direction as one compiled loop over many lessons and looks, for the simulations.

A twin of `leadfoot.evidence.pattern.pattern_change`, sum for sum; test_straight_rates.py holds the
two together to 1e-6. One ball after the other, in any order of blocks.
"""

import math
from typing import Any

import numba
import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from leadfoot.evidence import misses
from leadfoot.evidence.blocks import LOG_SPREADS, STEP, block_starts
from leadfoot.evidence.judgement import UsualSpread
from leadfoot.evidence.misses import (
    LEAST_MISS,
    LIGHTEST,
    MISS_SHARE,
    N_TABLE,
    NEARER_SD,
    QUADRANT_NODES,
    ROOTS_PER_ONE,
    WITHIN,
)
from leadfoot.evidence.pairs import DEFAULT_PATTERN_PRIOR, PatternPrior
from leadfoot.evidence.usual import MAD_TO_SD, UNUSUAL, scale_doubt

Floats = NDArray[np.float64]
WHAT = (
    "nearer",
    "nearer_clearly",
    "farther_clearly",
    "narrower",
    "narrower_clearly",
    "wider_clearly",
    "misses_less",
    "misses_clearly_less",
    "misses_clearly_more",
)
_N = len(LOG_SPREADS)
_LOW = float(LOG_SPREADS[0])
_ROUGH_NODES = (np.array([-math.sqrt(3.0), 0.0, math.sqrt(3.0)]), np.array([1.0, 4.0, 1.0]) / 6.0)
_PER_SD = 1000
_FAR_SD = 8
_BELOW: Floats = ndtr(np.arange(-_FAR_SD * _PER_SD, _FAR_SD * _PER_SD + 2) / _PER_SD)
"""The normal distribution, read off a table: good to 3e-8, and much faster than computed."""


def all_looks(
    values: Floats,
    n_before: int,
    looks: NDArray[np.int64],
    usual: UsualSpread,
    *,
    prior: PatternPrior = DEFAULT_PATTERN_PRIOR,
    worth_a_look: float = 0.0,
) -> Floats:
    """Odds of lessons of one block each after so many balls with the change; see `looks_in`."""
    with_change = np.arange(values.shape[1]) >= n_before
    return looks_in(
        values, with_change, n_before + looks, usual, prior=prior, worth_a_look=worth_a_look
    )


def looks_in(
    values: Floats,
    with_change: NDArray[np.bool_],
    ends: NDArray[np.int64],
    usual: UsualSpread,
    *,
    prior: PatternPrior = DEFAULT_PATTERN_PRIOR,
    worth_a_look: float = 0.0,
) -> Floats:
    """Odds of many lessons after each look, shape (lessons, looks, len(WHAT)).

    ``values`` has shape (lessons, balls), ``with_change`` (balls,); ``ends`` are numbers of balls
    so far. Looks at which a rough sum puts all of the odds below ``worth_a_look`` get zeros: no
    claim is near.
    """
    settings = np.array(
        [
            prior.ratio_doubt,
            prior.shift_sd,
            prior.wander_sd,
            prior.slope_sd,
            prior.level_sd,
            prior.tails.freedom,
            prior.tails.scale,
            scale_doubt(usual.n_shots),
        ]
    )
    starts = np.append(block_starts(with_change), len(with_change))
    out: Floats = np.zeros((len(values), len(ends), len(WHAT)))
    shared = (*QUADRANT_NODES, misses.inverse_table(), _BELOW)
    fine = (*misses.mean_nodes(), np.array(WITHIN), *shared, LIGHTEST, 0.0)
    rough = (*_ROUGH_NODES, np.zeros(1), *shared, 0.4, worth_a_look)
    balls = np.ascontiguousarray(values)
    _many(balls, with_change, starts, ends, usual.sd, settings, fine, rough, out)
    return out


def compiled(loop: Any) -> Any:
    return numba.njit(cache=True, error_model="numpy")(loop)


@compiled
def _many(values, with_change, starts, ends, usual_sd, settings, tables, rough, out):  # type: ignore[no-untyped-def] # noqa: PLR0917
    number = np.arange(float(values.shape[1]))
    fits = np.empty((len(starts) - 1, _N, 6))
    fitted = np.zeros((len(fits), 2))  # the unit that each block was fitted in, and its end
    for lesson in range(values.shape[0]):
        fitted[:] = 0.0
        for look in range(len(ends)):
            n = ends[look]
            unit = _spread_today(values[lesson, :n], with_change[:n], usual_sd, settings[7])
            begun = np.searchsorted(starts, n)
            for block in range(begun):
                start, end = starts[block], min(starts[block + 1], n)
                if fitted[block, 0] != unit or fitted[block, 1] != end:
                    z = values[lesson, start:end] / unit
                    _fit(z, number[start:end], settings, fits[block])
                    fitted[block, 0], fitted[block, 1] = unit, end
            second = with_change[starts[:begun]]
            _one(fits[:begun], second, 0.5 * (n - 1), settings, tables, rough, out[lesson, look])


@compiled
def _cdf(x, below):  # type: ignore[no-untyped-def]
    place = (min(max(x, -8.0), 8.0) + 8.0) * 1000.0
    low = int(place)
    return below[low] + (place - low) * (below[low + 1] - below[low])


@compiled
def _spread_today(values, with_change, usual_sd, doubt):  # type: ignore[no-untyped-def]
    away = np.empty(len(values))
    used = 0
    for one in (values[~with_change], values[with_change]):
        n = len(one)
        if n > 2:
            middle = np.median(one)
            for i in range(n):
                away[used] = abs(one[i] - middle) * math.sqrt(n / (n - 1))
                used += 1
    if used == 0:
        return usual_sd
    return max(usual_sd, MAD_TO_SD * np.median(away[:used]) * math.exp(-UNUSUAL * doubt))


@compiled
def _fit(z, number, settings, out):  # type: ignore[no-untyped-def]
    """One block: mean, sharpness, log evidence, place, slope pull and sharpness at each spread."""
    freedom = settings[5]
    n = len(z)
    middle = np.median(z)
    for i in range(_N):
        scale = settings[6] * math.exp(_LOW + STEP * i)
        spare = freedom * scale * scale
        mean = middle
        step = 1.0
        steps = 0
        while True:
            pull = exact = sure = 0.0
            for k in range(n):
                away = z[k] - mean
                total = spare + away * away
                weight = (freedom + 1.0) / total
                pull += weight * away
                sure += weight
                exact += weight * (spare - away * away) / total
            sharpness = max(exact, 0.25 * sure)
            if steps == 60 or abs(step) < 1e-9:
                break
            step = pull / sharpness
            mean += step
            steps += 1
        density = at = 0.0
        for k in range(n):
            away = z[k] - mean
            density += math.log1p(away * away / spare)
            at += number[k] * (freedom + 1.0) / (spare + away * away)
        at /= sure
        slope_pull = slope_sharpness = 0.0
        for k in range(n):
            away = z[k] - mean
            lever = (number[k] - at) * (freedom + 1.0) / (spare + away * away)
            slope_pull += lever * away
            slope_sharpness += lever * (number[k] - at)
        out[i, 0] = mean
        out[i, 1] = sharpness
        out[i, 2] = (
            -0.5 * (freedom + 1.0) * density - n * (_LOW + STEP * i) - 0.5 * math.log(sharpness)
        )
        out[i, 3] = at
        out[i, 4] = slope_pull
        out[i, 5] = slope_sharpness


@compiled
def _one(fits, with_change, centre, settings, tables, rough, out):  # type: ignore[no-untyped-def] # noqa: PLR0917
    sides = np.zeros((2, _N, 6))
    _sides(fits, with_change, centre, settings, sides)
    cells = np.empty((_N, _N, 6))
    share = _cells(sides, settings, cells)
    at, left, right = share[_N], share[_N - 1], share[_N + 1]
    below, above = share[:_N].sum(), share[_N + 1 :].sum()
    out[3] = below + 0.5 * at - (right - left) / 24.0
    out[4] = below + (at - left) / 24.0
    out[5] = above + (at - right) / 24.0
    if rough[8] > 0.0:
        _misses(cells, rough, out)
        if max(out[1], out[3], out[7], out[8]) < rough[8]:
            out[:3] = 0.0
            out[6:] = 0.0
            return
    _misses(cells, tables, out)
    for k in range(9):
        out[k] = min(max(out[k], 0.0), 1.0)


@compiled
def _sides(fits, with_change, centre, settings, sides):  # type: ignore[no-untyped-def]
    """Log evidence, precision, pull, lever, square, slope, over the blocks of either side."""
    for block in range(len(fits)):
        side = sides[int(with_change[block])]
        for i in range(_N):
            mean, sharpness, evidence, at, slope_pull, slope_sharpness = fits[block, i]
            at -= centre
            precision = 1.0 / (1.0 / sharpness + 0.5 * settings[2] ** 2)
            side[i, 0] += evidence + 0.5 * math.log(precision) - 0.5 * precision * mean * mean
            side[i, 1] += precision
            side[i, 2] += precision * mean
            side[i, 3] += precision * at
            side[i, 4] += precision * at * at + slope_sharpness
            side[i, 5] += precision * at * mean + slope_pull


@compiled
def _cells(sides, settings, cells):  # type: ignore[no-untyped-def]
    """Weight, means, variances and lean of each pair of spreads; shares of their differences."""
    ratio_doubt, tie, doubt = settings[0], 1.0 / settings[1] ** 2, settings[7]
    slope_variance, flat = settings[3] ** 2, 1.0 / settings[4] ** 2
    top = -1e300
    for i in range(_N):
        before = sides[0, i]
        for j in range(_N):
            after = sides[1, j]
            told = 1.0 + slope_variance * (before[4] + after[4])
            kappa = slope_variance / told
            pull = before[5] + after[5]
            a11 = before[1] + (flat + tie) - kappa * before[3] ** 2
            a22 = after[1] + tie - kappa * after[3] ** 2
            a12 = tie + kappa * before[3] * after[3]
            b1 = before[2] - kappa * pull * before[3]
            b2 = after[2] - kappa * pull * after[3]
            determinant = a11 * a22 - a12 * a12
            mean_before = (a22 * b1 + a12 * b2) / determinant
            mean_after = (a12 * b1 + a11 * b2) / determinant
            log_weight = (
                before[0]
                + after[0]
                - 0.5 * ((_LOW + STEP * i) / doubt) ** 2
                - 0.5 * (STEP * (j - i) / ratio_doubt) ** 2
                - 0.5 * math.log(determinant * told)
                + 0.5 * (b1 * mean_before + b2 * mean_after + kappa * pull * pull)
            )
            cells[i, j, 0] = log_weight
            cells[i, j, 1] = mean_before
            cells[i, j, 2] = mean_after
            cells[i, j, 3] = a22 / determinant
            cells[i, j, 4] = a11 / determinant
            cells[i, j, 5] = a12 / determinant
            top = max(top, log_weight)
    total = 0.0
    for i in range(_N):
        for j in range(_N):
            cells[i, j, 0] = math.exp(cells[i, j, 0] - top)
            total += cells[i, j, 0]
    share = np.zeros(2 * _N + 1)
    for i in range(_N):
        for j in range(_N):
            share[j - i + _N] += cells[i, j, 0] / total
    return share


@compiled
def _mean_with(miss, mean):  # type: ignore[no-untyped-def]
    place = math.sqrt(max(miss - LEAST_MISS, 0.0)) * ROOTS_PER_ONE
    if place > N_TABLE - 2:
        return miss
    low = int(place)
    return mean[low] + (place - low) * (mean[low + 1] - mean[low])


@compiled
def _above(h, k, correlation, tables):  # type: ignore[no-untyped-def]
    bulge = 0.0
    for node in range(len(tables[3])):
        r = correlation * tables[3][node]
        rest = 1.0 - r * r
        bulge += (
            tables[4][node] * math.exp((r * h * k - 0.5 * (h * h + k * k)) / rest) / math.sqrt(rest)
        )
    return _cdf(h, tables[6]) * _cdf(k, tables[6]) + correlation * bulge


@compiled
def _quadrants(cell, tables, share):  # type: ignore[no-untyped-def]
    both = cell[3] + cell[4]
    sd_u, sd_v = math.sqrt(both - 2.0 * cell[5]), math.sqrt(both + 2.0 * cell[5])
    r = (cell[3] - cell[4]) / (sd_u * sd_v)
    u, v = (cell[1] - cell[2]) / sd_u, (cell[1] + cell[2]) / sd_v
    c, d = NEARER_SD / sd_u, NEARER_SD / sd_v
    share[0] += cell[0] * (_above(u, v, r, tables) + _above(-u, -v, r, tables))
    share[1] += cell[0] * (_above(u - c, v - d, r, tables) + _above(-u - c, -v - d, r, tables))
    share[2] += cell[0] * (_above(-u - c, v - d, -r, tables) + _above(u - c, -v - d, -r, tables))


@compiled
def _misses(cells, tables, out):  # type: ignore[no-untyped-def]
    nodes, node_weights, within, _, _, table, below, lightest, _ = tables
    total = 0.0
    share = np.zeros(6)
    for i in range(_N):
        spread = math.exp(_LOW + STEP * i)
        for j in range(_N):
            weight = cells[i, j, 0]
            if weight <= lightest:
                continue
            total += weight
            _quadrants(cells[i, j], tables, share)
            root = math.sqrt(cells[i, j, 3])
            slope = cells[i, j, 5] / root
            rest = math.sqrt(cells[i, j, 4] - slope * slope)
            for k in range(len(nodes)):
                size = abs(cells[i, j, 1] + root * nodes[k])
                mean = cells[i, j, 2] + slope * nodes[k]
                place = size / spread
                miss = spread * LEAST_MISS * math.exp(-0.5 * place * place) + size * (
                    1.0 - 2.0 * _cdf(-place, below)
                )
                for part in range(len(within)):
                    narrow = math.exp(-_LOW - STEP * (j + within[part]))
                    for what in range(3):
                        factor = 1.0 if what == 0 else MISS_SHARE if what == 1 else 1 / MISS_SHARE
                        limit = _mean_with(factor * miss * narrow, table) / narrow
                        if limit > 0.0:
                            inside = _cdf((limit - mean) / rest, below)
                            inside -= _cdf((-limit - mean) / rest, below)
                            share[3 + what] += weight * node_weights[k] * inside / len(within)
    share /= total
    out[0], out[1], out[2] = share[0], share[1], share[2]
    out[6], out[7], out[8] = share[3], share[4], 1.0 - share[5]
