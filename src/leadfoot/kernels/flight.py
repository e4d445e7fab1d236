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
    aim_in_depth,
    aim_in_time,
    come_down,
    find_top,
    go,
    look,
    mark_low,
    plan,
    plan_take_off,
    take_off,
    touch_down,
    watch,
)
from leadfoot.kernels.push import Body, Model, Wind, blows
from leadfoot.kernels.rows import (
    BALLS,
    BLOCK,
    DONE,
    LANES,
    LEAST_S,
    MOST_S,
    N_GIVEN,
    N_KEPT,
    N_MOVING,
    PEAK,
    ROW,
    SLOWEST,
    TIME,
    VX,
    VY,
    VZ,
    X,
    Y,
    Z,
    copy,
)

Rows: TypeAlias = NDArray[np.float64]
Bits: TypeAlias = NDArray[np.uint8]
Lanes: TypeAlias = NDArray[np.int64]

# What is given, one row each.
SPEED, ANGLE, DIRECTION, SPIN_RATE, TILT, WIND_ALONG, WIND_ACROSS, LANDING = range(8)
N_ASKED = 8

# What comes out, one row each.
CARRY, OFFLINE, APEX, HANG_TIME, FALL_ANGLE, FALL_SPEED, FALL_SPIN, TOTAL, TOTAL_OFFLINE = range(9)
N_OUT = 9

# What becomes of a ball, in the order of the bits of a status.
AT_ONCE, LOW_SPIN, HIGH_SPIN, SLOW, NEVER_LANDED, RUN_GUESSED, TOO_LOW, REFUSED = range(8)

# The rows of the balls of a block: those of the lanes in the same order, then what is given and
# what is reported.
_X, _Y, _Z, _VX, _VY, _VZ, _SPIN, _TIME, _AX, _AY, _AZ, _ALONG, _ACROSS, _TARGET = (
    BALLS + k * ROW for k in range(N_GIVEN)
)
_PEAK, _SLOWEST, _LEAST, _MOST = (
    BALLS + row // LANES * ROW for row in (PEAK, SLOWEST, LEAST_S, MOST_S)
)
_ASKED = BALLS + N_KEPT * ROW
_OUT = _ASKED + N_ASKED * ROW
_START, _ALONG_GROUND, _DOWN, _TURN, _WAY = (_OUT + (N_OUT + k) * ROW for k in range(5))

WORK_SIZE = _OUT + (N_OUT + 5) * ROW
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
def _read(given: Rows, ranges: Rows, first: int, n: int, w: Rows, status: Bits) -> None:
    """Copy what is given of a block; ``status`` says which balls can be flown.

    Slices of rows, because an index that might count from the end keeps a loop from packing.
    """
    refused = status[first : first + n]
    for i in range(n):
        refused[i] = 0
    for k in range(N_ASKED):
        row = given[k, first : first + n]
        low, high = ranges[k, 0], ranges[k, 1]
        for i in range(min(n, BLOCK)):
            value = row[i]
            good = (value >= low) & (value <= high)
            w[_ASKED + k * ROW + i] = value
            refused[i] |= 0 if good else 1 << REFUSED


@inlined
def _prepare(n: int, w: Rows) -> None:
    """Turn launches into starts."""
    for i in range(min(n, BLOCK)):
        speed, angle = w[_ASKED + SPEED * ROW + i], w[_ASKED + ANGLE * ROW + i]
        direction, tilt = w[_ASKED + DIRECTION * ROW + i], w[_ASKED + TILT * ROW + i]
        level, flat = speed * cosine(angle), cosine(tilt)
        ahead, right = cosine(direction), sine(direction)
        w[_VX + i] = level * ahead
        w[_VY + i] = speed * sine(angle)
        w[_VZ + i] = level * right
        w[_AX + i] = -right * flat
        w[_AY + i] = -sine(tilt)
        w[_AZ + i] = ahead * flat
    for i in range(min(n, BLOCK)):
        w[_SPIN + i] = w[_ASKED + SPIN_RATE * ROW + i]
        w[_ALONG + i] = w[_ASKED + WIND_ALONG * ROW + i]
        w[_ACROSS + i] = w[_ASKED + WIND_ACROSS * ROW + i]
        landing = w[_ASKED + LANDING * ROW + i]
        w[_TARGET + i] = max(landing, 0.0)
        w[_START + i] = max(-landing, 0.0)
        w[_X + i] = 0.0
        w[_Y + i] = max(-landing, 0.0)
        w[_Z + i] = 0.0
        w[_TIME + i] = 0.0
    for k in range(N_GIVEN, N_KEPT):
        for i in range(min(n, BLOCK)):
            w[BALLS + k * ROW + i] = 0.0
    for i in range(min(n, BLOCK)):
        w[_SLOWEST + i] = 1e9
        w[_LEAST + i] = 1e9


