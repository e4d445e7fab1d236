"""Many flights, from launch to rest: lanes that are filled again as soon as their ball is down."""

from math import sqrt
from typing import NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from leadfoot.kernels._jit import compiled, inlined
from leadfoot.kernels.block import (
    ANGLE,
    APEX,
    ASKED,
    BALL_ACROSS,
    BALL_ALONG,
    BALL_ALONG_GROUND,
    BALL_AX,
    BALL_AY,
    BALL_AZ,
    BALL_DOWN,
    BALL_DOWN_FROM,
    BALL_LEAST,
    BALL_MOST,
    BALL_SLOWEST,
    BALL_SPIN,
    BALL_START,
    BALL_TARGET,
    BALL_TIME,
    BALL_TURN,
    BALL_UP,
    BALL_VX,
    BALL_VY,
    BALL_VZ,
    BALL_WAY,
    BALL_X,
    BALL_Y,
    BALL_Z,
    CARRY,
    DIRECTION,
    FALL_ANGLE,
    FALL_SPEED,
    FALL_SPIN,
    HANG_TIME,
    LANDING,
    N_ASKED,
    N_OUT,
    OFFLINE,
    OUT,
    SPEED,
    SPIN_RATE,
    TILT,
    TOTAL,
    TOTAL_OFFLINE,
    WIND_ACROSS,
    WIND_ALONG,
    done_lanes,
    keep_top,
    leave,
    leave_group,
    leave_landed,
    load,
    load_group,
    next_ball,
    note,
    park,
    passed_top,
)
from leadfoot.kernels.elementary import cosine, sine, steepness
from leadfoot.kernels.ground import Turf, runs
from leadfoot.kernels.lanes import come_down, go, look, take_off
from leadfoot.kernels.pacing import (
    Steps,
    aim_in_depth,
    aim_in_time,
    mark_low,
    plan,
    plan_take_off,
    remember,
    top_between,
    touch_down,
    watch,
)
from leadfoot.kernels.push import Body, Model, Wind, blows
from leadfoot.kernels.rows import (
    BLOCK,
    LANES,
    ROW,
    TIME,
)

Rows: TypeAlias = NDArray[np.float64]
Bits: TypeAlias = NDArray[np.uint8]
Lanes: TypeAlias = NDArray[np.int64]

# What becomes of a ball, in the order of the bits of a status.
AT_ONCE, LOW_SPIN, HIGH_SPIN, SLOW, NEVER_LANDED, RUN_GUESSED, TOO_LOW, REFUSED = range(8)


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
            w[ASKED + k * ROW + i] = value
            refused[i] |= 0 if good else 1 << REFUSED


@inlined
def _prepare(n: int, w: Rows) -> None:
    """Turn launches into starts."""
    for i in range(min(n, BLOCK)):
        speed, angle = w[ASKED + SPEED * ROW + i], w[ASKED + ANGLE * ROW + i]
        direction, tilt = w[ASKED + DIRECTION * ROW + i], w[ASKED + TILT * ROW + i]
        level, flat = speed * cosine(angle), cosine(tilt)
        ahead, right = cosine(direction), sine(direction)
        w[BALL_VX + i] = level * ahead
        w[BALL_VY + i] = speed * sine(angle)
        w[BALL_VZ + i] = level * right
        w[BALL_AX + i] = -right * flat
        w[BALL_AY + i] = -sine(tilt)
        w[BALL_AZ + i] = ahead * flat
    for i in range(min(n, BLOCK)):
        w[BALL_SPIN + i] = w[ASKED + SPIN_RATE * ROW + i]
        w[BALL_ALONG + i] = w[ASKED + WIND_ALONG * ROW + i]
        w[BALL_ACROSS + i] = w[ASKED + WIND_ACROSS * ROW + i]
        landing = w[ASKED + LANDING * ROW + i]
        w[BALL_TARGET + i] = max(landing, 0.0)
        w[BALL_START + i] = max(-landing, 0.0)
        w[BALL_X + i] = 0.0
        w[BALL_Y + i] = max(-landing, 0.0)
        w[BALL_Z + i] = 0.0
        w[BALL_TIME + i] = 0.0
        w[BALL_SLOWEST + i] = 1e9
        w[BALL_LEAST + i] = 1e9
        w[BALL_MOST + i] = 0.0
    for k in range(8):
        for i in range(min(n, BLOCK)):
            w[BALL_UP + k * ROW + i] = 0.0


