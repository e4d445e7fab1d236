"""A block of balls hit as usual, ready to be looked at: swing and ball, mishits told apart."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from leadfoot.coaching.attribution import Land
from leadfoot.coaching.swings import ENOUGH, Explainable, Readings, explainable
from leadfoot.errors import InputError
from leadfoot.evidence.usual import MAD_TO_SD
from leadfoot.physics.best import STANDARD, Surroundings
from leadfoot.physics.clubs import Club
from leadfoot.physics.delivery import DELIVERY_RANGES, Hand
from leadfoot.physics.launch import LAUNCH_RANGES
from leadfoot.physics.monitor import USUAL_ERRORS, MonitorErrors

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]

FEWEST = 6
"""Fewer balls say too little of a student's usual swing: house rule, no source. [-]"""
FARTHEST_GOAL = 0.3
"""A goal so far above the usual speed is of another club or another unit. Our own. [-]"""
MISHIT_SLOW = 0.15
"""A ball that leaves with so much less speed than the middle one may be a mishit; it must also lie
clearly outside the rest. Our own. [-]"""
MISHIT_SHORT = 0.4
"""The same for the carry, where a topped ball shows: a curving ball is short too, and no mishit.
Our own. [-]"""
MISHIT_SDS = 3.5
"""So many standard deviations outside the rest; 1 of some 4,000 clean normal balls. [-]"""
LEAST_SD = 0.03
"""The rest is taken to spread by this share of the middle at least. Our own. [-]"""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Block:
    """Balls hit as usual.

    Attributes
    ----------
    club, hand, around
        What struck them, and what they met.
    depth
        How far the readings go, as in `leadfoot.coaching.swings`.
    rows
        Shape (p, n): inputs of the model, for the solid balls that it can strike and fly.
    names
        Names of the rows.
    land
        From rows to carry and offline.
    error_covariance
        Shape (p, p): what the monitor's errors do to one ball's rows.
    readings
        What was read, of the same balls.
    all_carry_m, all_offline_m
        Of every ball that came down somewhere, mishits among them: as read, else as flown. [m]
    mishit
        Which of those are mishits.
    n_given
        Balls of the block.
    goal_speed_mps
        The club speed that the student wants, if they said one. [m/s]
    known
        Names without unit of what was read, or follows from what was.
    """

    club: Club
    hand: Hand
    around: Surroundings
    depth: str
    rows: Floats
    names: tuple[str, ...]
    land: Land
    error_covariance: Floats
    readings: Mapping[str, Floats]
    all_carry_m: Floats
    all_offline_m: Floats
    mishit: Mask
    n_given: int
    goal_speed_mps: float | None = None
    known: frozenset[str] = frozenset()

    def row(self, name: str) -> Floats:
        """One input of the solid balls, in SI."""
        return np.asarray(self.rows[self.names.index(name)])

    def error(self, name: str, less: str | None = None) -> float:
        """What the monitor's errors do to one ball's input, or to one input less another."""
        along = np.zeros(len(self.names))
        along[self.names.index(name)] = 1.0
        if less is not None:
            along[self.names.index(less)] = -1.0
        return math.sqrt(max(float(along @ self.error_covariance @ along), 0.0))


