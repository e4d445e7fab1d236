"""Whether the factors of a C3D file look alike: one that is unlike its fellows may be damaged.

A factor that is wrong in all channels alike leaves no trace in a file. One that is wrong by itself
does: sensors of one kind, and plates of one room, have nearly the same.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from leadfoot.ground.c3d_file import C3dFile
from leadfoot.ground.channels import ROLES
from leadfoot.ground.platforms import Platform
from leadfoot.ground.recording import Remark

Values = NDArray[np.float64]

_SISTERS: tuple[tuple[str, ...], ...] = (
    ("fx12", "fx34", "fy14", "fy23"),
    ("fz1", "fz2", "fz3", "fz4"),
)
"""Sensors of a plate of type 3 that are built alike."""
_UNLIKE = 0.05
"""Share by which a factor is unlike its fellows, beyond thrice their own spread: the sensors of two
real plates differ by up to 1.3 % (own choice)."""
_PLATES_UNLIKE = 0.1
"""The same from plate to plate, where makers' calibrations differ more (own choice)."""
_FAR_UNLIKE = 100.0
"""Ratio that is told even where each channel is stored with a factor of its own (own choice)."""
_OWN_RANGE = 1.02
"""Channels whose largest samples are so much alike were each scaled to their own range."""
_OFFSET_N = 5.0
"""Effect of an offset from which it is told, as in an unloaded plate. [N]"""
_CROSSTALK = 0.1
"""Share of the vertical force that other channels may add by a matrix (own choice)."""
_RANGES_V = (1.0, 1.25, 2.0, 2.5, 4.0, 5.0, 8.0, 10.0, 16.0, 20.0, 40.0)
_BITS = range(8, 25)
_NEAR = 1e-4
_SCALE_IT = "Compare the weight with a scale, and export the recording again if it is off."
_BEARING: Mapping[int, tuple[str, ...]] = MappingProxyType(
    {1: ("fx", "fy", "fz"), 2: ("fx", "fy", "fz"), 3: ROLES[3], 4: ROLES[4]}
)
"""Channels of each type that make its force."""


def about_factors(file: C3dFile, platforms: Sequence[Platform]) -> Iterator[Remark]:
    """Tell factors, offsets and matrices that are unlike their fellows.

    Parameters
    ----------
    file
        The file as read.
    platforms
        Its plates.
    """
    general = file.parameters.number("ANALOG", "GEN_SCALE", 1.0)
    if not is_usual_general_scale(general):
        yield _doubt(
            "general_scale",
            None,
            f"ANALOG:GEN_SCALE is {general:g}, by which every channel is multiplied; files have 1, "
            "or the volts of one step of the converter.",
        )
    yield from _about_scales(file, platforms)
    yield from _about_offsets(file, platforms)
    for platform in platforms:
        if platform.kind == 4:
            yield from _about_matrix(file, platform)


def is_usual_general_scale(value: float) -> bool:
    """Tell whether a general factor is one that files have.

    Examples
    --------
    >>> [is_usual_general_scale(one) for one in (1.0, 20.0 / 4096.0, 0.001, 1.125, 0.25)]
    [True, True, True, False, False]
    """
    size = abs(value)
    powers = (10.0**power for power in range(-6, 7))
    steps = (volts / (2.0**bits - less) for volts in _RANGES_V for bits in _BITS for less in (0, 1))
    return any(
        math.isclose(size, usual, rel_tol=_NEAR) for known in (powers, steps) for usual in known
    )


def odd_ones(values: Values, unlike: float) -> list[int]:
    """Find the values that are unlike all the others, which are alike.

    Parameters
    ----------
    values
        Positive, shape (n,).
    unlike
        Share from which a value is unlike; thrice the spread of the others comes on top.

    Examples
    --------
    >>> odd_ones(np.array([0.1555, 0.1563, 0.1563, 0.2202]), 0.05)
    [3]
    >>> odd_ones(np.array([0.1, 0.2, 0.4, 0.8]), 0.05)
    []
    """
    found = []
    for place, value in enumerate(values):
        others = np.delete(values, place)
        if others.size < 2:
            continue
        usual = float(np.median(others))
        spread = float(np.abs(others / usual - 1.0).max())
        if abs(value / usual - 1.0) > unlike + 3.0 * spread:
            found.append(place)
    return found


