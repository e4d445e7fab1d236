"""From what was read of a swing and its ball to the inputs that a change can be shared out over.

The monitor decides how far the sharing goes. With ball and club speed the impact model explains
each ball by its delivery; without the place of the strike, a strike off the middle and a turned
face stay one part, since they make the same ball. With the ball alone, the parts are those of the
ball. With club speed alone, only its own part can be told.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from leadfoot.coaching.attribution import FEWEST_BALLS, Balls, Land, Model
from leadfoot.errors import InputError
from leadfoot.physics.best import STANDARD, Surroundings
from leadfoot.physics.clubs import Club
from leadfoot.physics.delivery import DELIVERY_RANGES, Deliveries, Hand
from leadfoot.physics.flight import fly_many
from leadfoot.physics.impact import strike_many
from leadfoot.physics.inverse import Known, explain_many
from leadfoot.physics.launch import LAUNCH_RANGES
from leadfoot.physics.monitor import USUAL, USUAL_ERRORS, MonitorErrors, Usual

Floats = NDArray[np.float64]
Readings = Mapping[str, Floats]
"""Name with unit ("club_speed_mps") to one value a ball, SI, NaN where it was not read."""
Depth = Literal["explained", "delivered", "struck", "ball", "speed"]
"""How far the readings go: the ball explained by its delivery; the delivery as read; the ball with
club speed (`leadfoot.coaching.change_inputs`); the ball alone; club speed alone."""

ENOUGH = 0.6
"""A quantity counts as read where so large a share of the balls of both sides has it. Our own."""
N_READINGS = 12
"""How often each ball is read over to see what the errors do. Our own choice."""
LEAN_RAD = {"driver": 0.05, "wood": 0.0, "hybrid": -0.05, "iron": -0.1, "wedge": -0.14}
"""Dynamic loft less static loft of a usual swing. Common practice, no source. [rad]"""

_ORDER = tuple(DELIVERY_RANGES)
_SPEED, _ATTACK, _PATH, _FACE, _LOFT, _TOE, _HIGH = range(7)
_BALL = tuple(LAUNCH_RANGES)
_EXPLAINED_BY = (
    "ball_speed_mps",
    "launch_angle_rad",
    "spin_rate_radps",
    "launch_direction_rad",
    "spin_axis_rad",
)
"""What `explain_many` takes by place."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Explainable:
    """Two sides ready to be shared out.

    Attributes
    ----------
    before, after
        The balls, each as it was read or explained.
    model
        The parts and what lands them.
    depth
        How far the readings go.
    modelled
        Names of inputs that the impact model filled in, in the order of `Deliveries`.
    assumed
        Names of inputs taken from a usual swing, the same on both sides.
    error_covariance
        What the monitor's errors do to the inputs, shape (p, p): found by reading the same balls
        several times over with errors added.
    """

    before: Balls
    after: Balls
    model: Model
    depth: Depth
    modelled: tuple[str, ...]
    assumed: tuple[str, ...]
    error_covariance: Floats


def explainable(
    before: Readings,
    after: Readings,
    club: Club,
    *,
    hand: Hand = "right",
    around: Surroundings = STANDARD,
    errors: MonitorErrors = USUAL_ERRORS,
    usual: Usual | None = None,
) -> Explainable:
    """Make of the readings what the sharing needs, as deep as they go.

    Parameters
    ----------
    before, after
        What was read of the balls of each side. Names that are not those of `Delivery`, `Launch`,
        ``carry_m`` or ``offline_m`` play no part.
    club
        The head.
    hand, around
        The student's hand; ball and air.
    errors
        What the monitor may be off by.
    usual
        What is taken where nothing was read; by default that of the class of the club, which is
        right for one ball. For means see `leadfoot.coaching.change_inputs`.

    Raises
    ------
    InputError
        If not even club speed was read on both sides.

    Examples
    --------
    >>> from leadfoot.physics.clubs import club
    >>> slow = {"club_speed_mps": np.array([40.0, 41, 40])}
    >>> fast = {"club_speed_mps": np.array([42.0, 43, 42])}
    >>> found = explainable(slow, fast, club("driver"))
    >>> found.depth, tuple(found.model.parts)
    ('speed', ('club_speed',))
    """
    sides = (before, after)
    ball_read = all(read_on_both(sides, name) for name in (*_BALL[:2], "spin_rate_radps"))
    if ball_read and read_on_both(sides, "club_speed_mps"):
        return _by_explaining(sides, club, hand, around, errors=errors, usual=usual)
    if ball_read:
        return _by_ball(sides, around, errors)
    if read_on_both(sides, "club_speed_mps"):
        return _as_delivered(sides, club, hand, around, errors)
    raise InputError(
        "Neither club speed nor the ball's speed, launch and spin were read on both sides.",
        fix="Read more with the launch monitor: club speed at least.",
    )


