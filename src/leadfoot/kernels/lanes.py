"""One step of all lanes at once: Runge-Kutta, each stage one plain loop over the lanes.

Each ball has its own step, a share of the time in which its velocity would change by itself; there
is no error estimate and no step is rejected, so that no lane waits for another. The loops of a step
are made from a table of its coefficients (`stepping`), so that no rule is written out by hand.
"""

from collections.abc import Callable
from math import sqrt
from typing import NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from leadfoot.kernels._jit import inlined
from leadfoot.kernels.push import (
    Body,
    Model,
    Wind,
    depth,
    first_step_s,
    headroom,
    last_fall,
    pace,
    rates,
    share,
)
from leadfoot.kernels.rows import (
    ACROSS,
    ALONG,
    AX,
    AY,
    AZ,
    DONE,
    DOWN_A,
    DOWN_T,
    DOWN_V,
    DOWN_Y,
    LANES,
    LAST_V,
    LEAST_S,
    LENGTH,
    MOST_S,
    N_MOVING,
    PEAK,
    SLOPES,
    SLOWEST,
    SPIN,
    STAGE,
    TARGET,
    TIME,
    UP_A,
    UP_T,
    UP_V,
    UP_Y,
    VX,
    VY,
    VZ,
    X,
    Y,
    Z,
)
from leadfoot.kernels.tableaus import EIGHTH_ORDER, SIXTH_ORDER, Coefficients, Tableau

Rows: TypeAlias = NDArray[np.float64]

SLACK_M = 0.05
"""A ball may begin its last step by so much under its landing and yet land there. Our own. [m]"""

IN_TIME, IN_RISE, IN_DEPTH = range(3)
"""What a step is taken in: time; ``s`` with ``dt = g ds``, for the first step in wind; or the depth
that is left, ``dt = g / vy d(depth)``, for the last, which so ends on the ground by itself."""


class Steps(NamedTuple):
    """How long steps are."""

    share: float
    """A step lasts this share of speed over acceleration. [-]"""
    longest_s: float
    """No step is longer. [s]"""
    last: float
    """The last step may be this many times as long. [-]"""


Mix: TypeAlias = Callable[[Rows, int], float]
Loop: TypeAlias = Callable[[Rows, Model, Wind, Body, int], None]


def _mix(coefficients: Coefficients) -> Mix:
    """Make the sum of the slopes of the first stages, each times its coefficient.

    The sum for n stages is that for n - 1 and one term more: written out by the compiler, because
    a loop over the stages would keep it from packing the loop over the lanes.
    """
    *others, factor = coefficients
    at_stage = len(others) * STAGE
    if not any(others):

        @inlined
        def only(w: Rows, at: int) -> float:
            return factor * w[at + at_stage]

        return only

    before = _mix(tuple(others))
    if factor == 0.0:
        return before

    @inlined
    def more(w: Rows, at: int) -> float:
        return before(w, at) + factor * w[at + at_stage]

    return more


def _slope(variable: int) -> Callable[..., None]:
    """Make the part that writes all slopes of one stage of one lane."""

    @inlined
    def write(
        w: Rows,
        model: Model,
        wind: Wind,
        body: Body,
        stage: int,
        i: int,
        moving: tuple[float, float, float, float, float],
    ) -> None:
        fixed = w[AX + i], w[AY + i], w[AZ + i], w[ALONG + i], w[ACROSS + i]
        fx, fy, fz, loss = rates(model, wind, body, moving, fixed)
        vx, vy, vz, _, y = moving
        g = 1.0
        if variable != IN_TIME:
            g = pace(wind, y)
        if variable == IN_DEPTH:
            g = g / min(vy, -1e-6)
        at = SLOPES + stage + i
        w[at + X] = vx * g
        w[at + Y] = vy * g
        w[at + Z] = vz * g
        w[at + VX] = fx * g
        w[at + VY] = fy * g
        w[at + VZ] = fz * g
        w[at + SPIN] = loss * g
        w[at + TIME] = g

    return write


def _first_stage(variable: int) -> Loop:
    """Make the loop that finds the slopes at the start of the step."""
    slope = _slope(variable)

    @inlined
    def loop(w: Rows, model: Model, wind: Wind, body: Body, n: int) -> None:
        for i in range(min(n, LANES)):
            at = w[VX + i], w[VY + i], w[VZ + i], w[SPIN + i], w[Y + i]
            slope(w, model, wind, body, 0, i, at)

    return loop


def _stage(variable: int, coefficients: Coefficients) -> Loop:
    """Make the loop of one later stage: where its coefficients lead, and the slopes there."""
    slope, mix, stage = _slope(variable), _mix(coefficients), len(coefficients) * STAGE

    @inlined
    def loop(w: Rows, model: Model, wind: Wind, body: Body, n: int) -> None:
        for i in range(min(n, LANES)):
            h = w[LENGTH + i]
            at = (
                w[VX + i] + h * mix(w, SLOPES + VX + i),
                w[VY + i] + h * mix(w, SLOPES + VY + i),
                w[VZ + i] + h * mix(w, SLOPES + VZ + i),
                w[SPIN + i] + h * mix(w, SLOPES + SPIN + i),
                w[Y + i] + h * mix(w, SLOPES + Y + i),
            )
            slope(w, model, wind, body, stage, i, at)

    return loop


def _advance(weights: Coefficients) -> Loop:
    """Make the loop that takes the step, of the length in the row of lengths."""
    mix = _mix(weights)

    @inlined
    def loop(w: Rows, _model: Model, _wind: Wind, _body: Body, n: int) -> None:
        for i in range(min(n, LANES)):
            h = w[LENGTH + i]
            for k in range(N_MOVING):
                w[k * LANES + i] += h * mix(w, SLOPES + k * LANES + i)

    return loop


