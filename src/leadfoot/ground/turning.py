"""What force plates see and pressure devices cannot: shear, turning, moments about the body."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leadfoot.ground.body_weight import Weighing
from leadfoot.ground.force import Span
from leadfoot.ground.integral import between
from leadfoot.ground.mass_centre import mass_centre, moment_doubt_nm
from leadfoot.ground.moments import Pushed, moments_of
from leadfoot.ground.phases import quiet_part
from leadfoot.ground.smoothing import low_pass
from leadfoot.ground.swing_series import Cut

Values = NDArray[np.float64]

REST_S = 0.5
"""Quiet time before the first movement from which the centre of mass starts (own choice). [s]"""
MARGIN_S = 0.3
"""The first movement shows this much after it began at most (own choice). [s]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sideways:
    """Greatest horizontal forces in N between first movement and strike, smoothed.

    Toward the ball and toward the target are positive; the number of the greatest size is given
    with its sign. For one plate `trail_*` are None and `lead_*` those of both feet.
    """

    lead_toward_ball_n: float
    lead_toward_target_n: float
    trail_toward_ball_n: float | None
    trail_toward_target_n: float | None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Turning:
    """Moments about the vertical that need no centre of mass; positive turns toward the target.

    Attributes
    ----------
    lead_free_nm, trail_free_nm
        Greatest free moment under each foot from the first movement to the strike; for one plate
        the trail foot's is None. [N m]
    pivoting_nm
        Greatest pivoting moment; 0 on one plate, which cannot see it. [N m]
    together_nm
        Greatest sum of pivoting and free moments; exact from plates alone. [N m]
    together_nms
        Its integral from the turn to the strike; None without a strike. [N m s]
    series_nm
        The sum, smoothed, shape (n,). [N m]
    """

    lead_free_nm: float
    trail_free_nm: float | None
    pivoting_nm: float
    together_nm: float
    together_nms: float | None
    series_nm: Values


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """A moment about the centre of mass.

    Attributes
    ----------
    peak_nm, doubt_nm
        Its greatest value between first movement and strike, and the standard uncertainty there.
    peak_nm_per_kg
        Over body mass. [N m/kg]
    before_impact_s
        How long before the strike; None without one. [s]
    impulse_nms, impulse_doubt_nms
        Integral from the turn to the strike, and its standard uncertainty. [N m s]
    """

    peak_nm: float
    doubt_nm: float
    peak_nm_per_kg: float
    before_impact_s: float | None
    impulse_nms: float | None
    impulse_doubt_nms: float | None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class AboutCentre:
    """Moments about the centre of mass of golfer and club.

    Attributes
    ----------
    frontal
        About the axis toward the ball: positive moves the low parts toward the target.
    horizontal
        About the vertical: positive turns toward the target.
    height_from
        What the height of the centre of mass is taken from.
    total_nm, doubt_nm
        All three axes, smoothed, and their standard uncertainty, shape (n, 3); NaN before the quiet
        part ends. [N m]
    """

    frontal: Moment
    horizontal: Moment
    height_from: str
    total_nm: Values
    doubt_nm: Values


def sideways(part: Cut, span: Span) -> Sideways:
    """Greatest horizontal forces of each foot.

    Parameters
    ----------
    part, span
        The samples, and where to look.
    """
    inside = slice(span.move, _end(span) + 1)
    found: list[float] = []
    for plate in part.feet:
        smooth = low_pass(plate.force_n[:, :2], part.rate_hz)[inside]
        found += [_greatest(smooth[:, 0]), _greatest(smooth[:, 1])]
    lead, trail = found[:2], found[2:]
    return Sideways(
        lead_toward_ball_n=lead[0],
        lead_toward_target_n=lead[1],
        trail_toward_ball_n=trail[0] if trail else None,
        trail_toward_target_n=trail[1] if trail else None,
    )


