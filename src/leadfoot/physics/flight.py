"""A ball's flight from launch to rest: carry, height, time, landing, and how far it runs."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from leadfoot.errors import InputError
from leadfoot.physics.air import STANDARD_AIR, Air
from leadfoot.physics.ball import REGRESSION, STANDARD_BALL, AirModel, Ball
from leadfoot.physics.bounce import (
    FASTEST_LANDING_MPS,
    FLATTEST_KNOWN_RAD,
    MEDIUM_TURF,
    Turf,
    run_m,
)
from leadfoot.physics.integrate import Landed, Trace, fly_to_ground
from leadfoot.physics.launch import CALM, GREATEST_WIND_MPS, LAUNCH_RANGES, Launch, Wind
from leadfoot.physics.motion import Series, setting_for, spin_axis_vector

__all__ = ["CALM", "FLAGS", "Flight", "Flights", "Launch", "Path", "Wind", "fly", "fly_many"]

FLAGS = (
    "lands at once",
    "spin under the model's data",
    "spin over the model's data",
    "speed under the model's data",
    "never landed",
    "run is a guess",
)
"""What a flight can be flagged with, in the order of the bits of `Flights.flag_bits`. The run of
every flight is good to some 30 % only, a limit of all bounce models; the last flag marks landings
of which no bounce was filmed: too fast or too flat."""

_PATH_POINTS = 121


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
        bits = int(self.flag_bits[index])
        return tuple(flag for k, flag in enumerate(FLAGS) if bits >> k & 1)


def fly(
    launch: Launch,
    *,
    air: Air = STANDARD_AIR,
    wind: Wind = CALM,
    ball: Ball = STANDARD_BALL,
    model: AirModel = REGRESSION,
    turf: Turf = MEDIUM_TURF,
    path: bool = False,
) -> Flight:
    """Fly one ball from level ground to level ground.

    Parameters
    ----------
    launch
        How the ball leaves the face.
    air, wind
        The air it flies through; standard air and calm if not given.
    ball, model
        The ball and how the air acts on it.
    turf
        What it lands on.
    path
        Whether the way through the air comes along, for drawing.

    Returns
    -------
    Flight
        Where it came down, how, and where it stopped; flagged where the model has no data.

    Raises
    ------
    InputError
        If the ball does not come down within a minute.

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
    arrays = [np.array([getattr(launch, name)], dtype=np.float64) for name in LAUNCH_RANGES]
    trace = Trace() if path else None
    flights = _fly(
        arrays,
        air=air,
        along=np.array([wind.along_mps]),
        across=np.array([wind.across_mps]),
        ball=ball,
        model=model,
        turf=turf,
        trace=trace,
    )
    flags = flights.flags_of(0)
    if "never landed" in flags:
        raise InputError(
            f"A ball of {launch.ball_speed_mps:g} m/s and {launch.spin_rate_radps:g} rad/s does "
            "not come down within a minute.",
            fix="Check the launch and the wind.",
        )
    numbers = {name: float(getattr(flights, name)[0]) for name in _NUMBERS}
    return Flight(**numbers, model=model.name, flags=flags, path=_path(trace) if trace else None)