@inlined
def _at_once(body: Body, first: int, n: int, w: Rows, status: Bits) -> None:
    """Mark the balls that do not leave the ground."""
    fate = status[first : first + n]
    for i in range(n):
        level = (w[_TARGET + i] == 0.0) & (w[_START + i] == 0.0)
        if (w[_VY + i] <= 0.0) & level & (fate[i] == 0):
            fate[i] = 1 << AT_ONCE
            vx, vy, vz = w[_VX + i], w[_VY + i], w[_VZ + i]
            w[_SLOWEST + i] = sqrt(vx * vx + vy * vy + vz * vz)
            w[_LEAST + i] = w[_SPIN + i] * body.radius_m / w[_SLOWEST + i]
            w[_MOST + i] = w[_LEAST + i]


@inlined
def _load(w: Rows, lane: int, i: int) -> None:
    """Put a ball into a lane."""
    for k in range(N_KEPT):
        w[k * LANES + lane] = w[BALLS + k * ROW + i]


@inlined
def _leave(w: Rows, lane: int, i: int) -> None:
    """Take a ball out of its lane; what does not change stays where it was."""
    for k in range(N_MOVING):
        w[BALLS + k * ROW + i] = w[k * LANES + lane]
    for k in range(N_GIVEN, N_KEPT):
        w[BALLS + k * ROW + i] = w[k * LANES + lane]


@inlined
def _load_group(w: Rows, start: int) -> None:
    """Put the balls from ``start`` on into the lanes."""
    for k in range(N_KEPT):
        copy(w, k * LANES, BALLS + k * ROW + start, LANES)


@inlined
def _leave_group(w: Rows, start: int, first: int, n: int, status: Bits) -> None:
    """Take the balls from ``start`` on out of the lanes; those that do not fly stay as they are."""
    some = min(n - start, LANES)
    fate = status[first + start : first + n]
    grounded = 0
    for lane in range(some):
        grounded += 1 if fate[lane] != 0 else 0
    if grounded == 0:
        for k in range(N_KEPT):
            copy(w, BALLS + k * ROW + start, k * LANES, some)
        return
    for lane in range(some):
        if fate[lane] == 0:
            _leave(w, lane, start + lane)


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
    for k in range(N_MOVING, N_GIVEN):
        w[k * LANES + lane] = 0.0


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
def _lift_block(
    w: Rows,
    model: Model,
    wind: Wind,
    body: Body,
    steps: Steps,
    first: int,
    n: int,
    status: Bits,
    trace: Rows,
) -> int:
    """Take the first step of all balls of a block, a set of lanes at a time."""
    noted = 0
    for start in range(0, n, LANES):
        wide = (min(LANES, n - start) + 7) // 8 * 8
        _load_group(w, start)
        noted = _note(w, trace, noted)
        look(w, model, wind, body, wide)
        watch(w, wind, body, wide)
        plan_take_off(w, wind, steps, wide)
        take_off(w, model, wind, body, wide)
        _leave_group(w, start, first, n, status)
    return noted


