"""From plates in the laboratory to a recording in the golfer's frame: sign, feet, frame."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from leadfoot.errors import InputError
from leadfoot.ground.channels import Push, centre_and_twist
from leadfoot.ground.choices import Axis, Choices
from leadfoot.ground.feet import Stand, find_standing
from leadfoot.ground.findings import Signals, findings
from leadfoot.ground.frame import Frame, direction, frame_of, up_of
from leadfoot.ground.quiet import LEAST_PERSON_N, Quiet, quiet_stance
from leadfoot.ground.recording import (
    LEAST_FORCE_N,
    LEAST_WEIGHT_SHARE,
    Foot,
    KnownWeight,
    Mark,
    Plate,
    Recording,
    Remark,
    Sees,
    Source,
)

Values = NDArray[np.float64]

_BEARS = 0.1
"""Samples above this share of a plate's largest force tell its sign (own choice)."""
_HEAVIEST_N = 3000.0
_STANDS = 0.1
"""Share of the weight from which somebody stands on a plate (own choice)."""
_SHORTEST = 10
"""Fewer samples than this are no recording."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LabPlate:
    """One plate in its own axes, and how it lies in the laboratory.

    Attributes
    ----------
    name, words
        Its name, and all names that may tell the foot.
    push
        Force and moment at the middle of the surface, in the plate's axes. A device that sees
        the vertical force alone has NaN for the rest.
    axes
        The plate's axes in the laboratory as columns, shape (3, 3).
    centre_m
        The middle of the surface in the laboratory, shape (3,). [m]
    corners_m
        Shape (4, 3); None where not known. [m]
    place_m
        Centre of pressure from the middle, shape (2, n), for a device that gives it itself; None
        where it follows from the push. [m]
    sees
        What the device measures.
    raw
        The samples of its channels as stored, shape (channels, n), to look for clipping.
    is_placed
        False where the plates' places to each other are not known.
    steps_full
        Full scale of the stored samples, or None where it is not known.
    """

    name: str
    words: str
    push: Push
    axes: Values
    centre_m: Values
    corners_m: Values | None
    raw: Values
    place_m: Values | None = None
    sees: Sees = "six_channels"
    steps_full: float | None = None
    is_placed: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class About:
    """What the reader of a file knows beside its plates."""

    form: Literal["c3d", "table"]
    rate_hz: float
    rate_reason: str
    force_unit: str
    length_unit: str
    moment_unit: str
    unit_reason: str
    start_s: float = 0.0
    trigger: Values | None = None
    trigger_name: str | None = None
    marks: tuple[Mark, ...] = ()
    remarks: tuple[Remark, ...] = ()


def assemble(plates: Sequence[LabPlate], about: About, choices: Choices) -> Recording:
    """Make a recording in the golfer's frame of plates in the laboratory's.

    Parameters
    ----------
    plates
        The plates, in the order of the file, all of one length.
    about
        What is known of the file.
    choices
        What a person says of it.

    Raises
    ------
    InputError
        If the recording is too short, or the plates lie in no common plane.
    """
    n = plates[0].push.force_n.shape[1]
    if n < _SHORTEST:
        raise InputError(
            f"The recording has {n} samples.", fix="Give one of a second or more; a jump takes 5 s."
        )
    up = up_of(np.array([plate.axes[:, 2] for plate in plates]))
    rising = [direction(up) @ plate.axes for plate in plates]
    bare = [_vertical(plate, row) for plate, row in zip(plates, rising, strict=True)]
    signs, sign_reason, sign_remarks = _signs(bare, choices)
    verticals = [sign * vertical for sign, vertical in zip(signs, bare, strict=True)]
    total_n = np.asarray(np.sum(verticals, axis=0))
    quiet = quiet_stance(total_n, about.rate_hz)
    threshold_n = _threshold_n(total_n, quiet)
    laid = [
        _lay(plate, sign, vertical >= threshold_n, up)
        for plate, sign, vertical in zip(plates, signs, verticals, strict=True)
    ]
    standing = find_standing(
        [
            Stand(
                words=plate.words,
                vertical_n=np.nan_to_num(vertical),
                middle_m=_middle(one, vertical) if plate.is_placed else None,
            )
            for plate, one, vertical in zip(plates, laid, verticals, strict=True)
        ],
        up=up,
        rate_hz=about.rate_hz,
        threshold_n=max(threshold_n, _STANDS * quiet.weight_n if quiet is not None else 0.0),
        choices=choices,
    )
    frame = frame_of(standing.target, up, choices.hand)
    turned = tuple(
        _turn(plate, one, foot, frame)
        for plate, one, foot in zip(plates, laid, standing.feet, strict=True)
    )
    source = Source(
        form=about.form,
        force_unit=about.force_unit,
        length_unit=about.length_unit,
        moment_unit=about.moment_unit,
        unit_reason=about.unit_reason,
        sign=signs[0],
        sign_reason=sign_reason,
        rate_reason=about.rate_reason,
        turned=frame.words,
        threshold_n=threshold_n,
    )
    recording = Recording(
        rate_hz=about.rate_hz,
        plates=turned,
        start_s=about.start_s,
        trigger=about.trigger,
        trigger_name=about.trigger_name,
        marks=about.marks,
        hand=choices.hand,
        known_weight=KnownWeight(scale_n=choices.scale_n, confirmed_n=choices.confirmed_n),
        source=source,
    )
    signals = Signals(
        raw=tuple(plate.raw for plate in plates),
        steps_full=tuple(plate.steps_full for plate in plates),
        quiet=quiet,
    )
    remarks = (*about.remarks, *sign_remarks, *standing.remarks, *findings(recording, signals))
    return replace(recording, remarks=remarks)


def _vertical(plate: LabPlate, rising: Values) -> Values:
    """Give the force along up; for a device that sees one force alone, that force."""
    if plate.sees != "six_channels":
        return np.asarray(plate.push.force_n[2] * np.sign(rising[2]))
    return np.asarray(rising @ plate.push.force_n)


def _signs(
    verticals: Sequence[Values], choices: Choices
) -> tuple[list[Literal[1, -1]], str, list[Remark]]:
    """Find for each plate whether its force is the ground's on the person, which bears upward."""
    if choices.sign is not None:
        return [choices.sign] * len(verticals), "as given", []
    means = [_bearing_mean(vertical) for vertical in verticals]
    heaviest = means[int(np.argmax(np.abs(means)))]
    usual: Literal[1, -1] = -1 if heaviest < 0.0 else 1
    signs: list[Literal[1, -1]] = []
    remarks: list[Remark] = []
    for place, mean in enumerate(means):
        against = mean * usual < -max(LEAST_PERSON_N, _BEARS * abs(heaviest))
        signs.append(_other(usual) if against else usual)
        if against:
            remarks.append(_against(place, mean))
    kind = "on the person" if usual == 1 else "of the person on the ground, turned over"
    return signs, f"a loaded plate reads {heaviest:.0f} N along up: the force {kind}", remarks


