"""A C3D file from its bytes: its rate, its analogue channels in their units, what it names.

The open standard is the C3D User Guide (c3d.org). The points, if any, are passed over: forces stand
in the analogue channels alone.
"""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leadfoot.errors import InputError
from leadfoot.ground.c3d_counts import about_counts
from leadfoot.ground.c3d_parameters import BLOCK_BYTES, Parameters, read_parameters
from leadfoot.ground.c3d_words import CUT_SHORT, Words
from leadfoot.ground.recording import Mark, Remark

Values = NDArray[np.float64]

_LARGEST_BYTES = 1024 * 1024 * 1024
"""Largest file that is read. Our own choice."""
_FRAMES_HELD = 65_535
"""The header counts frames in two bytes; longer files say so in their parameters."""
_MOST_RATE_HZ = 200_000.0
"""No force plate is read faster (own choice). [Hz]"""
_EVENTS_AT, _EVENT_KEY, _MOST_EVENTS = 298, 12345, 18
_SCALED = 1e-6
"""Rates that differ by less than this share are the same."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class C3dFile:
    """What a C3D file holds beside its points.

    Attributes
    ----------
    parameters
        All parameters.
    rate_hz
        Rate of the analogue channels. [Hz]
    rate_reason
        Where the rate stands.
    raw
        The samples as stored, shape (channels, n); whole numbers in files that hold such.
    values
        The channels in the units of the file, shape (channels, n).
    labels, units
        Names and units of the channels; empty text where the file has none.
    is_whole
        True where the samples are stored as whole numbers of 16 bits.
    start_s
        Time of the first sample. [s]
    marks
        Instants that the file names.
    remarks
        What was found on the way.
    """

    parameters: Parameters
    rate_hz: float
    rate_reason: str
    raw: Values
    values: Values
    labels: tuple[str, ...]
    units: tuple[str, ...]
    is_whole: bool
    start_s: float
    marks: tuple[Mark, ...]
    remarks: tuple[Remark, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Header:
    n_points: int
    n_analog: int
    """Analogue samples a frame, all channels together."""
    first_frame: int
    last_frame: int
    is_float: bool
    point_scale: float
    data_block: int
    """Block at which the samples begin, as the header says; 0 where it does not."""
    data_at: int
    per_frame: int
    """Analogue samples a frame and channel."""
    frame_rate_hz: float


def read_c3d_file(data: bytes) -> C3dFile:
    """Read the analogue channels of a C3D file.

    Parameters
    ----------
    data
        The whole file.

    Raises
    ------
    InputError
        If it is no C3D file, is damaged, or has no analogue channels.
    """
    if len(data) > _LARGEST_BYTES:
        raise InputError(
            f"The file has {len(data) / 2**20:.0f} MB; the program reads up to "
            f"{_LARGEST_BYTES / 2**20:.0f} MB.",
            fix="Cut the recording to the swing.",
        )
    parameters = read_parameters(data)
    words = parameters.words or Words(data=data, processor="intel")
    header = _header(words, parameters)
    n_channels = header.n_analog // header.per_frame
    if n_channels == 0:
        raise InputError(
            "The C3D file has no analogue channels, so it holds no forces.",
            fix="Export the recording with its force plates.",
        )
    remarks = about_counts(
        parameters,
        n_points=header.n_points,
        n_frames=header.last_frame - header.first_frame + 1
        if header.last_frame < _FRAMES_HELD
        else 0,
        data_block=header.data_block,
        point_scale=header.point_scale,
    )
    n_frames = _n_frames(header, words, parameters, remarks)
    unsigned = parameters.text("ANALOG", "FORMAT").upper() == "UNSIGNED"
    raw = _samples(words, header, n_frames, unsigned=unsigned)
    rate_hz, reason = _rate(header, parameters, remarks)
    first_s = (header.first_frame - 1) * header.per_frame / rate_hz
    return C3dFile(
        parameters=parameters,
        rate_hz=rate_hz,
        rate_reason=reason,
        raw=raw,
        values=_scaled(raw, parameters, remarks),
        labels=_padded(parameters.texts("ANALOG", "LABELS"), n_channels),
        units=_padded(parameters.texts("ANALOG", "UNITS"), n_channels),
        is_whole=not header.is_float,
        start_s=first_s if header.n_points else 0.0,
        marks=_marks(words, parameters),
        remarks=tuple(remarks),
    )


def _header(words: Words, parameters: Parameters) -> _Header:
    """Read the first block; what it must hold and does not is told."""
    numbers = words.integers(2, 6, unsigned=True)
    data_block, per_frame = (int(value) for value in words.integers(16, 2, unsigned=True))
    scale, frame_rate_hz = float(words.floats(12, 1)[0]), float(words.floats(20, 1)[0])
    n_points, n_analog, first_frame, last_frame = (int(value) for value in numbers[:4])
    told = parameters.count("POINT", "DATA_START")
    if n_analog and (per_frame == 0 or n_analog % per_frame):
        raise InputError(
            f"The C3D file says {n_analog} analogue samples a frame and {per_frame} of each "
            "channel, which does not divide.",
            fix=CUT_SHORT,
        )
    used = parameters.count("ANALOG", "USED")
    if n_analog and used and used != n_analog // per_frame:
        raise InputError(
            f"The C3D file counts {n_analog // per_frame} analogue channels in its header and "
            f"{used} in its parameters.",
            fix=CUT_SHORT,
        )
    return _Header(
        n_points=n_points,
        n_analog=n_analog,
        first_frame=first_frame,
        last_frame=last_frame,
        is_float=scale < 0.0,
        point_scale=scale,
        data_block=data_block,
        data_at=((data_block or told) - 1) * BLOCK_BYTES,
        per_frame=max(1, per_frame),
        frame_rate_hz=frame_rate_hz,
    )


def _n_frames(header: _Header, words: Words, parameters: Parameters, remarks: list[Remark]) -> int:
    """Count the frames: the header, the longer counts of the parameters, what the file holds."""
    n_bytes = len(words.data)
    told = max(header.last_frame - header.first_frame + 1, 0)
    held = max(0, n_bytes - header.data_at) // _frame_bytes(header)
    if header.data_at < 2 * BLOCK_BYTES or held == 0:
        raise InputError(
            f"The C3D file says that its samples begin at byte {header.data_at}, and it has "
            f"{n_bytes}.",
            fix=CUT_SHORT,
        )
    if header.last_frame >= _FRAMES_HELD or told == 0:
        told = _long_count(header, words, parameters, held)
    if told > held:
        remarks.append(
            Remark(
                kind="cut_short",
                weight="fault",
                text=f"The file promises {told} frames and holds {held}; the rest is missing.",
                fix="Copy or export the file again.",
            )
        )
    elif (held - told) * _frame_bytes(header) >= BLOCK_BYTES:
        remarks.append(
            Remark(
                kind="samples_left",
                weight="doubt",
                text=f"The file counts {told} frames and has room for {held}; {told} were read.",
                fix="Compare the length with the recording's; export the file again if it is off.",
            )
        )
    return min(told, held)


def _frame_bytes(header: _Header) -> int:
    return (4 * header.n_points + header.n_analog) * (4 if header.is_float else 2)


def _long_count(header: _Header, words: Words, parameters: Parameters, held: int) -> int:
    """Count the frames of a file that is too long for its header, by the first that may be."""
    ends = parameters.numbers("TRIAL", "ACTUAL_END_FIELD")
    starts = parameters.numbers("TRIAL", "ACTUAL_START_FIELD")
    counts = [parameters.number("POINT", "LONG_FRAMES", 0.0)]
    if ends.size >= 2 and starts.size >= 2:
        first, last = (int(two[0]) % 65_536 + 65_536 * int(two[1]) for two in (starts, ends))
        counts.append(last - first + 1)
    counts.append(parameters.number("POINT", "FRAMES", 0.0))
    told = next((int(count) for count in counts if _FRAMES_HELD < count <= held), None)
    return _without_filling(header, words, held) if told is None else told


def _without_filling(header: _Header, words: Words, held: int) -> int:
    """Count the frames less those of zeros that only fill the last block."""
    n_bytes = _frame_bytes(header)
    while held > 1 and (held * n_bytes + header.data_at) > len(words.data) - BLOCK_BYTES:
        if any(words.slice(header.data_at + (held - 1) * n_bytes, n_bytes)):
            break
        held -= 1
    return held


def _samples(words: Words, header: _Header, n_frames: int, *, unsigned: bool) -> Values:
    """Read the analogue samples, shape (channels, n)."""
    n_all = 4 * header.n_points + header.n_analog
    if header.is_float:
        flat = words.floats(header.data_at, n_frames * n_all)
    else:
        whole = words.integers(header.data_at, n_frames * n_all, unsigned=unsigned)
        flat = whole.astype(np.float64)
    frames = flat.reshape(n_frames, n_all)[:, 4 * header.n_points :]
    by_sample = frames.reshape(n_frames * header.per_frame, header.n_analog // header.per_frame)
    return np.ascontiguousarray(by_sample.T)


def _scaled(raw: Values, parameters: Parameters, remarks: list[Remark]) -> Values:
    """Turn samples into the units of the file: less OFFSET, times SCALE, times GEN_SCALE."""
    n = raw.shape[0]
    scale, offset = parameters.numbers("ANALOG", "SCALE"), parameters.numbers("ANALOG", "OFFSET")
    if scale.size < n or not (np.isfinite(scale[:n]).all() and scale[:n].all()):
        raise InputError(
            f"The C3D file has {n} analogue channels and {scale.size} scale factors for them, or "
            "one that is zero.",
            fix=CUT_SHORT,
        )
    offset = offset[:n] if offset.size >= n else np.zeros(n)
    if parameters.text("ANALOG", "FORMAT").upper() == "UNSIGNED":
        offset = np.where(offset < 0.0, offset + 65_536.0, offset)
    general = parameters.number("ANALOG", "GEN_SCALE", 1.0)
    if not np.isfinite(general) or general == 0.0:
        raise InputError(f"The C3D file scales all its channels by {general:g}.", fix=CUT_SHORT)
    with np.errstate(over="ignore", invalid="ignore"):
        values = (raw - offset[:, None]) * (scale[:n, None] * general)
    n_lost = int(np.count_nonzero(~np.isfinite(values)))
    if n_lost:
        values[~np.isfinite(values)] = np.nan
        remarks.append(
            Remark(
                kind="gap",
                weight="fault",
                text=f"{n_lost} samples are no numbers; they are left out.",
                fix="Export the recording again.",
            )
        )
    return values


def _rate(header: _Header, parameters: Parameters, remarks: list[Remark]) -> tuple[float, str]:
    """Give the rate of the analogue channels, which the parameters say, and the header too."""
    told_hz = parameters.number("ANALOG", "RATE", 0.0)
    by_header_hz = header.frame_rate_hz * header.per_frame
    points_hz = parameters.number("POINT", "RATE", 0.0) * header.per_frame
    if not 0.0 < told_hz <= _MOST_RATE_HZ:
        told_hz = points_hz
        if not 0.0 < told_hz <= _MOST_RATE_HZ:
            told_hz = by_header_hz
        if not 0.0 < told_hz <= _MOST_RATE_HZ:
            raise InputError(
                "The C3D file does not say how many samples a second it holds.",
                fix="Give the rate, or export the file again.",
            )
        return told_hz, "ANALOG:RATE is missing; frames a second times samples a frame"
    others = [rate for rate in (by_header_hz, points_hz) if rate > 0.0]
    if any(abs(rate - told_hz) > _SCALED * told_hz for rate in others):
        remarks.append(
            Remark(
                kind="rate",
                weight="doubt",
                text=f"ANALOG:RATE says {told_hz:g} samples a second, the header "
                f"{by_header_hz:g}, POINT:RATE {points_hz:g}; the first is used.",
                fix="Give the rate that the plates were read with.",
            )
        )
    return told_hz, "ANALOG:RATE"


def _marks(words: Words, parameters: Parameters) -> tuple[Mark, ...]:
    """Give the instants of the EVENT group, or else of the header."""
    labels, times = parameters.texts("EVENT", "LABELS"), parameters.numbers("EVENT", "TIMES")
    if labels and times.size == 2 * len(labels):
        pairs = times.reshape(-1, 2)
        found = zip(labels, 60.0 * pairs[:, 0] + pairs[:, 1], strict=True)
        return _sane(found)
    if int(words.integers(_EVENTS_AT, 1)[0]) != _EVENT_KEY:
        return ()
    n = min(_MOST_EVENTS, max(0, int(words.integers(_EVENTS_AT + 2, 1)[0])))
    seconds = words.floats(304, n)
    names = [words.slice(396 + 4 * place, 4).decode("ascii", "replace") for place in range(n)]
    return _sane(zip((name.strip("\x00 ") for name in names), seconds, strict=True))


def _sane(found: Iterable[tuple[str, float]]) -> tuple[Mark, ...]:
    return tuple(
        Mark(time_s=float(seconds), label=label) for label, seconds in found if np.isfinite(seconds)
    )


def _padded(texts: tuple[str, ...], n: int) -> tuple[str, ...]:
    return (texts + ("",) * n)[:n]
