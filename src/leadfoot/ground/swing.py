"""A swing from a force recording: loads, travel of the pressure, turning moments.

A device that sees vertical force alone gives a `PressureSwing`: it has no field for shear, torque
or moment. Force plates give a `PlateSwing`.
"""

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from leadfoot.ground.body_weight import Weighing, weigh
from leadfoot.ground.contacts import THRESHOLD_N
from leadfoot.ground.force import Load, Span, load_of
from leadfoot.ground.method import Method
from leadfoot.ground.phases import (
    MOVE_SHARE,
    SHEAR_SHARE,
    Impact,
    SwingPhases,
    first_move,
    quiet_part,
)
from leadfoot.ground.recording import KnownWeight, Recording, Remark
from leadfoot.ground.smoothing import DISPLAY_HZ, filter_words, low_pass
from leadfoot.ground.swing_doubts import about_address, doubts_of
from leadfoot.ground.swing_series import Cut, common_cop_m, cut
from leadfoot.ground.travel import LAST_S, Travel, travel_of
from leadfoot.ground.turning import AboutCentre, Sideways, Turning, about_centre, sideways, turning
from leadfoot.ground.weight_basis import WeightBasis, basis_of

Values = NDArray[np.float64]

PEAK_AFTER_S = 0.05
"""A peak is looked for until so long after the strike (own choice). [s]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shares:
    """Share of the vertical force on the lead foot, 0 to 1. It is not the centre of pressure."""

    address: float
    turn: float
    impact: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Pressure:
    """The common centre of pressure, along the line between the feet.

    Attributes
    ----------
    address, turn, impact
        0 at the trail foot's own mean place, 1 at the lead foot's; NaN for one plate. [-]
    range_m
        Travel toward and from the target between first movement and strike. [m]
    speed_mps
        Greatest speed toward the target between turn and strike. [m/s]
    travel
        The style; None without a strike, or on one plate.
    """

    address: float
    turn: float
    impact: float | None
    range_m: float
    speed_mps: float
    travel: Travel | None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SwingSeries:
    """What is drawn, smoothed; times on the clock of the recording.

    Attributes
    ----------
    time_s
        Shape (n,). [s]
    total_n
        Vertical force, shape (n,). [N]
    lead_n, trail_n
        Of each foot; None for one plate. [N]
    cop_m
        Common centre of pressure, shape (n, 2); None where not seen. [m]
    """

    time_s: Values
    total_n: Values
    lead_n: Values | None
    trail_n: Values | None
    cop_m: Values | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PressureSwing:
    """A swing by its vertical force.

    Attributes
    ----------
    peaks, impulses
        How peaks and shares, and how impulses were found.
    weighing
        Weight of golfer and club.
    basis
        What the weight rests on; without a scale and a coach's word nothing is given in % of it.
    impact
        The strike and who said so; None if nobody did, and then nothing is timed by it.
    phases
        What the plates see.
    total, lead, trail
        The loads; None for one plate.
    shares
        Share of the load; None for one plate.
    pressure
        Centre of pressure; None where the device does not know it.
    series
        For pictures.
    remarks
        What should be known.
    """

    peaks: Method
    impulses: Method
    weighing: Weighing
    basis: WeightBasis
    impact: Impact | None
    phases: SwingPhases
    total: Load
    lead: Load | None
    trail: Load | None
    shares: Shares | None
    pressure: Pressure | None
    series: SwingSeries
    remarks: tuple[Remark, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlateSwing(PressureSwing):
    """A swing on force plates: what a pressure device sees, and what it cannot.

    Attributes
    ----------
    sideways
        Horizontal forces.
    turning
        Free and pivoting moments: exact, no centre of mass is needed.
    about_centre
        Moments about the centre of mass with their uncertainty; None without a quiet address.
    """

    sideways: Sideways
    turning: Turning
    about_centre: AboutCentre | None


def swing_of(
    recording: Recording,
    impact: Impact | None,
    *,
    entered_n: float | None = None,
    stature_m: float | None = None,
    turn_s: float | None = None,
) -> PressureSwing:
    """Measure a swing.

    Parameters
    ----------
    recording
        In the golfer's frame: lead and trail foot, or one plate for both.
    impact
        The strike; None where nobody knows.
    entered_n
        The weight by a scale, club included. [N]
    stature_m
        Height of the golfer, for the height of the centre of mass. [m]
    turn_s
        Start of the downswing as set by hand, on the clock of the recording. [s]

    Returns
    -------
    PressureSwing
        A `PlateSwing` if all plates see six channels.

    Raises
    ------
    InputError
        If the feet are not known, nobody stands still, or the load never moves.

    Examples
    --------
    >>> from leadfoot.ground.made_swing import usual_swing
    >>> made = usual_swing()
    >>> strike = Impact(time_s=made.impact_s, source="trigger channel")
    >>> found = swing_of(made.recording(1000.0), strike)
    >>> round(found.weighing.mass_kg, 2) == round(made.mass_kg, 2), type(found).__name__
    (True, 'PlateSwing')
    """
    part = cut(recording, None if impact is None else impact.time_s)
    rate_hz = part.rate_hz
    total_n = low_pass(part.vertical_n, rate_hz)
    before_s = len(total_n) / rate_hz if impact is None else impact.time_s - part.start_s
    loads = [low_pass(plate.vertical_n, rate_hz) for plate in part.feet]
    moving = _moving(part, loads)
    weighing = weigh(
        part.vertical_n,
        rate_hz,
        before_s=before_s,
        entered_n=entered_n,
        also_still=[values for values, _ in moving],
    )
    pushed = part.pushed(weighing.weight_n)
    sees_cop = recording.sees != "vertical"
    cop_m = common_cop_m(pushed, rate_hz) if sees_cop else None
    share = _lead_share(loads, total_n) if part.two_feet else None
    at_s = None if impact is None else impact.time_s
    still = quiet_part(weighing, rate_hz)
    signals = [(values, least * weighing.weight_n) for values, least in moving]
    move = first_move(signals, rate_hz, still=still)
    span = _span(part, share, max(move, still.stop), at_s=at_s, turn_s=turn_s)
    known: dict[str, Any] = {
        "weighing": weighing,
        "basis": basis_of(weighing.weight_n, _known_weight(recording, entered_n)),
        "impact": impact,
        "phases": _phases(part, span, weighing, turn_s),
        **_methods(rate_hz, weighing, part),
        **_loads(part, loads, total_n, span, weighing.weight_n),
        "shares": None if share is None else _shares(share, still, span),
        "pressure": None if cop_m is None else _pressure(part, cop_m, still, span),
        "series": SwingSeries(
            time_s=part.time_s,
            total_n=total_n,
            lead_n=loads[0] if part.two_feet else None,
            trail_n=loads[1] if part.two_feet else None,
            cop_m=cop_m,
        ),
    }
    remarks = recording.remarks + doubts_of(weighing, impact, part, entered_n=entered_n)
    if recording.sees != "six_channels":
        return PressureSwing(**known, remarks=remarks)
    restless = about_address(part, pushed, weighing)
    return PlateSwing(
        **known,
        remarks=remarks + (() if restless is None else (restless,)),
        sideways=sideways(part, span),
        turning=turning(part, pushed, span),
        about_centre=None
        if restless is not None
        else about_centre(part, pushed, weighing, span, stature_m=stature_m),
    )


def _known_weight(recording: Recording, entered_n: float | None) -> KnownWeight:
    known = recording.known_weight
    return known if entered_n is None else replace(known, scale_n=entered_n)


def _methods(rate_hz: float, weighing: Weighing, part: Cut) -> dict[str, Method]:
    least_n = max(THRESHOLD_N, 0.03 * weighing.weight_n)
    peaks = Method(
        name="swing, peaks and shares",
        rate_hz=rate_hz,
        filter=filter_words(DISPLAY_HZ),
        threshold_n=least_n,
        window_s=(part.start_s + weighing.start_s, weighing.length_s),
    )
    impulses = Method(
        name="swing, impulses, trapezoid",
        rate_hz=rate_hz,
        threshold_n=least_n,
        window_s=peaks.window_s,
    )
    return {"peaks": peaks, "impulses": impulses}


def _lead_share(loads: list[Values], total_n: Values) -> Values:
    return np.asarray(loads[0] / np.where(total_n > THRESHOLD_N, total_n, np.nan))


def _moving(part: Cut, loads: list[Values]) -> list[tuple[Values, float]]:
    """The signals of which one moves first, with the share of the weight that counts as a move."""
    leaning = loads[0] - loads[1] if part.two_feet else loads[0]
    found = [(leaning, MOVE_SHARE)]
    if all(plate.sees == "six_channels" for plate in part.feet):
        shear = [low_pass(plate.force_n[:, :2], part.rate_hz) for plate in part.feet]
        found.append((np.asarray(np.sum(shear, axis=0))[:, 1], SHEAR_SHARE))
        found.append((shear[0][:, 0] - (shear[1][:, 0] if part.two_feet else 0.0), SHEAR_SHARE))
    return found


def _span(
    part: Cut, share: Values | None, move: int, *, at_s: float | None, turn_s: float | None
) -> Span:
    rate_hz, n = part.rate_hz, len(part.vertical_n)
    at = None if at_s is None else min(n - 1, round((at_s - part.start_s) * rate_hz))
    end = n - 1 if at is None else at
    move = min(move, end - 1)
    if turn_s is not None:
        turn = int(np.clip(round((turn_s - part.start_s) * rate_hz), move, end))
    elif share is not None:
        turn = move + int(np.nanargmin(share[move : end + 1]))
    else:
        turn = move
    last = end if at is None else min(n - 1, at + round(PEAK_AFTER_S * rate_hz))
    return Span(move=move, turn=turn, impact=at, last=last)


def _phases(part: Cut, span: Span, weighing: Weighing, turn_s: float | None) -> SwingPhases:
    def at_s(sample: int) -> float:
        return part.start_s + sample / part.rate_hz

    return SwingPhases(
        address_s=part.start_s + weighing.start_s,
        first_move_s=at_s(span.move),
        turn_s=at_s(span.turn),
        turn_from="load" if turn_s is None else "set by hand",
        impact_s=None if span.impact is None else at_s(span.impact),
    )


def _loads(
    part: Cut, loads: list[Values], total_n: Values, span: Span, weight_n: float
) -> dict[str, Load | None]:
    def load(raw_n: Values, smooth_n: Values) -> Load:
        return load_of(
            raw_n, smooth_n, part.rate_hz, span=span, start_s=part.start_s, weight_n=weight_n
        )

    feet: list[Load | None] = [None, None]
    if part.two_feet:
        feet = [
            load(plate.vertical_n, smooth) for plate, smooth in zip(part.feet, loads, strict=True)
        ]
    return {"total": load(part.vertical_n, total_n), "lead": feet[0], "trail": feet[1]}


def _shares(share: Values, still: slice, span: Span) -> Shares:
    return Shares(
        address=float(np.nanmean(share[still])),
        turn=float(share[span.turn]),
        impact=None if span.impact is None else float(share[span.impact]),
    )


def _pressure(part: Cut, cop_m: Values, still: slice, span: Span) -> Pressure:
    end = span.last if span.impact is None else span.impact
    toward_m = cop_m[:, 1]
    between = np.full(len(toward_m), np.nan)
    if part.two_feet:
        lead_m, trail_m = (float(np.nanmean(plate.cop_m[still, 1])) for plate in part.feet)
        between = (toward_m - trail_m) / (lead_m - trail_m)
    speed_mps = np.gradient(toward_m, 1.0 / part.rate_hz)[span.turn : end + 1]
    travel = None
    if span.impact is not None and part.two_feet:
        before = max(span.move, span.impact - round(LAST_S * part.rate_hz))
        travel = travel_of(float(between[before]), float(between[span.impact]))
    return Pressure(
        address=float(np.nanmean(between[still])) if part.two_feet else np.nan,
        turn=float(between[span.turn]),
        impact=None if span.impact is None else float(between[span.impact]),
        range_m=float(np.nanmax(toward_m[span.move : end + 1]))
        - float(np.nanmin(toward_m[span.move : end + 1])),
        speed_mps=float(np.nanmax(speed_mps)),
        travel=travel,
    )
