"""Pooled lessons of direction as one compiled loop, and the lessons that it is asked about.

A twin of `leadfoot.evidence.pooled`, sum for sum, for lessons of the same size that are all new;
test_straight_rates.py holds the two together to 1e-6. A look after every fifth ball.
"""

import math

import numpy as np

from leadfoot.evidence import misses
from leadfoot.evidence.blocks import LOG_SPREADS, STEP
from leadfoot.evidence.judgement import UsualSpread
from leadfoot.evidence.misses import LIGHTEST, QUADRANT_NODES, WITHIN
from leadfoot.evidence.pairs import DEFAULT_PATTERN_PRIOR as PRIOR
from leadfoot.evidence.pooled import DAY_LEVEL_SD, DAY_STEPS
from leadfoot.evidence.usual import DAY_DOUBT, scale_doubt
from tests.rates.straight_lessons import USUAL_YD, Floats, Truth, simulate_offline
from tests.rates.straight_loop import _BELOW, WHAT, _fit, _misses, compiled

BLOCKS = (10, 15)
LOOKS = (5, 10, 15)
NEW = UsualSpread(sd=USUAL_YD, n_shots=0)
_N = len(LOG_SPREADS)


def simulate_lessons(
    rng: np.random.Generator, n_students: int, n_lessons: int, truth: Truth
) -> Floats:
    """Offline in yards, shape (students, lessons, balls): each lesson its own level and spread."""
    values = simulate_offline(rng, n_students * n_lessons, BLOCKS, truth)
    aim = np.round(DAY_LEVEL_SD * USUAL_YD * rng.standard_normal((len(values), 1)))
    return np.asarray((values + aim).reshape(n_students, n_lessons, -1), dtype=np.float64)


def all_pooled_looks(values: Floats) -> Floats:
    """Odds of many students, shape (students, looks, len(WHAT)); three looks a lesson."""
    days = np.arange(-DAY_STEPS, DAY_STEPS + 1) * STEP / DAY_DOUBT
    share = np.exp(-0.5 * days**2)
    settings = np.array(
        [
            PRIOR.ratio_doubt,
            PRIOR.shift_sd,
            PRIOR.wander_sd,
            PRIOR.slope_sd,
            PRIOR.level_sd,
            PRIOR.tails.freedom,
            PRIOR.tails.scale,
            scale_doubt(NEW.n_shots),
        ]
    )
    shared = (*QUADRANT_NODES, misses.inverse_table(), _BELOW)
    tables = (*misses.mean_nodes(), np.array(WITHIN), *shared, LIGHTEST, 0.0)
    out: Floats = np.zeros((len(values), len(LOOKS) * values.shape[1], len(WHAT)))
    _students(values / NEW.sd, np.array(LOOKS), share / share.sum(), settings, tables, out)
    return out


@compiled
def _students(values, looks, share, settings, tables, out):  # type: ignore[no-untyped-def] # noqa: PLR0917
    number = np.arange(float(values.shape[2]))
    fits = np.empty((2, _N, 6))
    one = np.empty((_N, _N))
    cells = np.empty((_N, _N, 6))
    for student in range(values.shape[0]):
        kept = np.zeros((_N, _N))
        kept_means = np.zeros(9)
        for lesson in range(values.shape[1]):
            z = values[student, lesson]
            _fit(z[:10], number[:10], settings, fits[0])
            for look in range(len(looks)):
                n = 10 + looks[look]
                _fit(z[10:n], number[10:n], settings, fits[1])
                _over_days(fits, share, one)
                means = kept_means + _means(fits, 0.5 * (n - 1), settings)
                place = lesson * len(looks) + look
                _pool(kept + one, means, settings, tables, cells, out[student, place])
            kept = kept + one
            kept_means = means


@compiled
def _over_days(fits, share, out):  # type: ignore[no-untyped-def]
    top = fits[0, :, 2].max(), fits[1, :, 2].max()
    before, after = np.exp(fits[0, :, 2] - top[0]), np.exp(fits[1, :, 2] - top[1])
    for i in range(_N):
        for j in range(_N):
            total = 0.0
            for day in range(len(share)):
                a = min(max(i + day - DAY_STEPS, 0), _N - 1)
                b = min(max(j + day - DAY_STEPS, 0), _N - 1)
                total += share[day] * before[a] * after[b]
            out[i, j] = math.log(max(total, 1e-300))


