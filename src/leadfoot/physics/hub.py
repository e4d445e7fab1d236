"""How the hub of the swing moves: the middle between the shoulders, in the plane of the swing.

Along is toward the target, up is up the plane, both from where the hub starts.
"""

import math
from bisect import bisect_right
from dataclasses import dataclass
from typing import Literal, NamedTuple, Protocol

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline

from leadfoot.errors import InputError
from leadfoot.physics.within import check_within

Values = NDArray[np.float64]


class HubState(NamedTuple):
    """Place, speed and acceleration of the hub in the plane, along and up. [m], [m/s], [m/s²]."""

    along_m: float
    up_m: float
    along_mps: float
    up_mps: float
    along_mps2: float
    up_mps2: float


class Hub(Protocol):
    """Anything that says where the hub is at a time."""

    def at(self, time_s: float) -> HubState:
        """State of the hub so long after the start of the downswing."""


_REST = HubState(0.0, 0.0, 0.0, 0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Still:
    """A hub that stays where it is.

    Examples
    --------
    >>> Still().at(0.1).up_m
    0.0
    """

    def at(self, time_s: float) -> HubState:
        """Where it always is.

        Parameters
        ----------
        time_s
            Any time. [s]

        Examples
        --------
        >>> Still().at(0.2).up_mps
        0.0
        """
        del time_s
        return _REST


STILL = Still()
"""The hub that everything else is compared with."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pull:
    """One move of the hub from rest, over a given distance and time.

    Attributes
    ----------
    along_m, up_m
        How far, toward the target and up the plane; up to 0.5 either way. [m]
    start_s, duration_s
        When it begins after the start of the downswing, and how long it takes. [s]
    kind
        ``smooth`` begins and ends at rest, with the least jerk (T. Flash and N. Hogan, Journal of
        Neuroscience 5, 1688, 1985); ``steady`` has one acceleration and keeps its last speed.

    Examples
    --------
    >>> Pull(up_m=0.08, start_s=0.1, duration_s=0.2).at(0.2).up_m
    0.04
    """

    up_m: float
    along_m: float = 0.0
    start_s: float
    duration_s: float
    kind: Literal["smooth", "steady"] = "smooth"

    def __post_init__(self) -> None:
        check_within("up_m", self.up_m, -0.5, 0.5, of="a move of the hub")
        check_within("along_m", self.along_m, -0.5, 0.5, of="a move of the hub")
        check_within("start_s", self.start_s, -1.0, 2.0, of="a move of the hub")
        check_within("duration_s", self.duration_s, 0.01, 2.0, of="a move of the hub")

    def at(self, time_s: float) -> HubState:
        """State of the hub.

        Parameters
        ----------
        time_s
            Since the start of the downswing. [s]

        Examples
        --------
        >>> Pull(up_m=0.08, start_s=0.1, duration_s=0.2, kind="steady").at(0.3).up_mps
        0.8
        """
        share = (time_s - self.start_s) / self.duration_s
        place, speed, change = (_smooth if self.kind == "smooth" else _steady)(share)
        speed /= self.duration_s
        change /= self.duration_s**2
        return HubState(
            self.along_m * place,
            self.up_m * place,
            self.along_m * speed,
            self.up_m * speed,
            self.along_m * change,
            self.up_m * change,
        )


PEAK_OF_SMOOTH = 10.0 / math.sqrt(3.0)
"""Greatest acceleration of a smooth move, in distance over time squared: 5.77. [-]"""


def _smooth(x: float) -> tuple[float, float, float]:
    """Place, speed and acceleration of the move with the least jerk, over one unit of each."""
    if x <= 0.0:
        return 0.0, 0.0, 0.0
    if x >= 1.0:
        return 1.0, 0.0, 0.0
    return (
        x**3 * (10.0 - 15.0 * x + 6.0 * x**2),
        30.0 * x**2 * (1.0 - x) ** 2,
        60.0 * x * (1.0 - x) * (1.0 - 2.0 * x),
    )


def _steady(x: float) -> tuple[float, float, float]:
    """The same with one acceleration, and its last speed kept."""
    if x <= 0.0:
        return 0.0, 0.0, 0.0
    if x >= 1.0:
        return 2.0 * x - 1.0, 2.0, 0.0
    return x**2, 2.0 * x, 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Together:
    """Several moves at once: they add.

    Examples
    --------
    >>> lift = Pull(up_m=0.06, start_s=0.1, duration_s=0.2)
    >>> shift = Pull(up_m=0.0, along_m=0.1, start_s=0.0, duration_s=0.3)
    >>> Together(parts=(lift, shift)).at(0.3)[:2]
    (0.1, 0.06)
    """

    parts: tuple[Hub, ...]

    def at(self, time_s: float) -> HubState:
        """State of the hub.

        Parameters
        ----------
        time_s
            Since the start of the downswing. [s]

        Examples
        --------
        >>> Together(parts=(STILL, STILL)).at(0.1).up_m
        0.0
        """
        states = [part.at(time_s) for part in self.parts]
        return HubState(*(sum(values) for values in zip(*states, strict=True)))


class Traced:
    """A hub that follows a recorded path; before and after the record it rests.

    Parameters
    ----------
    time_s
        Times that grow, at least four; shape (n,). [s]
    along_m, up_m
        Place at each time, shape (n,). [m]

    Raises
    ------
    InputError
        If the arrays do not fit each other or hold a number that is not finite.

    Notes
    -----
    A cubic spline through the places; the ends are at rest. Give places some 10 ms apart: closer
    ones make the spline follow noise.

    Examples
    --------
    >>> time_s = np.linspace(0.0, 0.3, 31)
    >>> hub = Traced(time_s, 0.0 * time_s, 0.06 * time_s / 0.3)
    >>> round(hub.at(0.15).up_m, 6)
    0.03
    """

    __slots__ = ("_along", "_knots_s", "_up")

    def __init__(self, time_s: Values, along_m: Values, up_m: Values) -> None:
        places = np.column_stack([along_m, up_m])
        if time_s.ndim != 1 or time_s.size < 4 or places.shape != (time_s.size, 2):
            raise InputError(
                f"A path of the hub needs at least 4 times with a place for each; "
                f"there are {time_s.size} times and {places.shape[0]} places.",
                fix="Give arrays of one length.",
            )
        if not (np.isfinite(time_s).all() and np.isfinite(places).all()):
            raise InputError("The path of the hub holds NaN or infinity.", fix="Leave gaps out.")
        if not (np.diff(time_s) > 0.0).all():
            raise InputError("The times of the hub's path do not grow.", fix="Sort them.")
        curve = CubicSpline(time_s, places - places[0], bc_type="clamped")
        self._knots_s: list[float] = time_s.tolist()
        self._along: list[list[float]] = curve.c[:, :, 0].T.tolist()
        self._up: list[list[float]] = curve.c[:, :, 1].T.tolist()

    def at(self, time_s: float) -> HubState:
        """State of the hub.

        Parameters
        ----------
        time_s
            Since the start of the downswing. [s]

        Examples
        --------
        >>> time_s = np.linspace(0.0, 0.3, 31)
        >>> Traced(time_s, time_s * 0.1, time_s * 0.0).at(0.4).along_mps
        0.0
        """
        knots_s = self._knots_s
        held_s = min(max(time_s, knots_s[0]), knots_s[-1])
        piece = min(bisect_right(knots_s, held_s), len(knots_s) - 1) - 1
        since_s = held_s - knots_s[piece]
        along_m, along_mps, along_mps2 = _cubic(self._along[piece], since_s)
        up_m, up_mps, up_mps2 = _cubic(self._up[piece], since_s)
        if held_s != time_s:
            return HubState(along_m, up_m, 0.0, 0.0, 0.0, 0.0)
        return HubState(along_m, up_m, along_mps, up_mps, along_mps2, up_mps2)


def _cubic(parts: list[float], x: float) -> tuple[float, float, float]:
    """A cubic with its slope and the slope's slope; the highest power comes first."""
    cubed, squared, once, constant = parts
    return (
        ((cubed * x + squared) * x + once) * x + constant,
        (3.0 * cubed * x + 2.0 * squared) * x + once,
        6.0 * cubed * x + 2.0 * squared,
    )
