"""How far each ball goes in its next step, when it is down, and what is kept on the way."""

from math import sqrt
from typing import NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from leadfoot.kernels._jit import inlined
from leadfoot.kernels.push import Wind, depth, first_step_s, headroom, last_fall
from leadfoot.kernels.rows import (
    AIR_S,
    AIR_V,
    DONE,
    LANES,
    LAST_A,
    LAST_T,
    LAST_V,
    LAST_Y,
    LEAST_S,
    LENGTH,
    MOST_S,
    SLOPES,
    SLOWEST,
    SPIN,
    TARGET,
    TIME,
    VX,
    VY,
    VZ,
    X,
    Y,
    Z,
)

Rows: TypeAlias = NDArray[np.float64]

SLACK_M = 0.05
"""A ball may begin its last step by so much under its landing and yet land there. Our own. [m]"""

LEAST_PULL_MPS2 = 3.0
"""A rising ball counts as pulled down by no less: lift that now bears it will wane. Our own."""


class Steps(NamedTuple):
    """How long steps are."""

    share: float
    """A step lasts this share of speed over acceleration. [-]"""
    longest_s: float
    """No step is longer. [s]"""
    last: float
    """The last step may be this many times as long. [-]"""


@inlined
def _full(w: Rows, steps: Steps, i: int) -> float:
    """Length of a step that nothing but speed and acceleration limits."""
    vx, vy, vz = w[VX + i], w[VY + i], w[VZ + i]
    fx, fy, fz = w[SLOPES + VX + i], w[SLOPES + VY + i], w[SLOPES + VZ + i]
    force2 = max(fx * fx + fy * fy + fz * fz, 1e-12)
    return min(steps.share * sqrt((vx * vx + vy * vy + vz * vz) / force2), steps.longest_s)


@inlined
def _care(spin_parameter: float) -> float:
    """How much shorter a step is before the coefficients turn: most models do about S 0.22.

    The spin parameter of a ball grows on the way, so that the care begins well below.
    """
    away = (spin_parameter - 0.19) * (1.0 / 0.09)
    return 1.0 - 0.35 * max(1.0 - away * away, 0.0)


@inlined
def plan(w: Rows, wind: Wind, steps: Steps, longest_s: float, n: int) -> None:
    """Choose the length of each step; a ball whose next step is its last one is done, length 0.

    A rising ball takes at most half of the ballistic time to the ground, a falling one at most
    0.7 of it, unless its last step is due: near enough, and without its climb changing so much on
    the way that the depth is no good variable to step in. A flight longer than ``longest_s`` is
    given up.
    """
    for i in range(min(n, LANES)):
        vy, fy, y = w[VY + i], w[SLOPES + VY + i], w[Y + i]
        full = _full(w, steps, i) * _care(w[AIR_S + i])
        over = y - w[TARGET + i]
        pull = max(-fy, 1e-3)
        reach2 = vy * vy + 2.0 * pull * over
        ballistic = (vy + sqrt(max(reach2, 0.0))) / pull
        falls = vy <= 0.0
        near = (ballistic <= steps.last * full) & (over <= last_fall(wind))
        steady = (reach2 <= 2.25 * vy * vy) & (fy * ballistic <= -0.5 * vy)
        done = (falls & ((over <= 0.0) | (near & steady))) | (w[TIME + i] > longest_s)
        soon = (vy + sqrt(max(vy * vy + 2.0 * LEAST_PULL_MPS2 * over, 0.0))) / LEAST_PULL_MPS2
        back = min(ballistic, soon) if reach2 > 0.0 else 2.0 * full
        rise = min(0.5 * back, headroom(wind, y) / max(vy, 1e-9))
        h = max(min(full, 0.7 * ballistic if falls else rise), 1e-3)
        w[DONE + i] = 1.0 if done else 0.0
        w[LENGTH + i] = 0.0 if done else h


@inlined
def plan_take_off(w: Rows, wind: Wind, steps: Steps, n: int) -> None:
    """Length of the first step in wind: ``s`` for a while and a height, along a straight way."""
    for i in range(min(n, LANES)):
        vy, fy, y = w[VY + i], w[SLOPES + VY + i], w[Y + i]
        over = y - w[TARGET + i]
        back = (vy + sqrt(max(vy * vy - 2.0 * fy * over, 0.0))) / max(-fy, 1e-3)
        seconds = min(_full(w, steps, i), first_step_s(wind, vy), 0.5 * back)
        climb = vy + 0.5 * fy * seconds
        way = climb * seconds
        w[LENGTH + i] = (depth(wind, y + way) - depth(wind, y)) / climb if vy > 0.0 else 0.0


