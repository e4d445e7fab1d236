"""Bounce and roll of many balls at once, the compiled twin of `leadfoot.physics.bounce`."""

from math import sqrt
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from leadfoot.kernels._jit import inlined
from leadfoot.kernels.elementary import cosine_of_small, ln, sine_of_small, steepness
from leadfoot.kernels.push import GRAVITY_MPS2
from leadfoot.kernels.rows import BALLS, BLOCK, copy

PACK = 256
"""Balls that hop together, where the lanes were: their numbers stay in the fastest cache."""

AT_A_TIME = 3
"""Hops between two times that the balls that still hop are moved together."""

_ALONG, _DOWN, _SPIN, _WAY, _SPEED, _LEAN, _ALONG_END, _SPIN_END, _WAY_END = (
    k * PACK for k in range(9)
)
assert _WAY_END + PACK <= BALLS  # noqa: S101  # the rows of the balls begin behind


NOT_ASKED = -1
"""In place of the most bounces: only the flight is asked for, and totals are NaN."""


class Turf(NamedTuple):
    """The surface, the radius of the ball, and the limits of the model, in SI units and radians."""

    friction: float
    rolling: float
    bounce_factor: float
    give_factor: float
    bobble_per_m: float
    bobble_from_mps: float
    radius_m: float
    steepest_wall_rad: float
    most_given_back: float
    fast_landing_mps: float
    fastest_landing_mps: float
    slowest_bounce_mps: float
    most_bounces: int


@inlined
def _lean(turf: Turf, along: float, down: float, speed: float) -> float:
    """How far the ground gives way, as the lean of a wall that the ball meets, in radians."""
    from_vertical = steepness(abs(along), down)
    lean = 0.26878070480712674 * (speed / 18.6) * (from_vertical / 0.7749261878854823)
    return min(lean * turf.give_factor, turf.steepest_wall_rad) * np.sign(along)


@inlined
def _bounce(
    turf: Turf, along: float, down: float, spin: float, speed: float, lean: float
) -> tuple[float, float, float]:
    """One bounce: speed along, speed up, backspin."""
    cos, sin = cosine_of_small(lean), sine_of_small(lean)
    u = along * cos - down * sin
    n = along * sin + down * cos
    slow = 0.510 - 0.0375 * n + 0.000903 * n * n
    back = min((slow if n <= 20.0 else 0.120) * turf.bounce_factor, 0.9)
    out_n = back * n
    most = turf.friction * (n + out_n)
    change = min(max((u + turf.radius_m * spin) * (-2.0 / 7.0), -most), most)
    out_u = u + change
    fast = min(max(2.0 * speed / turf.fast_landing_mps - 1.0, 0.0), 1.0)
    most_up = (1.0 - (1.0 - turf.most_given_back) * fast) * down
    up = min(out_u * sin + out_n * cos, most_up)
    return out_u * cos - out_n * sin, max(up, 0.0), spin + 2.5 * change / turf.radius_m


@inlined
def _roll(turf: Turf, speed: float) -> float:
    slowing = (5.0 / 7.0) * turf.rolling * GRAVITY_MPS2
    calm = min(speed, turf.bobble_from_mps)
    extra = turf.bobble_per_m * max(speed * speed - calm * calm, 0.0)
    return calm * calm / (2.0 * slowing) + ln(1.0 + extra / slowing) / (2.0 * turf.bobble_per_m)


@inlined
def _hop(turf: Turf, w: NDArray[np.float64], n: int) -> None:
    """One hop of each ball that is still quick enough; the others stay."""
    for i in range(min(n, PACK)):
        along, down = w[_ALONG + i], w[_DOWN + i]
        w[_SPEED + i] = sqrt(along * along + down * down)
        w[_LEAN + i] = _lean(turf, along, down, w[_SPEED + i])
    for i in range(min(n, PACK)):
        hop = w[_DOWN + i] > turf.slowest_bounce_mps
        out_along, up, out_spin = _bounce(
            turf, w[_ALONG + i], w[_DOWN + i], w[_SPIN + i], w[_SPEED + i], w[_LEAN + i]
        )
        w[_ALONG + i] = out_along if hop else w[_ALONG + i]
        w[_SPIN + i] = out_spin if hop else w[_SPIN + i]
        w[_DOWN + i] = up if hop else 0.0
        w[_WAY + i] += out_along * (2.0 / GRAVITY_MPS2) * up if hop else 0.0


@inlined
def _move_together(turf: Turf, w: NDArray[np.float64], ball_of: NDArray[np.int64], n: int) -> int:
    """Keep how each ball goes on, and move those that still hop together; returns how many."""
    some = 0
    for k in range(n):
        i = ball_of[k]
        along, spin, way, down = w[_ALONG + k], w[_SPIN + k], w[_WAY + k], w[_DOWN + k]
        w[_ALONG_END + i] = along
        w[_SPIN_END + i] = spin
        w[_WAY_END + i] = way
        ball_of[some] = i
        w[_ALONG + some] = along
        w[_SPIN + some] = spin
        w[_WAY + some] = way
        w[_DOWN + some] = down
        some += 1 if down > turf.slowest_bounce_mps else 0
    return some


@inlined
def _hop_out(turf: Turf, w: NDArray[np.float64], ball_of: NDArray[np.int64], n: int) -> None:
    """Let all balls of a pack hop until none hops any more."""
    for k in range(n):
        ball_of[k] = k
    hops = 0
    some = n
    while some > 0:
        wide = (some + 7) // 8 * 8
        for _ in range(min(AT_A_TIME, turf.most_bounces - hops)):
            _hop(turf, w, wide)
        hops += AT_A_TIME
        some = _move_together(turf, w, ball_of, some)
        some = some if hops < turf.most_bounces else 0


@inlined
def runs(
    turf: Turf, w: NDArray[np.float64], along: int, down: int, spin: int, way: int, n: int
) -> None:
    """Way of each ball from landing to rest, into row ``way`` of ``w``; the others are used up."""
    if turf.most_bounces == NOT_ASKED:
        for i in range(min(n, BLOCK)):
            w[way + i] = np.nan
        return
    for i in range(min(n, BLOCK)):
        speed = sqrt(w[along + i] * w[along + i] + w[down + i] * w[down + i])
        kept = turf.fastest_landing_mps / max(speed, turf.fastest_landing_mps)
        w[along + i] *= kept
        w[down + i] = kept * abs(w[down + i])
    ball_of = np.empty(PACK, np.int64)
    for i in range(PACK):
        w[_DOWN + i] = 0.0
    for start in range(0, n, PACK):
        some = min(PACK, n - start)
        copy(w, _ALONG, along + start, some)
        copy(w, _DOWN, down + start, some)
        copy(w, _SPIN, spin + start, some)
        for i in range(PACK):
            w[_WAY + i] = 0.0
        _hop_out(turf, w, ball_of, some)
        copy(w, along + start, _ALONG_END, some)
        copy(w, spin + start, _SPIN_END, some)
        copy(w, way + start, _WAY_END, some)
    for i in range(min(n, BLOCK)):
        rolling = (5.0 * w[along + i] - 2.0 * turf.radius_m * w[spin + i]) / 7.0
        w[way + i] += np.sign(rolling) * _roll(turf, abs(rolling))
