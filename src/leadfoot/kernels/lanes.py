"""One step of all lanes at once: a Runge-Kutta step of fifth order, each stage one plain loop.

Ch. Tsitouras, "Runge-Kutta pairs of order 5(4) satisfying only the first column simplifying
assumption," Computers and Mathematics with Applications, vol. 62, pp. 770-775, 2011.

Each ball has its own step, a share of the time in which its velocity would change by itself; there
is no error estimate and no step is rejected, so that no lane waits for another. Way along x and z
and time are sums over the stages; height is stepped, because the wind depends on it.
"""

from math import sqrt
from typing import NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from leadfoot.kernels._jit import inlined
from leadfoot.kernels.push import Body, Model, Wind, depth, pace, rates, share
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
    DSPIN,
    DVX,
    DVY,
    DVZ,
    DY,
    LANES,
    LAST_V,
    LEAST_S,
    LENGTH,
    MOST_S,
    PEAK,
    PULL,
    SLOWEST,
    SPIN,
    STAGE,
    SUM_T,
    SUM_X,
    SUM_Z,
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

Rows: TypeAlias = NDArray[np.float64]

A21 = 0.161
A31, A32 = -0.008480655492356989, 0.335480655492357
A41, A42, A43 = 2.8971530571054935, -6.359448489975075, 4.3622954328695815
A51, A52, A53, A54 = (
    5.325864828439257,
    -11.748883564062828,
    7.4955393428898365,
    -0.09249506636175525,
)
A61, A62, A63, A64, A65 = (
    5.86145544294642,
    -12.92096931784711,
    8.159367898576159,
    -0.071584973281401,
    -0.028269050394068383,
)
B1, B2, B3, B4, B5, B6 = (
    0.09646076681806523,
    0.01,
    0.4798896504144996,
    1.379008574103742,
    -3.290069515436081,
    2.324710524099774,
)


class Steps(NamedTuple):
    """How long steps are."""

    share: float
    """A step lasts this share of speed over acceleration. [-]"""
    longest_s: float
    """No step is longer. [s]"""
    last: float
    """The last step may be this many times as long. [-]"""


@inlined
def _mix2(w: Rows, at: int, a1: float, a2: float) -> float:
    return a1 * w[at] + a2 * w[at + STAGE]


@inlined
def _mix3(w: Rows, at: int, a1: float, a2: float, a3: float) -> float:
    return _mix2(w, at, a1, a2) + a3 * w[at + 2 * STAGE]


@inlined
def _mix4(w: Rows, at: int, a1: float, a2: float, a3: float, a4: float) -> float:
    return _mix3(w, at, a1, a2, a3) + a4 * w[at + 3 * STAGE]


@inlined
def _mix5(w: Rows, at: int, a1: float, a2: float, a3: float, a4: float, a5: float) -> float:
    return _mix4(w, at, a1, a2, a3, a4) + a5 * w[at + 4 * STAGE]


@inlined
def _fixed_of(w: Rows, i: int) -> tuple[float, float, float, float, float]:
    return w[AX + i], w[AY + i], w[AZ + i], w[ALONG + i], w[ACROSS + i]


@inlined
def _moving_of(w: Rows, i: int) -> tuple[float, float, float, float, float]:
    return w[VX + i], w[VY + i], w[VZ + i], w[SPIN + i], w[Y + i]


@inlined
def _slope(
    w: Rows,
    model: Model,
    wind: Wind,
    body: Body,
    stage: int,
    i: int,
    weight: float,
    to_ground: bool,
    moving: tuple[float, float, float, float, float],
) -> None:
    """Write the slopes of one stage of lane i and add its part of the sums.

    Steps are taken in s (``dt = g ds``), or, on the way to the ground, in the depth
    (``dt = g / vy d(depth)``), which ends at the ground by construction.
    """
    fx, fy, fz, loss = rates(model, wind, body, moving, _fixed_of(w, i))
    vx, vy, vz, _, y = moving
    g = pace(wind, y)
    g = g / min(vy, -1e-6) if to_ground else g
    w[DVX + stage + i] = fx * g
    w[DVY + stage + i] = fy * g
    w[DVZ + stage + i] = fz * g
    w[DSPIN + stage + i] = loss * g
    w[DY + stage + i] = vy * g
    w[SUM_X + i] += weight * (vx * g)
    w[SUM_Z + i] += weight * (vz * g)
    w[SUM_T + i] += weight * g