def block_of(
    given: Readings,
    club: Club,
    *,
    hand: Hand = "right",
    around: Surroundings = STANDARD,
    errors: MonitorErrors = USUAL_ERRORS,
    goal_speed_mps: float | None = None,
) -> Block:
    """Make of the readings of one block what the findings need.

    Parameters
    ----------
    given
        What was read, SI, NaN where it was not; ``low_point_m`` may be among it.
    club, hand, around
        The head, the student's hand, ball and air.
    errors
        What the monitor may be off by.
    goal_speed_mps
        The student's own goal, if they named one. [m/s]

    Raises
    ------
    InputError
        If there are too few balls, or too little was read of them.

    Examples
    --------
    >>> from leadfoot.physics.clubs import club
    >>> few = {"club_speed_mps": np.array([40.0, 41.0])}
    >>> block_of(few, club("driver"))
    Traceback (most recent call last):
    ...
    leadfoot.errors.InputError: There are 2 balls; what limits a student is looked for from 6 on.
    Hit more balls as usual, 12 to 20 if possible.
    """
    n = max((len(values) for values in given.values()), default=0)
    if n < FEWEST:
        raise InputError(
            f"There are {n} balls; what limits a student is looked for from {FEWEST} on.",
            fix="Hit more balls as usual, 12 to 20 if possible.",
        )
    _check_goal(given, goal_speed_mps)
    told = explainable(given, given, club, hand=hand, around=around, errors=errors)
    balls, model = told.before, told.model
    usable = np.isfinite(balls.rows).all(axis=0)
    carry_m, offline_m = np.full((2, n), np.nan)
    if usable.any():
        carry_m[usable], offline_m[usable] = model.land(balls.rows[:, usable])
    usable &= np.isfinite(carry_m) & np.isfinite(offline_m)
    all_carry_m = np.where(np.isfinite(balls.carry_m), balls.carry_m, carry_m)
    all_offline_m = np.where(np.isfinite(balls.offline_m), balls.offline_m, offline_m)
    slow = _mishits(given.get("ball_speed_mps", np.full(n, np.nan)), MISHIT_SLOW)
    mishit = slow | _mishits(all_carry_m, MISHIT_SHORT)
    solid = usable & ~mishit
    if solid.sum() < FEWEST:
        raise InputError(
            f"{int(solid.sum())} solid balls can be struck and flown; {FEWEST} are needed.",
            fix="Hit more balls, or check the readings of the club against those of the ball.",
        )
    landed = np.isfinite(all_carry_m)
    delivered = told.depth != "ball"
    return Block(
        club=club,
        hand=hand,
        around=around,
        depth=told.depth,
        rows=balls.rows[:, solid],
        names=tuple(DELIVERY_RANGES if delivered else LAUNCH_RANGES),
        land=model.land,
        error_covariance=told.error_covariance,
        readings=MappingProxyType({name: values[solid] for name, values in given.items()}),
        all_carry_m=all_carry_m[landed],
        all_offline_m=all_offline_m[landed],
        mishit=mishit[landed],
        n_given=n,
        goal_speed_mps=goal_speed_mps,
        known=_known(given, solid, told, goal=goal_speed_mps is not None),
    )


def _check_goal(given: Readings, goal_speed_mps: float | None) -> None:
    """Refuse a goal that can't be of this club."""
    speed = given.get("club_speed_mps", np.full(1, np.nan))
    if goal_speed_mps is None or not np.isfinite(speed).any():
        return
    usual_mps = float(np.nanmedian(speed))
    if not goal_speed_mps <= (1.0 + FARTHEST_GOAL) * usual_mps:
        raise InputError(
            f"The goal is {goal_speed_mps:.1f} m/s with this club; the usual ball has "
            f"{usual_mps:.1f} m/s.",
            fix="Check its unit, and give the goal for the club that was hit.",
        )


def _known(given: Readings, solid: Mask, told: Explainable, *, goal: bool) -> frozenset[str]:
    """Names of what was read of the solid balls, or follows from what was."""
    enough = max(FEWEST, ENOUGH * int(solid.sum()))
    read = {name for name, values in given.items() if np.isfinite(values[solid]).sum() >= enough}
    if told.depth == "explained":
        read |= {name for name in DELIVERY_RANGES if not name.startswith("strike")}
    bare = {name.rsplit("_", 1)[0] for name in read - set(told.assumed)}
    return frozenset(bare | ({"goal"} if goal else set()))


def _mishits(values: Floats, share: float) -> Mask:
    """Which of these lie by more than a share under the middle and clearly outside the rest."""
    if not np.isfinite(values).any():
        return np.zeros(len(values), dtype=np.bool_)
    middle = float(np.nanmedian(values))
    upper = values[values >= middle] - middle
    sd = max(MAD_TO_SD * float(np.median(upper)), LEAST_SD * middle)
    short = (middle - values) > np.maximum(MISHIT_SDS * sd, share * middle)
    return np.asarray(short & np.isfinite(values))
