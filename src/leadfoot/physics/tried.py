"""Golfers that differ in all that the swing model had to assume: what its ranges are taken over."""

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

import numpy as np
from scipy.stats import qmc

from leadfoot.errors import InputError
from leadfoot.physics.golfer import Golfer
from leadfoot.physics.hub import Hub
from leadfoot.physics.lift import Lift
from leadfoot.physics.swing import COARSE, Swing, swing, with_speed
from leadfoot.physics.within import check_within

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
"""Golfers tried for a range; another draw moves its ends by some 0.1 mph for a lift worth 2 and
by 0.5 mph for a body worth 13."""


def check_tried(club_speed_mps: float, n: int) -> None:
    """Refuse a club speed, or a number of golfers, that no range can be taken over.

    Parameters
    ----------
    club_speed_mps
        10 to 70. [m/s]
    n
        8 to 10,000.

    Raises
    ------
    InputError
        If one of them lies outside.

    Examples
    --------
    >>> check_tried(42.5, 32)
    """
    check_within("club_speed_mps", club_speed_mps, 10.0, 70.0, of="the swing")
    if not 8 <= n <= 10_000:
        raise InputError(f"{n} golfers can't be tried; give 8 to 10,000.", fix="Change n.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Tried:
    """One golfer, and how the push reaches the hub.

    Attributes
    ----------
    golfer
        Who swings.
    hub_share
        How much of the body's rise reaches the hub. [-]
    late_s
        How late the push comes. [s]
    weight_errors
        How far the weight of a recorded force is off, in standard errors. [-]

    Examples
    --------
    >>> from leadfoot.physics.golfer import generic_golfer
    >>> Tried(golfer=generic_golfer()).hub_share
    1.0
    """

    golfer: Golfer
    hub_share: float = 1.0
    late_s: float = 0.0
    weight_errors: float = 0.0


Mover = Callable[[float, Tried], Hub]
"""Time of the strike and golfer in, the hub's way out."""


def lifted(lift: Lift) -> Mover:
    """How a lift moves the hub of each golfer tried.

    Parameters
    ----------
    lift
        How far, how long and how early.

    Examples
    --------
    >>> from leadfoot.physics.golfer import generic_golfer
    >>> move = lifted(Lift(height_m=0.06))
    >>> round(move(0.3, Tried(golfer=generic_golfer("driver"), hub_share=0.5)).at(0.4).up_m, 4)
    0.023
    """

    def move(strike_s: float, tried: Tried) -> Hub:
        return lift.hub(strike_s + tried.late_s, tried.golfer.plane_rad, tried.hub_share)

    return move


def pushed_swing(
    tried: Tried,
    move: Mover,
    strike_s: float,
    *,
    rounds: int,
    tolerance: float,
    track: bool = False,
) -> Swing:
    """The swing with the push, which is timed by its own strike: found in rounds.

    Parameters
    ----------
    tried, move
        Who swings, and how the push moves the hub.
    strike_s
        When the strike is taken to be in the first round. [s]
    rounds
        At least one; each is timed by the strike of the one before.
    tolerance, track
        As in `leadfoot.physics.swing.swing`.

    Examples
    --------
    >>> from leadfoot.physics.golfer import generic_golfer
    >>> one, move = Tried(golfer=generic_golfer("driver")), lifted(Lift(height_m=0.06))
    >>> round(pushed_swing(one, move, 0.33, rounds=3, tolerance=COARSE).club_speed_mps, 2)
    43.45
    """
    found = swing(tried.golfer, move(strike_s, tried), tolerance=tolerance, track=track)
    for _ in range(rounds - 1):
        found = swing(tried.golfer, move(found.strike_s, tried), tolerance=tolerance, track=track)
    return found


def fitted(tried: Tried, club_speed_mps: float, move: Mover, speed_is: str) -> Tried:
    """The golfer with the torque that gives the speed, with or without the push.

    Parameters
    ----------
    tried, move
        Who swings, and how the push moves the hub.
    club_speed_mps
        Speed at the strike. [m/s]
    speed_is
        ``with`` the push, or ``without``.

    Examples
    --------
    >>> from leadfoot.physics.golfer import generic_golfer
    >>> one, move = Tried(golfer=generic_golfer("driver")), lifted(Lift(height_m=0.06))
    >>> strong = fitted(one, 42.5, move, "with").golfer
    >>> strong.drive.shoulder_nm < fitted(one, 42.5, move, "without").golfer.drive.shoulder_nm
    True
    """
    golfer = with_speed(tried.golfer, club_speed_mps)
    for _ in range(3 if speed_is == "with" else 0):
        one = replace(tried, golfer=golfer)
        strike_s = swing(golfer, tolerance=COARSE).strike_s
        strike_s = pushed_swing(one, move, strike_s, rounds=2, tolerance=COARSE).strike_s
        golfer = with_speed(golfer, club_speed_mps, move(strike_s, tried))
    return replace(tried, golfer=golfer)


def rescaled(tried: Tried, club_speed_mps: float, move: Mover, speed_is: str) -> Tried:
    """The same in one step: speed grows nearly with the root of the torque.

    Parameters
    ----------
    tried, move, speed_is
        As in `fitted`.
    club_speed_mps
        Speed at the strike, met to about one part in a hundred. [m/s]

    Examples
    --------
    >>> from leadfoot.physics.golfer import generic_golfer
    >>> one, move = Tried(golfer=generic_golfer("driver")), lifted(Lift(height_m=0.06))
    >>> near = rescaled(one, 42.5, move, "without").golfer
    >>> abs(swing(near).club_speed_mps - 42.5) < 0.4
    True
    """
    found = swing(tried.golfer, tolerance=COARSE)
    if speed_is == "with":
        found = pushed_swing(tried, move, found.strike_s, rounds=1, tolerance=COARSE)
    drive = tried.golfer.drive
    torque_nm = drive.shoulder_nm * (club_speed_mps / found.club_speed_mps) ** 2
    return replace(tried, golfer=replace(tried.golfer, drive=replace(drive, shoulder_nm=torque_nm)))


def golfers_tried(golfer: Golfer, rng: np.random.Generator, n: int) -> Iterator[Tried]:
    """Golfers that differ in all that is assumed, spread evenly (a Latin square).

    Parameters
    ----------
    golfer
        The middle of them.
    rng
        Source of the golfers.
    n
        How many.

    Examples
    --------
    >>> from leadfoot.physics.golfer import generic_golfer
    >>> tried = list(golfers_tried(generic_golfer(), np.random.default_rng(1), 8))
    >>> len(tried), all(0.7 <= one.hub_share <= 1.3 for one in tried)
    (8, True)
    """
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
        yield Tried(
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