@inlined
def _at_once(body: Body, first: int, n: int, w: Rows, status: Bits) -> None:
    """Mark the balls that do not leave the ground."""
    fate = status[first : first + n]
    for i in range(n):
        level = (w[BALL_TARGET + i] == 0.0) & (w[BALL_START + i] == 0.0)
        if (w[BALL_VY + i] <= 0.0) & level & (fate[i] == 0):
            fate[i] = 1 << AT_ONCE
            vx, vy, vz = w[BALL_VX + i], w[BALL_VY + i], w[BALL_VZ + i]
            w[BALL_SLOWEST + i] = sqrt(vx * vx + vy * vy + vz * vz)
            w[BALL_LEAST + i] = w[BALL_SPIN + i] * body.radius_m / w[BALL_SLOWEST + i]
            w[BALL_MOST + i] = w[BALL_LEAST + i]


@inlined
def _begin_block(
    w: Rows,
    model: Model,
    wind: Wind,
    body: Body,
    steps: Steps,
    limits: Limits,
    n: int,
    found: Lanes,
    trace: Rows,
) -> int:
    """Plan the first step of all balls of a block, in wind the second after taking the first."""
    noted = 0
    for start in range(0, n, LANES):
        some = min(LANES, n - start)
        wide = (some + 7) // 8 * 8
        load_group(w, start)
        noted = note(w, trace, noted)
        look(w, model, wind, body, wide)
        watch(w, wide)
        if blows(wind):
            remember(w, wide)
            plan_take_off(w, wind, steps, wide)
            take_off(w, model, wind, body, wide)
            noted = note(w, trace, noted)
            look(w, model, wind, body, wide)
            watch(w, wide)
            for at in range(passed_top(w, found, some)):
                keep_top(w, found[at], start + found[at])
        plan(w, wind, steps, limits.longest_s, wide)
        leave_group(w, start, n)
    return noted


@inlined
def _exchange(
    w: Rows,
    longest_s: float,
    first: int,
    n: int,
    status: Bits,
    ball_of: Lanes,
    found: Lanes,
    some: int,
    waiting: int,
) -> tuple[int, int]:
    """Take the balls that are done out of their lanes and put the next ones in.

    Returns which ball waits then, and how many lanes stayed empty.
    """
    gone = 0
    for at in range(some):
        lane = found[at]
        i = ball_of[lane]
        leave(w, lane, i)
        if w[TIME + lane] > longest_s:
            status[first + i] = 1 << NEVER_LANDED
        if waiting < n:
            ball_of[lane] = waiting
            load(w, lane, waiting)
            waiting = next_ball(w, waiting + 1, first, n, status)
        else:
            ball_of[lane] = -1
            park(w, lane)
            gone += 1
    return waiting, gone


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
    found: Lanes,
    trace: Rows,
    noted: int,
) -> int:
    """Fly all balls of a block up to their last steps."""
    wide = min(LANES // 8, (n + 7) // 8) * 8
    ball_of = np.full(LANES, -1, np.int64)
    waiting = next_ball(w, 0, first, n, status)
    flying = 0
    for lane in range(wide):
        park(w, lane)
        if waiting < n:
            load(w, lane, waiting)
            ball_of[lane] = waiting
            flying += 1
            waiting = next_ball(w, waiting + 1, first, n, status)
    while flying > 0:
        remember(w, wide)
        go(w, model, wind, body, wide)
        noted = note(w, trace, noted)
        look(w, model, wind, body, wide)
        watch(w, wide)
        for at in range(passed_top(w, found, wide)):
            if ball_of[found[at]] >= 0:
                keep_top(w, found[at], ball_of[found[at]])
        plan(w, wind, steps, limits.longest_s, wide)
        some = done_lanes(w, ball_of, found, wide)
        waiting, gone = _exchange(
            w, limits.longest_s, first, n, status, ball_of, found, some, waiting
        )
        flying -= gone
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
    found: Lanes,
    trace: Rows,
    noted: int,
) -> int:
    """Take the last step of all balls of a block, a set of lanes at a time."""
    for start in range(0, n, LANES):
        some = min(LANES, n - start)
        wide = (some + 7) // 8 * 8
        load_group(w, start)
        look(w, model, wind, body, wide)
        mark_low(w, status[first + start : first + n], 1 << TOO_LOW, some)
        remember(w, wide)
        if blows(wind):
            aim_in_depth(w, wind, wide)
            come_down(w, model, wind, body, wide)
        else:
            aim_in_time(w, wide)
            go(w, model, wind, body, wide)
        look(w, model, wind, body, wide)
        touch_down(w, wide)
        watch(w, wide)
        for at in range(passed_top(w, found, some)):
            keep_top(w, found[at], start + found[at])
        noted = note(w, trace, noted) if noted > 0 else 0
        leave_landed(w, start, first, n, status)
    return noted


