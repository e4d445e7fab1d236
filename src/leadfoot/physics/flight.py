"""A ball's flight from launch to rest: carry, height, time, landing, and how far it runs."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from leadfoot.errors import InputError, OutOfRangeError
from leadfoot.physics import many
from leadfoot.physics.air import Air
from leadfoot.physics.ball import REGRESSION, STANDARD_BALL, AirModel, Ball
from leadfoot.physics.bounce import (
    FASTEST_LANDING_MPS,
    FLATTEST_KNOWN_RAD,
    MEDIUM_TURF,
    Turf,
    run_m,
)
from leadfoot.physics.conditions import STUDIO, Conditions
from leadfoot.physics.integrate import Landed, Trace, fly_to_ground
from leadfoot.physics.launch import (
    CALM,
    FARTHEST_LANDING_M,
    GIVEN_RANGES,
    Launch,
    Wind,
)
from leadfoot.physics.motion import Series, setting_for, spin_axis_vector

__all__ = [
    "CALM",
    "FLAGS",
    "Conditions",
    "Flight",
    "Flights",
    "Launch",
    "Path",
    "Wind",
    "fly",
    "fly_many",
]

FLAGS = (
    "lands at once",
    "spin under the model's data",
    "spin over the model's data",
    "speed under the model's data",
    "never landed",
    "run is a guess",
    "never came up to the landing",
    "cannot be flown",
)
"""What a flight can be flagged with, in the order of the bits of `Flights.flag_bits`. The run of
every flight is good to some 30 % only, a limit of all bounce models; the last flag marks landings
of which no bounce was filmed: too fast or too flat. The last two, and "never landed", stand beside
rows of NaN: a landing above the top of the flight, and a launch that is no number or out of
range."""

_NEVER_LANDED, _TOO_LOW, _REFUSED = (1 << FLAGS.index(flag) for flag in (FLAGS[4], *FLAGS[6:]))

_PATH_POINTS = 121
_MOST_STEPS = 20_100


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Path:
    """The way of one ball through the air, evenly spaced in time, from launch to landing.

    Attributes
    ----------
    time_s, x_m, y_m, z_m
        Shape (n,): time, way toward the target, height, way to the right. [s], [m], [m], [m]
    """

    time_s: Series
    x_m: Series
    y_m: Series
    z_m: Series


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Flight:
    """One flight, from launch to rest.

    ``offline_m`` is at the carry point, ``total_offline_m`` where the ball stops; right is
    positive. ``landing_angle_rad`` is positive down. ``total_m`` is the way toward the target, run
    included.
    """

    carry_m: float
    offline_m: float
    apex_m: float
    hang_time_s: float
    landing_angle_rad: float
    landing_speed_mps: float
    landing_spin_radps: float
    total_m: float
    total_offline_m: float
    model: str
    flags: tuple[str, ...]
    path: Path | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Flights:
    """Many flights; every array has shape (n,), NaN where a launch could not be flown."""

    carry_m: Series
    offline_m: Series
    apex_m: Series
    hang_time_s: Series
    landing_angle_rad: Series
    landing_speed_mps: Series
    landing_spin_radps: Series
    total_m: Series
    total_offline_m: Series
    flag_bits: NDArray[np.uint8]
    """Bit k stands for ``FLAGS[k]``."""
    model: str

    def __len__(self) -> int:
        return len(self.carry_m)

    def flags_of(self, index: int) -> tuple[str, ...]:
        """The flags of one flight in words.

        Examples
        --------
        >>> fly_many(40.0, [-0.1, 0.2], 300.0).flags_of(0)
        ('lands at once', 'run is a guess')
        """
        return _words(int(self.flag_bits[index]))


def fly(
    launch: Launch,
    *,
    conditions: Conditions = STUDIO,
    air: Air | None = None,
    wind: Wind | None = None,
    ball: Ball = STANDARD_BALL,
    model: AirModel = REGRESSION,
    turf: Turf = MEDIUM_TURF,
    landing_height_m: float = 0.0,
    path: bool = False,
) -> Flight:
    """Fly one ball from the ground to the ground.

    Parameters
    ----------
    launch
        How the ball leaves the face.
    conditions
        Air and wind; the studio's standard conditions if not given.
    air, wind
        In place of those of ``conditions``.
    ball, model
        The ball and how the air acts on it.
    turf
        What it lands on.
    landing_height_m
        Height of the landing above the tee, negative below, within 100. The wind is measured above
        the lower of the two. A ball that starts level or downward lands at once on level ground;
        from a raised tee it flies. [m]
    path
        Whether the way through the air comes along, for drawing.

    Returns
    -------
    Flight
        Where it came down, how, and where it stopped; flagged where the model has no data.

    Raises
    ------
    InputError
        If the ball does not come down within a minute, or never comes up to the landing.
    OutOfRangeError
        If the landing is no number or too far above or below.

    Notes
    -----
    A point mass under gravity, drag and lift; the spin axis stays fixed in space and the spin
    decays. Landing is within 5 mm of a reference solver; the model itself is good to some 3 % of a
    driver's carry and 7 % of a high-spin iron's, by the spread between published coefficients.

    References
    ----------
    .. [1] A. R. Penner, "The physics of golf: The optimum loft of a driver," American Journal of
       Physics, vol. 69, pp. 563-568, 2001 (equations read second-hand).

    Examples
    --------
    >>> drive = Launch(ball_speed_mps=60.0, launch_angle_rad=0.20944, spin_rate_radps=314.16)
    >>> flight = fly(drive)
    >>> round(flight.carry_m, 1), round(flight.apex_m, 1), flight.flags
    (189.1, 19.8, ())
    """
    _check_landing(landing_height_m)
    wind = conditions.wind if wind is None else wind
    given = np.empty((8, 1))
    given[:5, 0] = (
        launch.ball_speed_mps,
        launch.launch_angle_rad,
        launch.launch_direction_rad,
        launch.spin_rate_radps,
        launch.spin_axis_rad,
    )
    given[5:, 0] = wind.along_mps, wind.across_mps, landing_height_m
    setting = _Setting(air=air or conditions.air, ball=ball, model=model, turf=turf)
    numbers, bits, way = _fly(given, setting, path=path)
    flags = int(bits[0])
    if flags & (_NEVER_LANDED | _TOO_LOW):
        raise _no_landing(launch, landing_height_m, flags)
    named = dict(zip(NUMBERS, numbers[:, 0].tolist(), strict=True))
    return Flight(**named, model=model.name, flags=_words(flags), path=way)


def _check_landing(landing_height_m: float) -> None:
    if not abs(landing_height_m) <= FARTHEST_LANDING_M:
        raise OutOfRangeError(
            f"Landing height is {landing_height_m:g} m; a landing lies within "
            f"{FARTHEST_LANDING_M:g} m above or below the tee.",
            fix="Check the value and its unit.",
        )


def _no_landing(launch: Launch, landing_height_m: float, flags: int) -> InputError:
    ball = f"A ball of {launch.ball_speed_mps:g} m/s and {launch.spin_rate_radps:g} rad/s"
    if flags & _TOO_LOW:
        return InputError(
            f"{ball} never comes up to a landing {landing_height_m:g} m above the tee.",
            fix="Check the height, or take more club.",
        )
    return InputError(
        f"{ball} does not come down within a minute.", fix="Check the launch and the wind."
    )


@lru_cache(maxsize=256)
def _words(bits: int) -> tuple[str, ...]:
    return tuple(flag for k, flag in enumerate(FLAGS) if bits >> k & 1)


NUMBERS = (
    "carry_m",
    "offline_m",
    "apex_m",
    "hang_time_s",
    "landing_angle_rad",
    "landing_speed_mps",
    "landing_spin_radps",
    "total_m",
    "total_offline_m",
)
"""The numbers of a flight, in the order of the kernel."""


def fly_many(
    ball_speed_mps: ArrayLike,
    launch_angle_rad: ArrayLike,
    spin_rate_radps: ArrayLike,
    launch_direction_rad: ArrayLike = 0.0,
    spin_axis_rad: ArrayLike = 0.0,
    *,
    conditions: Conditions = STUDIO,
    air: Air | None = None,
    wind_along_mps: ArrayLike | None = None,
    wind_across_mps: ArrayLike | None = None,
    ball: Ball = STANDARD_BALL,
    model: AirModel = REGRESSION,
    turf: Turf | None = MEDIUM_TURF,
    landing_height_m: ArrayLike = 0.0,
) -> Flights:
    """Fly many balls at once; single numbers hold for all of them.

    Parameters
    ----------
    ball_speed_mps, launch_angle_rad, spin_rate_radps, launch_direction_rad, spin_axis_rad
        As in `Launch`, shape (n,) each. [m/s], [rad], [rad/s], [rad], [rad]
    conditions, air, ball, model
        As in `fly`, the same for all.
    turf
        As in `fly`; None where only the flight is asked for: totals are NaN then, sooner.
    wind_along_mps, wind_across_mps
        As in `Wind`, in place of those of ``conditions``; shape (n,). [m/s], [m/s]
    landing_height_m
        As in `fly`; shape (n,). [m]

    Returns
    -------
    Flights
        Arrays of shape (n,). A row with a NaN, an infinity or a value outside `GIVEN_RANGES` gives
        NaN in every number and the flag "cannot be flown".

    Examples
    --------
    >>> flights = fly_many([60.0, np.nan], 0.20944, 314.16)
    >>> flights.carry_m.round(1)
    array([189.1,   nan])
    """
    wind = conditions.wind
    given = (
        ball_speed_mps,
        launch_angle_rad,
        launch_direction_rad,
        spin_rate_radps,
        spin_axis_rad,
        wind.along_mps if wind_along_mps is None else wind_along_mps,
        wind.across_mps if wind_across_mps is None else wind_across_mps,
        landing_height_m,
    )
    rows = np.broadcast_arrays(*(np.atleast_1d(np.asarray(a, dtype=np.float64)) for a in given))
    setting = _Setting(air=air or conditions.air, ball=ball, model=model, turf=turf)
    numbers, bits, _ = _fly(np.stack(rows), setting, path=False)
    return Flights(**dict(zip(NUMBERS, numbers, strict=True)), flag_bits=bits, model=model.name)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Setting:
    """What is the same for all flights of a batch."""

    air: Air
    ball: Ball
    model: AirModel
    turf: Turf | None


def _fly(
    given: Series, setting: _Setting, *, path: bool
) -> tuple[Series, NDArray[np.uint8], Path | None]:
    """Numbers, shape (9, n), flags, and the way of the first ball if it is wanted."""
    windy = bool(given[5:7].any())
    if many.use_loop(setting.model, windy=windy, n=given.shape[1]):
        steps = np.empty((_MOST_STEPS, 7)) if path else None
        numbers, bits, noted = many.fly_given(
            given,
            air=setting.air,
            ball=setting.ball,
            model=setting.model,
            turf=setting.turf,
            trace=steps,
        )
        if steps is None:
            return numbers, bits, None
        if noted == 0:  # it never left the ground
            steps[0], noted = 0.0, 1
        start = max(-float(given[7, 0]), 0.0)
        # A step that went under the ground by a hair was taken back; it is no part of the way.
        kept = np.append(steps[: noted - 1, 0] < steps[noted - 1, 0], True)
        places = steps[:noted, 1:][kept] - [0.0, start, 0.0, 0.0, 0.0, 0.0]
        trace = Trace(steps[:noted, 0][kept].tolist(), list(places))
        return numbers, bits, _path(trace, given)
    way = Trace() if path else None
    numbers, bits = _fly_in_numpy(given, setting, way)
    return numbers, bits, _path(way, given) if way else None


def _fly_in_numpy(
    given: Series, setting: _Setting, trace: Trace | None
) -> tuple[Series, NDArray[np.uint8]]:
    """The same without a compiler, for any model."""
    usable = np.ones(given.shape[1], dtype=np.bool_)
    for values, (low, high) in zip(given, GIVEN_RANGES.values(), strict=True):
        usable &= (values >= low) & (values <= high)
    speed, angle, direction, spin, tilt, along, across, landing = given[:, usable]
    axis = spin_axis_vector(direction, tilt)
    level = speed * np.cos(angle)
    start = np.zeros((7, len(speed)))
    start[3:] = level * np.cos(direction), speed * np.sin(angle), level * np.sin(direction), spin
    fixed = setting_for(
        air=setting.air,
        ball=setting.ball,
        model=setting.model,
        axis=axis,
        along_mps=along,
        across_mps=across,
        landing_height_m=landing,
    )
    landed = fly_to_ground(start, fixed, trace)
    bits = np.full(len(usable), _REFUSED, dtype=np.uint8)
    bits[usable] = _flag_bits(landed, setting.model)
    numbers = np.full((len(NUMBERS), len(usable)), np.nan)
    numbers[:, usable] = np.stack(list(_numbers(landed, axis, setting.turf, setting.ball).values()))
    return numbers, bits


def _numbers(landed: Landed, axis: Series, turf: Turf | None, ball: Ball) -> dict[str, Series]:
    """Everything a flight is reported by, from the state at landing."""
    x, _, z, vx, vy, vz, spin = landed.state
    along = np.hypot(vx, vz)
    # Where the ball comes straight down there is no way to run on: any direction will do.
    ahead = np.where(along > 0.0, vx / np.maximum(along, 1e-300), 1.0)
    right = np.where(along > 0.0, vz / np.maximum(along, 1e-300), 0.0)
    backspin = spin * (axis[2] * ahead - axis[0] * right)
    run = np.nan * along if turf is None else run_m(along, -vy, backspin, turf=turf, ball=ball)
    return {
        "carry_m": x,
        "offline_m": z,
        "apex_m": landed.apex_m,
        "hang_time_s": landed.time_s,
        "landing_angle_rad": np.arctan2(-vy, along),
        "landing_speed_mps": np.hypot(along, vy),
        "landing_spin_radps": spin,
        "total_m": x + run * ahead,
        "total_offline_m": z + run * right,
    }


def _flag_bits(landed: Landed, model: AirModel) -> NDArray[np.uint8]:
    """Which flights left the range in which their model has data."""
    flies = ~landed.at_once
    low_spin, high_spin = model.spin_parameter_range
    marks = (
        landed.at_once,
        flies & (landed.least_spin_parameter < low_spin),
        flies & (landed.most_spin_parameter > high_spin),
        flies & (landed.least_reynolds < model.reynolds_range[0]),
        np.isnan(landed.time_s) & ~landed.too_low,
        _run_is_a_guess(landed),
        landed.too_low,
    )
    bits = np.zeros(len(flies), dtype=np.uint8)
    for k, mark in enumerate(marks):
        bits |= mark.astype(np.uint8) << np.uint8(k)
    lost = np.isnan(landed.time_s)
    bits[lost] &= np.uint8(_NEVER_LANDED | _TOO_LOW)
    return bits


def _run_is_a_guess(landed: Landed) -> NDArray[np.bool_]:
    """Landings outside those that the bounce model was made from."""
    _, _, _, vx, vy, vz, _ = landed.state
    along = np.hypot(vx, vz)
    too_fast = np.hypot(along, vy) > FASTEST_LANDING_MPS
    guess: NDArray[np.bool_] = too_fast | (np.arctan2(-vy, along) < FLATTEST_KNOWN_RAD)
    return guess


def _path(trace: Trace, given: Series) -> Path:
    """Sample the steps of one flight evenly in time."""
    times, x, y, z = trace.sampled(_PATH_POINTS)
    floor = min(float(given[7, 0]), 0.0)
    return Path(time_s=times, x_m=x, y_m=np.maximum(y, floor), z_m=z)