@inlined
def first_stage(w: Rows, model: Model, wind: Wind, body: Body, to_ground: bool, n: int) -> None:
    """Slopes at the start of the step."""
    for i in range(min(n, LANES)):
        w[SUM_X + i] = 0.0
        w[SUM_Z + i] = 0.0
        w[SUM_T + i] = 0.0
        _slope(w, model, wind, body, 0, i, B1, to_ground, _moving_of(w, i))


@inlined
def later_stages(w: Rows, model: Model, wind: Wind, body: Body, to_ground: bool, n: int) -> None:
    """The other five stages, and the step itself, of the length in the row of lengths."""
    for i in range(min(n, LANES)):
        h = w[LENGTH + i]
        at = (
            w[VX + i] + h * (A21 * w[DVX + i]),
            w[VY + i] + h * (A21 * w[DVY + i]),
            w[VZ + i] + h * (A21 * w[DVZ + i]),
            w[SPIN + i] + h * (A21 * w[DSPIN + i]),
            w[Y + i] + h * (A21 * w[DY + i]),
        )
        _slope(w, model, wind, body, STAGE, i, B2, to_ground, at)
    for i in range(min(n, LANES)):
        h = w[LENGTH + i]
        at = (
            w[VX + i] + h * _mix2(w, DVX + i, A31, A32),
            w[VY + i] + h * _mix2(w, DVY + i, A31, A32),
            w[VZ + i] + h * _mix2(w, DVZ + i, A31, A32),
            w[SPIN + i] + h * _mix2(w, DSPIN + i, A31, A32),
            w[Y + i] + h * _mix2(w, DY + i, A31, A32),
        )
        _slope(w, model, wind, body, 2 * STAGE, i, B3, to_ground, at)
    for i in range(min(n, LANES)):
        h = w[LENGTH + i]
        at = (
            w[VX + i] + h * _mix3(w, DVX + i, A41, A42, A43),
            w[VY + i] + h * _mix3(w, DVY + i, A41, A42, A43),
            w[VZ + i] + h * _mix3(w, DVZ + i, A41, A42, A43),
            w[SPIN + i] + h * _mix3(w, DSPIN + i, A41, A42, A43),
            w[Y + i] + h * _mix3(w, DY + i, A41, A42, A43),
        )
        _slope(w, model, wind, body, 3 * STAGE, i, B4, to_ground, at)
    for i in range(min(n, LANES)):
        h = w[LENGTH + i]
        at = (
            w[VX + i] + h * _mix4(w, DVX + i, A51, A52, A53, A54),
            w[VY + i] + h * _mix4(w, DVY + i, A51, A52, A53, A54),
            w[VZ + i] + h * _mix4(w, DVZ + i, A51, A52, A53, A54),
            w[SPIN + i] + h * _mix4(w, DSPIN + i, A51, A52, A53, A54),
            w[Y + i] + h * _mix4(w, DY + i, A51, A52, A53, A54),
        )
        _slope(w, model, wind, body, 4 * STAGE, i, B5, to_ground, at)
    for i in range(min(n, LANES)):
        h = w[LENGTH + i]
        at = (
            w[VX + i] + h * _mix5(w, DVX + i, A61, A62, A63, A64, A65),
            w[VY + i] + h * _mix5(w, DVY + i, A61, A62, A63, A64, A65),
            w[VZ + i] + h * _mix5(w, DVZ + i, A61, A62, A63, A64, A65),
            w[SPIN + i] + h * _mix5(w, DSPIN + i, A61, A62, A63, A64, A65),
            w[Y + i] + h * _mix5(w, DY + i, A61, A62, A63, A64, A65),
        )
        _slope(w, model, wind, body, 5 * STAGE, i, B6, to_ground, at)
    for i in range(min(n, LANES)):
        h = w[LENGTH + i]
        w[VX + i] += h * (_mix5(w, DVX + i, B1, B2, B3, B4, B5) + B6 * w[DVX + 5 * STAGE + i])
        w[VY + i] += h * (_mix5(w, DVY + i, B1, B2, B3, B4, B5) + B6 * w[DVY + 5 * STAGE + i])
        w[VZ + i] += h * (_mix5(w, DVZ + i, B1, B2, B3, B4, B5) + B6 * w[DVZ + 5 * STAGE + i])
        w[SPIN + i] += h * (_mix5(w, DSPIN + i, B1, B2, B3, B4, B5) + B6 * w[DSPIN + 5 * STAGE + i])
        w[Y + i] += h * (_mix5(w, DY + i, B1, B2, B3, B4, B5) + B6 * w[DY + 5 * STAGE + i])
        w[X + i] += h * w[SUM_X + i]
        w[Z + i] += h * w[SUM_Z + i]
        w[TIME + i] += h * w[SUM_T + i]