def _in_turn(loops: list[Loop]) -> Loop:
    """Make one loop of several, run one after the other."""
    *others, last = loops
    if not others:
        return last
    before = _in_turn(others)

    @inlined
    def both(w: Rows, model: Model, wind: Wind, body: Body, n: int) -> None:
        before(w, model, wind, body, n)
        last(w, model, wind, body, n)

    return both


def _later_stages(tableau: Tableau, variable: int) -> Loop:
    """Make all of a step but its first stage."""
    stages = [_stage(variable, row) for row in tableau.rows]
    return _in_turn([*stages, _advance(tableau.weights)])


look = _first_stage(IN_TIME)
"""Find the slopes at the start of a step in time."""

go = _later_stages(SIXTH_ORDER, IN_TIME)
"""Take a step in time, after `look`."""

take_off = _in_turn([_first_stage(IN_RISE), _later_stages(EIGHTH_ORDER, IN_RISE)])
"""Take the first step in wind."""

come_down = _in_turn([_first_stage(IN_DEPTH), _later_stages(EIGHTH_ORDER, IN_DEPTH)])
"""Take the last step in wind."""


@inlined
def _full(w: Rows, steps: Steps, i: int) -> float:
    """Length of a step that nothing but speed and acceleration limits."""
    vx, vy, vz = w[VX + i], w[VY + i], w[VZ + i]
    fx, fy, fz = w[SLOPES + VX + i], w[SLOPES + VY + i], w[SLOPES + VZ + i]
    force2 = max(fx * fx + fy * fy + fz * fz, 1e-12)
    return min(steps.share * sqrt((vx * vx + vy * vy + vz * vz) / force2), steps.longest_s)


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
        full = _full(w, steps, i)
        over = y - w[TARGET + i]
        pull = max(-fy, 1e-3)
        reach2 = vy * vy + 2.0 * pull * over
        ballistic = (vy + sqrt(max(reach2, 0.0))) / pull
        falls = vy <= 0.0
        near = (ballistic <= steps.last * full) & (over <= last_fall(wind))
        steady = (reach2 <= 2.25 * vy * vy) & (fy * ballistic <= -0.5 * vy)
        done = (falls & ((over <= 0.0) | (near & steady))) | (w[TIME + i] > longest_s)
        comes_back = (fy < 0.0) & (reach2 > 0.0)
        rise = min(0.5 * ballistic if comes_back else full, headroom(wind, y) / max(vy, 1e-9))
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
        climb = vy + 0.5 * min(fy, 0.0) * seconds
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
def watch(w: Rows, wind: Wind, body: Body, n: int) -> None:
    """Keep what the top of the flight and the flags are found from."""
    for i in range(min(n, LANES)):
        y, vy, fy, t = w[Y + i], w[VY + i], w[SLOPES + VY + i], w[TIME + i]
        up = vy > 0.0
        down = (vy <= 0.0) & (w[LAST_V + i] > 0.0)
        w[UP_Y + i] = y if up else w[UP_Y + i]
        w[UP_V + i] = vy if up else w[UP_V + i]
        w[UP_A + i] = fy if up else w[UP_A + i]
        w[UP_T + i] = t if up else w[UP_T + i]
        w[DOWN_Y + i] = y if down else w[DOWN_Y + i]
        w[DOWN_V + i] = vy if down else w[DOWN_V + i]
        w[DOWN_A + i] = fy if down else w[DOWN_A + i]
        w[DOWN_T + i] = t if down else w[DOWN_T + i]
        w[LAST_V + i] = vy
        w[PEAK + i] = max(w[PEAK + i], y)
    for i in range(min(n, LANES)):
        part = share(wind, w[Y + i])
        ux = w[VX + i] - w[ALONG + i] * part
        uz = w[VZ + i] - w[ACROSS + i] * part
        v = max(sqrt(ux * ux + w[VY + i] * w[VY + i] + uz * uz), 1e-9)
        s = w[SPIN + i] * body.radius_m / v
        w[SLOWEST + i] = min(w[SLOWEST + i], v)
        w[LEAST_S + i] = min(w[LEAST_S + i], s)
        w[MOST_S + i] = max(w[MOST_S + i], s)


@inlined
def find_top(w: Rows, n: int) -> None:
    """Greatest height: quintic between the last moment of rising and the first of falling."""
    for i in range(min(n, LANES)):
        length = w[DOWN_T + i] - w[UP_T + i]
        h = max(length, 0.0)
        y0, v0, a0 = w[UP_Y + i], w[UP_V + i] * h, w[UP_A + i] * h * h
        y1, v1, a1 = w[DOWN_Y + i], w[DOWN_V + i] * h, w[DOWN_A + i] * h * h
        jump, slope, bend = y1 - y0 - v0 - 0.5 * a0, v1 - v0 - a0, a1 - a0
        k3 = 10.0 * jump - 4.0 * slope + 0.5 * bend
        k4 = -15.0 * jump + 7.0 * slope - bend
        k5 = 6.0 * jump - 3.0 * slope + 0.5 * bend
        u = v0 / max(v0 - v1, 1e-12)
        for _ in range(3):
            climb = v0 + u * (a0 + u * (3.0 * k3 + u * (4.0 * k4 + u * (5.0 * k5))))
            turn = a0 + u * (6.0 * k3 + u * (12.0 * k4 + u * (20.0 * k5)))
            u = min(max(u - climb / min(turn, -1e-12), 0.0), 1.0)
        found = y0 + u * (v0 + u * (0.5 * a0 + u * (k3 + u * (k4 + u * k5))))
        w[PEAK + i] = max(found if length > 0.0 else 0.0, w[PEAK + i])
