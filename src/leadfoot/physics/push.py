"""What a push is worth: club speed with the hub lifted, or the body taken out, against without.

A model's estimate with its range, never a promise: the range comes from golfers that differ in all
that the model had to assume.
"""

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from leadfoot.errors import InputError
from leadfoot.physics.golfer import Golfer, generic_golfer
from leadfoot.physics.hub import Hub, Traced
from leadfoot.physics.lift import Lift
from leadfoot.physics.rise import Rise
from leadfoot.physics.swing import COARSE, FINE, Swing, swing
from leadfoot.physics.tried import (
    N_GOLFERS,
    Mover,
    Tried,
    check_tried,
    fitted,
    golfers_tried,
    lifted,
    pushed_swing,
    rescaled,
)

Values = NDArray[np.float64]

CAUTIONS = (
    "Pushing hard and swinging at full effort load back, hips and knees: warm up first, build up "
    "over several swings, stop at any pain.",
    "With trouble of the back, hip, knee or heart, or after an operation, ask a physician or "
    "physiotherapist before trying it.",
)
"""What stands beside every number of this model (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Worth:
    """Club speed with and without, for one golfer, and the range over others.

    Attributes
    ----------
    with_push, without_push
        The two swings.
    golfer
        Who swings them.
    gain_mps
        Club speed with less without. [m/s]
    low_mps, high_mps
        Nine in ten of the golfers tried gain between these. [m/s]
    n_golfers
        How many were tried and came to the ball both ways.
    """

    with_push: Swing
    without_push: Swing
    golfer: Golfer
    gain_mps: float
    low_mps: float
    high_mps: float
    n_golfers: int


def push_worth(
    club_speed_mps: float,
    lift: Lift,
    *,
    rng: np.random.Generator,
    club_key: str = "iron7",
    n: int = N_GOLFERS,
) -> Worth:
    """What a lift adds to a swing that has this club speed without it.

    Parameters
    ----------
    club_speed_mps
        Club speed with the hub still, 10 to 70. [m/s]
    lift
        How far, how long and how early.
    rng
        Source of the golfers tried.
    club_key
        Key of a generic club.
    n
        How many golfers are tried for the range, 8 to 10,000.

    Raises
    ------
    OutOfRangeError
        If a number lies outside its range.

    Examples
    --------
    >>> worth = push_worth(
    ...     42.0, Lift(height_m=0.06), rng=np.random.default_rng(1), club_key="driver", n=8
    ... )
    >>> worth.low_mps < worth.gain_mps < worth.high_mps
    True
    """
    return _worth(club_speed_mps, club_key, lifted(lift), rng=rng, n=n, speed_is="without")


def trace_worth(
    club_speed_mps: float,
    rise: Rise,
    strike_s: float,
    *,
    rng: np.random.Generator,
    club_key: str = "iron7",
    n: int = N_GOLFERS,
) -> Worth:
    """What the recorded rise of the body is worth in a swing that has this club speed with it.

    Parameters
    ----------
    club_speed_mps
        Club speed of the recorded swing, 10 to 70. [m/s]
    rise
        Rise of the centre of mass; up to 0.05 s after the strike at least.
    strike_s
        When the strike was, on the record's clock. [s]
    rng
        Source of the golfers tried.
    club_key
        Key of a generic club.
    n
        How many golfers are tried for the range, 8 to 10,000.

    Raises
    ------
    InputError
        If the record does not hold the downswing.

    Examples
    --------
    >>> from leadfoot.physics.rise import com_rise
    >>> time_s = np.linspace(0.0, 3.0, 3001)
    >>> push_n = 400.0 * np.exp(-(((time_s - 2.4) / 0.05) ** 2))
    >>> rise = com_rise(time_s, 800.0 + push_n, quiet_from_s=0.0, quiet_to_s=1.0, until_s=2.6)
    >>> worth = trace_worth(42.0, rise, 2.5, rng=np.random.default_rng(1), n=8)
    >>> worth.gain_mps > 0.0
    True
    """
    if not rise.time_s[0] <= strike_s - 0.6 <= strike_s + 0.05 <= rise.time_s[-1]:
        raise InputError(
            f"The strike at {strike_s:g} s needs the rise from 0.6 s before to 0.05 s after; it is "
            f"known from {rise.time_s[0]:g} to {rise.time_s[-1]:g} s.",
            fix="Check the time of the strike, and end the quiet stance before the downswing.",
        )
    return _worth(
        club_speed_mps, club_key, _followed(rise, strike_s), rng=rng, n=n, speed_is="with"
    )


def body_worth(
    club_speed_mps: float,
    lift: Lift,
    *,
    rng: np.random.Generator,
    club_key: str = "iron7",
    n: int = N_GOLFERS,
) -> Worth:
    """What the body is worth: the lift and the trunk's turn together, against arms alone.

    Parameters
    ----------
    club_speed_mps
        Club speed with the body, 10 to 70. [m/s]
    lift
        The lift that goes with it.
    rng
        Source of the golfers tried.
    club_key
        Key of a generic club.
    n
        How many golfers are tried for the range, 8 to 10,000.

    Notes
    -----
    Without the body the hub is still and the trunk does not turn, so that the shoulders pull while
    they shorten faster, and weaker for it. How fast the trunk turns and how the torque fades are
    from memory: of all numbers of this model this one is the least certain.

    Examples
    --------
    >>> worth = body_worth(
    ...     42.5, Lift(height_m=0.06), rng=np.random.default_rng(1), club_key="driver", n=8
    ... )
    >>> 3.0 < worth.gain_mps < 9.0
    True
    """
    return _worth(
        club_speed_mps, club_key, lifted(lift), rng=rng, n=n, speed_is="with", body_out=True
    )


def push_sensitivity(
    golfer: Golfer, heights_m: Values, leads_s: Values, *, duration_s: float = 0.24
) -> Values:
    """Gain of club speed by how hard and how early the lift comes.

    Parameters
    ----------
    golfer
        Who swings; `with_speed` fits one to a club speed.
    heights_m
        Rises of the body, shape (h,); a higher one in the same time is a harder push. [m]
    leads_s
        How long before the strike of the still swing the lift is half done, shape (k,). [s]
    duration_s
        How long every lift takes. [s]

    Returns
    -------
    ndarray
        Gains over the hub still, shape (h, k). [m/s]

    Examples
    --------
    >>> gains = push_sensitivity(generic_golfer(), np.array([0.0, 0.06]), np.array([0.05]))
    >>> bool(gains[1, 0] > gains[0, 0])
    True
    """
    still = swing(golfer, tolerance=COARSE)
    gains = np.empty((heights_m.size, leads_s.size))
    for row, height_m in enumerate(heights_m):
        for column, lead_s in enumerate(leads_s):
            lift = Lift(height_m=float(height_m), duration_s=duration_s, lead_s=float(lead_s))
            moved = swing(golfer, lift.hub(still.strike_s, golfer.plane_rad), tolerance=COARSE)
            gains[row, column] = moved.club_speed_mps - still.club_speed_mps
    return gains


def _followed(rise: Rise, strike_s: float) -> Mover:
    """The recorded rise on the model's clock, every 20 ms from 0.6 s before the strike."""
    knots_s = np.arange(strike_s - 0.6, rise.time_s[-1] + 1e-9, 0.02)
    height_m = np.interp(knots_s, rise.time_s, rise.height_m)
    error_m = np.interp(knots_s, rise.time_s, rise.height_error_m)

    def move(model_strike_s: float, tried: Tried) -> Hub:
        risen_m = height_m + tried.weight_errors * error_m
        up_m = tried.hub_share * math.sin(tried.golfer.plane_rad) * risen_m
        shifted_s = knots_s - strike_s + model_strike_s + tried.late_s
        return Traced(shifted_s, np.zeros_like(up_m), up_m)

    return move