def _about_scales(file: C3dFile, platforms: Sequence[Platform]) -> Iterator[Remark]:
    """Tell a SCALE that is unlike those of all channels, of its sister sensors, of other plates."""
    channels = _channels(platforms)
    scale = np.abs(file.parameters.numbers("ANALOG", "SCALE"))
    odd = set(_minority(scale[channels], channels))
    own_range = _each_has_its_range(file, channels)
    for roles in _SISTERS:
        sisters = [
            platform.channels[ROLES[3].index(role)]
            for platform in platforms
            if platform.kind == 3
            for role in roles
        ]
        unlike = _FAR_UNLIKE if own_range else _UNLIKE
        odd |= {sisters[place] for place in odd_ones(scale[sisters], unlike)}
        if own_range and sisters:
            usual = float(np.median(scale[sisters]))
            odd |= {one for one in sisters if scale[one] * _FAR_UNLIKE < usual}
    for channel in sorted(odd):
        yield _doubt(
            "factor",
            _plate_of(platforms, channel),
            f"ANALOG:SCALE of {_name(file, channel)} is {scale[channel]:g}; its fellows have "
            f"{float(np.median(scale[_fellows(platforms, channel, channels)])):g}.",
        )
    if not own_range:
        yield from _from_plate_to_plate(platforms, scale)


def _from_plate_to_plate(platforms: Sequence[Platform], scale: Values) -> Iterator[Remark]:
    """Tell a channel whose factor differs from plate to plate as those of other channels do not."""
    for type_ in (1, 2, 4):
        same = [platform for platform in platforms if platform.kind == type_]
        if len(same) < 2:
            continue
        table = np.array([np.log(_factors(platform, scale)) for platform in same])
        table -= table[0]  # to the first plate, and less what all channels of a plate share
        table -= np.median(table, axis=1, keepdims=True)
        apart = table.max(axis=0) - table.min(axis=0)
        for place in np.flatnonzero(apart > math.log1p(_PLATES_UNLIKE)):
            if np.count_nonzero(apart > math.log1p(_PLATES_UNLIKE)) > 2:
                break
            yield _doubt(
                "factor",
                None,
                f"The factor of {ROLES[type_][place]} differs by "
                f"{100.0 * math.expm1(float(apart[place])):.0f} % from plate to plate, those of "
                "the other channels do not.",
            )


def _factors(platform: Platform, scale: Values) -> Values:
    """Give what each channel of a plate is multiplied by, the matrix of type 4 included."""
    factors = scale[list(platform.channels)]
    if platform.kind == 4 and platform.matrix.size == 36:
        factors = factors * np.abs(np.diag(platform.matrix.reshape(6, 6)))
    return np.maximum(factors, np.finfo(np.float64).tiny)


def _minority(values: Values, channels: Sequence[int]) -> list[int]:
    """Find the channels that differ from a value which more than half of them share exactly."""
    kinds, counts = np.unique(values, return_counts=True)
    usual = kinds[int(np.argmax(counts))]
    if 2 * counts.max() <= len(values):
        return []
    return [channel for channel, value in zip(channels, values, strict=True) if value != usual]


def _each_has_its_range(file: C3dFile, channels: Sequence[int]) -> bool:
    """Tell whether every channel is stored at its own full range, so that none has a fellow."""
    if not file.is_whole:
        return False
    raw = file.raw[channels]
    most = np.abs(raw - np.median(raw)).max(axis=1) if _unsigned(file) else np.abs(raw).max(axis=1)
    return float(most.min()) > 0.0 and float(most.max() / most.min()) <= _OWN_RANGE


def _unsigned(file: C3dFile) -> bool:
    return file.parameters.text("ANALOG", "FORMAT").upper() == "UNSIGNED"


