"""What one block of balls says of the usual spread: a curve over the logarithm of the scale.

A block of an earlier lesson never changes, so its curve is worked out once and kept.
"""

from collections import OrderedDict
from collections.abc import Sequence
from dataclasses import dataclass
from threading import Lock

import numpy as np
from scipy.interpolate import CubicSpline

from leadfoot.evidence.noise import Floats, Noise, split
from leadfoot.evidence.usual import MAD_TO_SD

REACH = 2.0
"""Curves reach so far to either side of their middle, in logarithms: a factor of 7. Beyond, they go
on as straight lines."""
COARSE: Floats = np.linspace(-REACH, REACH, 21)
"""Nodes at which a block's curve is worked out, about the block's own spread; between them it is a
cubic spline."""
FINE: Floats = np.linspace(-REACH, REACH, 101)
"""Nodes at which curves are told, about the population value."""
AT_ONCE = 4
"""Blocks that are worked out together: so few that all of it stays near the processor."""
SETTLED = 1e-5
"""Newton's steps end when the largest is below this, in scales: the level is then known to far
fewer than that."""
MOST_KEPT = 8192
"""Curves that are kept: some hundred lessons, 10 MB. A choice."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Curve:
    middle: float
    spline: Floats  # (4, pieces)
    own: bool


_Key = tuple[bytes, Noise]
_kept: OrderedDict[_Key, _Curve] = OrderedDict()
_turn = Lock()


def block_curves(blocks: Sequence[Floats], start_sd: float, noise: Noise) -> Floats:
    """Log likelihood of the scale for each block, its level integrated out; shape (blocks, 101).

    Parameters
    ----------
    blocks
        Finite values of each block in SI, three or more.
    start_sd
        The population value in SI; the scale at node k is ``start_sd * exp(FINE[k])``.
    noise
        The noise of the judging.

    Returns
    -------
    Array
        Each curve up to a constant; its largest value is 0.

    Examples
    --------
    >>> from leadfoot.evidence.noise import LENGTH_NOISE
    >>> balls = np.array([40.0, 41.1, 39.2, 40.4, 40.9, 39.6, 40.3, 41.4])
    >>> curve = block_curves([balls], 1.0, LENGTH_NOISE)[0]
    >>> round(float(np.exp(FINE[curve.argmax()])), 2)
    0.73
    """
    keys = [(np.ascontiguousarray(block).tobytes(), noise) for block in blocks]
    with _turn:
        known = {key: _kept[key] for key in keys if key in _kept}
    new = {key: block for key, block in zip(keys, blocks, strict=True) if key not in known}
    if new:
        found = dict(zip(new, _splines(list(new.values()), start_sd, noise), strict=True))
        known |= found
        _keep(found)
    shift = np.array([np.log(start_sd / known[key].middle) for key in keys])
    curves = _told(np.array([known[key].spline for key in keys]), shift)
    return np.asarray(curves - curves.max(axis=1, keepdims=True), dtype=np.float64)


def _keep(curves: dict[_Key, _Curve]) -> None:
    with _turn:
        # The curve of equal balls hangs on where it was looked for, and is not kept.
        _kept.update((key, curve) for key, curve in curves.items() if curve.own)
        while len(_kept) > MOST_KEPT:
            _kept.popitem(last=False)


def _splines(blocks: Sequence[Floats], start_sd: float, noise: Noise) -> list[_Curve]:
    own = np.array([_own_scale(block) for block in blocks])
    middles = np.where(own > 0, own, start_sd)
    pieces = CubicSpline(COARSE, _worked_out(blocks, middles, noise), axis=1).c
    return [
        _Curve(middle=float(middle), spline=pieces[:, :, place], own=bool(own[place] > 0))
        for place, middle in enumerate(middles)
    ]


def _own_scale(block: Floats) -> float:
    """About what scale a block's curve is worked out: its own; 0 where its balls are all equal."""
    away = np.sort(np.abs(block - np.median(block)))
    return float(max(MAD_TO_SD * away[len(away) // 2], 0.2 * away[-1]))


def _told(splines: Floats, shift: Floats) -> Floats:
    """The curves at the fine nodes, which lie `shift` from each block's own middle."""
    place = FINE + shift[:, None]
    inside = np.clip(place, -REACH, REACH)
    piece = np.minimum(
        ((inside + REACH) / (2.0 * REACH) * (len(COARSE) - 1)).astype(np.int64), len(COARSE) - 2
    )
    along = inside - COARSE[piece]
    row = np.arange(len(splines))[:, None]
    third, second, first, start = (splines[row, power, piece] for power in range(4))
    value = start + along * (first + along * (second + along * third))
    slope = first + along * (2.0 * second + 3.0 * along * third)
    return np.asarray(value + slope * (place - inside))


def levels_of(blocks: Sequence[Floats], scale: float, noise: Noise) -> tuple[Floats, Floats]:
    """Typical ball of each block and the variance of it, if the scale is known; SI.

    Examples
    --------
    >>> from leadfoot.evidence.noise import LENGTH_NOISE
    >>> level, variance = levels_of([np.array([40.0, 41.0, 39.0, 30.0])], 1.0, LENGTH_NOISE)
    >>> round(float(level[0]), 1), round(float(variance[0]), 1)
    (39.8, 0.3)
    """
    settled = _settled(blocks, np.full((1, 1), scale), noise)
    return settled.level[:, 0], 1.0 / settled.sharpness[:, 0]


def _worked_out(blocks: Sequence[Floats], middles: Floats, noise: Noise) -> Floats:
    curves = np.empty((len(blocks), len(COARSE)))
    for first in range(0, len(blocks), AT_ONCE):
        some = slice(first, first + AT_ONCE)
        settled = _settled(blocks[some], middles[some, None] * np.exp(COARSE), noise)
        curves[some] = settled.log_density - 0.5 * np.log(settled.sharpness)
    return curves


@dataclass(frozen=True, slots=True, eq=False)
class _Settled:
    level: Floats
    sharpness: Floats
    log_density: Floats


def _settled(blocks: Sequence[Floats], scale: Floats, noise: Noise) -> _Settled:
    """The likeliest level of all blocks at all scales at once, by Newton's steps."""
    longest = max(len(block) for block in blocks)
    values = np.zeros((len(blocks), 1, longest))
    there = np.zeros((len(blocks), 1, longest))
    for place, block in enumerate(blocks):
        values[place, 0, : len(block)] = block
        there[place, 0, : len(block)] = 1.0
    middle = np.array([np.median(block) for block in blocks])
    level = np.repeat(middle[:, None], scale.shape[1], axis=1)
    for _ in range(30):
        parts = split(values - level[:, :, None], scale[:, :, None], noise)
        curvature = (parts.curvature * there).sum(axis=2)
        sharpness = np.maximum(curvature, 0.25 * (parts.weight * there).sum(axis=2))
        step = (parts.score * there).sum(axis=2) / sharpness
        level = level + step
        if np.abs(step / scale).max() < SETTLED:
            break
    return _Settled(level, sharpness, (parts.log_density * there).sum(axis=2))