def read_on_both(sides: Sequence[Readings], name: str) -> bool:
    """Whether enough balls of both sides have it.

    Examples
    --------
    >>> side = {"carry_m": np.array([150.0, 151.0, 149.0])}
    >>> read_on_both((side, side), "carry_m"), read_on_both((side, {}), "carry_m")
    (True, False)
    """
    for side in sides:
        values = side.get(name)
        if values is None or not len(values):
            return False
        finite = int(np.isfinite(values).sum())
        if finite < max(FEWEST_BALLS, ENOUGH * len(values)):
            return False
    return True


def _size(side: Readings) -> int:
    return max((len(values) for values in side.values()), default=0)


def column(side: Readings, name: str) -> Floats:
    """One reading of every ball; NaN where there is none.

    Examples
    --------
    >>> column({"carry_m": np.array([150.0, 151.0])}, "offline_m")
    array([nan, nan])
    """
    return np.asarray(side.get(name, np.full(_size(side), np.nan)), dtype=np.float64)


def balls_of(side: Readings, rows: Floats) -> Balls:
    """The balls of a side, with the inputs that stand for them, shape (p, n)."""
    return Balls(rows=rows, carry_m=column(side, "carry_m"), offline_m=column(side, "offline_m"))


def land_swings(
    rows: Floats, *, club: Club, hand: Hand, around: Surroundings
) -> tuple[Floats, Floats]:
    """Strike and fly deliveries, given as rows in the order of `Deliveries`.

    Parameters
    ----------
    rows
        Shape (7, n).
    club, hand, around
        What strikes, and what it meets.

    Returns
    -------
    tuple of arrays
        Carry and offline, shape (n,); NaN where a ball can't be struck or flown. [m], [m]

    Examples
    --------
    >>> from leadfoot.physics.clubs import club
    >>> square = np.array([[45.0], [0.0], [0.0], [0.0], [0.2], [0.0], [0.0]])
    >>> carry, offline = land_swings(square, club=club("driver"), hand="right", around=STANDARD)
    >>> carry.round(), abs(offline.round(6))
    (array([200.]), array([0.]))
    """
    swings = Deliveries(**dict(zip(DELIVERY_RANGES, rows, strict=True)))
    return land_balls(strike_many(swings, club, ball=around.ball, hand=hand).rows(), around=around)


def land_balls(rows: Floats, *, around: Surroundings) -> tuple[Floats, Floats]:
    """Fly balls, given as rows in the order of `Launch`.

    Parameters
    ----------
    rows
        Shape (5, n).
    around
        Ball and air.

    Returns
    -------
    tuple of arrays
        Carry and offline, shape (n,); NaN where a ball can't be flown. [m], [m]

    Examples
    --------
    >>> drive = np.array([[70.0], [0.2], [0.0], [280.0], [0.0]])
    >>> land_balls(drive, around=STANDARD)[0].round()
    array([228.])
    """
    numbers = dict(zip(LAUNCH_RANGES, rows, strict=True))
    flights = fly_many(**numbers, air=around.air, ball=around.ball)
    return flights.carry_m, flights.offline_m


def _swing_land(club: Club, hand: Hand, around: Surroundings) -> Land:
    return partial(land_swings, club=club, hand=hand, around=around)


