"""From readings of two sides to the inputs over which the change between them is shared out.

The impact model explains one ball best if it leans toward a usual strike where none was read. A
change is a matter of means and of squares, and both come out too small if every ball leans: with a
7 iron the computed strike reached 0.73 as far from the middle as the true one, and the share of
face and strike in carry was 0.7 of the true one. So nothing leans here: the strike may be anywhere
on the face. What the readings then leave open widens the range, as it should.

That takes a reading which tells the strike: its own place, or club path, from which the spin axis
parts toward heel or toe. Without either, strike, path and face are not told apart, and the ball
itself is shared out: club speed; smash factor, launch angle and spin, which a loft moves together;
start direction with spin axis.
"""

from dataclasses import replace
from functools import partial

import numpy as np
from numpy.typing import NDArray

from leadfoot.coaching.attribution import Model
from leadfoot.coaching.swings import (
    Explainable,
    Readings,
    balls_of,
    column,
    error_covariance_of,
    explainable,
    land_balls,
    read_on_both,
)
from leadfoot.physics.best import STANDARD, Surroundings
from leadfoot.physics.clubs import Club
from leadfoot.physics.delivery import Hand
from leadfoot.physics.launch import LAUNCH_RANGES
from leadfoot.physics.monitor import USUAL, USUAL_ERRORS, MonitorErrors, Usual

Floats = NDArray[np.float64]

_BALL = ("ball_speed_mps", "launch_angle_rad", "spin_rate_radps")
_SIDEWAYS = ("launch_direction_rad", "spin_axis_rad")
_DELIVERED = ("attack_angle_rad", "club_path_rad", "face_angle_rad", "dynamic_loft_rad")
_ROWS = ("club_speed_mps", *LAUNCH_RANGES)


def changed_inputs(
    before: Readings,
    after: Readings,
    club: Club,
    *,
    hand: Hand = "right",
    around: Surroundings = STANDARD,
    errors: MonitorErrors = USUAL_ERRORS,
) -> Explainable:
    """Make of the readings what the sharing of a change needs, as deep as they go.

    Parameters
    ----------
    before, after, club, hand, around, errors
        As in `leadfoot.coaching.swings.explainable`.

    Returns
    -------
    Explainable
        Of depth "struck" where ball and club speed were read, but nothing that tells strike from
        path and face; without direction or spin axis of the ball, as the club was read if all of
        it was.

    Raises
    ------
    InputError
        If not even club speed was read on both sides.

    Examples
    --------
    >>> from leadfoot.physics.clubs import club
    >>> slow = {"club_speed_mps": np.array([40.0, 41, 40]), "ball_speed_mps": np.full(3, 58.0),
    ...         "launch_angle_rad": np.full(3, 0.2), "spin_rate_radps": np.full(3, 280.0)}
    >>> fast = slow | {"club_speed_mps": np.array([42.0, 43, 42])}
    >>> found = changed_inputs(slow, fast, club("driver"))
    >>> found.depth, tuple(found.model.parts)
    ('struck', ('club_speed', 'smash_launch_spin'))
    """
    sides = (before, after)

    def read(*names: str) -> bool:
        return all(read_on_both(sides, name) for name in names)

    sideways = read(*_SIDEWAYS)
    struck = read("club_speed_mps", *_BALL)
    if struck and not sideways and read(*_DELIVERED):
        before, after = (_without_ball(side) for side in sides)
    elif struck and not (sideways and (read("club_path_rad") or read("strike_heel_toe_m"))):
        return _as_struck(sides, around, errors, sideways=sideways)
    return explainable(
        before, after, club, hand=hand, around=around, errors=errors, usual=anywhere(club)
    )


def anywhere(club: Club) -> Usual:
    """What is usual of a swing with this club, with a strike that may be anywhere on its face.

    Notes
    -----
    The standard deviation is half the face either way: so much more than any reading of a strike,
    and than what tells it, is off by, that its own size does not matter. With a path that was read,
    shares and ranges were the same from twice to ten times the usual spread of a strike.

    Examples
    --------
    >>> from leadfoot.physics.clubs import club
    >>> anywhere(club("driver")).strike_heel_toe_sd_m
    0.0525
    """
    return replace(
        USUAL[club.club_class],
        strike_heel_toe_sd_m=0.5 * club.face_width_m,
        strike_high_low_sd_m=0.5 * club.face_height_m,
    )


def _without_ball(side: Readings) -> Readings:
    return {name: values for name, values in side.items() if name not in LAUNCH_RANGES}


def _as_struck(
    sides: tuple[Readings, Readings],
    around: Surroundings,
    errors: MonitorErrors,
    *,
    sideways: bool,
) -> Explainable:
    """The ball with club speed: what the strike makes of it is the smash factor."""
    at = _ROWS.index
    parts: dict[str, tuple[int, ...]] = {
        "club_speed": (at("club_speed_mps"),),
        "smash_launch_spin": tuple(at(name) for name in _BALL),
    }
    if sideways:
        parts["curve"] = tuple(at(name) for name in _SIDEWAYS)

    def rows(side: Readings) -> Floats:
        found = np.stack([column(side, name) for name in _ROWS])
        found[at("ball_speed_mps")] /= found[at("club_speed_mps")]
        if not sideways:
            found[[at(name) for name in _SIDEWAYS]] = 0.0
        return found

    before, after = (balls_of(side, rows(side)) for side in sides)
    return Explainable(
        before=before,
        after=after,
        model=Model(parts=parts, land=partial(_land_struck, around=around)),
        depth="struck",
        modelled=(),
        assumed=() if sideways else _SIDEWAYS,
        error_covariance=error_covariance_of(sides, rows, errors),
    )


def _land_struck(rows: Floats, *, around: Surroundings) -> tuple[Floats, Floats]:
    """Fly balls whose speed is given as club speed and smash factor."""
    return land_balls(np.concatenate([rows[:1] * rows[1:2], rows[2:]]), around=around)
