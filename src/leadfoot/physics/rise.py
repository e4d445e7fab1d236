"""From a vertical force to the rise of the centre of mass: force less weight, integrated twice."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leadfoot.errors import InputError, OutOfRangeError
from leadfoot.physics.swing import GRAVITY_MPS2

Values = NDArray[np.float64]

SHORTEST_QUIET_S = 0.25
"""Least stretch of quiet stance to weigh in; a second is better. [s]"""
LEAST_WEIGHT_ERROR_N = 0.7
"""Windows of 0.25 to 0.4 s shift the weight by 0.4 to 0.7 N on recorded jumps (computed from open
recordings). [N]"""
UNQUIET_SHARE = 0.03
"""Standard deviation from which a stance is not quiet, as a share of the weight (own choice)."""
LONGEST_S = 4.0
"""Longest stretch from quiet stance to the end: a newton too much moves the centre of mass by 10 cm
in 4 s at 80 kg. [s]"""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Rise:
    """How the centre of mass of golfer and club moves up and down; all arrays of shape (n,).

    Attributes
    ----------
    time_s
        Times of the record from the end of the quiet stance. [s]
    height_m, speed_mps
        Height over the quiet stance, and how fast it rises. [m], [m/s]
    height_error_m
        One standard error of the height, from that of the weight. [m]
    weight_n
        Weight of golfer and club in quiet stance. [N]
    greatest_force_share
        Greatest force over the weight. [-]
    flags
        What to doubt.
    """

    time_s: Values
    height_m: Values
    speed_mps: Values
    height_error_m: Values
    weight_n: float
    greatest_force_share: float
    flags: tuple[str, ...]


def com_rise(
    time_s: Values, force_n: Values, *, quiet_from_s: float, quiet_to_s: float, until_s: float
) -> Rise:
    """Rise of the centre of mass from the vertical force under both feet.

    Parameters
    ----------
    time_s
        Times that grow, shape (n,). [s]
    force_n
        Vertical force of the ground on both feet together, up positive, shape (n,). [N]
    quiet_from_s, quiet_to_s
        A stretch of quiet stance at address, at least 0.25 s; weight is its mean, and the swing is
        integrated from its end. [s]
    until_s
        End of the integration, such as 0.1 s after the strike. [s]

    Raises
    ------
    InputError
        If the arrays do not fit each other, hold gaps, or do not hold the stretches.
    OutOfRangeError
        If the stance is not quiet or the stretch too long.

    Notes
    -----
    ``a = (F - W) / (W / g)`` from rest, by the trapezoid rule. Unfiltered force: the integration
    smooths by itself. An error of the weight grows with the square of time: ``dW/m t²/2``.

    Examples
    --------
    >>> time_s = np.linspace(0.0, 2.0, 2001)
    >>> push = np.where(time_s > 1.5, 80.0, 0.0)
    >>> rise = com_rise(
    ...     time_s, 784.532 + push, quiet_from_s=0.0, quiet_to_s=1.0, until_s=2.0
    ... )
    >>> round(float(rise.height_m[-1]), 3)
    0.125
    """
    _check(time_s, force_n, quiet_from_s, quiet_to_s, until_s)
    quiet = force_n[(time_s >= quiet_from_s) & (time_s <= quiet_to_s)]
    weight_n, spread_n = float(quiet.mean()), float(quiet.std())
    if not weight_n >= 100.0:
        raise OutOfRangeError(
            f"Weight in quiet stance is {weight_n:g} N; a golfer weighs at least 100 N.",
            fix="Give the force in newton, of both feet together, up positive.",
        )
    if spread_n > UNQUIET_SHARE * weight_n:
        raise OutOfRangeError(
            f"Force in the quiet stance varies by {spread_n:.0f} N, "
            f"{100.0 * spread_n / weight_n:.0f} % of the weight.",
            fix="Choose a stretch in which the golfer stands still.",
        )
    used = (time_s >= quiet_to_s) & (time_s <= until_s)
    since_s, force_n = time_s[used], force_n[used]
    mass_kg = weight_n / GRAVITY_MPS2
    speed_mps = _integral((force_n - weight_n) / mass_kg, since_s)
    height_m = _integral(speed_mps, since_s)
    stretches = (quiet_to_s - quiet_from_s) / SHORTEST_QUIET_S
    weight_error_n = max(LEAST_WEIGHT_ERROR_N, spread_n / math.sqrt(stretches))
    flags = () if quiet_to_s - quiet_from_s >= 1.0 else ("quiet stance shorter than a second",)
    return Rise(
        time_s=since_s,
        height_m=height_m,
        speed_mps=speed_mps,
        height_error_m=weight_error_n / mass_kg * (since_s - since_s[0]) ** 2 / 2.0,
        weight_n=weight_n,
        greatest_force_share=float(force_n.max()) / weight_n,
        flags=flags,
    )


def _integral(values: Values, time_s: Values) -> Values:
    """From the first time on, by the trapezoid rule."""
    steps = 0.5 * (values[1:] + values[:-1]) * np.diff(time_s)
    return np.concatenate([[0.0], np.cumsum(steps)])


def _check(
    time_s: Values, force_n: Values, quiet_from_s: float, quiet_to_s: float, until_s: float
) -> None:
    if time_s.ndim != 1 or time_s.shape != force_n.shape or time_s.size < 10:
        raise InputError(
            f"The force has {force_n.size} values for {time_s.size} times; it needs at least 10 "
            "and as many of both.",
            fix="Give two columns of one length.",
        )
    if not (np.isfinite(time_s).all() and np.isfinite(force_n).all()):
        raise InputError("The force record holds NaN or infinity.", fix="Leave gaps out.")
    if not (np.diff(time_s) > 0.0).all():
        raise InputError("The times of the force record do not grow.", fix="Sort the rows.")
    if not time_s[0] <= quiet_from_s < quiet_to_s < until_s <= time_s[-1]:
        raise InputError(
            f"Quiet stance from {quiet_from_s:g} to {quiet_to_s:g} s and the end at {until_s:g} s "
            f"do not lie in this order inside the record, {time_s[0]:g} to {time_s[-1]:g} s.",
            fix="Check the times and their zero.",
        )
    if not quiet_to_s - quiet_from_s >= SHORTEST_QUIET_S:
        raise OutOfRangeError(
            f"The quiet stance lasts {quiet_to_s - quiet_from_s:g} s; weighing needs at least "
            f"{SHORTEST_QUIET_S:g} s.",
            fix="Choose a longer stretch; a second is better.",
        )
    if not until_s - quiet_to_s <= LONGEST_S:
        raise OutOfRangeError(
            f"From quiet stance to the end are {until_s - quiet_to_s:g} s; after {LONGEST_S:g} s "
            "the height has drifted too far.",
            fix="Choose a quiet stance nearer to the swing.",
        )