@inlined
def aim_in_time(w: Rows, n: int) -> None:
    """Make the next step last as long as a ballistic fall from here to the ground."""
    for i in range(min(n, LANES)):
        vy, fy, over = w[VY + i], w[SLOPES + VY + i], w[Y + i] - w[TARGET + i]
        down = vy - sqrt(max(vy * vy - 2.0 * fy * over, 0.0))
        w[LENGTH + i] = -2.0 * over / min(down, -1e-9)


@inlined
def aim_in_depth(w: Rows, wind: Wind, n: int) -> None:
    """Make the next step the one to the ground: its length is the depth that is left."""
    for i in range(min(n, LANES)):
        w[LENGTH + i] = depth(wind, w[TARGET + i]) - depth(wind, w[Y + i])


@inlined
def mark_low(w: Rows, fate: NDArray[np.uint8], mark: int, n: int) -> None:
    """Mark the balls that begin their last step too low ever to come up to their landing.

    The step itself ends at the landing, so that nothing could be told afterwards. Only a landing
    above the tee can be missed so: its height is then above nought.
    """
    for i in range(n):
        rise = max(w[VY + i], 0.0)
        reach = w[Y + i] + 0.5 * rise * rise / max(-w[SLOPES + VY + i], 1.0)
        if w[TARGET + i] > 0.0 and reach < w[TARGET + i] - SLACK_M and fate[i] == 0:
            fate[i] = mark


@inlined
def touch_down(w: Rows, n: int) -> None:
    """Take away the centimetres that the last step is off the ground; slopes are those there."""
    for i in range(min(n, LANES)):
        vx, vy, vz = w[VX + i], w[VY + i], w[VZ + i]
        fx, fy, fz = w[SLOPES + VX + i], w[SLOPES + VY + i], w[SLOPES + VZ + i]
        fall = min(vy, -1e-6)
        h = (w[TARGET + i] - w[Y + i]) / fall
        h -= 0.5 * fy * h * h / fall
        w[X + i] += h * (vx + 0.5 * h * fx)
        w[Z + i] += h * (vz + 0.5 * h * fz)
        w[VX + i] += h * fx
        w[VY + i] += h * fy
        w[VZ + i] += h * fz
        w[SPIN + i] += h * w[SLOPES + SPIN + i]
        w[TIME + i] += h
        w[Y + i] = w[TARGET + i]


@inlined
def remember(w: Rows, n: int) -> None:
    """Keep height, climb, its rate and time at the start of a step."""
    for i in range(min(n, LANES)):
        w[LAST_Y + i] = w[Y + i]
        w[LAST_V + i] = w[VY + i]
        w[LAST_A + i] = w[SLOPES + VY + i]
        w[LAST_T + i] = w[TIME + i]


@inlined
def watch(w: Rows, n: int) -> None:
    """Keep what the flags are found from, after `look`."""
    for i in range(min(n, LANES)):
        w[SLOWEST + i] = min(w[SLOWEST + i], w[AIR_V + i])
        w[LEAST_S + i] = min(w[LEAST_S + i], w[AIR_S + i])
        w[MOST_S + i] = max(w[MOST_S + i], w[AIR_S + i])


@inlined
def top_between(
    before: tuple[float, float, float, float], after: tuple[float, float, float, float]
) -> float:
    """Greatest height between rising and falling, by a quintic; each is y, vy, its rate, time."""
    y0, v0, a0, t0 = before
    y1, v1, a1, t1 = after
    h = max(t1 - t0, 0.0)
    v0, a0, v1, a1 = v0 * h, a0 * h * h, v1 * h, a1 * h * h
    jump, slope, bend = y1 - y0 - v0 - 0.5 * a0, v1 - v0 - a0, a1 - a0
    k3 = 10.0 * jump - 4.0 * slope + 0.5 * bend
    k4 = -15.0 * jump + 7.0 * slope - bend
    k5 = 6.0 * jump - 3.0 * slope + 0.5 * bend
    u = v0 / max(v0 - v1, 1e-12)
    for _ in range(3):
        climb = v0 + u * (a0 + u * (3.0 * k3 + u * (4.0 * k4 + u * (5.0 * k5))))
        turn = a0 + u * (6.0 * k3 + u * (12.0 * k4 + u * (20.0 * k5)))
        u = min(max(u - climb / min(turn, -1e-12), 0.0), 1.0)
    return y0 + u * (v0 + u * (0.5 * a0 + u * (k3 + u * (k4 + u * k5))))
