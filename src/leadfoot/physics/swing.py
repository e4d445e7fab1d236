"""The downswing as a double pendulum whose hub may move: from torques and a push to club speed.

Arms and club are two rods in the plane of the swing. The wrists hold the club at its greatest lag
until it pulls away by itself (a stop that pushes one way only); the strike is where arms and club
come into line. Angles are from straight down the plane, positive past it.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp
from scipy.optimize import root_scalar

from leadfoot.errors import OutOfRangeError
from leadfoot.physics.golfer import Golfer
from leadfoot.physics.hub import STILL, Hub
from leadfoot.physics.pendulum import Pendulum, state_of
from leadfoot.physics.within import check_within

Values = NDArray[np.float64]

GRAVITY_MPS2 = 9.80665
"""Standard gravity, ISO 80000-3. [m/s²]"""
LONGEST_S = 2.0
"""A downswing takes some 0.2 to 0.4 s; after this it never comes to the ball. [s]"""

FINE, COARSE = 1e-8, 1e-5
"""Relative tolerances of the integration; against one a hundred times finer still, `FINE` moves the
club speed by under 1e-7 and `COARSE` by under 1e-4 of itself. [-]"""
_MOST_PHASES = 20
"""Held, free, held again: a swing has two or three; more means that it rattles at the stop."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Energy:
    """What went into arms and club from the top to the strike.

    Attributes
    ----------
    kinetic_start_j, kinetic_j
        Energy of motion at the top and at the strike, seen from the ground. [J]
    club_j
        The club's part of `kinetic_j`; the rest is the arms'. [J]
    shoulder_j, wrist_j, hub_j, gravity_j
        Work of the shoulder torque, the wrist torque, the moving hub and the weight. [J]
    lost_j
        Lost where the club fell back against the wrists' stop. [J]
    """

    kinetic_start_j: float
    kinetic_j: float
    club_j: float
    shoulder_j: float
    wrist_j: float
    hub_j: float
    gravity_j: float
    lost_j: float

    @property
    def gap_j(self) -> float:
        """What the balance leaves over: error of the integration, in J.

        Examples
        --------
        >>> from leadfoot.physics.golfer import textbook_golfer
        >>> abs(swing(textbook_golfer()).energy.gap_j) < 1e-5
        True
        """
        work = self.shoulder_j + self.wrist_j + self.hub_j + self.gravity_j - self.lost_j
        return self.kinetic_start_j + work - self.kinetic_j


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Track:
    """The swing at even times, for drawing; all shapes (n,).

    Attributes
    ----------
    time_s
        From the start of the downswing to the strike. [s]
    arms_rad, club_rad
        Angles of arms and club. [rad]
    hub_along_m, hub_up_m
        Place of the hub in the plane. [m]
    club_speed_mps
        Speed of the head over the ground. [m/s]
    arms_radps
        How fast the arms turn. [rad/s]
    """

    time_s: Values
    arms_rad: Values
    club_rad: Values
    hub_along_m: Values
    hub_up_m: Values
    club_speed_mps: Values
    arms_radps: Values


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Swing:
    """One downswing.

    Attributes
    ----------
    club_speed_mps
        Speed of the head over the ground at the strike. [m/s]
    strike_s, release_s
        When arms and club come into line, and when the club first leaves the stop. [s]
    arms_rad, arms_radps, club_radps
        Angle of the arms and how fast arms and club turn, at the strike. [rad], [rad/s]
    hands_mps
        Speed of the wrists over the ground at the strike. [m/s]
    energy
        The balance.
    track
        The swing for drawing, where it was asked for.
    """

    club_speed_mps: float
    strike_s: float
    release_s: float
    arms_rad: float
    arms_radps: float
    club_radps: float
    hands_mps: float
    energy: Energy
    track: Track | None


