"""What a delivery leaves on the table at its own speed, and by which part."""

import itertools
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from leadfoot.physics.best import (
    STANDARD,
    Best,
    Goal,
    Surroundings,
    best_loft,
    best_lofts_rad,
    reached_m,
)
from leadfoot.physics.clubs import Club
from leadfoot.physics.delivery import Deliveries, Delivery, Hand, many_of

Series = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOver:
    """What a delivery leaves on the table at its own speed and attack angle.

    Attributes
    ----------
    best
        What could be had.
    carry_m, total_m
        What the delivery gives, toward the target. [m]
    loft_m, strike_m, direction_m
        What loft, place on the face, and face and path each leave; they add up to `whole_m`. One of
        them is negative where it gains, such as a strike high on a driver. [m]
    whole_m
        Distance of the best less that of the delivery, in the goal's distance. [m]
    """

    best: Best
    carry_m: float
    total_m: float
    loft_m: float
    strike_m: float
    direction_m: float
    whole_m: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LeftOvers:
    """What many deliveries leave on the table: arrays of shape (n,), NaN where one can't be flown.

    The attributes are those of `LeftOver`; `best_m` is the farthest of each, `best_loft_rad` its
    dynamic loft.
    """

    best_loft_rad: Series
    best_m: Series
    loft_m: Series
    strike_m: Series
    direction_m: Series
    whole_m: Series


def left_over_many(
    given: Deliveries,
    club: Club,
    *,
    goal: Goal = "carry",
    hand: Hand = "right",
    around: Surroundings = STANDARD,
) -> LeftOvers:
    """What many deliveries leave on the table, and by which part.

    Parameters
    ----------
    given
        The deliveries.
    club, goal, around
        As in `best_lofts_rad`.
    hand
        The player's hand.

    Returns
    -------
    LeftOvers
        NaN in the rows that can't be struck or flown.

    Notes
    -----
    Speed and attack angle stay the student's. Three parts differ from the best: the loft, the place
    on the face, and face with path. Each of the eight mixtures of best and delivered parts is
    struck and flown; a part is charged what it costs on average over the six orders in which the
    parts can be put right (the Shapley value), so the three add up and no order is preferred.

    References
    ----------
    .. [1] L. S. Shapley, "A value for n-person games," Contributions to the Theory of Games II,
       pp. 307-317, 1953.

    Examples
    --------
    >>> from leadfoot.physics.clubs import club
    >>> from leadfoot.physics.delivery import deliveries
    >>> swings = deliveries([45.0, 45.0], [0.25, 0.18], face_angle_rad=[0.0, 0.03])
    >>> left = left_over_many(swings, club("driver"))
    >>> bool(np.allclose(left.loft_m + left.strike_m + left.direction_m, left.whole_m))
    True
    """
    best = best_lofts_rad(
        given.club_speed_mps, given.attack_angle_rad, club, goal=goal, around=around
    )
    reached = {
        parts: reached_m(_mixed(given, best, parts), club, goal, hand=hand, around=around)
        for size in range(4)
        for parts in itertools.combinations(_PARTS, size)
    }
    costs = {part: _cost(part, reached) for part in _PARTS}
    return LeftOvers(
        best_loft_rad=best,
        best_m=reached[()],
        loft_m=costs["loft"],
        strike_m=costs["strike"],
        direction_m=costs["direction"],
        whole_m=reached[()] - reached[_PARTS],
    )


_PARTS = ("loft", "strike", "direction")


def _mixed(given: Deliveries, best_loft_rad: Series, parts: tuple[str, ...]) -> Deliveries:
    """The best delivery, but for these parts, which are as delivered."""
    own_strike = 1.0 if "strike" in parts else 0.0
    own_direction = 1.0 if "direction" in parts else 0.0
    return replace(
        given,
        dynamic_loft_rad=given.dynamic_loft_rad if "loft" in parts else best_loft_rad,
        strike_heel_toe_m=own_strike * given.strike_heel_toe_m,
        strike_high_low_m=own_strike * given.strike_high_low_m,
        face_angle_rad=own_direction * given.face_angle_rad,
        club_path_rad=own_direction * given.club_path_rad,
    )


def _cost(part: str, reached: dict[tuple[str, ...], Series]) -> Series:
    """What one part costs, on average over the orders in which the parts go wrong."""
    others = [name for name in _PARTS if name != part]
    total = np.zeros_like(reached[()])
    for size, weight in ((0, 1.0 / 3.0), (1, 1.0 / 6.0), (2, 1.0 / 3.0)):
        for before in itertools.combinations(others, size):
            after = tuple(name for name in _PARTS if name in before or name == part)
            total = total + weight * (reached[before] - reached[after])
    return total


def left_over(
    delivery: Delivery,
    club: Club,
    *,
    goal: Goal = "carry",
    hand: Hand = "right",
    around: Surroundings = STANDARD,
) -> LeftOver:
    """What one delivery leaves on the table, and by which part; see `left_over_many`.

    Parameters
    ----------
    delivery
        The delivery.
    club, goal, hand, around
        As in `left_over_many`.

    Examples
    --------
    >>> from leadfoot.physics.clubs import club
    >>> low = Delivery(club_speed_mps=45.0, dynamic_loft_rad=0.18, face_angle_rad=0.05)
    >>> left = left_over(low, club("driver"))
    >>> round(left.whole_m), round(left.loft_m), round(left.direction_m), round(left.strike_m)
    (21, 17, 4, 0)
    """
    one = many_of(delivery)
    best = best_loft(
        delivery.club_speed_mps, delivery.attack_angle_rad, club, goal=goal, around=around
    )
    many = left_over_many(one, club, goal=goal, hand=hand, around=around)
    carry, total = (
        float(reached_m(one, club, each, hand=hand, around=around)[0])
        for each in ("carry", "total")
    )
    return LeftOver(
        best=best,
        carry_m=carry,
        total_m=total,
        loft_m=float(many.loft_m[0]),
        strike_m=float(many.strike_m[0]),
        direction_m=float(many.direction_m[0]),
        whole_m=float(many.whole_m[0]),
    )