def _by_explaining(
    sides: tuple[Readings, Readings],
    club: Club,
    hand: Hand,
    around: Surroundings,
    *,
    errors: MonitorErrors,
    usual: Usual | None,
) -> Explainable:
    """Each ball by the delivery that makes exactly it."""
    read = [name for name in _ORDER if read_on_both(sides, name)]

    def explained(side: Readings) -> Floats:
        known = Known(**{name: _inside(name, column(side, name)) for name in read})
        ball = (column(side, name) for name in _EXPLAINED_BY)
        found = explain_many(
            *ball, club=club, known=known, hand=hand, ball=around.ball, errors=errors, usual=usual
        )
        return found.delivery.rows()

    before, after = (balls_of(side, explained(side)) for side in sides)
    return Explainable(
        before=before,
        after=after,
        model=Model(parts=_parts(read), land=_swing_land(club, hand, around)),
        depth="explained",
        modelled=tuple(name for name in _ORDER if name not in read),
        assumed=(),
        error_covariance=error_covariance_of(sides, explained, errors),
    )


def error_covariance_of(
    sides: tuple[Readings, Readings],
    to_rows: Callable[[Readings], Floats],
    errors: MonitorErrors,
) -> Floats:
    """Covariance of the inputs of one and the same ball, read several times over.

    Parameters
    ----------
    sides, errors
        What was read, and what the monitor may be off by.
    to_rows
        Makes of readings the inputs, shape (p, n).
    """
    rng = np.random.default_rng(0)
    names = [name for name in sides[0] if name in sides[1] and name in (*_ORDER, *_BALL)]
    both = {name: np.concatenate([column(side, name) for side in sides]) for name in names}
    again = {name: np.tile(values, N_READINGS) for name, values in both.items()}
    noisy = {name: with_error(name, values, rng, errors) for name, values in again.items()}
    rows = to_rows(noisy)
    by_ball = rows.reshape(len(rows), N_READINGS, -1)
    away = by_ball - by_ball.mean(axis=1, keepdims=True)
    away = away[:, :, np.isfinite(away).all(axis=(0, 1))].reshape(len(rows), -1)
    if not away.size:
        return np.zeros((len(rows), len(rows)))
    return np.asarray(away @ away.T / (away.shape[1] * (1.0 - 1.0 / N_READINGS)))


def with_error(
    name: str,
    values: Floats,
    rng: np.random.Generator,
    off: MonitorErrors = USUAL_ERRORS,
) -> Floats:
    """Read values once more: with the error that a monitor makes.

    Parameters
    ----------
    name
        Name with unit, as in `Readings`.
    values
        Shape (n,), SI.
    rng
        Where the errors come from.
    off
        How large they are.

    Examples
    --------
    >>> rng = np.random.default_rng(1)
    >>> read = with_error("ball_speed_mps", np.full(100_000, 60.0), rng)
    >>> round(float(read.std()), 2)
    0.3
    """
    fixed = {
        "attack_angle_rad": off.attack_angle_sd_rad,
        "club_path_rad": off.club_path_sd_rad,
        "face_angle_rad": off.face_angle_sd_rad,
        "dynamic_loft_rad": off.dynamic_loft_sd_rad,
        "strike_heel_toe_m": off.strike_sd_m,
        "strike_high_low_m": off.strike_sd_m,
        "launch_angle_rad": off.launch_angle_sd_rad,
        "launch_direction_rad": off.launch_direction_sd_rad,
        "spin_axis_rad": off.spin_axis_sd_rad,
    }
    shares = {
        "club_speed_mps": off.club_speed_share,
        "ball_speed_mps": off.ball_speed_share,
        "spin_rate_radps": off.spin_rate_share,
    }
    errors = rng.normal(size=values.shape)
    if name in shares:
        return np.asarray(values * (1.0 + shares[name] * errors))
    return np.asarray(values + fixed.get(name, 0.0) * errors)


def _inside(name: str, values: Floats) -> Floats:
    """Readings that no swing can have count as not read."""
    low, high = DELIVERY_RANGES[name]
    return np.where((values >= low) & (values <= high), values, np.nan)