def _about_offsets(file: C3dFile, platforms: Sequence[Platform]) -> Iterator[Remark]:
    """Tell an OFFSET that differs from the one which half of the channels share, or more."""
    channels = _channels(platforms)
    offset = file.parameters.numbers("ANALOG", "OFFSET")
    scale = file.parameters.numbers("ANALOG", "SCALE")
    if offset.size <= max(channels):
        return
    general = file.parameters.number("ANALOG", "GEN_SCALE", 1.0)
    usual = _usual_offset(offset[channels], is_whole=file.is_whole)
    odd = {one for one in channels if offset[one] != usual} if usual is not None else set()
    for platform in platforms:
        for place, channel in enumerate(platform.channels):
            if channel not in odd:
                continue
            off = abs((offset[channel] - usual) * scale[channel] * general)
            if off * _reach(platform, place) >= _OFFSET_N:
                yield _doubt(
                    "channel_offset",
                    platform.name,
                    f"ANALOG:OFFSET of {_name(file, channel)} is {offset[channel]:g}; its fellows "
                    f"have {usual:g}.",
                )


def _usual_offset(offsets: Values, *, is_whole: bool) -> float | None:
    """Give the offset that half of the channels share; 0 in a file of numbers with a fraction."""
    kinds, counts = np.unique(offsets, return_counts=True)
    if 2 * counts.max() >= len(offsets):
        return float(kinds[int(np.argmax(counts))])
    return None if is_whole else 0.0


def _reach(platform: Platform, place: int) -> float:
    """Give how much force one unit of a channel makes."""
    if platform.kind == 4 and platform.matrix.size == 36:
        return float(np.abs(platform.matrix.reshape(6, 6, order="F")[:3, place]).max())
    return 1.0 if ROLES[platform.kind][place] in _BEARING[platform.kind] else 0.0


def _about_matrix(file: C3dFile, platform: Platform) -> Iterator[Remark]:
    """Tell a matrix with one factor unlike the others, or one that lends the vertical force."""
    whole = platform.matrix.reshape(6, 6, order="F")
    main = np.abs(np.diag(whole))
    for place in _minority(main, range(6)):
        yield _doubt(
            "matrix",
            platform.name,
            f"CAL_MATRIX of {platform.name} multiplies {ROLES[4][place]} by {whole[place, place]:g}"
            f", the other channels by {float(np.median(main)):g}.",
        )
    sizes = np.nanmedian(np.abs(file.values[list(platform.channels)]), axis=1)
    parts = np.abs(whole[2]) * sizes
    lent = float(parts.sum() - parts[2])
    if parts[2] > 0.0 and lent > _CROSSTALK * parts[2]:
        yield _doubt(
            "matrix",
            platform.name,
            f"By CAL_MATRIX of {platform.name} other channels make up to "
            f"{100.0 * lent / float(parts[2]):.0f} % of the vertical force.",
        )


def _channels(platforms: Sequence[Platform]) -> list[int]:
    return [channel for platform in platforms for channel in platform.channels]


def _plate_of(platforms: Sequence[Platform], channel: int) -> str:
    return next(platform.name for platform in platforms if channel in platform.channels)


def _fellows(platforms: Sequence[Platform], channel: int, channels: list[int]) -> list[int]:
    """Give the channels that one is compared with."""
    for platform in platforms:
        if platform.kind == 3 and channel in platform.channels:
            role = ROLES[3][platform.channels.index(channel)]
            mine = next(roles for roles in _SISTERS if role in roles)
            return [
                other
                for other in platform.channels
                if ROLES[3][platform.channels.index(other)] in mine and other != channel
            ]
    return [other for other in channels if other != channel]


def _name(file: C3dFile, channel: int) -> str:
    label = file.labels[channel]
    return f"channel {channel + 1} ({label})" if label else f"channel {channel + 1}"


def _doubt(kind: str, plate: str | None, text: str) -> Remark:
    return Remark(kind=kind, weight="doubt", plate=plate, text=text, fix=_SCALE_IT)
