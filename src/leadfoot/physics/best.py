"""The best a swing can do at its speed: the loft that goes farthest."""

import math
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from leadfoot.errors import OutOfRangeError
from leadfoot.physics.air import STANDARD_AIR, Air
from leadfoot.physics.ball import STANDARD_BALL, Ball
from leadfoot.physics.clubs import Club
from leadfoot.physics.delivery import (
    DELIVERY_RANGES,
    Deliveries,
    Delivery,
    Hand,
    deliveries,
    many_of,
)
from leadfoot.physics.flight import fly_many
from leadfoot.physics.impact import strike, strike_many
from leadfoot.physics.launch import CALM, Launch, Wind

Series = NDArray[np.float64]
Goal = Literal["carry", "total"]

LOFT_REACH_RAD = (math.radians(-15.0), math.radians(12.0))
"""How far hands and shaft can bring the dynamic loft from the static loft. Common practice, no
source. [rad]"""

NEARLY_M = 0.9144
"""Lofts within this of the best are as good: one yard. [m]"""

_GRID, _FINE = 28, 9
_ROUNDS = 2
_WINDOW_STEPS_RAD = np.radians(np.arange(-12.0, 12.01, 0.5))


@dataclass(frozen=True, slots=True, kw_only=True)
class Surroundings:
    """What the ball meets and flies through; the same for all that is compared.

    Attributes
    ----------
    ball, air, wind
        The ball, the air and how it moves; the ground is level and of medium firmness. In a cross
        wind "farthest" is still counted toward the target, wherever the ball drifts.

    Examples
    --------
    >>> Surroundings().ball.mass_kg
    0.04593
    """

    ball: Ball = STANDARD_BALL
    air: Air = STANDARD_AIR
    wind: Wind = CALM


STANDARD = Surroundings()
"""The standard ball in still standard air."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Best:
    """The farthest that a club speed and an attack angle reach with a club.

    Attributes
    ----------
    goal
        What was made as long as can be.
    delivery
        Square, from the middle of the face, with the best dynamic loft.
    launch
        How the ball leaves then.
    carry_m, total_m
        How far it goes. [m]
    least_loft_rad, most_loft_rad
        Dynamic lofts between which no more than one yard is lost. [rad]
    at_limit
        Whether the loft stands at the end of what hands can bring: farther would be longer still.
    """

    goal: Goal
    delivery: Delivery
    launch: Launch
    carry_m: float
    total_m: float
    least_loft_rad: float
    most_loft_rad: float
    at_limit: bool


def best_lofts_rad(
    club_speed_mps: Series,
    attack_angle_rad: Series,
    club: Club,
    *,
    goal: Goal = "carry",
    around: Surroundings = STANDARD,
) -> Series:
    """Find the dynamic lofts that go farthest from a square strike in the middle of the face.

    Parameters
    ----------
    club_speed_mps, attack_angle_rad
        Shape (n,) each. [m/s], [rad]
    club
        The head; only lofts within `LOFT_REACH_RAD` of its own are looked at.
    goal
        Carry, or total with bounce and roll.
    around
        Ball, air and wind.

    Returns
    -------
    array
        Dynamic lofts, shape (n,); NaN where none can be struck. [rad]

    Notes
    -----
    Launch and spin are never chosen freely: every trial is struck with the impact model. A grid of
    lofts is flown in one batch, then twice a finer one around the farthest.

    Examples
    --------
    >>> from leadfoot.physics.clubs import club
    >>> lofts = best_lofts_rad(np.array([45.0]), np.array([0.0]), club("driver"))
    >>> np.degrees(lofts).round()
    array([15.])
    """
    low, high = reach_rad(attack_angle_rad, club)
    best = 0.5 * (low + high)
    width = 0.5 * (high - low)
    for count in (_GRID, *[_FINE] * _ROUNDS):
        shares = np.linspace(-1.0, 1.0, count)[:, np.newaxis]
        trials = np.clip(best + shares * width, low, high)
        far = _distance(club_speed_mps, attack_angle_rad, trials, club, goal, around=around)
        best = np.take_along_axis(trials, np.argmax(far, axis=0)[np.newaxis], axis=0)[0]
        width = 2.0 * width / (count - 1)
    return np.where(np.isfinite(np.max(far, axis=0)), best, np.nan)


def reach_rad(attack_angle_rad: Series, club: Club) -> tuple[Series, Series]:
    """Least and most dynamic loft that can be delivered, shape (n,) each.

    Parameters
    ----------
    attack_angle_rad
        Shape (n,): the face never looks lower than 2 degrees above where the head goes. [rad]
    club
        Its static loft counts.

    Examples
    --------
    >>> from leadfoot.physics.clubs import club
    >>> low, high = reach_rad(np.array([0.0]), club("iron7"))
    >>> np.degrees([low[0], high[0]]).round(1)
    array([17., 44.])
    """
    least, most = (club.loft_rad + way for way in LOFT_REACH_RAD)
    floor, ceiling = DELIVERY_RANGES["dynamic_loft_rad"]
    low = np.maximum(np.maximum(attack_angle_rad + math.radians(2.0), least), floor)
    high = np.minimum(np.maximum(most, low + math.radians(1.0)), ceiling)
    return low, high


def _distance(
    speed_mps: Series,
    attack_rad: Series,
    lofts_rad: Series,
    club: Club,
    goal: Goal,
    *,
    around: Surroundings,
) -> Series:
    """Distance for every loft, shape (k, n); minus infinity where it can't be struck or flown."""
    speeds = np.broadcast_to(speed_mps, lofts_rad.shape).ravel()
    attacks = np.broadcast_to(attack_rad, lofts_rad.shape).ravel()
    swings = deliveries(speeds, lofts_rad.ravel(), attacks)
    far = reached_m(swings, club, goal, around=around).reshape(lofts_rad.shape)
    return np.where(np.isnan(far), -np.inf, far)


