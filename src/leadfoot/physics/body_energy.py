"""Where the energy of a downswing goes: what all muscles do, and what reaches the club.

An account, not a simulation: the swing model gives arms and club, published tables and speeds give
the body under them, and the sum is what the muscles must have done.
"""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields, replace
from types import MappingProxyType

import numpy as np
from scipy.stats import qmc

from leadfoot.errors import InputError
from leadfoot.physics.body import ASSUMED_OF_BODY, Body, middle_body
from leadfoot.physics.golfer import Golfer, generic_golfer
from leadfoot.physics.lift import Lift
from leadfoot.physics.swing import COARSE, GRAVITY_MPS2, Swing
from leadfoot.physics.tried import (
    N_GOLFERS,
    Tried,
    check_tried,
    fitted,
    golfers_tried,
    lifted,
    pushed_swing,
    rescaled,
)

RISE_SHARE = (0.5, 1.5)
"""The lift that the golfers tried have, over the one that was given (own choice, no source). [-]"""
PASSED_ON = (0.0, 1.0)
"""How much of what pelvis, trunk and legs lose before the strike goes on to arms and club; the rest
is braked by muscles. Not known at all, so from nothing to everything. [-]"""
_ROUNDS = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Account:
    """The energy of one downswing, from the top to the strike.

    Attributes
    ----------
    club_j, arms_j
        Energy of motion at the strike, over the ground. [J]
    turning_j
        Energy of the turning trunk and head at the strike. [J]
    moving_j
        Energy of shift, legs and rise at the strike. [J]
    raised_j
        Weight of the body without arms and club, times how much higher it is at the strike than at
        the top; negative if it is lower. [J]
    weight_helped_j
        Work of the weight of arms and club, which fall. [J]
    braked_j
        What muscles took out again: the body that sinks is stopped, and what slows down before the
        strike is braked as far as it is not passed on; with what the wrists' stop took. [J]
    wrists_j, shoulders_j
        Work of the wrists, and of the shoulders against a trunk that turns. [J]

    Examples
    --------
    >>> found = whole_body(42.5, rng=np.random.default_rng(1), n=8).middle
    >>> found.net_j < found.muscles_j, found.club_j > found.arms_j
    (True, True)
    """

    club_j: float
    arms_j: float
    turning_j: float
    moving_j: float
    raised_j: float
    weight_helped_j: float
    braked_j: float
    wrists_j: float
    shoulders_j: float

    @property
    def net_j(self) -> float:
        """What muscles gave less what they took: all that is there, less the weight's help. [J]."""
        there_j = self.club_j + self.arms_j + self.turning_j + self.moving_j + self.raised_j
        return there_j - self.weight_helped_j

    @property
    def muscles_j(self) -> float:
        """What muscles gave, whatever became of it. [J]."""
        return self.net_j + self.braked_j

    @property
    def below_shoulders_j(self) -> float:
        """What muscles of back, hips and legs gave: all that wrists and shoulders did not. [J]."""
        return self.muscles_j - self.wrists_j - self.shoulders_j

    @property
    def club_share(self) -> float:
        """How much of what muscles gave is in the club at the strike. [-]."""
        return self.club_j / self.muscles_j

    @property
    def club_share_of_net(self) -> float:
        """How much of what muscles gave less what they took is in the club. [-]."""
        return self.club_j / self.net_j

    @property
    def below_shoulders_share(self) -> float:
        """How much of the muscles' work back, hips and legs gave. [-]."""
        return self.below_shoulders_j / self.muscles_j


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BodyEnergy:
    """The account of one golfer, and how far it may be off.

    Attributes
    ----------
    middle
        Of the golfer in the middle of all that is assumed.
    ranges
        Between what nine in ten of the golfers tried have, low and high; by the names of the fields
        of `Account` and of its properties.
    n_golfers
        How many were tried.
    """

    middle: Account
    ranges: Mapping[str, tuple[float, float]]
    n_golfers: int


SAID = (
    *(field.name for field in fields(Account)),
    "net_j",
    "muscles_j",
    "below_shoulders_j",
    "club_share",
    "club_share_of_net",
    "below_shoulders_share",
)
"""All that an account says, by name."""