def _worth(
    club_speed_mps: float,
    club_key: str,
    move: Mover,
    *,
    rng: np.random.Generator,
    n: int,
    speed_is: str,
    body_out: bool = False,
) -> Worth:
    check_tried(club_speed_mps, n)
    middle = fitted(Tried(golfer=generic_golfer(club_key)), club_speed_mps, move, speed_is)
    pushed, plain = _pair(middle, move, body_out=body_out, rounds=3, tolerance=FINE)
    gains = []
    for tried in golfers_tried(middle.golfer, rng, n):
        one = rescaled(tried, club_speed_mps, move, speed_is)
        with_push, without_push = _pair(one, move, body_out=body_out, rounds=1, tolerance=COARSE)
        gains.append(with_push.club_speed_mps - without_push.club_speed_mps)
    low_mps, high_mps = (float(end) for end in np.quantile(gains, (0.05, 0.95)))
    return Worth(
        with_push=pushed,
        without_push=plain,
        golfer=middle.golfer,
        gain_mps=pushed.club_speed_mps - plain.club_speed_mps,
        low_mps=low_mps,
        high_mps=high_mps,
        n_golfers=len(gains),
    )


def _pair(
    tried: Tried, move: Mover, *, body_out: bool, rounds: int, tolerance: float
) -> tuple[Swing, Swing]:
    """The swing with the push and the one without."""
    still = swing(tried.golfer, tolerance=tolerance)
    pushed = pushed_swing(tried, move, still.strike_s, rounds=rounds, tolerance=tolerance)
    if not body_out:
        return pushed, still
    drive = replace(tried.golfer.drive, trunk_radps=0.0)
    return pushed, swing(replace(tried.golfer, drive=drive), tolerance=tolerance)
