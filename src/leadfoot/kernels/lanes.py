"""One step of all lanes at once: Runge-Kutta, each stage a few plain loops over the lanes.

Each ball has its own step, a share of the time in which its velocity would change by itself; there
is no error estimate and no step is rejected, so that no lane waits for another. The loops of a step
are made from a table of its coefficients (`stepping`), so that no rule is written out by hand.
"""

from collections.abc import Callable
from math import sqrt
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from leadfoot.kernels._jit import inlined
from leadfoot.kernels.push import (
    GRAVITY_MPS2,
    Body,
    Model,
    Wind,
    coefficients,
    pace,
    rates,
    share,
)
from leadfoot.kernels.rows import (
    ACROSS,
    AIR_S,
    AIR_SPIN,
    AIR_V,
    AIR_X,
    AIR_Y,
    AIR_Z,
    ALONG,
    AX,
    AY,
    AZ,
    DRAG_C,
    LANES,
    LENGTH,
    LIFT_C,
    N_MOVING,
    SLOPES,
    SPIN,
    STAGE,
    TIME,
    VX,
    VY,
    VZ,
    X,
    Y,
    Z,
)
from leadfoot.kernels.tableaus import EIGHTH_ORDER, SIXTH_ORDER, Coefficients, Tableau

Rows: TypeAlias = NDArray[np.float64]

IN_RISE, IN_DEPTH = range(2)
"""What a step is taken in if not in time: ``s`` with ``dt = g ds``, for the first step in wind; or
the depth that is left, ``dt = g / vy d(depth)``, for the last, which so ends on the ground by
itself."""


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


@inlined
def _go_there(w: Rows, wind: Wind, body: Body, i: int, y: float) -> None:
    """Turn the velocity of a lane into that through the air, and keep its size and the spin's."""
    part = share(wind, y)
    ux = w[AIR_X + i] - w[ALONG + i] * part
    uz = w[AIR_Z + i] - w[ACROSS + i] * part
    uy = w[AIR_Y + i]
    v = max(sqrt(ux * ux + uy * uy + uz * uz), 1e-9)
    w[AIR_X + i] = ux
    w[AIR_Z + i] = uz
    w[AIR_V + i] = v
    w[AIR_S + i] = w[AIR_SPIN + i] * body.radius_m / v


@inlined
def _slopes(w: Rows, model: Model, body: Body, stage: int, n: int) -> None:
    """Write the slopes, in time, of one stage, from the velocities through the air.

    Two short loops and not one: each number waits for the one before, and only a short loop lets
    the processor begin with the next balls meanwhile. That is a fifth of the time of a flight.
    """
    for i in range(min(n, LANES)):
        v = w[AIR_V + i]
        drag_c, lift_c = coefficients(model, w[AIR_S + i], v * body.re5_per_mps)
        w[DRAG_C + i] = body.drag_per_m * v * drag_c
        w[LIFT_C + i] = body.lift_per_m * v * lift_c
    for i in range(min(n, LANES)):
        at = SLOPES + stage + i
        ux, vy, uz = w[AIR_X + i], w[AIR_Y + i], w[AIR_Z + i]
        ax, ay, az = w[AX + i], w[AY + i], w[AZ + i]
        drag, lift = w[DRAG_C + i], w[LIFT_C + i]
        w[at + VX] = lift * (ay * uz - az * vy) - drag * ux
        w[at + VY] = lift * (az * ux - ax * uz) - drag * vy - GRAVITY_MPS2
        w[at + VZ] = lift * (ax * vy - ay * ux) - drag * uz
        w[at + SPIN] = -body.decay_per_m * w[AIR_SPIN + i] * w[AIR_V + i]


@inlined
def look(w: Rows, model: Model, wind: Wind, body: Body, n: int) -> None:
    """Find the slopes, in time, at the start of a step."""
    for i in range(min(n, LANES)):
        w[AIR_X + i] = w[VX + i]
        w[AIR_Y + i] = w[VY + i]
        w[AIR_Z + i] = w[VZ + i]
        w[AIR_SPIN + i] = w[SPIN + i]
        _go_there(w, wind, body, i, w[Y + i])
    _slopes(w, model, body, 0, n)


def _stage_in_time(coefficients: Coefficients, ways: Coefficients) -> Loop:
    """Make the loop of one later stage of a step in time; ``ways`` lead to the height."""
    mix, climb, stage = _mix(coefficients), _mix(ways), len(coefficients) * STAGE
    part = sum(coefficients)

    @inlined
    def loop(w: Rows, model: Model, wind: Wind, body: Body, n: int) -> None:
        for i in range(min(n, LANES)):
            h = w[LENGTH + i]
            w[AIR_X + i] = w[VX + i] + h * mix(w, SLOPES + VX + i)
            w[AIR_Y + i] = w[VY + i] + h * mix(w, SLOPES + VY + i)
            w[AIR_Z + i] = w[VZ + i] + h * mix(w, SLOPES + VZ + i)
            w[AIR_SPIN + i] = w[SPIN + i] + h * mix(w, SLOPES + SPIN + i)
            y = w[Y + i] + h * (part * w[VY + i] + h * climb(w, SLOPES + VY + i))
            _go_there(w, wind, body, i, y)
        _slopes(w, model, body, stage, n)

    return loop


def _advance_in_time(weights: Coefficients, ways: Coefficients) -> Loop:
    """Make the loop that takes a step in time; ``ways`` lead to the place."""
    mix, way = _mix(weights), _mix(ways)

    @inlined
    def loop(w: Rows, _model: Model, _wind: Wind, _body: Body, n: int) -> None:
        for i in range(min(n, LANES)):
            h = w[LENGTH + i]
            w[X + i] += h * (w[VX + i] + h * way(w, SLOPES + VX + i))
            w[Y + i] += h * (w[VY + i] + h * way(w, SLOPES + VY + i))
            w[Z + i] += h * (w[VZ + i] + h * way(w, SLOPES + VZ + i))
            w[VX + i] += h * mix(w, SLOPES + VX + i)
            w[VY + i] += h * mix(w, SLOPES + VY + i)
            w[VZ + i] += h * mix(w, SLOPES + VZ + i)
            w[SPIN + i] += h * mix(w, SLOPES + SPIN + i)
            w[TIME + i] += h

    return loop


def _slope(variable: int) -> Callable[..., None]:
    """Make the part that writes all slopes of one stage of one lane, not in time."""

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
    """Make the loop that finds the slopes at the start of a step that is not in time."""
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


def _step_in_time(tableau: Tableau) -> Loop:
    """Make all of a step in time but its first stage."""
    ways = tableau.twice()
    stages = [_stage_in_time(*rows) for rows in zip(tableau.rows, ways.rows, strict=True)]
    return _in_turn([*stages, _advance_in_time(tableau.weights, ways.weights)])


def _step(tableau: Tableau, variable: int) -> Loop:
    """Make a whole step that is not in time."""
    stages = [_stage(variable, row) for row in tableau.rows]
    return _in_turn([_first_stage(variable), *stages, _advance(tableau.weights)])


go = _step_in_time(SIXTH_ORDER)
"""Take a step in time, after `look`."""

take_off = _step(EIGHTH_ORDER, IN_RISE)
"""Take the first step in wind."""

come_down = _step(EIGHTH_ORDER, IN_DEPTH)
"""Take the last step in wind."""