@compiled
def _means(fits, centre, settings):  # type: ignore[no-untyped-def]
    """Precision (three numbers) and pull (two) of the two means, drift and day's aim taken out."""
    doubt = math.hypot(settings[7], DAY_DOUBT)
    told = np.zeros((5, 6))
    told[3, 3] = 2.0 / max(settings[3], 1e-9) ** 2
    told[4, 4] = 1.0 / DAY_LEVEL_SD**2
    for side in range(2):
        fit = fits[side]
        weight = np.exp(fit[:, 2] - fit[:, 2].max() - 0.5 * (LOG_SPREADS / doubt) ** 2)
        weight /= weight.sum()
        mean, sharpness, at = (
            (weight * fit[:, 0]).sum(),
            (weight * fit[:, 1]).sum(),
            (weight * fit[:, 3]).sum() - centre,
        )
        precision = 1.0 / (1.0 / sharpness + 0.5 * settings[2] ** 2)
        terms = np.array([1.0 - side, 1.0 * side, at, at, 1.0])
        for i in range(5):
            for j in range(5):
                told[i, j] += precision * terms[i] * terms[j]
            told[i, 5] += precision * terms[i] * mean
        for i in range(2, 4):
            for j in range(2, 4):
                told[i, j] += (weight * fit[:, 5]).sum()
            told[i, 5] += (weight * fit[:, 4]).sum()
    _take_out(told, 4)
    _take_out(told, 3)
    means = np.empty(9)
    means[:6] = told[0, 0], told[0, 1], told[1, 1], told[0, 2], told[1, 2], told[2, 2]
    means[6:] = told[:3, 5]
    return means


@compiled
def _take_out(told, gone):  # type: ignore[no-untyped-def]
    for i in range(gone):
        share = told[i, gone] / told[gone, gone]
        for j in range(6):
            told[i, j] -= share * told[gone, j]


@compiled
def _pool(log_spreads, means, settings, tables, cells, out):  # type: ignore[no-untyped-def] # noqa: PLR0917
    tie = 1.0 / settings[1] ** 2
    drift = means[5] + 2.0 / max(settings[3], 1e-9) ** 2
    a11 = means[0] + 1.0 / settings[4] ** 2 + tie - means[3] ** 2 / drift
    a12 = means[1] - tie - means[3] * means[4] / drift
    a22 = means[2] + tie - means[4] ** 2 / drift
    b1, b2 = means[6] - means[3] * means[8] / drift, means[7] - means[4] * means[8] / drift
    determinant = a11 * a22 - a12 * a12
    top = -1e300
    for i in range(_N):
        for j in range(_N):
            cells[i, j, 0] = (
                log_spreads[i, j]
                - 0.5 * (LOG_SPREADS[i] / settings[7]) ** 2
                - 0.5 * (STEP * (j - i) / settings[0]) ** 2
            )
            cells[i, j, 1] = (a22 * b1 - a12 * b2) / determinant
            cells[i, j, 2] = (a11 * b2 - a12 * b1) / determinant
            cells[i, j, 3] = a22 / determinant
            cells[i, j, 4] = a11 / determinant
            cells[i, j, 5] = -a12 / determinant
            top = max(top, cells[i, j, 0])
    share = np.zeros(2 * _N + 1)
    for i in range(_N):
        for j in range(_N):
            cells[i, j, 0] = math.exp(cells[i, j, 0] - top)
            share[j - i + _N] += cells[i, j, 0]
    share /= share.sum()
    at, left, right = share[_N], share[_N - 1], share[_N + 1]
    below, above = share[:_N].sum(), share[_N + 1 :].sum()
    out[3] = below + 0.5 * at - (right - left) / 24.0
    out[4] = below + (at - left) / 24.0
    out[5] = above + (at - right) / 24.0
    _misses(cells, tables, out)
    for k in range(9):
        out[k] = min(max(out[k], 0.0), 1.0)
