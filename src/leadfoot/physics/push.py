"""What a push is worth: club speed with the hub lifted, or the body taken out, against without.

A model's estimate with its range, never a promise: the range comes from golfers that differ in all
that the model had to assume.
"""

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray
from scipy.stats import qmc

from leadfoot.errors import InputError
from leadfoot.physics.golfer import Golfer, generic_golfer
from leadfoot.physics.hub import Hub, Traced
from leadfoot.physics.lift import Lift
from leadfoot.physics.rise import Rise
from leadfoot.physics.swing import COARSE, FINE, Swing, swing, with_speed
from leadfoot.physics.within import check_within

Values = NDArray[np.float64]

CAUTIONS = (
    "Pushing hard and swinging at full effort load back, hips and knees: warm up first, build up "
    "over several swings, stop at any pain.",
    "With trouble of the back, hip, knee or heart, or after an operation, ask a physician or "
    "physiotherapist before trying it.",
)
"""What stands beside every number of this model (common practice, no source)."""

ASSUMED: Mapping[str, tuple[float, float]] = MappingProxyType(
    {
        "arms_share": (0.8, 1.2),
        "top_rad": (math.radians(150.0), math.radians(180.0)),
        "cock_rad": (math.radians(80.0), math.radians(110.0)),
        "wrist_nm": (2.0, 14.0),
        "plane_less_usual_rad": (math.radians(-6.0), math.radians(6.0)),
        "fades_at_radps": (20.0, 40.0),
        "trunk_radps": (6.0, 10.0),
        "hub_share": (0.7, 1.3),
        "late_s": (-0.02, 0.02),
        "weight_errors": (-1.5, 1.5),
    }
)
"""What the range is taken over, evenly: mass and inertia of the arms against the textbook's, top,
cock, wrist torque, plane, the shoulders' fading, the trunk's turn, how much of the body's rise
reaches the hub, how well the push is timed, and for a recorded force how far the weight is off, in
standard errors (all own choice, no source)."""

N_GOLFERS = 32
"""Golfers tried for a range; twice as many move its ends by some 0.2 mph."""


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


@dataclass(frozen=True, slots=True, kw_only=True)
class _Try:
    """One golfer, and how the push reaches the hub."""

    golfer: Golfer
    hub_share: float = 1.0
    late_s: float = 0.0
    weight_errors: float = 0.0


Mover = Callable[[float, _Try], Hub]
"""Time of the strike and golfer in, the hub's way out."""


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
    return _worth(club_speed_mps, club_key, _lifted(lift), rng=rng, n=n, speed_is="without")


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
        club_speed_mps, club_key, _lifted(lift), rng=rng, n=n, speed_is="with", body_out=True
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


def _lifted(lift: Lift) -> Mover:
    def move(strike_s: float, tried: _Try) -> Hub:
        return lift.hub(strike_s + tried.late_s, tried.golfer.plane_rad, tried.hub_share)

    return move


def _followed(rise: Rise, strike_s: float) -> Mover:
    """The recorded rise on the model's clock, every 20 ms from 0.6 s before the strike."""
    knots_s = np.arange(strike_s - 0.6, rise.time_s[-1] + 1e-9, 0.02)
    height_m = np.interp(knots_s, rise.time_s, rise.height_m)
    error_m = np.interp(knots_s, rise.time_s, rise.height_error_m)

    def move(model_strike_s: float, tried: _Try) -> Hub:
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
    check_within("club_speed_mps", club_speed_mps, 10.0, 70.0, of="the swing")
    if not 8 <= n <= 10_000:
        raise InputError(f"{n} golfers can't be tried; give 8 to 10,000.", fix="Change n.")
    middle = _fitted(_Try(golfer=generic_golfer(club_key)), club_speed_mps, move, speed_is)
    pushed, plain = _pair(middle, move, body_out=body_out, rounds=3, tolerance=FINE)
    gains = []
    for tried in _golfers(middle.golfer, rng, n):
        one = _scaled(tried, club_speed_mps, move, speed_is)
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
    tried: _Try, move: Mover, *, body_out: bool, rounds: int, tolerance: float
) -> tuple[Swing, Swing]:
    """The swing with the push and the one without."""
    still = swing(tried.golfer, tolerance=tolerance)
    pushed = _pushed(tried, move, still.strike_s, rounds=rounds, tolerance=tolerance)
    if not body_out:
        return pushed, still
    drive = replace(tried.golfer.drive, trunk_radps=0.0)
    return pushed, swing(replace(tried.golfer, drive=drive), tolerance=tolerance)


def _pushed(tried: _Try, move: Mover, strike_s: float, *, rounds: int, tolerance: float) -> Swing:
    """The swing with the push, which is timed by its own strike: found in rounds."""
    found = swing(tried.golfer, move(strike_s, tried), tolerance=tolerance)
    for _ in range(rounds - 1):
        found = swing(tried.golfer, move(found.strike_s, tried), tolerance=tolerance)
    return found


def _fitted(tried: _Try, club_speed_mps: float, move: Mover, speed_is: str) -> _Try:
    """The golfer with the torque that gives the speed, with or without the push."""
    golfer = with_speed(tried.golfer, club_speed_mps)
    for _ in range(3 if speed_is == "with" else 0):
        one = replace(tried, golfer=golfer)
        strike_s = swing(golfer, tolerance=COARSE).strike_s
        strike_s = _pushed(one, move, strike_s, rounds=2, tolerance=COARSE).strike_s
        golfer = with_speed(golfer, club_speed_mps, move(strike_s, tried))
    return replace(tried, golfer=golfer)


def _scaled(tried: _Try, club_speed_mps: float, move: Mover, speed_is: str) -> _Try:
    """The same in one step: speed grows nearly with the root of the torque."""
    found = swing(tried.golfer, tolerance=COARSE)
    if speed_is == "with":
        found = _pushed(tried, move, found.strike_s, rounds=1, tolerance=COARSE)
    drive = tried.golfer.drive
    torque_nm = drive.shoulder_nm * (club_speed_mps / found.club_speed_mps) ** 2
    return replace(tried, golfer=replace(tried.golfer, drive=replace(drive, shoulder_nm=torque_nm)))


def _golfers(golfer: Golfer, rng: np.random.Generator, n: int) -> Iterator[_Try]:
    """Golfers that differ in all that is assumed, spread evenly (a Latin square)."""
    low, high = np.array(list(ASSUMED.values())).T
    for values in qmc.scale(qmc.LatinHypercube(len(ASSUMED), rng=rng).random(n), low, high):
        drawn = dict(zip(ASSUMED, (float(value) for value in values), strict=True))
        arms = replace(
            golfer.arms,
            mass_kg=golfer.arms.mass_kg * drawn["arms_share"],
            inertia_kgm2=golfer.arms.inertia_kgm2 * drawn["arms_share"],
        )
        drive = replace(
            golfer.drive,
            wrist_nm=drawn["wrist_nm"],
            fades_at_radps=drawn["fades_at_radps"],
            trunk_radps=drawn["trunk_radps"],
        )
        yield _Try(
            golfer=replace(
                golfer,
                arms=arms,
                drive=drive,
                top_rad=drawn["top_rad"],
                cock_rad=drawn["cock_rad"],
                plane_rad=golfer.plane_rad + drawn["plane_less_usual_rad"],
            ),
            hub_share=drawn["hub_share"],
            late_s=drawn["late_s"],
            weight_errors=drawn["weight_errors"],
        )