def whole_body(
    club_speed_mps: float,
    lift: Lift | None = None,
    *,
    rng: np.random.Generator,
    club_key: str = "driver",
    n: int = N_GOLFERS,
) -> BodyEnergy:
    """Where the energy of a downswing goes, for a golfer with this club speed.

    Parameters
    ----------
    club_speed_mps
        Club speed with the body in it, 10 to 70. [m/s]
    lift
        The lift of the body; 6 cm if not given.
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

    Notes
    -----
    Energy of motion and of place of all parts, at the strike less at the top, is what all muscles
    gave less what they took, plus the work of the weight; the ground does none, as the feet stay.
    What they took is not seen at the strike: see `braked_j` of `Account`. Left out: muscles that
    work against each other, springs of tendons, arms that bend, the trunk's tilt.

    References
    ----------
    .. [1] S. M. Nesbit and M. Serrano, "Work and power analysis of the golf swing," Journal of
       Sports Science and Medicine, vol. 4, p. 520, 2005.

    Examples
    --------
    >>> found = whole_body(42.5, rng=np.random.default_rng(1), n=8)
    >>> low, high = found.ranges["club_share"]
    >>> low < found.middle.club_share < high
    True
    """
    check_tried(club_speed_mps, n)
    given = lift or Lift(height_m=0.06)
    middle = fitted(Tried(golfer=generic_golfer(club_key)), club_speed_mps, lifted(given), "with")
    accounts = [
        _tried(one, body, risen, passed_on, club_speed_mps)
        for one, body, risen, passed_on in _all_tried(middle.golfer, given, rng, n)
    ]
    ends = {name: [float(getattr(account, name)) for account in accounts] for name in SAID}
    return BodyEnergy(
        middle=account_of(
            _swung(middle, given), middle, middle_body(), given, passed_on=sum(PASSED_ON) / 2.0
        ),
        ranges=MappingProxyType(
            {
                name: (float(np.quantile(values, 0.05)), float(np.quantile(values, 0.95)))
                for name, values in ends.items()
            }
        ),
        n_golfers=len(accounts),
    )


def account_of(found: Swing, tried: Tried, body: Body, lift: Lift, *, passed_on: float) -> Account:
    """The account of one swing.

    Parameters
    ----------
    found
        The swing of arms and club, with its track.
    tried
        Who swung, and how late the lift came.
    body
        All below the arms.
    lift
        How the body rose.
    passed_on
        Share of what pelvis, trunk and legs lose before the strike that goes on to arms and club.
        [-]

    Raises
    ------
    InputError
        If the swing was made without its track.

    Examples
    --------
    >>> tried, lift = Tried(golfer=generic_golfer("driver")), Lift(height_m=0.06)
    >>> made = pushed_swing(
    ...     tried, lifted(lift), 0.33, rounds=2, tolerance=COARSE, track=True
    ... )
    >>> account = account_of(made, tried, middle_body(), lift, passed_on=0.5)
    >>> round(account.club_j + account.arms_j, 1) == round(made.energy.kinetic_j, 1)
    True
    """
    energy = found.energy
    rise = lift.hub(found.strike_s + tried.late_s, math.pi / 2.0).at(found.strike_s)
    below_kg = body.trunk_kg + body.legs_kg
    turning_j, moving_j = body.turning_j(kept=True), body.moving_j(kept=True)
    slowed_j = body.turning_j(kept=False) + body.moving_j(kept=False) - turning_j - moving_j
    sunk_j = below_kg * GRAVITY_MPS2 * body.sink_m
    return Account(
        club_j=energy.club_j,
        arms_j=energy.kinetic_j - energy.club_j,
        turning_j=turning_j,
        moving_j=moving_j + 0.5 * below_kg * rise.up_mps**2,
        raised_j=below_kg * GRAVITY_MPS2 * rise.up_m - sunk_j,
        weight_helped_j=energy.gravity_j,
        braked_j=sunk_j + (1.0 - passed_on) * slowed_j + energy.lost_j,
        wrists_j=energy.wrist_j,
        shoulders_j=energy.shoulder_j - _through_trunk_j(found, tried.golfer),
    )


def _through_trunk_j(found: Swing, golfer: Golfer) -> float:
    """What the shoulders' torque takes from the turning trunk instead of from the shoulders."""
    track = found.track
    if track is None:
        raise InputError(
            "The swing has no track, so what went through the trunk can't be said.",
            fix="Swing with track=True.",
        )
    drive = golfer.drive
    watts = [
        drive.shoulder_nm_at(now, arms) * drive.trunk_radps_at(now)
        for now, arms in zip(track.time_s.tolist(), track.arms_radps.tolist(), strict=True)
    ]
    return float(np.trapezoid(watts, track.time_s))


def _swung(tried: Tried, lift: Lift) -> Swing:
    """The swing with the lift and its track."""
    return pushed_swing(tried, lifted(lift), 0.3, rounds=_ROUNDS, tolerance=COARSE, track=True)


def _tried(
    tried: Tried, body: Body, lift: Lift, passed_on: float, club_speed_mps: float
) -> Account:
    one = rescaled(tried, club_speed_mps, lifted(lift), "with")
    return account_of(_swung(one, lift), one, body, lift, passed_on=passed_on)


def _all_tried(
    golfer: Golfer, lift: Lift, rng: np.random.Generator, n: int
) -> Iterator[tuple[Tried, Body, Lift, float]]:
    """Golfers that differ above the shoulders and below them, each spread evenly."""
    ends = np.array([*ASSUMED_OF_BODY.values(), RISE_SHARE, PASSED_ON])
    low, high = ends.T
    squares = qmc.scale(qmc.LatinHypercube(len(ends), rng=rng).random(n), low, high)
    for tried, values in zip(golfers_tried(golfer, rng, n), squares.tolist(), strict=True):
        *drawn, risen, passed_on = values
        body = Body(**dict(zip(ASSUMED_OF_BODY, drawn, strict=True)))
        yield tried, body, replace(lift, height_m=risen * lift.height_m), passed_on
