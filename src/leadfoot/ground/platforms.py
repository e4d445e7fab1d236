"""The force plates that a C3D file names: type, corners, origin, channels, and what is odd."""

from collections import Counter
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leadfoot.errors import InputError
from leadfoot.ground.c3d_file import C3dFile
from leadfoot.ground.channels import ROLES
from leadfoot.ground.choices import LENGTH_UNITS, Choices
from leadfoot.ground.corners import set_right
from leadfoot.ground.labels import order_by_labels
from leadfoot.ground.recording import Remark

Values = NDArray[np.float64]

_GROUP = "FORCE_PLATFORM"
_LONGEST_SIDE_M = 5.0
"""No plate has a longer side; a number below it is a length in m, above it in mm (ground sheet)."""
_SIDES_M = (0.05, _LONGEST_SIDE_M)
_MOST_PLATES = 32


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Platform:
    """One plate as the file describes it.

    Attributes
    ----------
    name
        ``plate 1``, counted as the file does.
    kind
        Its type by the standard.
    corners_m
        Shape (4, 3), in the laboratory's frame, going round. [m]
    origin_m
        Shape (3,), with the sign of its z set right. [m]
    channels
        Places of its channels, from 0, in the order of the type.
    matrix
        CAL_MATRIX of this plate, as it stands; empty where there is none.
    """

    name: str
    kind: int
    corners_m: Values
    origin_m: Values
    channels: tuple[int, ...]
    matrix: Values

    def axes(self) -> Values:
        """Give the plate's axes in the laboratory as columns, shape (3, 3)."""
        c1, c2, _, c4 = self.corners_m
        ex = (c1 - c2) / np.linalg.norm(c1 - c2)
        ez = np.cross(ex, c1 - c4)
        ez /= np.linalg.norm(ez)
        return np.stack([ex, np.cross(ez, ex), ez], axis=1)

    def centre_m(self) -> Values:
        """Give the middle of the surface in the laboratory in m, shape (3,)."""
        return np.asarray(self.corners_m.mean(axis=0))


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """All plates that can be read, the unit of length, and what is to be said."""

    platforms: tuple[Platform, ...]
    length_unit: str
    unit_reason: str
    remarks: tuple[Remark, ...]


def find_platforms(file: C3dFile, choices: Choices) -> Found:
    """Find the force plates of a C3D file.

    Raises
    ------
    InputError
        If the file names no plate, or none that can be read.
    """
    parameters = file.parameters
    n = parameters.count(_GROUP, "USED")
    if not 0 < n <= _MOST_PLATES:
        raise InputError(
            f"The C3D file names {n} force plates.",
            fix="Export the recording with its force plates.",
        )
    corners = _shaped(file, "CORNERS", (n, 4, 3))
    origins = _shaped(file, "ORIGIN", (n, 3))
    unit, reason, remarks = _length_unit(file, corners, choices)
    kinds = parameters.numbers(_GROUP, "TYPE")
    platforms: list[Platform] = []
    for place in range(n):
        kind = int(kinds[place]) if place < kinds.size else 0
        try:
            platform, more = _platform(
                file,
                place,
                kind,
                corners_m=corners[place] * LENGTH_UNITS[unit],
                origin_m=origins[place] * LENGTH_UNITS[unit],
                choices=choices,
            )
        except InputError as error:
            remarks.append(_unread(place, error))
            continue
        platforms.append(platform)
        remarks += more
    if not platforms:
        raise InputError(
            " ".join(remark.text for remark in remarks if remark.kind == "unread_plate"),
            fix=remarks[-1].fix,
        )
    remarks += _shared(platforms)
    return Found(
        platforms=tuple(platforms), length_unit=unit, unit_reason=reason, remarks=tuple(remarks)
    )


def _unread(place: int, error: InputError) -> Remark:
    return Remark(
        kind="unread_plate",
        weight="fault",
        plate=f"plate {place + 1}",
        text=f"Plate {place + 1} is left out: {error.what}",
        fix=error.fix,
    )


def _shared(platforms: list[Platform]) -> list[Remark]:
    """Tell channels that two plates share: one of both reads those of the other."""
    counts = Counter(channel for platform in platforms for channel in platform.channels)
    twice = sorted(channel + 1 for channel, n in counts.items() if n > 1)
    if not twice:
        return []
    return [
        Remark(
            kind="shared_channel",
            weight="fault",
            text=f"FORCE_PLATFORM:CHANNEL gives channel {', '.join(map(str, twice))} to more than "
            "one plate.",
            fix="Compare the weight with a scale; export the recording with each plate's own "
            "channels.",
        )
    ]


def _shaped(file: C3dFile, name: str, shape: tuple[int, ...]) -> Values:
    """Give a parameter by plate; the file has the last dimension first."""
    numbers = file.parameters.numbers(_GROUP, name)
    wanted = int(np.prod(shape))
    if numbers.size < wanted or not np.isfinite(numbers[:wanted]).all():
        raise InputError(
            f"FORCE_PLATFORM:{name} of the C3D file has {numbers.size} numbers, or one that is "
            f"none; {shape[0]} plates take {wanted}.",
            fix="Export the recording with its force plates.",
        )
    return numbers[:wanted].reshape(shape)