_NUMBERS = (
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


def fly_many(
    ball_speed_mps: ArrayLike,
    launch_angle_rad: ArrayLike,
    spin_rate_radps: ArrayLike,
    launch_direction_rad: ArrayLike = 0.0,
    spin_axis_rad: ArrayLike = 0.0,
    *,
    air: Air = STANDARD_AIR,
    wind_along_mps: ArrayLike = 0.0,
    wind_across_mps: ArrayLike = 0.0,
    ball: Ball = STANDARD_BALL,
    model: AirModel = REGRESSION,
    turf: Turf = MEDIUM_TURF,
) -> Flights:
    """Fly many balls at once; single numbers hold for all of them.

    Parameters
    ----------
    ball_speed_mps, launch_angle_rad, spin_rate_radps, launch_direction_rad, spin_axis_rad
        As in `Launch`, shape (n,) each. [m/s], [rad], [rad/s], [rad], [rad]
    air, ball, model, turf
        As in `fly`, the same for all.
    wind_along_mps, wind_across_mps
        As in `Wind`. [m/s], [m/s]

    Returns
    -------
    Flights
        Arrays of shape (n,). A launch with a NaN, an infinity or a value outside `LAUNCH_RANGES`
        gives NaN in every number of that row, and no flag.

    Examples
    --------
    >>> flights = fly_many([60.0, np.nan], 0.20944, 314.16)
    >>> flights.carry_m.round(1)
    array([189.1,   nan])
    """
    given = (
        ball_speed_mps,
        launch_angle_rad,
        launch_direction_rad,
        spin_rate_radps,
        spin_axis_rad,
        wind_along_mps,
        wind_across_mps,
    )
    arrays = np.broadcast_arrays(*(np.atleast_1d(np.asarray(a, dtype=np.float64)) for a in given))
    *launches, along, across = arrays
    return _fly(
        launches,
        air=air,
        along=along,
        across=across,
        ball=ball,
        model=model,
        turf=turf,
        trace=None,
    )


def _fly(
    launches: list[Series],
    *,
    air: Air,
    along: Series,
    across: Series,
    ball: Ball,
    model: AirModel,
    turf: Turf,
    trace: Trace | None,
) -> Flights:
    usable = (np.abs(along) <= GREATEST_WIND_MPS) & (np.abs(across) <= GREATEST_WIND_MPS)
    for values, (low, high) in zip(launches, LAUNCH_RANGES.values(), strict=True):
        usable &= (values >= low) & (values <= high)
    speed, angle, direction, spin, tilt = (values[usable] for values in launches)
    axis = spin_axis_vector(direction, tilt)
    level = speed * np.cos(angle)
    start = np.zeros((7, len(speed)))
    start[3:] = level * np.cos(direction), speed * np.sin(angle), level * np.sin(direction), spin
    setting = setting_for(
        air=air,
        ball=ball,
        model=model,
        axis=axis,
        along_mps=along[usable],
        across_mps=across[usable],
    )
    landed = fly_to_ground(start, setting, trace)
    bits = np.zeros(len(usable), dtype=np.uint8)
    bits[usable] = _flag_bits(landed, model)
    numbers = {}
    for name, values in _numbers(landed, axis, turf, ball).items():
        numbers[name] = np.full(len(usable), np.nan)
        numbers[name][usable] = values
    return Flights(**numbers, flag_bits=bits, model=model.name)


def _numbers(landed: Landed, axis: Series, turf: Turf, ball: Ball) -> dict[str, Series]:
    """Everything a flight is reported by, from the state at landing."""
    x, _, z, vx, vy, vz, spin = landed.state
    along = np.hypot(vx, vz)
    # Where the ball comes straight down there is no way to run on: any direction will do.
    ahead = np.where(along > 0.0, vx / np.maximum(along, 1e-300), 1.0)
    right = np.where(along > 0.0, vz / np.maximum(along, 1e-300), 0.0)
    backspin = spin * (axis[2] * ahead - axis[0] * right)
    run = run_m(along, -vy, backspin, turf=turf, ball=ball)
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
        np.isnan(landed.time_s),
        _run_is_a_guess(landed),
    )
    bits = np.zeros(len(flies), dtype=np.uint8)
    for k, mark in enumerate(marks):
        bits |= mark.astype(np.uint8) << np.uint8(k)
    return bits


def _run_is_a_guess(landed: Landed) -> NDArray[np.bool_]:
    """Landings outside those that the bounce model was made from."""
    _, _, _, vx, vy, vz, _ = landed.state
    along = np.hypot(vx, vz)
    too_fast = np.hypot(along, vy) > FASTEST_LANDING_MPS
    guess: NDArray[np.bool_] = too_fast | (np.arctan2(-vy, along) < FLATTEST_KNOWN_RAD)
    return guess


def _path(trace: Trace) -> Path:
    """Sample the steps of one flight evenly in time."""
    times, x, y, z = trace.sampled(_PATH_POINTS)
    return Path(time_s=times, x_m=x, y_m=y, z_m=z)
