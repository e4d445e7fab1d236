"""The way of the pressure over the feet, seen from above with the target up the page, as SVG."""

from collections.abc import Sequence

import numpy as np
from markupsafe import Markup
from numpy.typing import NDArray

from leadfoot.desk.recordings import Found
from leadfoot.ground.recording import Plate

Values = NDArray[np.float64]

_WIDTH, _SIDE, _ABOVE, _BELOW = 420.0, 14.0, 36.0, 34.0
_NAME = 74.0
"""Room beside the heels for the names of the feet, in pixels of the picture."""
_LEAST_M = 0.4
"""Least width of floor that is shown, so that a small pattern stays a small one. [m]"""
_MOST_POINTS = 160
_FOOT_M = (0.14, 0.05)
"""Half a shoe's length and width, for the outline about a foot's own mean place (own choice)."""


def pressure_path(
    after: Sequence[Found], before: Sequence[Found] = (), *, label: str
) -> Markup | None:
    """Draw the common centre of pressure of some swings, from first movement to strike.

    Parameters
    ----------
    after, before
        Swings drawn solid, and drawn dashed; the plates and feet are those of the first one.
    label
        What the picture shows, in words.

    Returns
    -------
    Markup or None
        None where no swing has a centre of pressure.
    """
    first = next((one for one in (*after, *before) if _has_path(one)), None)
    if first is None or first.recording is None:
        return None
    flip = -1.0 if first.recording.hand == "left" else 1.0
    ways = [
        (kind, _way(one))
        for kind, founds in (("before", before), ("after", after))
        for one in founds
        if _has_path(one)
    ]
    outlines = [
        plate.corners_m[:, :2] for plate in first.recording.plates if plate.corners_m is not None
    ]
    spots = [(plate, spot) for plate in first.recording.plates if (spot := _spot(plate, first))]
    half_shoe = np.array([_FOOT_M])
    shoes = [np.concatenate([spot - half_shoe, spot + half_shoe]) for _, spot in spots]
    every = np.concatenate([*(way for _, way in ways), *outlines, *shoes])
    every = every[np.isfinite(every).all(axis=1)] * [flip, 1.0]
    low, high = every.min(axis=0), every.max(axis=0)
    scale = (_WIDTH - 2.0 * _SIDE - 2.0 * _NAME) / max(float(high[0] - low[0]), _LEAST_M)
    middle = float(low[0] + high[0]) / 2.0
    height = scale * float(high[1] - low[1]) + _ABOVE + _BELOW

    def place(points: Values) -> Values:
        x = _WIDTH / 2.0 + scale * (flip * points[:, 0] - middle)
        return np.column_stack((x, height - _BELOW - scale * (points[:, 1] - low[1])))

    parts = [_outline(place(corners)) for corners in outlines]
    parts += [_foot(plate, place(np.array([spot])), scale, flip) for plate, spot in spots]
    for kind, way in ways:
        parts.append(_line(place(way), kind))
    words = Markup(
        '<text x="{0:.0f}" y="16" class="mark-text" text-anchor="middle">toward the target</text>'
        '<text x="{1:.0f}" y="{2:.0f}" class="mark-text" text-anchor="{3}">toward the ball</text>'
    ).format(
        _WIDTH / 2.0,
        _WIDTH - _SIDE if flip > 0.0 else _SIDE,
        height - 10.0,
        "end" if flip > 0.0 else "start",
    )
    return Markup(
        '<svg class="pressure" viewBox="0 0 {:.0f} {:.0f}" role="img" aria-label="{}">{}</svg>'
    ).format(_WIDTH, height, label, Markup("").join([*parts, words]))


def _has_path(found: Found) -> bool:
    return found.swing is not None and found.swing.series.cop_m is not None


def _way(found: Found) -> Values:
    """The common centre of pressure from first movement to strike, thinned for a picture."""
    swing = found.swing
    if swing is None or swing.series.cop_m is None:
        return np.empty((0, 2))
    time_s, phases = swing.series.time_s, swing.phases
    end_s = float(time_s[-1]) if phases.impact_s is None else phases.impact_s
    way = swing.series.cop_m[(time_s >= phases.first_move_s) & (time_s <= end_s)]
    return np.asarray(way[:: max(1, len(way) // _MOST_POINTS)])


def _points(points: Values) -> str:
    return "L".join(f"{x:.1f} {y:.1f}" for x, y in points if np.isfinite(x) and np.isfinite(y))


def _outline(corners: Values) -> Markup:
    return Markup('<path class="plate" d="M{}Z"/>').format(_points(corners))


def _spot(plate: Plate, found: Found) -> tuple[float, float] | None:
    """Where a foot bore on average at address; None where that is not known."""
    if found.swing is None or plate.foot not in {"lead", "trail"} or found.recording is None:
        return None
    start_s = found.swing.phases.address_s
    still = (found.recording.time_s >= start_s) & (
        found.recording.time_s <= start_s + found.swing.weighing.length_s
    )
    known = plate.cop_m[still][np.isfinite(plate.cop_m[still]).all(axis=1)]
    return (float(known[:, 0].mean()), float(known[:, 1].mean())) if len(known) else None


def _foot(plate: Plate, place: Values, scale: float, flip: float) -> Markup:
    """A shoe, and its name behind the heel, where no pressure goes."""
    ((x, y),) = place
    return Markup(
        '<ellipse class="foot" cx="{:.1f}" cy="{:.1f}" rx="{:.1f}" ry="{:.1f}"/>'
        '<text class="mark-text" x="{:.1f}" y="{:.1f}" text-anchor="{}">{} foot</text>'
    ).format(
        x,
        y,
        scale * _FOOT_M[0],
        scale * _FOOT_M[1],
        x - flip * (scale * _FOOT_M[0] + 6.0),
        y + 4.0,
        "end" if flip > 0.0 else "start",
        plate.foot,
    )


def _line(points: Values, kind: str) -> Markup:
    known = points[np.isfinite(points).all(axis=1)]
    if not len(known):
        return Markup("")
    (x0, y0), (x1, y1) = known[0], known[-1]
    return Markup(
        '<path class="way way-{kind}" d="M{d}"/>'
        '<circle class="begin" cx="{x0:.1f}" cy="{y0:.1f}" r="3"/>'
        '<circle class="end way-{kind}" cx="{x1:.1f}" cy="{y1:.1f}" r="5"/>'
    ).format(kind=kind, d=_points(known), x0=x0, y0=y0, x1=x1, y1=y1)