@inlined
def _done_lanes(w: Rows, ball_of: Lanes, through: Lanes, n: int) -> int:
    """List the lanes whose ball is done, without a branch that would be guessed wrong each time."""
    found = 0
    for lane in range(n):
        through[found] = lane
        found += 1 if (w[DONE + lane] != 0.0) & (ball_of[lane] >= 0) else 0
    return found


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
    noted: int,
) -> int:
    """Fly all balls of a block up to their last steps."""
    wide = min(LANES // 8, (n + 7) // 8) * 8
    ball_of = np.full(LANES, -1, np.int64)
    through = np.empty(LANES, np.int64)
    waiting = _next_ball(0, first, n, status)
    flying = 0
    for lane in range(wide):
        _park(w, lane)
        if waiting < n:
            _load(w, lane, waiting)
            ball_of[lane] = waiting
            flying += 1
            waiting = _next_ball(waiting + 1, first, n, status)
    while flying > 0:
        noted = _note(w, trace, noted)
        look(w, model, wind, body, wide)
        watch(w, wind, body, wide)
        plan(w, wind, steps, limits.longest_s, wide)
        go(w, model, wind, body, wide)
        for at in range(_done_lanes(w, ball_of, through, wide)):
            lane = through[at]
            i = ball_of[lane]
            _leave(w, lane, i)
            if w[TIME + lane] > limits.longest_s:
                status[first + i] = 1 << NEVER_LANDED
            if waiting < n:
                ball_of[lane] = waiting
                _load(w, lane, waiting)
                waiting = _next_ball(waiting + 1, first, n, status)
            else:
                ball_of[lane] = -1
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
        wide = (min(LANES, n - start) + 7) // 8 * 8
        _load_group(w, start)
        look(w, model, wind, body, wide)
        mark_low(w, status[first + start : first + n], 1 << TOO_LOW, min(LANES, n - start))
        if blows(wind):
            aim_in_depth(w, wind, wide)
            come_down(w, model, wind, body, wide)
        else:
            aim_in_time(w, wide)
            go(w, model, wind, body, wide)
        look(w, model, wind, body, wide)
        touch_down(w, wide)
        watch(w, wind, body, wide)
        find_top(w, wide)
        noted = _note(w, trace, noted) if noted > 0 else 0
        _leave_group(w, start, first, n, status)
    return noted


@inlined
def _check_height(first: int, n: int, w: Rows, status: Bits) -> None:
    """Count the top from the tee, and mark the balls that never came up to their landing."""
    fate = status[first : first + n]
    for i in range(min(n, BLOCK)):
        low = (w[_PEAK + i] < w[_TARGET + i]) & (fate[i] == 0)
        fate[i] = 1 << TOO_LOW if low else fate[i]
        w[_PEAK + i] = max(w[_PEAK + i] - w[_START + i], 0.0)


@inlined
def _report(turf: Turf, first: int, n: int, w: Rows, out: Rows) -> None:
    """Everything that a flight is reported by, from how it landed."""
    for i in range(min(n, BLOCK)):
        vx, vy, vz = w[_VX + i], w[_VY + i], w[_VZ + i]
        along = sqrt(vx * vx + vz * vz)
        ahead = vx / along if along > 0.0 else 1.0
        right = vz / along if along > 0.0 else 0.0
        w[_ALONG_GROUND + i] = along
        w[_DOWN + i] = -vy
        w[_TURN + i] = w[_SPIN + i] * (w[_AZ + i] * ahead - w[_AX + i] * right)
        w[_OUT + CARRY * ROW + i] = w[_X + i]
        w[_OUT + OFFLINE * ROW + i] = w[_Z + i]
        w[_OUT + APEX * ROW + i] = w[_PEAK + i]
        w[_OUT + HANG_TIME * ROW + i] = w[_TIME + i]
        w[_OUT + FALL_ANGLE * ROW + i] = steepness(-vy, along)
        w[_OUT + FALL_SPEED * ROW + i] = sqrt(along * along + vy * vy)
        w[_OUT + FALL_SPIN * ROW + i] = w[_SPIN + i]
        w[_OUT + TOTAL * ROW + i] = ahead
        w[_OUT + TOTAL_OFFLINE * ROW + i] = right
    runs(turf, w, _ALONG_GROUND, _DOWN, _TURN, _WAY, n)
    for i in range(min(n, BLOCK)):
        ahead, right = w[_OUT + TOTAL * ROW + i], w[_OUT + TOTAL_OFFLINE * ROW + i]
        w[_OUT + TOTAL * ROW + i] = w[_X + i] + w[_WAY + i] * ahead
        w[_OUT + TOTAL_OFFLINE * ROW + i] = w[_Z + i] + w[_WAY + i] * right
    for k in range(N_OUT):
        row = out[k, first : first + n]
        for i in range(min(n, BLOCK)):
            row[i] = w[_OUT + k * ROW + i]


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
        _read(given, ranges, first, n, w, status)
        _prepare(n, w)
        _at_once(body, first, n, w, status)
        noted = 0
        if blows(wind):
            noted = _lift_block(w, model, wind, body, steps, first, n, status, trace)
        noted = _fly_block(w, model, wind, body, steps, limits, first, n, status, trace, noted)
        noted = _land_block(w, model, wind, body, first, n, status, trace, noted)
        _check_height(first, n, w, status)
        _report(turf, first, n, w, out)
        _flag(limits, first, n, w, out, status)
    return noted