def _other(sign: Literal[1, -1]) -> Literal[1, -1]:
    return -1 if sign == 1 else 1


def _bearing_mean(vertical: Values) -> float:
    size = np.abs(np.nan_to_num(vertical))
    bearing = size > max(LEAST_FORCE_N, _BEARS * float(size.max()))
    return float(np.median(vertical[bearing])) if bearing.any() else 0.0


def _against(place: int, mean: float) -> Remark:
    return Remark(
        kind="sign",
        weight="doubt",
        plate=f"plate {place + 1}",
        text=f"Plate {place + 1} reads {mean:.0f} N where it bears, against the other plates; it "
        "was turned over by itself.",
        fix="Check the plate's settings; give the sign if this is wrong.",
    )


def _threshold_n(total_n: Values, quiet: Quiet | None) -> float:
    """Force from which a plate is loaded: 20 N, or 3 % of the weight where that is more."""
    weight_n = quiet.weight_n if quiet is not None else float(np.nanmedian(total_n))
    if not LEAST_PERSON_N <= weight_n <= _HEAVIEST_N:
        return LEAST_FORCE_N
    return max(LEAST_FORCE_N, LEAST_WEIGHT_SHARE * weight_n)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Laid:
    """A plate's numbers in the laboratory's frame, as the force on the person."""

    force_n: Values
    place_m: Values
    twist_nm: Values


def _lay(plate: LabPlate, sign: int, loaded: NDArray[np.bool_], up: Axis) -> _Laid:
    """Lay a plate's numbers into the laboratory."""
    n = plate.push.force_n.shape[1]
    if plate.place_m is None and plate.sees == "six_channels":
        flat_m, twist_nm = centre_and_twist(plate.push, loaded)
        twist = plate.axes[:, 2:] * (sign * twist_nm)
    else:
        given_m = np.full((2, n), np.nan) if plate.place_m is None else plate.place_m
        flat_m = np.where(loaded, given_m, np.nan)
        twist = np.full((3, n), np.nan)
    place_m = plate.axes[:, :2] @ flat_m + plate.centre_m[:, None]
    if plate.sees == "six_channels":
        force_n = sign * (plate.axes @ plate.push.force_n)
    else:
        force_n = np.full((3, n), np.nan)
        row = "xyz".index(up[1])
        force_n[row] = sign * plate.push.force_n[2] * np.sign(plate.axes[row, 2])
    return _Laid(force_n=force_n, place_m=place_m, twist_nm=twist)


def _middle(laid: _Laid, vertical: Values) -> Values | None:
    """Give where a plate bears, weighed by its load; None where it does not know."""
    known = np.isfinite(laid.place_m).all(axis=0) & (vertical > 0.0)
    if not known.any():
        return None
    weights = vertical[known]
    return np.asarray((laid.place_m[:, known] @ weights) / weights.sum())


def _turn(plate: LabPlate, laid: _Laid, foot: Foot | None, frame: Frame) -> Plate:
    """Turn a plate's numbers into the golfer's frame."""
    force_n = laid.force_n
    if plate.sees != "six_channels":  # the turn would spread the unknown over the known
        is_up = np.abs(frame.turn[2]) > 0.5
        force_n = np.where(is_up[:, None], force_n, 0.0)
    turned_n = frame.vector(force_n)
    if plate.sees != "six_channels":
        turned_n[:2] = np.nan
    corners = plate.corners_m
    return Plate(
        name=plate.name,
        foot=foot,
        force_n=np.ascontiguousarray(turned_n.T),
        cop_m=np.ascontiguousarray(frame.vector(laid.place_m)[:2].T),
        free_moment_nm=np.ascontiguousarray(frame.moment(laid.twist_nm)[2]),
        corners_m=None if corners is None else np.ascontiguousarray(frame.vector(corners.T).T),
        sees=plate.sees,
    )