def reached_m(
    swings: Deliveries,
    club: Club,
    goal: Goal,
    *,
    hand: Hand = "right",
    around: Surroundings = STANDARD,
) -> Series:
    """How far toward the target each delivery goes.

    Parameters
    ----------
    swings
        The deliveries.
    club, goal, around
        As in `best_lofts_rad`.
    hand
        The player's hand.

    Returns
    -------
    array
        Carry or total, shape (n,); NaN where a ball can't be struck or flown. [m]

    Examples
    --------
    >>> from leadfoot.physics.clubs import club
    >>> reached_m(deliveries(45.0, [0.2, np.nan]), club("driver"), "carry").round()
    array([200.,  nan])
    """
    launches = strike_many(swings, club, ball=around.ball, hand=hand)
    flights = fly_many(
        launches.ball_speed_mps,
        launches.launch_angle_rad,
        launches.spin_rate_radps,
        launches.launch_direction_rad,
        launches.spin_axis_rad,
        air=around.air,
        wind_along_mps=around.wind.along_mps,
        wind_across_mps=around.wind.across_mps,
        ball=around.ball,
    )
    return flights.carry_m if goal == "carry" else flights.total_m


def best_loft(
    club_speed_mps: float,
    attack_angle_rad: float,
    club: Club,
    *,
    goal: Goal = "carry",
    around: Surroundings = STANDARD,
) -> Best:
    """The farthest that one speed and attack angle reach with a club; see `best_lofts_rad`.

    Parameters
    ----------
    club_speed_mps, attack_angle_rad
        As in `Delivery`. [m/s], [rad]
    club, goal, around
        As in `best_lofts_rad`.

    Raises
    ------
    OutOfRangeError
        If no loft within reach can be struck and flown.

    Examples
    --------
    >>> from leadfoot.physics.clubs import club
    >>> best = best_loft(45.0, 0.0, club("driver"))
    >>> round(best.carry_m), best.at_limit
    (209, False)
    """
    swing = Delivery(
        club_speed_mps=club_speed_mps, attack_angle_rad=attack_angle_rad, dynamic_loft_rad=0.0
    )
    speed, attack = np.array([club_speed_mps]), np.array([attack_angle_rad])
    loft = float(best_lofts_rad(speed, attack, club, goal=goal, around=around)[0])
    if math.isnan(loft):
        raise OutOfRangeError(
            f"No loft of a {club.name} makes a ball that flies at {club_speed_mps:g} m/s and an "
            f"attack angle of {math.degrees(attack_angle_rad):g} deg.",
            fix="Check club speed, attack angle and club.",
        )
    return _best(replace(swing, dynamic_loft_rad=loft), club, goal, around=around)


def _best(delivery: Delivery, club: Club, goal: Goal, *, around: Surroundings) -> Best:
    """All there is to say of the best delivery."""
    speed, attack = np.array([delivery.club_speed_mps]), np.array([delivery.attack_angle_rad])
    low, high = (float(end[0]) for end in reach_rad(attack, club))
    loft = delivery.dynamic_loft_rad
    lofts = np.unique(np.clip(loft + _WINDOW_STEPS_RAD, low, high))
    far = _distance(speed, attack, lofts[:, np.newaxis], club, goal, around=around)[:, 0]
    at_best = float(np.interp(loft, lofts, far))
    window = _window(lofts, far - (at_best - NEARLY_M), int(np.argmin(np.abs(lofts - loft))))
    one = many_of(delivery)
    carry, total = (
        float(reached_m(one, club, each, around=around)[0]) for each in ("carry", "total")
    )
    return Best(
        goal=goal,
        delivery=delivery,
        launch=strike(delivery, club, ball=around.ball),
        carry_m=carry,
        total_m=total,
        least_loft_rad=window[0],
        most_loft_rad=window[1],
        at_limit=min(loft - low, high - loft) < math.radians(0.1),
    )


def _window(lofts: Series, above_m: Series, middle: int) -> tuple[float, float]:
    """Where the distance falls under the line, to both sides of the best."""
    ends = []
    for way in (-1, 1):
        k = middle
        while 0 <= k + way < len(lofts) and above_m[k + way] >= 0.0:
            k += way
        end = float(lofts[k])
        if 0 <= k + way < len(lofts) and np.isfinite(above_m[k + way]) and above_m[k] > 0.0:
            share = float(above_m[k] / (above_m[k] - above_m[k + way]))
            end += share * float(lofts[k + way] - lofts[k])
        ends.append(end)
    return ends[0], ends[1]
