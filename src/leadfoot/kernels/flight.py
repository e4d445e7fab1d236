"""Many flights, from launch to rest: lanes that are filled again as soon as their ball is down."""

from math import sqrt
from typing import NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from leadfoot.kernels._jit import compiled, inlined
from leadfoot.kernels.elementary import cosine, sine, steepness
from leadfoot.kernels.ground import Turf, runs
from leadfoot.kernels.lanes import (
    Steps,
    aim,
    first_stage,
    later_stages,
    plan,
    top,
    touch_down,
    watch,
)
from leadfoot.kernels.push import Body, Model, Wind
from leadfoot.kernels.rows import (
    BLOCK,
    DONE,
    FIRST_FIXED,
    FIRST_WATCHED,
    LANES,
    LEAST_S,
    MOST_S,
    N_FIXED,
    N_MOVING,
    N_ROWS,
    N_WATCHED,
    SLOWEST,
    SPIN,
    TIME,
    VX,
    VY,
    VZ,
    X,
    Y,
    Z,
)

Rows: TypeAlias = NDArray[np.float64]
Bits: TypeAlias = NDArray[np.uint8]

_ROW = BLOCK + 40  # not a power of two: rows would fall on the same cache lines
MOST_STEPS = 20_000
"""A ball that has not come down by then never will; the longest flights take some 30 steps."""

# What is given, one row each.
SPEED, ANGLE, DIRECTION, SPIN_RATE, TILT, WIND_ALONG, WIND_ACROSS, LANDING = range(8)
N_GIVEN = 8

# What comes out, one row each.
CARRY, OFFLINE, APEX, HANG_TIME, FALL_ANGLE, FALL_SPEED, FALL_SPIN, TOTAL, TOTAL_OFFLINE = range(9)
N_OUT = 9

# What becomes of a ball, in the order of the bits of a status.
AT_ONCE, LOW_SPIN, HIGH_SPIN, SLOW, NEVER_LANDED, RUN_GUESSED, TOO_LOW, REFUSED = range(8)

_BALLS_AT = N_ROWS * LANES

# Between launch and report: start and, later, landing of each ball of a block.
_VX, _VY, _VZ, _SPIN, _AX, _AY, _AZ, _ALONG, _ACROSS, _TARGET, _X, _Z, _T, _TOP, _START = (
    _BALLS_AT + k * _ROW for k in range(15)
)
_SLOWEST, _LEAST, _MOST, _RUN_A, _RUN_D, _RUN_S, _RUN = (
    _BALLS_AT + k * _ROW for k in range(15, 22)
)
_N_BALL = 22

WORK_SIZE = _BALLS_AT + _N_BALL * _ROW
"""Numbers in a workspace."""


class Limits(NamedTuple):
    """Where the data of a model end, and where a flight is given up."""

    low_spin: float
    high_spin: float
    low_speed_mps: float
    longest_s: float
    flattest_known_rad: float
    fastest_landing_mps: float


@inlined
def _prepare(given: Rows, ranges: Rows, first: int, n: int, w: Rows, status: Bits) -> None:
    """Turn launches into starts; ``status`` says which can be flown."""
    for i in range(min(n, BLOCK)):
        good = True
        for k in range(N_GIVEN):
            value = given[k, first + i]
            good = good & (value >= ranges[k, 0]) & (value <= ranges[k, 1])
        status[first + i] = 0 if good else 1 << REFUSED
    for i in range(min(n, BLOCK)):
        speed, angle = given[SPEED, first + i], given[ANGLE, first + i]
        direction, tilt = given[DIRECTION, first + i], given[TILT, first + i]
        level, flat = speed * cosine(angle), cosine(tilt)
        w[_VX + i] = level * cosine(direction)
        w[_VY + i] = speed * sine(angle)
        w[_VZ + i] = level * sine(direction)
        w[_SPIN + i] = given[SPIN_RATE, first + i]
        w[_AX + i] = -sine(direction) * flat
        w[_AY + i] = -sine(tilt)
        w[_AZ + i] = cosine(direction) * flat
        w[_ALONG + i] = given[WIND_ALONG, first + i]
        w[_ACROSS + i] = given[WIND_ACROSS, first + i]
        landing = given[LANDING, first + i]
        w[_TARGET + i] = max(landing, 0.0)
        w[_START + i] = max(-landing, 0.0)
        w[_X + i] = 0.0
        w[_Z + i] = 0.0
        w[_T + i] = 0.0
        w[_TOP + i] = 0.0


@inlined
def _at_once(body: Body, first: int, n: int, w: Rows, status: Bits) -> None:
    """Mark the balls that do not leave the ground."""
    for i in range(min(n, BLOCK)):
        level = (w[_TARGET + i] == 0.0) & (w[_START + i] == 0.0)
        if status[first + i] == 0 and level and w[_VY + i] <= 0.0:
            status[first + i] = 1 << AT_ONCE
            speed2 = w[_VX + i] ** 2 + w[_VY + i] ** 2 + w[_VZ + i] ** 2
            w[_SLOWEST + i] = sqrt(speed2)
            w[_LEAST + i] = w[_SPIN + i] * body.radius_m / sqrt(speed2)
            w[_MOST + i] = w[_LEAST + i]


