"""Where each number of a ball stands in the workspace: one row of `LANES` numbers a quantity.

All rows lie one behind the other in one flat block, at distances that the compiler knows. Only so
can it see that rows do not overlap, and pack a loop over the lanes into vectors. Behind the rows of
the lanes lie those of the balls of a block, in the same order, `ROW` numbers a quantity.
"""

import numpy as np
from numpy.typing import NDArray

from leadfoot.kernels._jit import inlined

LANES = 32
"""Balls that are flown side by side: a few vectors, so that the waits of one hide behind others,
and few enough that all their numbers stay in the fastest cache."""

BLOCK = 1024
"""Balls that are prepared and reported together: what is known of them stays in the cache.

Loops say ``range(min(n, LANES))`` and ``range(min(n, BLOCK))`` although n is never greater: the
compiler must see an end, or it fears that an index overflows and packs nothing.
"""

# What moves; a step looks for the slopes of the first four, and of the others where they need it.
VX, VY, VZ, SPIN, X, Y, Z, TIME = (k * LANES for k in range(8))
N_MOVING = 8
N_SLOPES = 4

# What stays: spin axis, wind along and across, height of the landing.
AX, AY, AZ, ALONG, ACROSS, TARGET = (k * LANES for k in range(8, 14))
N_GIVEN = 14

# What is watched: extremes of air speed and spin parameter.
SLOWEST, LEAST_S, MOST_S = (k * LANES for k in range(14, 17))
N_KEPT = 17

# The next step: its length, and the slopes of what moves, in the same order, stage by stage. A ball
# that is put into a lane brings along the slopes where it is.
LENGTH = 17 * LANES
SLOPES = 18 * LANES
N_LOADED = 18 + N_SLOPES
STAGE = N_MOVING * LANES
MOST_STAGES = 12

# What one round of steps needs: whether the lane is done; height, climb, its rate and time at the
# start of the step.
DONE, LAST_Y, LAST_V, LAST_A, LAST_T = (SLOPES + MOST_STAGES * STAGE + k * LANES for k in range(5))

# What one stage needs between its short loops: velocity through the air, spin, air speed, spin
# parameter, and what turns velocity into drag and lift.
AIR_X, AIR_Y, AIR_Z, AIR_SPIN, AIR_V, AIR_S, DRAG_C, LIFT_C = (
    LAST_T + k * LANES for k in range(1, 9)
)

BALLS = LIFT_C + LANES
"""Where the rows of the balls begin."""

ROW = BLOCK + 40
"""Length of a ball's row; not a power of two: rows would fall on the same cache lines."""


@inlined
def copy(w: NDArray[np.float64], to: int, source: int, n: int) -> None:
    """Copy n numbers of the workspace.

    By slices, because an index that might count from the end keeps a loop from packing.
    """
    target, origin = w[to : to + n], w[source : source + n]
    for i in range(n):
        target[i] = origin[i]
