"""A countermovement jump from its vertical force: height, impulse, peak force, peak power."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from leadfoot.errors import InputError
from leadfoot.ground.body_weight import Weighing, weigh, weigh_in
from leadfoot.ground.integral import between, running
from leadfoot.ground.jump_doubts import doubts_of, refuse_smoothed
from leadfoot.ground.jump_events import Flight, flight_of, onset_of
from leadfoot.ground.method import GRAVITY_MPS2, Method
from leadfoot.ground.recording import KnownWeight, Recording, Remark
from leadfoot.ground.weight_basis import WeightBasis, basis_of

Values = NDArray[np.float64]

METHOD = "countermovement jump, impulse and momentum, trapezoid"


@dataclass(frozen=True, slots=True, kw_only=True)
class Phases:
    """When the parts of a jump start, in s from the first sample.

    After McMahon and others, Strength and Conditioning Journal 40, 96, 2018: unweighting from the
    onset, braking from the fastest way down, propulsion from the lowest point, flight, landing.
    """

    onset_s: float
    braking_s: float
    propulsion_s: float
    take_off_s: float
    landing_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FootPeaks:
    """The greatest vertical force in N on one plate, before the take-off and after the landing."""

    plate: str
    foot: str | None
    push_n: float
    landing_n: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Jump:
    """What one countermovement jump shows. All numbers are measured, none is an estimate.

    Attributes
    ----------
    method
        Rate, filter, threshold, window.
    weighing
        Body weight and its window.
    phases
        When its parts start.
    height_m
        Rise of the centre of mass from the take-off to the top, by impulse and momentum: the
        headline. [m]
    height_doubt_m
        Its standard uncertainty, from weight, sampling and the plate's zero. [m]
    height_by_flight_m
        The same by the time in the air; longer if the legs are bent at landing. A cross-check. [m]
    height_from_standing_m
        Rise from standing to the top: another quantity, larger by the stretch of the ankles. [m]
    take_off_velocity_mps, flight_s
        Upward speed at the take-off; time in the air.
    depth_m
        How far the centre of mass sank before the push. [m]
    net_impulse_ns
        Mass times take-off velocity. It carries the body mass. [N s]
    positive_impulse_ns
        Of the force over the weight, from the fastest way down to the take-off. [N s]
    peak_force_n, peak_power_w
        Greatest force, and greatest product of force and velocity, before the take-off.
    landing_force_n
        Greatest force in the 0.3 s after the landing. [N]
    flight_offset_n, flight_noise_n
        What the empty plate read in flight: mean, standard deviation. [N]
    feet
        The peaks of each plate; empty where there is one plate alone.
    remarks
        What should be known before the numbers are used.

    Examples
    --------
    >>> Jump.__slots__[4]
    'height_m'
    """

    method: Method
    weighing: Weighing
    basis: WeightBasis
    phases: Phases
    height_m: float
    height_doubt_m: float
    height_by_flight_m: float
    height_from_standing_m: float
    take_off_velocity_mps: float
    flight_s: float
    depth_m: float
    net_impulse_ns: float
    positive_impulse_ns: float
    peak_force_n: float
    peak_power_w: float
    landing_force_n: float
    flight_offset_n: float
    flight_noise_n: float
    feet: tuple[FootPeaks, ...] = ()
    remarks: tuple[Remark, ...] = ()


def height_m_from_flight(flight_s: float) -> float:
    """Height by the time in the air: ``g t² / 8``, in m.

    Examples
    --------
    >>> round(height_m_from_flight(0.5), 5)
    0.30646
    """
    return GRAVITY_MPS2 * flight_s**2 / 8.0


def height_m_from_velocity(velocity_mps: float) -> float:
    """Height by the take-off velocity: ``v² / 2g``, in m.

    Examples
    --------
    >>> round(height_m_from_velocity(2.5), 5)
    0.31866
    """
    return velocity_mps**2 / (2.0 * GRAVITY_MPS2)


def jump_of(
    vertical_n: Values,
    rate_hz: float,
    *,
    window_s: tuple[float, float] | None = None,
    entered_n: float | None = None,
    threshold_n: float | None = None,
    without_offset: bool = False,
    filtered: str | None = None,
) -> Jump:
    """Measure a countermovement jump.

    Parameters
    ----------
    vertical_n
        Vertical force of all plates together, raw, shape (n,), without gaps. [N]
    rate_hz
        Samples a second, 100 to 20 000. [Hz]
    window_s
        Start and length of the weighing; None: the quietest second before the take-off.
    entered_n
        The weight by a scale; more than 3 % from it is refused. [N]
    threshold_n
        Below it the plate is empty; None: 20 N, or more on a noisy plate. [N]
    without_offset
        Take what the plate reads in flight from the whole force first.
    filtered
        What the file says was done to the force before; a low-pass is refused, as it moves the
        take-off.

    Returns
    -------
    Jump

    Raises
    ------
    InputError
        If there is no flight, no quiet second, no countermovement, or the force was smoothed by the
        file's own word.

    Examples
    --------
    >>> force_n = np.full(4000, 800.0) + np.random.default_rng(1).normal(0.0, 1.0, 4000)
    >>> force_n[1500:1800] = 500.0
    >>> force_n[1800:2200] = 1500.0
    >>> force_n[2200:2590] = 0.0
    >>> round(jump_of(force_n, 1000.0).take_off_velocity_mps, 2)
    2.32
    """
    refuse_smoothed(filtered)
    _check(vertical_n, rate_hz)
    flight = flight_of(vertical_n, rate_hz, threshold_n=threshold_n)
    measured_n = vertical_n
    if without_offset:
        vertical_n = vertical_n - flight.offset_n
    take_off_s = flight.take_off / rate_hz
    if window_s is None:
        weighing = weigh(vertical_n, rate_hz, before_s=take_off_s, entered_n=entered_n)
    else:
        weighing = weigh_in(vertical_n, rate_hz, start_s=window_s[0], length_s=window_s[1])
    onset = onset_of(vertical_n, rate_hz, weighing, before=flight.take_off)
    moved = _Motion.of(vertical_n, rate_hz, weighing, onset, flight)
    by_flight_m = height_m_from_flight((flight.landing - flight.take_off) / rate_hz)
    return Jump(
        method=Method(
            name=METHOD,
            rate_hz=rate_hz,
            filter="offset in flight taken off" if without_offset else "none: raw force",
            threshold_n=flight.threshold_n,
            window_s=weighing.window_s,
        ),
        weighing=weighing,
        basis=basis_of(weighing.weight_n, KnownWeight(scale_n=entered_n)),
        phases=moved.phases,
        height_m=height_m_from_velocity(moved.take_off_mps),
        height_doubt_m=moved.height_doubt_m,
        height_by_flight_m=by_flight_m,
        height_from_standing_m=float(moved.rise_m[-1]) + height_m_from_velocity(moved.take_off_mps),
        take_off_velocity_mps=moved.take_off_mps,
        flight_s=(flight.landing - flight.take_off) / rate_hz,
        depth_m=-float(moved.rise_m.min()),
        net_impulse_ns=weighing.mass_kg * moved.take_off_mps,
        positive_impulse_ns=moved.positive_impulse_ns,
        peak_force_n=float(moved.force_n.max()),
        peak_power_w=float((moved.force_n * moved.velocity_mps).max()),
        landing_force_n=float(vertical_n[flight.landing :][: round(0.3 * rate_hz)].max()),
        flight_offset_n=flight.offset_n,
        flight_noise_n=flight.sd_n,
        remarks=doubts_of(
            measured_n,
            rate_hz,
            flight=flight,
            weighing=weighing,
            onset=onset,
            heights_m=(height_m_from_velocity(moved.take_off_mps), by_flight_m),
            entered_n=entered_n,
            without_offset=without_offset,
        ),
    )


def jump_in(
    recording: Recording,
    *,
    window_s: tuple[float, float] | None = None,
    entered_n: float | None = None,
    without_offset: bool = False,
) -> Jump:
    """Measure the jump in a recording, on all its plates, with the peaks of each plate.

    Parameters
    ----------
    recording
        One or two plates.
    window_s, entered_n, without_offset
        As in `jump_of`.

    Raises
    ------
    InputError
        As `jump_of`.

    Examples
    --------
    >>> from leadfoot.ground.recording import Plate
    >>> force_n = np.full(4000, 400.0) + np.random.default_rng(1).normal(0.0, 1.0, 4000)
    >>> force_n[1500:1800], force_n[1800:2200], force_n[2200:2590] = 250.0, 750.0, 0.0
    >>> foot = Plate(name="plate 1", foot="lead", cop_m=np.zeros((4000, 2)),
    ...     force_n=np.column_stack((0 * force_n, 0 * force_n, force_n)),
    ...     free_moment_nm=np.zeros(4000))
    >>> jump_in(Recording(rate_hz=1000.0, plates=(foot, foot))).feet[0].push_n
    750.0
    """
    rate_hz = recording.rate_hz
    found = jump_of(
        recording.vertical_n,
        rate_hz,
        window_s=window_s,
        entered_n=entered_n,
        without_offset=without_offset,
    )
    onset, take_off, landing = (
        round(at * rate_hz)
        for at in (found.phases.onset_s, found.phases.take_off_s, found.phases.landing_s)
    )
    feet = tuple(
        FootPeaks(
            plate=plate.name,
            foot=plate.foot,
            push_n=float(plate.vertical_n[onset:take_off].max()),
            landing_n=float(plate.vertical_n[landing:][: round(0.3 * rate_hz)].max()),
        )
        for plate in recording.plates
    )
    known = recording.known_weight
    if entered_n is not None:
        known = replace(known, scale_n=entered_n)
    return replace(
        found,
        basis=basis_of(found.weighing.weight_n, known),
        feet=feet if len(feet) > 1 else (),
        remarks=recording.remarks + found.remarks,
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Motion:
    """Force, velocity and rise from the onset to the take-off."""

    force_n: Values
    velocity_mps: Values
    rise_m: Values
    phases: Phases
    take_off_mps: float
    height_doubt_m: float
    positive_impulse_ns: float

    @classmethod
    def of(
        cls, vertical_n: Values, rate_hz: float, weighing: Weighing, onset: int, flight: Flight
    ) -> "_Motion":
        force_n = vertical_n[onset : flight.take_off + 1]
        step_s = 1.0 / rate_hz
        net_n = force_n - weighing.weight_n
        velocity = running(net_n, rate_hz) / weighing.mass_kg
        rise = running(velocity, rate_hz)
        low = int(np.argmin(velocity))
        up = low + int(np.argmax(velocity[low:] >= 0.0))
        take_off_mps = float(velocity[-1])
        if take_off_mps <= 0.0:
            raise InputError(
                f"The body would move at {take_off_mps:.2f} m/s at the take-off, not upward.",
                fix="Check the weighing: stand still on the plates for two seconds before.",
            )
        over_n = np.maximum(net_n[low:], 0.0)
        lasts_s = (flight.take_off - onset) * step_s
        doubt_mps = _velocity_doubt_mps(take_off_mps, lasts_s, step_s, weighing, flight)
        return cls(
            force_n=force_n,
            velocity_mps=velocity,
            rise_m=rise,
            phases=Phases(
                onset_s=onset * step_s,
                braking_s=(onset + low) * step_s,
                propulsion_s=(onset + up) * step_s,
                take_off_s=flight.take_off * step_s,
                landing_s=flight.landing * step_s,
            ),
            take_off_mps=take_off_mps,
            height_doubt_m=float(take_off_mps * doubt_mps / GRAVITY_MPS2),
            positive_impulse_ns=between(over_n, rate_hz, 0, len(over_n) - 1),
        )


def _velocity_doubt_mps(
    take_off_mps: float, lasts_s: float, step_s: float, weighing: Weighing, flight: Flight
) -> float:
    """Standard uncertainty of the take-off velocity: weight, where the samples fall, zero."""
    weight = GRAVITY_MPS2 * weighing.doubt_n / weighing.weight_n * lasts_s
    sampling = GRAVITY_MPS2 * step_s / np.sqrt(3.0)  # the last sample is up to one step too late
    zero = take_off_mps * flight.offset_n / weighing.weight_n
    return float(np.sqrt(weight**2 + sampling**2 + zero**2))


def _check(vertical_n: Values, rate_hz: float) -> None:
    if not 100.0 <= rate_hz <= 20_000.0:
        raise InputError(
            f"The rate is {rate_hz:g} Hz; a jump needs 100 to 20000 Hz.",
            fix="Record at 1000 Hz.",
        )
    if vertical_n.ndim != 1 or not np.isfinite(vertical_n).all():
        raise InputError(
            "The vertical force has gaps or is not one column.",
            fix="Give one column without gaps.",
        )