@inlined
def _load(w: Rows, lane: int, i: int) -> None:
    """Put a ball at its start into a lane."""
    w[X + lane] = 0.0
    w[Y + lane] = w[_START + i]
    w[Z + lane] = 0.0
    w[TIME + lane] = 0.0
    w[VX + lane] = w[_VX + i]
    w[VY + lane] = w[_VY + i]
    w[VZ + lane] = w[_VZ + i]
    w[SPIN + lane] = w[_SPIN + i]
    for k in range(N_FIXED):
        w[(FIRST_FIXED + k) * LANES + lane] = w[_AX + k * _ROW + i]
    for k in range(N_WATCHED):
        w[(FIRST_WATCHED + k) * LANES + lane] = 0.0
    w[SLOWEST + lane] = 1e9
    w[LEAST_S + lane] = 1e9


@inlined
def _next_ball(i: int, first: int, n: int, status: Bits) -> int:
    """The next ball that can be flown, from i on; n if there is none."""
    while i < n and status[first + i] != 0:
        i += 1
    return i


@inlined
def _park(w: Rows, lane: int) -> None:
    """Fill an empty lane with a ball that does no harm."""
    for k in range(N_MOVING):
        w[k * LANES + lane] = 1.0
    for k in range(N_FIXED):
        w[(FIRST_FIXED + k) * LANES + lane] = 0.0


@inlined
def _leave(w: Rows, lane: int, i: int) -> None:
    """Take a ball out of its lane, at the start of its last step."""
    w[_X + i] = w[X + lane]
    w[_Z + i] = w[Z + lane]
    w[_T + i] = w[TIME + lane]
    w[_VX + i] = w[VX + lane]
    w[_VY + i] = w[VY + lane]
    w[_VZ + i] = w[VZ + lane]
    w[_SPIN + i] = w[SPIN + lane]
    w[_RUN + i] = w[Y + lane]
    w[_TOP + i] = top(w, lane) - w[_START + i]
    w[_SLOWEST + i] = w[SLOWEST + lane]
    w[_LEAST + i] = w[LEAST_S + lane]
    w[_MOST + i] = w[MOST_S + lane]


@inlined
def _fate(w: Rows, i: int, lost: bool) -> int:
    """Status of a ball that left its lane."""
    if lost:
        return 1 << NEVER_LANDED
    return 1 << TOO_LOW if w[_TOP + i] + w[_START + i] < w[_TARGET + i] else 0


@inlined
def _note(w: Rows, trace: Rows, at: int) -> int:
    """Keep where the ball of the first lane is, for drawing."""
    if at < trace.shape[0]:
        trace[at, 0] = w[TIME]
        trace[at, 1] = w[X]
        trace[at, 2] = w[Y]
        trace[at, 3] = w[Z]
        trace[at, 4] = w[VX]
        trace[at, 5] = w[VY]
        trace[at, 6] = w[VZ]
        return at + 1
    return at