def _parts(read: Sequence[str]) -> Mapping[str, tuple[int, ...]]:
    """The parts of a delivery; a strike that was not read goes with what it can't be told from.

    What the impact model says of such a strike leans toward the usual one, so that its share, and
    that of the face or the loft, would be wrong more often than their ranges say.
    """
    toe, high = (name in read for name in _ORDER[_TOE:])
    strike = (*((_TOE,) if toe else ()), *((_HIGH,) if high else ()))
    parts: dict[str, tuple[int, ...]] = {"club_speed": (_SPEED,)}
    if strike:
        parts["strike"] = strike
    launch = (_ATTACK, _LOFT)
    parts |= {"launch": launch} if high else {"launch_or_strike": (*launch, _HIGH)}
    parts["path"] = (_PATH,)
    parts |= {"face": (_FACE,)} if toe else {"face_or_strike": (_FACE, _TOE)}
    return parts


def _by_ball(
    sides: tuple[Readings, Readings], around: Surroundings, errors: MonitorErrors
) -> Explainable:
    """The ball alone: its speed, its launch with its spin, its direction with its axis."""
    sideways = all(read_on_both(sides, name) for name in ("launch_direction_rad", "spin_axis_rad"))
    parts: dict[str, tuple[int, ...]] = {
        "ball_speed": (_BALL.index("ball_speed_mps"),),
        "launch_and_spin": (_BALL.index("launch_angle_rad"), _BALL.index("spin_rate_radps")),
    }
    curve = (_BALL.index("launch_direction_rad"), _BALL.index("spin_axis_rad"))
    if sideways:
        parts["curve"] = curve

    def rows(side: Readings) -> Floats:
        return _straight(np.stack([column(side, name) for name in _BALL]), curve, sideways)

    before, after = (balls_of(side, rows(side)) for side in sides)
    return Explainable(
        before=before,
        after=after,
        model=Model(parts=parts, land=partial(land_balls, around=around)),
        depth="ball",
        modelled=(),
        assumed=() if sideways else tuple(_BALL[row] for row in curve),
        error_covariance=error_covariance_of(sides, rows, errors),
    )


def _straight(rows: Floats, curve: tuple[int, ...], sideways: bool) -> Floats:
    """Without its direction a ball is taken as straight."""
    if not sideways:
        rows[list(curve)] = 0.0
    return rows


def _as_delivered(
    sides: tuple[Readings, Readings],
    club: Club,
    hand: Hand,
    around: Surroundings,
    errors: MonitorErrors,
) -> Explainable:
    """The delivery as it was read; what was not read is that of a usual swing on both sides."""
    usual = {
        "attack_angle_rad": USUAL[club.club_class].attack_middle_rad,
        "club_path_rad": 0.0,
        "face_angle_rad": 0.0,
        "dynamic_loft_rad": club.loft_rad + LEAN_RAD[club.club_class],
        "strike_heel_toe_m": 0.0,
        "strike_high_low_m": 0.0,
    }
    read = [name for name in _ORDER if read_on_both(sides, name)]

    def rows(side: Readings) -> Floats:
        return np.stack(
            [
                column(side, name) if name in read else np.full(_size(side), usual[name])
                for name in _ORDER
            ]
        )

    named = {
        "club_speed": (_SPEED,),
        "strike": (_TOE, _HIGH),
        "launch": (_ATTACK, _LOFT),
        "path": (_PATH,),
        "face": (_FACE,),
    }
    parts = {
        name: group for name, group in named.items() if any(_ORDER[row] in read for row in group)
    }
    return Explainable(
        before=balls_of(sides[0], rows(sides[0])),
        after=balls_of(sides[1], rows(sides[1])),
        model=Model(parts=parts, land=_swing_land(club, hand, around)),
        depth="speed" if tuple(parts) == ("club_speed",) else "delivered",
        modelled=(),
        assumed=tuple(name for name in _ORDER if name not in read),
        error_covariance=error_covariance_of(sides, rows, errors),
    )
