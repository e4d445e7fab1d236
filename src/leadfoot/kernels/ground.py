"""Bounce and roll of many balls at once, the compiled twin of `leadfoot.physics.bounce`."""

from math import sqrt
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from leadfoot.kernels._jit import inlined
from leadfoot.kernels.elementary import cosine_of_small, ln, sine_of_small, steepness
from leadfoot.kernels.push import GRAVITY_MPS2
from leadfoot.kernels.rows import BLOCK, LANES, copy

_ALONG, _DOWN, _SPIN, _WAY = (k * LANES for k in range(4))


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
def _bounce(turf: Turf, along: float, down: float, spin: float) -> tuple[float, float, float]:
    """One bounce: speed along, speed up, backspin."""
    speed = sqrt(along * along + down * down)
    from_vertical = steepness(abs(along), down)
    lean = 0.26878070480712674 * (speed / 18.6) * (from_vertical / 0.7749261878854823)
    lean = min(lean * turf.give_factor, turf.steepest_wall_rad) * np.sign(along)
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
    """Let the balls in the lanes hop until none hops any more."""
    for _ in range(turf.most_bounces):
        hops = 0
        for i in range(min(n, LANES)):
            hop = w[_DOWN + i] > turf.slowest_bounce_mps
            out_along, up, out_spin = _bounce(turf, w[_ALONG + i], w[_DOWN + i], w[_SPIN + i])
            w[_ALONG + i] = out_along if hop else w[_ALONG + i]
            w[_SPIN + i] = out_spin if hop else w[_SPIN + i]
            w[_DOWN + i] = up if hop else 0.0
            w[_WAY + i] += out_along * (2.0 / GRAVITY_MPS2) * up if hop else 0.0
            hops += 1 if hop else 0
        if hops == 0:
            break


@inlined
def runs(
    turf: Turf, w: NDArray[np.float64], along: int, down: int, spin: int, way: int, n: int
) -> None:
    """Way of each ball from landing to rest, into row ``way`` of ``w``; the others are used up.

    A set of balls at a time is moved into the lanes, which are empty when all have landed: their
    numbers stay in the fastest cache over dozens of hops.
    """
    for i in range(min(n, BLOCK)):
        speed = sqrt(w[along + i] * w[along + i] + w[down + i] * w[down + i])
        kept = turf.fastest_landing_mps / max(speed, turf.fastest_landing_mps)
        w[along + i] *= kept
        w[down + i] = kept * abs(w[down + i])
        w[way + i] = 0.0
    for start in range(0, n, LANES):
        some = min(LANES, n - start)
        copy(w, _ALONG, along + start, some)
        copy(w, _DOWN, down + start, some)
        copy(w, _SPIN, spin + start, some)
        copy(w, _WAY, way + start, some)
        _hop(turf, w, some)
        copy(w, along + start, _ALONG, some)
        copy(w, spin + start, _SPIN, some)
        copy(w, way + start, _WAY, some)
    for i in range(min(n, BLOCK)):
        rolling = (5.0 * w[along + i] - 2.0 * turf.radius_m * w[spin + i]) / 7.0
        w[way + i] += np.sign(rolling) * _roll(turf, abs(rolling))
