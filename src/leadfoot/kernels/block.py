"""The balls of a block: where each number of theirs stands, and how they go into lanes and out."""

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from leadfoot.kernels._jit import inlined
from leadfoot.kernels.rows import (
    BALLS,
    DONE,
    LANES,
    LAST_A,
    LAST_T,
    LAST_V,
    LAST_Y,
    LEAST_S,
    MOST_S,
    N_GIVEN,
    N_KEPT,
    N_LOADED,
    N_MOVING,
    ROW,
    SLOPES,
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

# The rows of the balls of a block: those that go into the lanes, in the same order; whether only
# the last step is missing; the last moment of rising and the first of falling (height, climb, its
# rate, time); then what is given and what is reported.
(
    BALL_VX,
    BALL_VY,
    BALL_VZ,
    BALL_SPIN,
    BALL_X,
    BALL_Y,
    BALL_Z,
    BALL_TIME,
    BALL_AX,
    BALL_AY,
    BALL_AZ,
    BALL_ALONG,
    BALL_ACROSS,
    BALL_TARGET,
) = (BALLS + k * ROW for k in range(N_GIVEN))
BALL_SLOWEST, BALL_LEAST, BALL_MOST = (
    BALLS + row // LANES * ROW for row in (SLOWEST, LEAST_S, MOST_S)
)
BALL_DONE, BALL_UP, BALL_DOWN_FROM = (BALLS + (N_LOADED + k) * ROW for k in (0, 1, 5))
ASKED = BALLS + (N_LOADED + 9) * ROW
OUT = ASKED + N_ASKED * ROW
BALL_START, BALL_ALONG_GROUND, BALL_DOWN, BALL_TURN, BALL_WAY = (
    OUT + (N_OUT + k) * ROW for k in range(5)
)

WORK_SIZE = OUT + (N_OUT + 5) * ROW
"""Numbers in a workspace."""


@inlined
def load(w: Rows, lane: int, i: int) -> None:
    """Put a ball into a lane."""
    for k in range(N_LOADED):
        w[k * LANES + lane] = w[BALLS + k * ROW + i]


@inlined
def leave(w: Rows, lane: int, i: int) -> None:
    """Take a ball out of its lane; what does not change stays where it was."""
    for k in range(N_MOVING):
        w[BALLS + k * ROW + i] = w[k * LANES + lane]
    for k in range(N_GIVEN, N_KEPT):
        w[BALLS + k * ROW + i] = w[k * LANES + lane]


@inlined
def load_group(w: Rows, start: int) -> None:
    """Put the balls from ``start`` on into the lanes."""
    for k in range(N_KEPT):
        copy(w, k * LANES, BALLS + k * ROW + start, LANES)


@inlined
def leave_group(w: Rows, start: int, n: int) -> None:
    """Take the balls from ``start`` on out of the lanes, with their next step."""
    some = min(n - start, LANES)
    for k in range(N_LOADED):
        copy(w, BALLS + k * ROW + start, k * LANES, some)
    copy(w, BALL_DONE + start, DONE, some)


@inlined
def leave_landed(w: Rows, start: int, first: int, n: int, status: Bits) -> None:
    """Take the balls from ``start`` on out of the lanes; those that did not fly stay."""
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
            leave(w, lane, start + lane)


@inlined
def passed_top(w: Rows, found: Lanes, n: int) -> int:
    """List the lanes whose ball rose when the step began and falls now."""
    some = 0
    for lane in range(n):
        found[some] = lane
        some += 1 if (w[VY + lane] <= 0.0) & (w[LAST_V + lane] > 0.0) else 0
    return some


@inlined
def keep_top(w: Rows, lane: int, i: int) -> None:
    """Keep the two moments round the top of a ball's flight; of two tops the higher one."""
    if w[BALL_UP + ROW + i] > 0.0 and w[BALL_DOWN_FROM + i] > w[Y + lane]:
        return
    w[BALL_UP + i] = w[LAST_Y + lane]
    w[BALL_UP + ROW + i] = w[LAST_V + lane]
    w[BALL_UP + 2 * ROW + i] = w[LAST_A + lane]
    w[BALL_UP + 3 * ROW + i] = w[LAST_T + lane]
    w[BALL_DOWN_FROM + i] = w[Y + lane]
    w[BALL_DOWN_FROM + ROW + i] = w[VY + lane]
    w[BALL_DOWN_FROM + 2 * ROW + i] = w[SLOPES + VY + lane]
    w[BALL_DOWN_FROM + 3 * ROW + i] = w[TIME + lane]


@inlined
def next_ball(w: Rows, i: int, first: int, n: int, status: Bits) -> int:
    """The next ball that has steps to fly before its last one, from i on; n if there is none."""
    while i < n and (status[first + i] != 0 or w[BALL_DONE + i] != 0.0):
        i += 1
    return i


@inlined
def park(w: Rows, lane: int) -> None:
    """Fill an empty lane with a ball that does no harm."""
    for k in range(N_MOVING):
        w[k * LANES + lane] = 1.0
    for k in range(N_MOVING, N_LOADED):
        w[k * LANES + lane] = 0.0


@inlined
def done_lanes(w: Rows, ball_of: Lanes, found: Lanes, n: int) -> int:
    """List the lanes whose ball is done, without a branch that would be guessed wrong each time."""
    some = 0
    for lane in range(n):
        found[some] = lane
        some += 1 if (w[DONE + lane] != 0.0) & (ball_of[lane] >= 0) else 0
    return some


@inlined
def note(w: Rows, trace: Rows, at: int) -> int:
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