def turning(part: Cut, feet: tuple[Pushed, ...], span: Span) -> Turning:
    """Free and pivoting moments.

    Parameters
    ----------
    part, feet, span
        The samples, and where to look.
    """
    inside = slice(span.move, _end(span) + 1)
    parts = moments_of(feet, np.zeros((len(part.vertical_n), 3)))
    free = [low_pass(np.nan_to_num(foot.free_nm), part.rate_hz)[inside] for foot in feet]
    together = low_pass(parts.from_feet_nm, part.rate_hz)
    pivoting = low_pass(parts.pivoting_nm, part.rate_hz)[inside]
    return Turning(
        lead_free_nm=float(free[0].max()),
        trail_free_nm=float(free[1].max()) if len(free) > 1 else None,
        pivoting_nm=float(pivoting.max()),
        together_nm=float(together[inside].max()),
        together_nms=None
        if span.impact is None
        else between(parts.from_feet_nm, part.rate_hz, span.turn, span.impact),
        series_nm=together,
    )


def about_centre(
    part: Cut, feet: tuple[Pushed, ...], weighing: Weighing, span: Span, *, stature_m: float | None
) -> AboutCentre:
    """Moments about the centre of mass, which is followed from the quiet address.

    Parameters
    ----------
    part, feet, span
        The samples, and where to look.
    weighing
        Body weight and the quiet second.
    stature_m
        Height of the golfer. [m]
    """
    rate_hz = part.rate_hz
    still = quiet_part(weighing, rate_hz)
    start = max(still.stop, span.move - round(MARGIN_S * rate_hz)) - 1
    rest = slice(max(0, start - round(REST_S * rate_hz)), start + 1)
    force = np.asarray(np.sum([foot.force_n for foot in feet], axis=0))
    still_n = np.append(force[still, :2].mean(axis=0), weighing.weight_n)
    level = moments_of(feet, np.zeros((len(force), 3)))
    load = force[rest, 2:]
    centre = mass_centre(
        force[start:],
        rate_hz,
        still_n=still_n,
        start_m=(load * level.cop_m[rest]).sum(axis=0) / load.sum(),
        stature_m=stature_m,
    )
    after = tuple(
        Pushed(
            force_n=foot.force_n[start:] - np.append(still_n[:2] / len(feet), 0.0),
            cop_m=foot.cop_m[start:],
            free_nm=foot.free_nm[start:],
        )
        for foot in feet
    )
    moments = np.full_like(force, np.nan)
    doubts = np.full_like(force, np.nan)
    moments[start:] = moments_of(after, centre.place_m).total_nm
    doubts[start:] = moment_doubt_nm(force[start:], centre)
    smooth = moments.copy()
    smooth[start:] = low_pass(moments[start:], rate_hz)
    frontal, horizontal = (
        _moment((moments[:, axis], smooth[:, axis], doubts[:, axis]), part, weighing, span)
        for axis in (0, 2)
    )
    return AboutCentre(
        frontal=frontal,
        horizontal=horizontal,
        height_from=centre.height_from,
        total_nm=smooth,
        doubt_nm=doubts,
    )


def _moment(
    series: tuple[Values, Values, Values], part: Cut, weighing: Weighing, span: Span
) -> Moment:
    """One axis: raw, smoothed, and its uncertainty."""
    raw, smooth, doubt = series
    end = _end(span)
    peak = span.move + int(np.argmax(smooth[span.move : end + 1]))
    has_impact = span.impact is not None
    return Moment(
        peak_nm=float(smooth[peak]),
        doubt_nm=float(doubt[peak]),
        peak_nm_per_kg=float(smooth[peak]) / weighing.mass_kg,
        before_impact_s=(end - peak) / part.rate_hz if has_impact else None,
        impulse_nms=between(raw, part.rate_hz, span.turn, end) if has_impact else None,
        impulse_doubt_nms=between(doubt, part.rate_hz, span.turn, end) if has_impact else None,
    )


def _end(span: Span) -> int:
    return span.last if span.impact is None else span.impact


def _greatest(values: Values) -> float:
    return float(values[int(np.argmax(np.abs(values)))])
