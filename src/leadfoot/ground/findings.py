"""What is odd about a recording: each finding with its figure, and what to do about it."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leadfoot.ground.quiet import Quiet
from leadfoot.ground.recording import Plate, Recording, Remark, Weight
from leadfoot.ground.signals import clipped_channels, drop_outs, held, leaps, runs, spikes
from leadfoot.ground.weighing import about_weight

Values = NDArray[np.float64]

_UNLOADED_N, _UNLOADED_SHARE = 40.0, 0.05
"""A still plate that reads less is unloaded, offset included (own choice). [N]"""
_UNLOADED_S = 0.25
"""Least stretch without load to take an offset from (as jump programs ask for). [s]"""
_EDGE_S = 0.05
_STANDS = 0.1
"""Share of the weight from which somebody stands on a plate (own choice)."""
_OFFSET_N, _NOISE_N, _DRIFT_N = 5.0, 2.0, 5.0
"""From here on an offset, a standard deviation, a change of offset is told (ground sheet 1.7: own
choice; good plates read 0.0 to 1.8 N unloaded). [N]"""
_BEARING_SHARE = 0.2
"""Share of the weight from which place and direction of the force must make sense."""
_OUTSIDE_SHARE = 0.02
_OUTLINE_M = 0.01
_LARGEST_TWIST_NM = 60.0
"""Free moments under one foot in golf reach 17 to 19 N m (Worsfold and others 2008); bound: own
choice. [N m]"""
_SLOW_HZ = 200.0
_TILT_DEG = 2.0
"""Plates lie flat to a tenth of a degree; more by the corners is told (own choice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Signals:
    """What the findings need beside the recording.

    Attributes
    ----------
    raw
        Samples of each plate's channels as stored, shape (channels, n) each.
    steps_full
        Full scale of each plate's samples; None where not known.
    quiet
        The quiet stance; None where nobody stands still.
    """

    raw: tuple[Values, ...]
    steps_full: tuple[float | None, ...]
    quiet: Quiet | None


def findings(recording: Recording, signals: Signals) -> tuple[Remark, ...]:
    """Find what is odd about a recording; nothing is changed.

    Parameters
    ----------
    recording
        In the golfer's frame.
    signals
        Stored samples, quiet stance.
    """
    found = [*_about_rate(recording), *about_weight(recording, signals.quiet)]
    weight_n = signals.quiet.weight_n if signals.quiet is not None else 0.0
    for plate, raw, full in zip(recording.plates, signals.raw, signals.steps_full, strict=True):
        found += _about_signal(recording, plate, raw, full)
        found += _about_unloaded(recording, plate, weight_n)
        found += _about_push(plate, weight_n)
        found += _about_tilt(plate)
    return tuple(found)


def _remark(kind: str, weight: Weight, plate: str | None, text: str, fix: str) -> Remark:
    return Remark(kind=kind, weight=weight, plate=plate, text=text, fix=fix)


def _about_rate(recording: Recording) -> Iterator[Remark]:
    if recording.rate_hz < _SLOW_HZ:
        yield _remark(
            "slow",
            "doubt",
            None,
            f"{recording.rate_hz:g} samples a second are few: a jump's height loses 0.5 to 0.6 cm "
            "at 200, 1.3 to 1.5 cm at 100.",
            "Record at 1000 a second where the device can.",
        )


def _about_signal(
    recording: Recording, plate: Plate, raw: Values, full: float | None
) -> Iterator[Remark]:
    """Tell clipping, held values, drop-outs and spikes."""
    rate_hz, name = recording.rate_hz, plate.name
    clipped = clipped_channels(raw, rate_hz, full)
    if clipped:
        places = ", ".join(str(place + 1) for place in clipped)
        yield _remark(
            "clipping",
            "fault",
            name,
            f"Channel {places} of {name} is cut off at its largest value.",
            "Choose a larger range of the amplifier and record again; peaks of this one are too "
            "small.",
        )
    loaded = plate.vertical_n >= recording.source.threshold_n
    stretches = held(raw, loaded, rate_hz)
    if stretches:
        seconds = sum(end - start for start, end in stretches) / rate_hz
        yield _remark(
            "held",
            "doubt",
            name,
            f"{name.capitalize()} repeats one value for {1000.0 * seconds:.0f} ms, first at "
            f"{recording.time_s[stretches[0][0]]:.3f} s, while it is loaded.",
            "Check the cable or the radio link; leave out what uses this stretch.",
        )
    gaps = drop_outs(plate.vertical_n, rate_hz, recording.source.threshold_n)
    n_lost = int(np.count_nonzero(np.isnan(plate.vertical_n)))
    if gaps or n_lost:
        n = sum(end - start for start, end in gaps) + n_lost
        first = gaps[0][0] if gaps else int(np.argmax(np.isnan(plate.vertical_n)))
        yield _remark(
            "gap",
            "fault",
            name,
            f"{name.capitalize()} has {n} samples without a value, first at "
            f"{recording.time_s[first]:.3f} s.",
            "Record again; what uses this stretch is left out.",
        )
    found = leaps(plate.vertical_n, rate_hz)
    if found:
        yield _remark(
            "leap",
            "fault",
            name,
            f"{name.capitalize()} leaps from one sample to the next and goes on calmly, "
            f"{len(found)} times, first at {recording.time_s[found[0]]:.3f} s; no body does so.",
            "A piece of the file may be in the wrong place: copy or export it again.",
        )
    found = spikes(plate.vertical_n)
    if found:
        yield _remark(
            "spike",
            "fault",
            name,
            f"{name.capitalize()} leaps by more than 500 N for a single sample, {len(found)} "
            f"times, first at {recording.time_s[found[0]]:.3f} s.",
            "Record again, or leave out what uses this stretch.",
        )


def unloaded_stretches(
    vertical_n: Values, rate_hz: float, weight_n: float
) -> list[tuple[int, int]]:
    """Find the stretches in which nobody bears on a plate, without their edges.

    Parameters
    ----------
    vertical_n
        Vertical force of one plate, shape (n,). [N]
    rate_hz
        Samples a second. [Hz]
    weight_n
        Weight of the person; 0 where not known. [N]

    Examples
    --------
    >>> force_n = np.concatenate([np.full(1000, 800.0), np.full(500, 6.5), np.full(500, 800.0)])
    >>> unloaded_stretches(force_n, 1000.0, 800.0)
    [(1050, 1450)]
    """
    least_n = max(_UNLOADED_N, _UNLOADED_SHARE * weight_n)
    starts, ends = runs(np.abs(vertical_n) < least_n)
    edge = round(_EDGE_S * rate_hz)
    return [
        (int(start) + edge, int(end) - edge)
        for start, end in zip(starts, ends, strict=True)
        if end - start - 2 * edge >= _UNLOADED_S * rate_hz
    ]


def _about_unloaded(recording: Recording, plate: Plate, weight_n: float) -> Iterator[Remark]:
    """Tell a plate that nobody stood on, and offset, noise and drift where nobody did."""
    name, vertical_n = plate.name, plate.vertical_n
    if not (vertical_n >= max(recording.source.threshold_n, _STANDS * weight_n)).any():
        yield _remark(
            "unloaded",
            "note",
            name,
            f"Nobody stood on {name}.",
            "Nothing, if that was meant; else check the plate.",
        )
    stretches = unloaded_stretches(vertical_n, recording.rate_hz, weight_n)
    if not stretches:
        return
    means = [float(vertical_n[start:end].mean()) for start, end in stretches]
    longest = max(range(len(stretches)), key=lambda k: stretches[k][1] - stretches[k][0])
    start, end = stretches[longest]
    spread_n = float(vertical_n[start:end].std(ddof=1))
    if abs(means[longest]) >= _OFFSET_N:
        yield _remark(
            "offset",
            "doubt",
            name,
            f"{name.capitalize()} reads {means[longest]:.1f} N with nobody on it "
            f"({recording.time_s[start]:.2f} to {recording.time_s[end - 1]:.2f} s).",
            "Zero the plate before recording; weight and impulse of this one are off by as much.",
        )
    if max(means) - min(means) >= _DRIFT_N:
        yield _remark(
            "drift",
            "doubt",
            name,
            f"{name.capitalize()} reads {min(means):.1f} to {max(means):.1f} N with nobody on it "
            "at different times.",
            "Let the plate warm up and zero it before each recording.",
        )
    if spread_n >= _NOISE_N:
        yield _remark(
            "noise",
            "doubt",
            name,
            f"{name.capitalize()} varies by {spread_n:.1f} N with nobody on it.",
            "Find contact with a threshold of the unloaded mean and five of these.",
        )


def _about_push(plate: Plate, weight_n: float) -> Iterator[Remark]:
    """Tell a force that acts outside the plate, slides more than it bears, or twists too much."""
    if weight_n <= 0.0:
        return
    bears = plate.vertical_n >= _BEARING_SHARE * weight_n
    if not bears.any():
        return
    out = _share_outside(plate, bears)
    if out > _OUTSIDE_SHARE:
        yield _remark(
            "outside",
            "doubt",
            plate.name,
            f"The centre of pressure lies off {plate.name} in {100.0 * out:.0f} % of the loaded "
            "samples.",
            "Check the corners, the origin and the unit of moment.",
        )
    if plate.sees != "six_channels":
        return
    shear_n = np.hypot(plate.force_n[bears, 0], plate.force_n[bears, 1])
    sliding = float(np.mean(shear_n >= plate.vertical_n[bears]))
    if sliding > _OUTSIDE_SHARE:
        yield _remark(
            "shear",
            "doubt",
            plate.name,
            f"The sideways force on {plate.name} exceeds the vertical one in "
            f"{100.0 * sliding:.0f} % of the loaded samples; shoes would slide.",
            "Check the channels' order and the calibration matrix.",
        )
    twist_nm = float(np.nanmax(np.abs(plate.free_moment_nm[bears]), initial=0.0))
    if plate.foot in ("lead", "trail") and twist_nm > _LARGEST_TWIST_NM:
        yield _remark(
            "free_moment",
            "doubt",
            plate.name,
            f"The free moment on {plate.name} reaches {twist_nm:.0f} N m; under one foot 17 to 19 "
            "are usual in golf.",
            "Check the channels' order and the unit of moment.",
        )


def _about_tilt(plate: Plate) -> Iterator[Remark]:
    """Tell a plate that does not lie flat: its vertical force would be too small."""
    if plate.corners_m is None:
        return
    one, two, _, four = plate.corners_m
    normal = np.cross(one - two, one - four)
    size = float(np.linalg.norm(normal))
    tilt = float(np.degrees(np.arccos(min(1.0, abs(float(normal[2])) / size)))) if size else 0.0
    if tilt > _TILT_DEG:
        yield _remark(
            "tilt",
            "doubt",
            plate.name,
            f"By its corners {plate.name} tilts by {tilt:.0f} degrees.",
            "Check the corners; compare the weight with a scale.",
        )


def _share_outside(plate: Plate, bears: NDArray[np.bool_]) -> float:
    """Give the share of loaded samples whose centre of pressure lies off the surface."""
    known = bears & np.isfinite(plate.cop_m).all(axis=1)
    if plate.corners_m is None or not known.any():
        return 0.0
    corners = plate.corners_m[:, :2]
    middle = corners.mean(axis=0)
    off = plate.cop_m[known] - middle
    outside = np.zeros(len(off), dtype=np.bool_)
    for one, other in ((0, 1), (0, 3)):
        side = corners[one] - corners[other]
        length = float(np.linalg.norm(side))
        outside |= np.abs(off @ (side / length)) > length / 2.0 + _OUTLINE_M
    return float(outside.mean())