@inlined
def _fly_block(
    w: Rows,
    model: Model,
    wind: Wind,
    body: Body,
    steps: Steps,
    limits: Limits,
    first: int,
    n: int,
    status: Bits,
    trace: Rows,
) -> int:
    """Fly all balls of a block up to their last steps."""
    wide = min(LANES // 8, (n + 7) // 8) * 8
    ball_of = np.full(LANES, -1, np.int64)
    age = np.zeros(LANES, np.int64)
    waiting = _next_ball(0, first, n, status)
    flying, noted = 0, 0
    for lane in range(wide):
        _park(w, lane)
        if waiting < n:
            _load(w, lane, waiting)
            ball_of[lane] = waiting
            flying += 1
            waiting = _next_ball(waiting + 1, first, n, status)
    while flying > 0:
        noted = _note(w, trace, noted)
        first_stage(w, model, wind, body, False, wide)
        plan(w, wind, steps, wide)
        watch(w, wind, body, wide)
        later_stages(w, model, wind, body, False, wide)
        for lane in range(wide):
            i = ball_of[lane]
            age[lane] += 1
            lost = (w[TIME + lane] > limits.longest_s) or age[lane] > MOST_STEPS
            if i >= 0 and (w[DONE + lane] != 0.0 or lost):
                _leave(w, lane, i)
                status[first + i] = _fate(w, i, lost)
                age[lane] = 0
                ball_of[lane] = waiting if waiting < n else -1
                if waiting < n:
                    _load(w, lane, waiting)
                    waiting = _next_ball(waiting + 1, first, n, status)
                else:
                    _park(w, lane)
                    flying -= 1
    return noted


@inlined
def _land_block(
    w: Rows,
    model: Model,
    wind: Wind,
    body: Body,
    first: int,
    n: int,
    status: Bits,
    trace: Rows,
    noted: int,
) -> int:
    """Take the last step of all balls of a block, a set of lanes at a time."""
    for start in range(0, n, LANES):
        some = min(LANES, n - start)
        wide = (some + 7) // 8 * 8
        for lane in range(wide):
            i = min(start + lane, n - 1)
            _load(w, lane, i)
            w[X + lane] = w[_X + i]
            w[Y + lane] = w[_RUN + i]
            w[Z + lane] = w[_Z + i]
            w[TIME + lane] = w[_T + i]
            w[SLOWEST + lane] = w[_SLOWEST + i]
            w[LEAST_S + lane] = w[_LEAST + i]
            w[MOST_S + lane] = w[_MOST + i]
        first_stage(w, model, wind, body, True, wide)
        aim(w, wind, wide)
        later_stages(w, model, wind, body, True, wide)
        touch_down(w, wide)
        watch(w, wind, body, wide)
        noted = _note(w, trace, noted) if noted > 0 else 0
        for lane in range(some):
            i = start + lane
            if status[first + i] != 0:
                continue
            w[_X + i] = w[X + lane]
            w[_Z + i] = w[Z + lane]
            w[_T + i] = w[TIME + lane]
            w[_VX + i] = w[VX + lane]
            w[_VY + i] = w[VY + lane]
            w[_VZ + i] = w[VZ + lane]
            w[_SPIN + i] = w[SPIN + lane]
            w[_SLOWEST + i] = w[SLOWEST + lane]
            w[_LEAST + i] = w[LEAST_S + lane]
            w[_MOST + i] = w[MOST_S + lane]
    return noted


@inlined
def _report(turf: Turf, first: int, n: int, w: Rows, out: Rows) -> None:
    """Everything that a flight is reported by, from how it landed."""
    for i in range(min(n, BLOCK)):
        vx, vz = w[_VX + i], w[_VZ + i]
        along = sqrt(vx * vx + vz * vz)
        ahead = vx / along if along > 0.0 else 1.0
        right = vz / along if along > 0.0 else 0.0
        w[_RUN_A + i] = along
        w[_RUN_D + i] = -w[_VY + i]
        w[_RUN_S + i] = w[_SPIN + i] * (w[_AZ + i] * ahead - w[_AX + i] * right)
    runs(turf, w, _RUN_A, _RUN_D, _RUN_S, _RUN, n)
    for i in range(min(n, BLOCK)):
        vx, vy, vz = w[_VX + i], w[_VY + i], w[_VZ + i]
        along = sqrt(vx * vx + vz * vz)
        ahead = vx / along if along > 0.0 else 1.0
        right = vz / along if along > 0.0 else 0.0
        run = w[_RUN + i]
        out[CARRY, first + i] = w[_X + i]
        out[OFFLINE, first + i] = w[_Z + i]
        out[APEX, first + i] = w[_TOP + i]
        out[HANG_TIME, first + i] = w[_T + i]
        out[FALL_ANGLE, first + i] = steepness(-vy, along)
        out[FALL_SPEED, first + i] = sqrt(along * along + vy * vy)
        out[FALL_SPIN, first + i] = w[_SPIN + i]
        out[TOTAL, first + i] = w[_X + i] + run * ahead
        out[TOTAL_OFFLINE, first + i] = w[_Z + i] + run * right


@inlined
def _flag(limits: Limits, first: int, n: int, w: Rows, out: Rows, status: Bits) -> None:
    """Set the flags of the balls that landed; the others get NaN in every number."""
    for i in range(min(n, BLOCK)):
        bits = status[first + i]
        if bits > 1 << AT_ONCE:
            for k in range(N_OUT):
                out[k, first + i] = np.nan
            continue
        if bits == 0:
            bits |= (1 << LOW_SPIN) if w[_LEAST + i] < limits.low_spin else 0
            bits |= (1 << HIGH_SPIN) if w[_MOST + i] > limits.high_spin else 0
            bits |= (1 << SLOW) if w[_SLOWEST + i] < limits.low_speed_mps else 0
        too_fast = out[FALL_SPEED, first + i] > limits.fastest_landing_mps
        if too_fast or out[FALL_ANGLE, first + i] < limits.flattest_known_rad:
            bits |= 1 << RUN_GUESSED
        status[first + i] = bits


@compiled
def fly(
    model: Model,
    wind: Wind,
    body: Body,
    steps: Steps,
    limits: Limits,
    turf: Turf,
    ranges: Rows,
    given: Rows,
    out: Rows,
    status: Bits,
    start: int,
    stop: int,
    w: Rows,
    trace: Rows,
) -> int:
    """Fly the balls ``start`` to ``stop`` of ``given``, shape (8, n), into ``out``, shape (9, n).

    ``w`` has `WORK_SIZE` numbers and belongs to one thread. ``trace``, shape (k, 7), takes time,
    place and velocity at the steps of the first ball, if the batch is of one ball; returns how
    many.
    """
    noted = 0
    for first in range(start, stop, BLOCK):
        n = min(BLOCK, stop - first)
        _prepare(given, ranges, first, n, w, status)
        _at_once(body, first, n, w, status)
        noted = _fly_block(w, model, wind, body, steps, limits, first, n, status, trace)
        noted = _land_block(w, model, wind, body, first, n, status, trace, noted)
        _report(turf, first, n, w, out)
        _flag(limits, first, n, w, out, status)
    return noted