@inlined
def plan(w: Rows, wind: Wind, steps: Steps, n: int) -> None:
    """Choose the length of each step; a ball whose next step is its last one is done, length 0.

    A rising ball takes at most half of the ballistic time to the ground, a falling one at most
    0.7 of it, unless its last step is due: near enough, and without its climb more than doubling
    on the way, so that the depth is a good variable to step in.
    """
    for i in range(min(n, LANES)):
        vx, vy, vz, y = w[VX + i], w[VY + i], w[VZ + i], w[Y + i]
        g = pace(wind, y)
        fx, fy, fz = w[DVX + i] / g, w[DVY + i] / g, w[DVZ + i] / g
        force2 = max(fx * fx + fy * fy + fz * fz, 1e-12)
        h = min(steps.share * sqrt((vx * vx + vy * vy + vz * vz) / force2), steps.longest_s)
        over = y - w[TARGET + i]
        pull = max(-fy, 1e-3)
        reach2 = vy * vy + 2.0 * pull * over
        ballistic = (vy + sqrt(max(reach2, 0.0))) / pull
        falls = vy <= 0.0
        deep = depth(wind, y) - depth(wind, w[TARGET + i])
        due = (deep <= -steps.last * h * vy) & (reach2 <= 2.25 * vy * vy)
        done = falls & ((over <= 0.0) | due)
        limit = 0.7 * ballistic / g if falls else 0.5 * ballistic
        bound = falls | ((fy < 0.0) & (reach2 > 0.0))
        h = max(min(h, limit), 1e-3) if bound else max(h, 1e-3)
        w[DONE + i] = 1.0 if done else 0.0
        w[PULL + i] = fy
        w[LENGTH + i] = 0.0 if done else h


@inlined
def watch(w: Rows, wind: Wind, body: Body, n: int) -> None:
    """Keep what the top of the flight and the flags are found from."""
    for i in range(min(n, LANES)):
        y, vy, pull, t = w[Y + i], w[VY + i], w[PULL + i], w[TIME + i]
        up = vy > 0.0
        down = (vy <= 0.0) & (w[LAST_V + i] > 0.0)
        w[UP_Y + i] = y if up else w[UP_Y + i]
        w[UP_V + i] = vy if up else w[UP_V + i]
        w[UP_A + i] = pull if up else w[UP_A + i]
        w[UP_T + i] = t if up else w[UP_T + i]
        w[DOWN_Y + i] = y if down else w[DOWN_Y + i]
        w[DOWN_V + i] = vy if down else w[DOWN_V + i]
        w[DOWN_A + i] = pull if down else w[DOWN_A + i]
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
def aim(w: Rows, wind: Wind, n: int) -> None:
    """Make the next step the one to the ground: its length is the depth that is left."""
    for i in range(min(n, LANES)):
        w[LENGTH + i] = depth(wind, w[TARGET + i]) - depth(wind, w[Y + i])


@inlined
def touch_down(w: Rows, n: int) -> None:
    """Take away the millimetres that the last step is off the ground."""
    for i in range(min(n, LANES)):
        h = (w[TARGET + i] - w[Y + i]) / min(w[VY + i], -1e-6)
        w[X + i] += h * w[VX + i]
        w[Z + i] += h * w[VZ + i]
        w[TIME + i] += h
        w[Y + i] = w[TARGET + i]


@inlined
def top(w: Rows, i: int) -> float:
    """Greatest height: quintic between the last moment of rising and the first of falling."""
    length = w[DOWN_T + i] - w[UP_T + i]
    over = length > 0.0
    h = length if over else 1.0
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
    return max(found if over else w[PEAK + i], w[PEAK + i])
