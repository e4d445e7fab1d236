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

# What moves.
X, Y, Z, VX, VY, VZ, SPIN, TIME = (k * LANES for k in range(8))
N_MOVING = 8

# What stays: spin axis, wind along and across, height of the landing.
AX, AY, AZ, ALONG, ACROSS, TARGET = (k * LANES for k in range(8, 14))
N_GIVEN = 14

# What is watched: the last moment of rising and the first of falling (height, climb, its rate,
# time); the last climb; the greatest height at the end of a step; extremes of air speed and spin
# parameter.
UP_Y, UP_V, UP_A, UP_T, DOWN_Y, DOWN_V, DOWN_A, DOWN_T = (k * LANES for k in range(14, 22))
LAST_V, PEAK, SLOWEST, LEAST_S, MOST_S = (k * LANES for k in range(22, 27))
N_KEPT = 27

# What only a step needs: whether the lane is done, the length of the step, and the slopes of what
# moves, in the same order, stage by stage.
DONE, LENGTH = 27 * LANES, 28 * LANES
SLOPES = 29 * LANES
STAGE = N_MOVING * LANES
MOST_STAGES = 12

BALLS = SLOPES + MOST_STAGES * STAGE
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