@inlined
def _find_top(n: int, w: Rows) -> None:
    """Height of the top of each flight over its tee."""
    for i in range(min(n, BLOCK)):
        up = (
            w[BALL_UP + i],
            w[BALL_UP + ROW + i],
            w[BALL_UP + 2 * ROW + i],
            w[BALL_UP + 3 * ROW + i],
        )
        at = BALL_DOWN_FROM + i
        down = w[at], w[at + ROW], w[at + 2 * ROW], w[at + 3 * ROW]
        found = top_between(up, down) if up[1] > 0.0 else 0.0
        over = max(max(found, w[BALL_Y + i]) - w[BALL_START + i], 0.0)
        w[OUT + APEX * ROW + i] = over


@inlined
def _report(turf: Turf, first: int, n: int, w: Rows, out: Rows) -> None:
    """Everything that a flight is reported by, from how it landed."""
    for i in range(min(n, BLOCK)):
        vx, vy, vz = w[BALL_VX + i], w[BALL_VY + i], w[BALL_VZ + i]
        along = sqrt(vx * vx + vz * vz)
        ahead = vx / along if along > 0.0 else 1.0
        right = vz / along if along > 0.0 else 0.0
        w[BALL_ALONG_GROUND + i] = along
        w[BALL_DOWN + i] = -vy
        w[BALL_TURN + i] = w[BALL_SPIN + i] * (w[BALL_AZ + i] * ahead - w[BALL_AX + i] * right)
        w[OUT + CARRY * ROW + i] = w[BALL_X + i]
        w[OUT + OFFLINE * ROW + i] = w[BALL_Z + i]
        w[OUT + HANG_TIME * ROW + i] = w[BALL_TIME + i]
        w[OUT + FALL_ANGLE * ROW + i] = steepness(-vy, along)
        w[OUT + FALL_SPEED * ROW + i] = sqrt(along * along + vy * vy)
        w[OUT + FALL_SPIN * ROW + i] = w[BALL_SPIN + i]
        w[OUT + TOTAL * ROW + i] = ahead
        w[OUT + TOTAL_OFFLINE * ROW + i] = right
    runs(turf, w, BALL_ALONG_GROUND, BALL_DOWN, BALL_TURN, BALL_WAY, n)
    for i in range(min(n, BLOCK)):
        ahead, right = w[OUT + TOTAL * ROW + i], w[OUT + TOTAL_OFFLINE * ROW + i]
        w[OUT + TOTAL * ROW + i] = w[BALL_X + i] + w[BALL_WAY + i] * ahead
        w[OUT + TOTAL_OFFLINE * ROW + i] = w[BALL_Z + i] + w[BALL_WAY + i] * right
    for k in range(N_OUT):
        row = out[k, first : first + n]
        for i in range(min(n, BLOCK)):
            row[i] = w[OUT + k * ROW + i]


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
            bits |= (1 << LOW_SPIN) if w[BALL_LEAST + i] < limits.low_spin else 0
            bits |= (1 << HIGH_SPIN) if w[BALL_MOST + i] > limits.high_spin else 0
            bits |= (1 << SLOW) if w[BALL_SLOWEST + i] < limits.low_speed_mps else 0
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
    found = np.empty(LANES, np.int64)
    for first in range(start, stop, BLOCK):
        n = min(BLOCK, stop - first)
        _read(given, ranges, first, n, w, status)
        _prepare(n, w)
        _at_once(body, first, n, w, status)
        noted = _begin_block(w, model, wind, body, steps, limits, n, found, trace)
        noted = _fly_block(
            w, model, wind, body, steps, limits, first, n, status, found, trace, noted
        )
        noted = _land_block(w, model, wind, body, first, n, status, found, trace, noted)
        _find_top(n, w)
        _report(turf, first, n, w, out)
        _flag(limits, first, n, w, out, status)
    return noted
