"""Read a force recording from a C3D file: bytes in, a recording in the golfer's frame out."""

import re
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from leadfoot.ground.assemble import About, LabPlate, assemble
from leadfoot.ground.c3d_factors import about_factors
from leadfoot.ground.c3d_file import C3dFile, read_c3d_file
from leadfoot.ground.c3d_parameters import read_parameters
from leadfoot.ground.channels import Push, calibrated, push_of_eight, push_of_placed, push_of_six
from leadfoot.ground.choices import FORCE_UNITS, LENGTH_UNITS, MOMENT_UNITS, Choices
from leadfoot.ground.load_sharing import about_sharing
from leadfoot.ground.platforms import Platform, find_platforms
from leadfoot.ground.recording import Recording, Remark

Values = NDArray[np.float64]

_TRIGGER = re.compile(r"trig|sync|impact|start|strobe|microphone|\bmic\b", re.IGNORECASE)
_OF_LENGTH = {"mm": "N·mm", "cm": "N·cm", "m": "N·m", "in": "N·m"}
"""The unit of moment that goes with a unit of length where the file names none."""
_OUTSIDE = 1.5
"""A centre of pressure that many half sides from the middle says that the unit is wrong."""


def read_c3d(data: bytes, choices: Choices | None = None) -> Recording:
    """Read the force plates of a C3D file.

    Parameters
    ----------
    data
        The whole file.
    choices
        What is known beside the file; it wins over what is found.

    Raises
    ------
    InputError
        If the file is damaged, or holds no plate that can be read; the message says what to do.

    Notes
    -----
    Forces come from the raw channels by the formulas of ``channels.py``. Every doubt, every repair
    and every odd number is a remark of the recording.

    Examples
    --------
    >>> read_c3d(b"no recording")
    Traceback (most recent call last):
        ...
    leadfoot.errors.InputError: The file is no C3D file: it does not begin as one. Export the
    recording as C3D, or as a table in CSV or XLSX.
    """
    choices = choices or Choices()
    file = read_c3d_file(data)
    found = find_platforms(file, choices)
    remarks = [*file.remarks, *found.remarks, *_zero(file)]
    force_unit, force_reason = _force_unit(file, found.platforms, choices, remarks)
    moment_unit = _moment_unit(file, found.platforms, found.length_unit, choices)
    units = _Units(force=force_unit, length=found.length_unit, moment=moment_unit)
    units = _fitting(file, found.platforms, units, choices, remarks)
    rate_hz, rate_reason = file.rate_hz, file.rate_reason
    if choices.rate_hz is not None:
        rate_hz, rate_reason = choices.rate_hz, "as given"
    remarks += about_factors(file, found.platforms)
    remarks += [
        remark
        for platform in found.platforms
        if platform.kind == 3
        for remark in about_sharing(file.values[list(platform.channels[4:])], platform.name)
    ]
    trigger = _trigger_channel(file, found.platforms)
    return assemble(
        [_lab_plate(file, platform, units) for platform in found.platforms],
        About(
            form="c3d",
            rate_hz=rate_hz,
            rate_reason=rate_reason,
            force_unit=units.force,
            length_unit=units.length,
            moment_unit=units.moment,
            unit_reason=f"{force_reason}; {found.unit_reason}",
            start_s=file.start_s * file.rate_hz / rate_hz,
            trigger=None if trigger is None else file.values[trigger],
            trigger_name=None if trigger is None else file.labels[trigger],
            marks=file.marks,
            remarks=tuple(remarks),
        ),
        choices,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Units:
    force: str
    length: str
    moment: str


def push_of(file: C3dFile, platform: Platform, units: _Units) -> Push:
    """Give force and moment at the middle of a plate's surface, in its axes and in SI."""
    channels = file.values[list(platform.channels)]
    to_n, to_nm = FORCE_UNITS[units.force], MOMENT_UNITS[units.moment]
    if platform.kind == 3:
        return push_of_eight(channels * to_n, platform.origin_m)
    if platform.kind == 4:
        channels = calibrated(channels, platform.matrix)
    force_n = channels[:3] * to_n
    if platform.kind == 1:
        return push_of_placed(
            force_n, channels[3:5] * LENGTH_UNITS[units.length], channels[5] * to_nm
        )
    return push_of_six(force_n, channels[3:] * to_nm, platform.origin_m)


def _lab_plate(file: C3dFile, platform: Platform, units: _Units) -> LabPlate:
    labels = " ".join(file.labels[channel] for channel in platform.channels)
    return LabPlate(
        name=platform.name,
        words=labels,
        push=push_of(file, platform, units),
        axes=platform.axes(),
        centre_m=platform.centre_m(),
        corners_m=platform.corners_m,
        raw=file.raw[list(platform.channels)],
        steps_full=_full_scale(file),
    )


def _full_scale(file: C3dFile) -> float | None:
    """Give the largest sample that a file of whole numbers can hold."""
    if not file.is_whole:
        return None
    bits = file.parameters.count("ANALOG", "BITS", 16)
    unsigned = file.parameters.text("ANALOG", "FORMAT").upper() == "UNSIGNED"
    return float(2 ** (min(max(bits, 8), 16) - (0 if unsigned else 1)) - 1)


def _plain_unit(text: str) -> str:
    return re.sub(r"[\s.·*⋅-]", "", text).casefold()


_FORCES = {_plain_unit(unit): unit for unit in FORCE_UNITS} | {"newton": "N", "newtons": "N"}
_MOMENTS = {_plain_unit(unit): unit for unit in MOMENT_UNITS} | {
    "mmn": "N·mm",
    "newtonmeter": "N·m",
}


def _force_unit(
    file: C3dFile, platforms: tuple[Platform, ...], choices: Choices, remarks: list[Remark]
) -> tuple[str, str]:
    """Find the unit of force: as given, as the channels say, else newton with a doubt."""
    if choices.force_unit is not None:
        return choices.force_unit, "force as given"
    kinds = {platform.kind for platform in platforms}
    said = {_plain_unit(file.units[p.channels[2]]) for p in platforms if p.kind != 4}
    told = {_FORCES[unit] for unit in said if unit in _FORCES}
    if len(told) == 1 and all(unit in _FORCES or not unit for unit in said):
        return told.pop(), "force by ANALOG:UNITS"
    if kinds == {4}:
        return "N", "force by the calibration matrix"
    names = ", ".join(sorted(unit or "nothing" for unit in said))
    remarks.append(
        Remark(
            kind="force_unit",
            weight="doubt",
            text=f"ANALOG:UNITS says {names} for the vertical force; newton is assumed.",
            fix="Compare the weight with a scale, and give the unit of force if it is off.",
        )
    )
    return "N", "force assumed"


def _moment_unit(
    file: C3dFile, platforms: tuple[Platform, ...], length_unit: str, choices: Choices
) -> str:
    if choices.moment_unit is not None:
        return choices.moment_unit
    said = {_plain_unit(file.units[p.channels[5]]) for p in platforms if p.kind in (1, 2)}
    told = {_MOMENTS[unit] for unit in said if unit in _MOMENTS}
    return told.pop() if len(told) == 1 else _OF_LENGTH[length_unit]


def _fitting(
    file: C3dFile,
    platforms: tuple[Platform, ...],
    units: _Units,
    choices: Choices,
    remarks: list[Remark],
) -> _Units:
    """Try the other units of moment where the centre of pressure would lie off the plates."""
    if choices.moment_unit is not None or all(p.kind in (1, 3) for p in platforms):
        return units
    if _reach(file, platforms, units) <= _OUTSIDE:
        return units
    for other in MOMENT_UNITS:
        tried = replace(units, moment=other)
        if other != units.moment and 0.02 < _reach(file, platforms, tried) <= 1.0:
            remarks.append(
                Remark(
                    kind="moment_unit",
                    weight="doubt",
                    text=f"With moments in {units.moment} the centre of pressure lies off the "
                    f"plates; they are read in {other}.",
                    fix="Give the unit of moment if this is wrong.",
                )
            )
            return tried
    return units


def _reach(file: C3dFile, platforms: tuple[Platform, ...], units: _Units) -> float:
    """Tell how far out the centre of pressure lies, in half sides, on the plate that bears most."""
    most, reach = 0.0, 0.0
    for platform in platforms:
        if platform.kind not in (2, 4):
            continue
        push = push_of(file, platform, units)
        size = np.abs(np.nan_to_num(push.force_n[2]))
        bears = size > max(20.0, 0.3 * float(size.max()))
        if not bears.any() or float(size.max()) <= most:
            continue
        most = float(size.max())
        c1, c2, _, c4 = platform.corners_m
        halves = np.array([np.linalg.norm(c1 - c2), np.linalg.norm(c1 - c4)]) / 2.0
        arms = np.abs(push.moment_nm[[1, 0]][:, bears] / push.force_n[2][bears])
        reach = float((np.median(arms, axis=1) / halves).max())
    return reach


def _trigger_channel(file: C3dFile, platforms: tuple[Platform, ...]) -> int | None:
    """Find a channel whose name says that it marks an instant, among those of no plate."""
    used = {channel for platform in platforms for channel in platform.channels}
    named = (
        place
        for place, label in enumerate(file.labels)
        if place not in used and _TRIGGER.search(label)
    )
    return next(named, None)


def _zero(file: C3dFile) -> list[Remark]:
    """Say that the frames named as unloaded are not subtracted."""
    frames = file.parameters.numbers("FORCE_PLATFORM", "ZERO")
    if frames.size < 2 or not 0 < frames[0] < frames[1]:
        return []
    return [
        Remark(
            kind="zero_frames",
            weight="note",
            text=f"The file names frames {frames[0]:g} to {frames[1]:g} as unloaded; nothing was "
            "subtracted, for people often stand on the plates by then.",
            fix="Nothing; an offset found in free flight is named by itself.",
        )
    ]


_SIGN_BYTE = {"intel": 3, "dec": 1, "mips": 0}
"""The byte of a float whose highest bit is the sign, by processor."""


def with_origins_as_the_standard_has_them(data: bytes) -> bytes:
    """Give a C3D file in which no plate of type 3 has its sensors above its surface.

    For programs that turn the whole of ORIGIN over where its z is positive, and with it the
    distances of the sensors, which have no sign.

    Parameters
    ----------
    data
        The whole file.

    Raises
    ------
    InputError
        If it is no C3D file.
    """
    parameters = read_parameters(data)
    origin = parameters.by_name.get(("FORCE_PLATFORM", "ORIGIN"))
    if origin is None or origin.floats_at is None or parameters.words is None:
        return data
    out = bytearray(data)
    for place, kind in enumerate(parameters.numbers("FORCE_PLATFORM", "TYPE")):
        at = 3 * place + 2
        if kind == 3 and at < origin.numbers.size and origin.numbers[at] > 0.0:
            out[origin.floats_at + 4 * at + _SIGN_BYTE[parameters.words.processor]] ^= 0x80
    return bytes(out)


def is_c3d(data: bytes) -> bool:
    """Tell whether bytes begin as a C3D file does, and not as text.

    Examples
    --------
    >>> is_c3d(bytes([2, 80, 0, 0])), is_c3d(b"time;force")
    (True, False)
    """
    return len(data) > 1 and data[1] == 80 and 0 in data[:32]