def swing(
    golfer: Golfer,
    hub: Hub = STILL,
    *,
    gravity_mps2: float = GRAVITY_MPS2,
    start_radps: float = 0.0,
    track: bool = False,
    tolerance: float = FINE,
) -> Swing:
    """Swing from the top to the strike.

    Parameters
    ----------
    golfer
        Bodies, torques and the position at the top.
    hub
        How the hub moves; in the plane of the swing.
    gravity_mps2
        0 to 20; its part down the plane acts. [m/s²]
    start_radps
        How fast arms and club turn together at the top, 0 to 50. [rad/s]
    track
        Whether to keep the swing for drawing.
    tolerance
        Relative tolerance of the integration: `FINE`, or `COARSE` for one of many. [-]

    Raises
    ------
    OutOfRangeError
        If a number lies outside its range, or arms and club never come into line.

    Notes
    -----
    The equations stand in `leadfoot.physics.pendulum`. Left out: the third dimension, the turn of
    the club about its shaft, a shaft that bends, air on the club, arms that bend, and that a body
    that pushes harder also turns differently.

    References
    ----------
    .. [1] T. P. Jorgensen, American Journal of Physics, vol. 38, p. 644, 1970 (the double pendulum;
       citation from memory).
    .. [2] R. White, "On the efficiency of the golf swing," American Journal of Physics, vol. 74,
       p. 1088, 2006.
    .. [3] K. Miura, "Parametric acceleration," Sports Engineering, vol. 4, p. 75, 2001 (read
       second-hand).

    Examples
    --------
    >>> from leadfoot.physics.golfer import textbook_golfer
    >>> found = swing(textbook_golfer(), gravity_mps2=9.81)
    >>> round(found.club_speed_mps, 2), round(found.strike_s, 4)
    (46.36, 0.3427)
    """
    check_within("gravity_mps2", gravity_mps2, 0.0, 20.0, of="the swing")
    check_within("start_speed_radps", start_radps, 0.0, 50.0, of="the swing")
    pendulum = Pendulum(
        golfer=golfer, hub=hub, weight_mps2=gravity_mps2 * math.sin(golfer.plane_rad)
    )
    top = np.zeros(7)
    top[:4] = -golfer.top_rad, -golfer.top_rad - golfer.cock_rad, start_radps, start_radps
    start = state_of(top)
    runs, release_s, lost_j = _phases(pendulum, top, _Solver(dense=track, tolerance=tolerance))
    strike_s, last = float(runs[-1].t[-1]), runs[-1].y[:, -1]
    state = state_of(last)
    return Swing(
        club_speed_mps=pendulum.speed_mps(strike_s, state),
        strike_s=strike_s,
        release_s=release_s,
        arms_rad=state[0],
        arms_radps=state[2],
        club_radps=state[3],
        hands_mps=pendulum.speed_mps(strike_s, state, of_head=False),
        energy=Energy(
            kinetic_start_j=pendulum.kinetic_j(0.0, start),
            kinetic_j=pendulum.kinetic_j(strike_s, state),
            club_j=pendulum.club_j(strike_s, state),
            shoulder_j=float(last[4]),
            wrist_j=float(last[5]),
            hub_j=float(last[6]),
            gravity_j=pendulum.height_j(0.0, start) - pendulum.height_j(strike_s, state),
            lost_j=lost_j,
        ),
        track=_track(pendulum, runs) if track else None,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Solver:
    """How finely to integrate, and whether to keep what lies between the steps."""

    dense: bool
    tolerance: float


def _phases(pendulum: Pendulum, top: Values, solver: _Solver) -> tuple[list[Any], float, float]:
    """Integrate held and free phases in turn until the strike."""
    runs: list[Any] = []
    values, time_s, release_s, lost_j = top, 0.0, math.nan, 0.0
    held = pendulum.stop_nm(0.0, state_of(top)) > 0.0
    for _ in range(_MOST_PHASES):
        if not held and math.isnan(release_s):
            release_s = time_s
        run = _integrate(pendulum, solver, time_s, values, held=held)
        runs.append(run)
        time_s, values = float(run.t[-1]), run.y[:, -1].copy()
        if run.status != 1:
            break
        if held:
            held = False
        elif run.t_events[0].size:
            return runs, release_s, lost_j
        else:
            after, lost = pendulum.caught(state_of(values))
            values[:4] = after
            lost_j += lost
            held = pendulum.stop_nm(time_s, after) > 0.0
    raise OutOfRangeError(
        f"Arms and club do not come into line within {LONGEST_S:g} s of the downswing.",
        fix="Check the torques, the angle at the top and the hub's path.",
    )


def _integrate(
    pendulum: Pendulum, solver: _Solver, time_s: float, values: Values, *, held: bool
) -> Any:
    """One phase: held until the stop lets go, or free until the strike or back at the stop."""

    def change(now_s: float, y: Values) -> list[float]:
        return pendulum.rates(now_s, y, held=held)

    def let_go(now_s: float, y: Values) -> float:
        return pendulum.stop_nm(now_s, state_of(y))

    def in_line(_: float, y: Values) -> float:
        return float(y[1] - y[0])

    def at_stop(_: float, y: Values) -> float:
        return float(y[1] - y[0]) + pendulum.golfer.cock_rad

    events = (_ends(let_go, -1),) if held else (_ends(in_line, 1), _ends(at_stop, -1))
    return solve_ivp(
        change,
        (time_s, LONGEST_S),
        values,
        method="DOP853",
        events=events,
        dense_output=solver.dense,
        rtol=solver.tolerance,
        atol=solver.tolerance / 100.0,
        max_step=0.02,
    )


def _ends(
    event: Callable[[float, Values], float], direction: int
) -> Callable[[float, Values], float]:
    """Mark an event as one that ends the integration."""
    event.terminal = True  # type: ignore[attr-defined]
    event.direction = direction  # type: ignore[attr-defined]
    return event


def _track(pendulum: Pendulum, runs: list[Any], n: int = 121) -> Track:
    """The swing at even times."""
    time_s = np.linspace(0.0, float(runs[-1].t[-1]), n)
    states = np.empty((n, 4))
    for run in runs:
        inside = (time_s >= run.t[0]) & (time_s <= run.t[-1])
        states[inside] = run.sol(time_s[inside])[:4].T
    hubs = [pendulum.hub.at(float(now)) for now in time_s]
    return Track(
        time_s=time_s,
        arms_rad=states[:, 0],
        club_rad=states[:, 1],
        hub_along_m=np.array([hub.along_m for hub in hubs]),
        hub_up_m=np.array([hub.up_m for hub in hubs]),
        club_speed_mps=np.array(
            [
                pendulum.speed_mps(float(now), state_of(state))
                for now, state in zip(time_s, states, strict=True)
            ]
        ),
        arms_radps=states[:, 2],
    )


def with_speed(golfer: Golfer, club_speed_mps: float, hub: Hub = STILL) -> Golfer:
    """The same golfer with the shoulder torque that gives a club speed.

    Parameters
    ----------
    golfer
        The golfer to fit.
    club_speed_mps
        Speed at the strike, 10 to 70. [m/s]
    hub
        How the hub moves in the swing that has this speed.

    Raises
    ------
    OutOfRangeError
        If the speed lies outside its range or no torque gives it.

    Examples
    --------
    >>> from leadfoot.physics.golfer import generic_golfer
    >>> fitted = with_speed(generic_golfer("iron7"), 42.0)
    >>> round(swing(fitted).club_speed_mps, 3)
    42.0
    """
    check_within("club_speed_mps", club_speed_mps, 10.0, 70.0, of="the swing")

    def short_mps(log_nm: float) -> float:
        return swing(_driven(golfer, math.exp(log_nm)), hub).club_speed_mps - club_speed_mps

    first = max(golfer.drive.shoulder_nm, 1.0)
    guess = 2.0 * math.log(club_speed_mps / swing(_driven(golfer, first), hub).club_speed_mps)
    log_nm = math.log(first)
    found = root_scalar(
        short_mps, x0=log_nm + guess, x1=log_nm + 1.05 * guess + 1e-3, method="secant", xtol=1e-8
    )
    return _driven(golfer, math.exp(float(found.root)))


def _driven(golfer: Golfer, shoulder_nm: float) -> Golfer:
    return replace(golfer, drive=replace(golfer.drive, shoulder_nm=shoulder_nm))