def _length_unit(file: C3dFile, corners: Values, choices: Choices) -> tuple[str, str, list[Remark]]:
    """Find the unit of length: as said, as POINT:UNITS says if that fits the plates, or by size."""
    side = float(np.median(np.linalg.norm(corners - np.roll(corners, 1, axis=1), axis=2)))
    if choices.length_unit is not None:
        return choices.length_unit, "as given", []
    told = file.parameters.text("POINT", "UNITS").casefold()
    if told in LENGTH_UNITS and _SIDES_M[0] <= side * LENGTH_UNITS[told] <= _SIDES_M[1]:
        return told, "POINT:UNITS", []
    by_size = "m" if side < _LONGEST_SIDE_M else "mm"
    told_text = f"POINT:UNITS says {told!r}" if told else "POINT:UNITS is missing"
    reason = f"{told_text}; the sides of the plates are {side:g}, so {by_size}"
    remark = Remark(
        kind="length_unit",
        weight="doubt" if told else "note",
        text=f"{told_text}. The plates' sides of {side:g} are taken as {by_size}.",
        fix="Give the unit of length if the plates are of another size.",
    )
    return by_size, reason, [remark]


def _platform(
    file: C3dFile,
    place: int,
    kind: int,
    *,
    corners_m: Values,
    origin_m: Values,
    choices: Choices,
) -> tuple[Platform, list[Remark]]:
    name = f"plate {place + 1}"
    if kind not in ROLES:
        raise InputError(
            f"It is of type {kind}; types 1, 2, 3 and 4 are read, for which the open standard "
            "says how its channels become forces.",
            fix="Export the recording with computed forces, which is type 2.",
        )
    channels = _channels(file, place, kind)
    channels, remarks = order_by_labels(channels, file.labels, kind, name)
    corners_m, about_corners = set_right(corners_m, name)
    origin_m, about_origin = _origin(origin_m, kind, name, choices)
    matrices = file.parameters.numbers(_GROUP, "CAL_MATRIX")
    return (
        Platform(
            name=name,
            kind=kind,
            corners_m=corners_m,
            origin_m=origin_m,
            channels=channels,
            matrix=matrices[36 * place : 36 * (place + 1)],
        ),
        [*remarks, *about_corners, *about_origin],
    )


def _channels(file: C3dFile, place: int, kind: int) -> tuple[int, ...]:
    wanted = len(ROLES[kind])
    parameter = file.parameters.by_name.get((_GROUP, "CHANNEL"))
    step = parameter.shape[0] if parameter is not None and parameter.shape else 0
    numbers = file.parameters.numbers(_GROUP, "CHANNEL")[place * step : place * step + wanted]
    channels = tuple(int(number) - 1 for number in numbers if np.isfinite(number))
    n = file.values.shape[0]
    sane = all(0 <= channel < n for channel in channels) and len(set(channels)) == wanted
    if step < wanted or len(channels) != wanted or not sane:
        raise InputError(
            f"FORCE_PLATFORM:CHANNEL names channels {[c + 1 for c in channels]} for it; type "
            f"{kind} takes {wanted} different ones out of {n}.",
            fix="Export the recording again with all channels of the plates.",
        )
    return channels


def _origin(
    origin_m: Values, kind: int, name: str, choices: Choices
) -> tuple[Values, list[Remark]]:
    """Set the sign of the sensors' depth right, and put a mat on top."""
    remarks: list[Remark] = []
    origin_m = origin_m.copy()
    if kind != 1 and origin_m[2] > 0.0:
        remarks.append(_turned_origin(origin_m, kind, name))
        if kind == 3:  # x and y are distances of sensors there, and have no sign
            origin_m[2] = -origin_m[2]
        else:
            origin_m = -origin_m
    if kind == 3:
        origin_m[:2] = np.abs(origin_m[:2])
    if choices.depth_m is not None:
        origin_m[2] = -choices.depth_m
    origin_m[2] -= choices.mat_m
    if np.abs(origin_m).max() > _LONGEST_SIDE_M / 2.0 or (kind == 3 and not origin_m[:2].all()):
        raise InputError(
            f"Its FORCE_PLATFORM:ORIGIN is {origin_m[0]:g}, {origin_m[1]:g}, {origin_m[2]:g} m, "
            "which no plate has.",
            fix="Export the recording again with the plate's own numbers.",
        )
    return origin_m, remarks


def _turned_origin(origin_m: Values, kind: int, name: str) -> Remark:
    what = (
        "its depth alone is turned; the distances of the sensors stay"
        if kind == 3
        else "it is taken to point from the surface to the sensors, and turned"
    )
    return Remark(
        kind="origin_sign",
        weight="doubt",
        plate=name,
        text=f"ORIGIN z of {name} is +{1000.0 * origin_m[2]:g} mm where the standard has it "
        f"negative: {what}.",
        fix="Nothing, if the centre of pressure lies under the feet; else give the depth of the "
        "sensors.",
    )
