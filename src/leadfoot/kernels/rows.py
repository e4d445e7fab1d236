"""Where each number of a ball stands in the workspace: one row of `LANES` numbers a quantity.

All rows lie one behind the other in one flat block, at distances that the compiler knows. Only so
can it see that rows do not overlap, and pack a loop over the lanes into vectors.
"""

LANES = 64
"""Balls that are flown side by side: a few vectors, so that the waits of one hide behind others."""

BLOCK = 1024
"""Balls that are prepared and reported together: what is known of them stays in the cache.

Loops say ``range(min(n, LANES))`` and ``range(min(n, BLOCK))`` although n is never greater: the
compiler must see an end, or it fears that an index overflows and packs nothing.
"""

# What moves.
X, Y, Z, VX, VY, VZ, SPIN, TIME = (k * LANES for k in range(8))

# What stays: spin axis, wind along and across, height of the landing.
AX, AY, AZ, ALONG, ACROSS, TARGET = (k * LANES for k in range(8, 14))

# What is watched: whether the lane is done; the last moment of rising and the first of falling
# (height, climb, its rate, time); the last climb; extremes of air speed and spin parameter; the
# vertical acceleration at the start of the step, the greatest height at the end of one.
DONE, UP_Y, UP_V, UP_A, UP_T, DOWN_Y, DOWN_V, DOWN_A, DOWN_T, LAST_V = (
    k * LANES for k in range(14, 24)
)
SLOWEST, LEAST_S, MOST_S, PULL, PEAK = (k * LANES for k in range(24, 29))

# Length of the step, and the sums over its stages: way along x and z, time.
LENGTH, SUM_X, SUM_Z, SUM_T = (k * LANES for k in range(29, 33))

# Slopes of the first stage: rates of vx, vy, vz, spin and y; the other five stages follow.
DVX, DVY, DVZ, DSPIN, DY = (k * LANES for k in range(33, 38))
STAGE = 5 * LANES

N_ROWS = 33 + 6 * 5
FIRST_WATCHED, N_WATCHED = 14, 15
FIRST_FIXED, N_FIXED = 8, 6
N_MOVING = 8
