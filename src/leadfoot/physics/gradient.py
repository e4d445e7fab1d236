"""How a flight changes with its launch and the wind: central differences, all in one batch."""

import numpy as np
from numpy.typing import NDArray

from leadfoot.physics.ball import REGRESSION, STANDARD_BALL, AirModel, Ball
from leadfoot.physics.conditions import STUDIO, Conditions
from leadfoot.physics.flight import NUMBERS, Flights, fly_many

Series = NDArray[np.float64]

INPUTS = {
    "ball_speed_mps": 0.2,
    "launch_angle_rad": float(np.radians(0.2)),
    "launch_direction_rad": float(np.radians(0.2)),
    "spin_rate_radps": 20.0 * 2.0 * np.pi / 60.0,
    "spin_axis_rad": float(np.radians(0.2)),
    "wind_along_mps": 0.2,
    "wind_across_mps": 0.2,
}
"""What a flight is differentiated by, and half the step: wide enough that a millimetre of the
solver is nothing beside it, narrow enough that the flight is straight over it."""


def gradients(
    launches: dict[str, Series],
    *,
    conditions: Conditions = STUDIO,
    ball: Ball = STANDARD_BALL,
    model: AirModel = REGRESSION,
) -> dict[str, Flights]:
    """Rate of change of every number of many flights by each of their inputs.

    Parameters
    ----------
    launches
        The names of `INPUTS`, shape (n,) each; wind is that of ``conditions`` where it is left out,
        direction and axis are 0.
    conditions, ball, model
        As in `leadfoot.physics.flight.fly`.

    Returns
    -------
    dict
        For each input the rates as if they were flights: ``carry_m`` is metres of carry a unit of
        the input. NaN where a flight or its neighbour cannot be flown. Flags are those of the
        neighbour above.

    Examples
    --------
    >>> drive = {
    ...     "ball_speed_mps": np.array([70.0]),
    ...     "launch_angle_rad": np.array([0.2]),
    ...     "spin_rate_radps": np.array([270.0]),
    ... }
    >>> rates = gradients(drive)
    >>> round(float(rates["ball_speed_mps"].carry_m[0]), 1)
    4.1
    """
    wind = conditions.wind
    rest = {"wind_along_mps": wind.along_mps, "wind_across_mps": wind.across_mps}
    rows = [np.atleast_1d(launches.get(name, rest.get(name, 0.0))) for name in INPUTS]
    base = np.stack(np.broadcast_arrays(*rows)).astype(np.float64)
    n = base.shape[1]
    halves = np.array(list(INPUTS.values()))
    shifted = np.repeat(base[:, None, None, :], len(INPUTS), axis=1).repeat(2, axis=2)
    for k, half in enumerate(halves):
        shifted[k, k, 0] += half
        shifted[k, k, 1] -= half
    speed, angle, direction, spin, axis, along, across = shifted.reshape(len(INPUTS), -1)
    flights = fly_many(
        speed,
        angle,
        spin,
        direction,
        axis,
        conditions=conditions,
        wind_along_mps=along,
        wind_across_mps=across,
        ball=ball,
        model=model,
    )
    return {
        name: _difference(flights, slice(2 * k * n, (2 * k + 1) * n), n, 2.0 * half)
        for k, (name, half) in enumerate(zip(INPUTS, halves, strict=True))
    }


def _difference(flights: Flights, above: slice, n: int, width: float) -> Flights:
    below = slice(above.stop, above.stop + n)
    rates = {
        name: (getattr(flights, name)[above] - getattr(flights, name)[below]) / width
        for name in NUMBERS
    }
    return Flights(**rates, flag_bits=flights.flag_bits[above], model=flights.model)
