"""Writes C3D files with known forces: any processor, whole numbers or floats, any type of plate."""

import struct
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

Values = NDArray[np.float64]

INTEL, DEC, MIPS = 84, 85, 86
EXCHANGE = np.array([[-1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, -1.0]])
"""Axes of a plate with x at -X, y at +Y and z down, as columns."""
CENTRE_MM = np.array([600.0, 1200.0, 0.0])
SIZE_MM = (400.0, 600.0)
ORIGIN_MM = {2: (2.0, -3.0, -41.0), 3: (120.0, 200.0, -52.0), 4: (2.0, -3.0, -41.0), 1: (0, 0, 0)}
LABELS = {
    1: ("Fx{n}", "Fy{n}", "Fz{n}", "Px{n}", "Py{n}", "Mz{n}"),
    2: ("Fx{n}", "Fy{n}", "Fz{n}", "Mx{n}", "My{n}", "Mz{n}"),
    3: ("F{n}x12", "F{n}x34", "F{n}y14", "F{n}y23", "F{n}z1", "F{n}z2", "F{n}z3", "F{n}z4"),
    4: ("Fx{n}", "Fy{n}", "Fz{n}", "Mx{n}", "My{n}", "Mz{n}"),
}
FORCE_UNITS = {1: "N N N mm mm Nmm", 2: "N N N Nmm Nmm Nmm", 3: "N " * 8, 4: "V V V V V V"}


@dataclass
class Made:
    """One plate to be written: what truly acts on it, and how its file describes it."""

    force_n: Values
    """In the laboratory, shape (n, 3)."""
    place_mm: Values
    """Centre of pressure in the laboratory, shape (n, 2)."""
    twist_nmm: Values
    """Moment about the laboratory's Z at that place, shape (n,)."""
    kind: int = 2
    axes: Values = field(default_factory=lambda: EXCHANGE)
    centre_mm: Values = field(default_factory=lambda: CENTRE_MM)
    origin_mm: tuple[float, float, float] | None = None
    matrix: Values = field(default_factory=lambda: np.eye(6))
    """For type 4: what the channels are multiplied by."""
    written_origin_mm: tuple[float, float, float] | None = None
    """What the file says, where that is not so."""
    corner_order: tuple[int, ...] = (0, 1, 2, 3)

    def origin(self) -> tuple[float, float, float]:
        return self.origin_mm or ORIGIN_MM[self.kind]

    def corners_mm(self) -> Values:
        x, y = SIZE_MM[0] / 2.0, SIZE_MM[1] / 2.0
        own = np.array([[x, y, 0.0], [-x, y, 0.0], [-x, -y, 0.0], [x, -y, 0.0]])
        return (own @ self.axes.T + self.centre_mm)[list(self.corner_order)]

    def channels(self) -> Values:
        """Work the channels out backward, by moments about the sensors, shape (channels, n)."""
        force = (self.force_n @ self.axes).T
        place = np.column_stack([self.place_mm, np.zeros(len(self.place_mm))]) - self.centre_mm
        x, y, _ = (place @ self.axes).T
        twist = self.twist_nmm * self.axes[2, 2]
        if self.kind == 1:
            return np.stack([*force, x, y, twist])
        at_surface = np.stack([y * force[2], -x * force[2], x * force[1] - y * force[0] + twist])
        if self.kind == 3:
            return self._eight(force, at_surface)
        sensors = np.array(self.origin())[:, None] * np.ones(force.shape[1])
        six = np.concatenate([force, at_surface + np.cross(sensors, force, axis=0)])
        return np.linalg.solve(self.matrix, six) if self.kind == 4 else six

    def _eight(self, force: Values, moment: Values) -> Values:
        """Share force and moment among eight sensors by least squares, which is exact."""
        a, b, z = self.origin()
        sums = np.array(
            [
                [1, 1, 0, 0, 0, 0, 0, 0],
                [0, 0, 1, 1, 0, 0, 0, 0],
                [0, 0, 0, 0, 1, 1, 1, 1],
                [0, 0, z, z, b, b, -b, -b],
                [-z, -z, 0, 0, -a, a, a, -a],
                [-b, b, a, -a, 0, 0, 0, 0],
            ]
        )
        return np.asarray(np.linalg.lstsq(sums, np.concatenate([force, moment]), rcond=None)[0])


def written(
    plates: Sequence[Made],
    *,
    rate_hz: float = 1000.0,
    per_frame: int = 1,
    n_points: int = 0,
    processor: int = INTEL,
    is_float: bool = True,
    unsigned: bool = False,
    extra: Mapping[str, Values] | None = None,
    parameters: Mapping[tuple[str, str], Any] | None = None,
    events: Sequence[tuple[str, float]] = (),
) -> bytes:
    """Write a C3D file; a parameter given as None is left out."""
    channels = np.concatenate([plate.channels() for plate in plates] + _rows(extra))
    n = channels.shape[1] // per_frame * per_frame
    scales = np.ones(len(channels))
    offset = 0
    stored = channels[:, :n]
    if not is_float:
        scales = np.abs(channels).max(axis=1) / 30_000.0 + 1e-12
        stored = np.round(stored / scales[:, None])
        if unsigned:
            offset, stored = 32_768, stored + 32_768
    said = _parameters(plates, rate_hz, per_frame, n_points, extra)
    said[("POINT", "SCALE")] = -1.0 if is_float else 1.0
    said[("ANALOG", "SCALE")] = [float(scale) for scale in scales]
    said[("ANALOG", "OFFSET")] = np.full(len(channels), offset).astype(np.int64).tolist()
    if unsigned:
        said[("ANALOG", "FORMAT")] = ["UNSIGNED"]
    said[("POINT", "FRAMES")] = min(n // per_frame, 65_535)
    for key, value in (parameters or {}).items():
        if value is None:
            said.pop(key, None)
        else:
            said[key] = value
    section = _section(said, processor)
    n_blocks = len(section) // 512
    header = _header(
        [n_points, len(channels) * per_frame, 1, min(n // per_frame, 65_535), 0],
        data_block=2 + n_blocks,
        per_frame=per_frame,
        frame_rate_hz=rate_hz / per_frame,
        is_float=is_float,
        processor=processor,
        events=events,
    )
    frames = stored.T.reshape(n // per_frame, -1)
    points = np.zeros((n // per_frame, 4 * n_points))
    body = _numbers(np.column_stack([points, frames]).ravel(), is_float, unsigned, processor)
    return header + section + body + bytes(-len(body) % 512)


def _rows(extra: Mapping[str, Values] | None) -> list[Values]:
    return [row[None, :] for row in (extra or {}).values()]


def _parameters(
    plates: Sequence[Made],
    rate_hz: float,
    per_frame: int,
    n_points: int,
    extra: Mapping[str, Values] | None,
) -> dict[tuple[str, str], Any]:
    labels = [
        label.format(n=place)
        for place, plate in enumerate(plates, start=1)
        for label in LABELS[plate.kind]
    ]
    units = [unit for plate in plates for unit in FORCE_UNITS[plate.kind].split()]
    sizes = [len(LABELS[plate.kind]) for plate in plates]
    starts = np.cumsum([1, *sizes])
    most = max(sizes)
    places = [
        [int(start) + k if k < size else 0 for k in range(most)]
        for start, size in zip(starts, sizes, strict=False)
    ]
    corners = np.array([plate.corners_mm() for plate in plates])
    origins = np.array([plate.written_origin_mm or plate.origin() for plate in plates], dtype=float)
    said: dict[tuple[str, str], Any] = {
        ("POINT", "USED"): n_points,
        ("POINT", "SCALE"): -1.0,
        ("POINT", "RATE"): rate_hz / per_frame,
        ("POINT", "UNITS"): ["mm"],
        ("ANALOG", "USED"): len(labels) + len(extra or {}),
        ("ANALOG", "LABELS"): [*labels, *(extra or {})],
        ("ANALOG", "UNITS"): [*units, *("V" for _ in (extra or {}))],
        ("ANALOG", "RATE"): rate_hz,
        ("ANALOG", "GEN_SCALE"): 1.0,
        ("FORCE_PLATFORM", "USED"): len(plates),
        ("FORCE_PLATFORM", "TYPE"): [plate.kind for plate in plates],
        ("FORCE_PLATFORM", "CHANNEL"): np.array(places),
        ("FORCE_PLATFORM", "CORNERS"): corners,
        ("FORCE_PLATFORM", "ORIGIN"): origins,
        ("FORCE_PLATFORM", "ZERO"): [0, 0],
    }
    if any(plate.kind == 4 for plate in plates):
        said[("FORCE_PLATFORM", "CAL_MATRIX")] = np.array([plate.matrix.T for plate in plates])
    return said


def _header(
    counts: Sequence[int],
    *,
    data_block: int,
    per_frame: int,
    frame_rate_hz: float,
    is_float: bool,
    processor: int,
    events: Sequence[tuple[str, float]],
) -> bytes:
    order = ">" if processor == MIPS else "<"
    block = bytearray(512)
    block[0], block[1] = 2, 80
    struct.pack_into(f"{order}5H", block, 2, *counts)
    block[12:16] = _floats(np.array([-1.0 if is_float else 1.0]), processor)
    struct.pack_into(f"{order}2H", block, 16, data_block, per_frame)
    block[20:24] = _floats(np.array([frame_rate_hz]), processor)
    struct.pack_into(f"{order}2h", block, 298, 12345 if events else 0, len(events))
    for place, (label, seconds) in enumerate(events):
        block[304 + 4 * place : 308 + 4 * place] = _floats(np.array([seconds]), processor)
        block[396 + 4 * place : 400 + 4 * place] = label.encode()[:4].ljust(4)
    return bytes(block)


def _section(said: Mapping[tuple[str, str], Any], processor: int) -> bytes:
    groups = list(dict.fromkeys(group for group, _ in said))
    records = [(name, -place, b"\x00") for place, name in enumerate(groups, start=1)]
    records += [
        (name, groups.index(group) + 1, _value(value, processor) + b"\x00")
        for (group, name), value in said.items()
    ]
    order = ">" if processor == MIPS else "<"
    out = b""
    for name, group, body in records:
        head = struct.pack("bb", len(name), group) + name.encode()
        out += head + struct.pack(f"{order}H", 2 + len(body)) + body
    out += b"\x00\x00"
    n_blocks = (4 + len(out) + 511) // 512
    return bytes([1, 80, n_blocks, processor]) + out + bytes(512 * n_blocks - 4 - len(out))


def _value(value: Any, processor: int) -> bytes:
    """Write one parameter: type, dimensions with the fastest first, and the numbers."""
    if isinstance(value, list) and all(isinstance(one, str) for one in value):
        longest = max(map(len, value), default=1) or 1
        words = b"".join(one.encode().ljust(longest) for one in value)
        return struct.pack("bB", -1, 2) + bytes([longest, len(value)]) + words
    numbers = np.asarray(value)
    shape = tuple(reversed(numbers.shape))
    is_float = numbers.dtype.kind == "f"
    body = _numbers(numbers.ravel(), is_float, False, processor)
    return struct.pack("bB", 4 if is_float else 2, len(shape)) + bytes(shape) + body


def _numbers(values: NDArray[Any], is_float: bool, unsigned: bool, processor: int) -> bytes:
    if is_float:
        return _floats(values, processor)
    order = ">" if processor == MIPS else "<"
    whole = np.asarray(np.round(values), dtype=np.int64)
    return whole.astype(f"{order}{'u' if unsigned else 'i'}2", casting="unsafe").tobytes()


def _floats(values: NDArray[Any], processor: int) -> bytes:
    if processor == DEC:
        bits = np.asarray(4.0 * values, dtype=np.float32).view(np.uint32)
        halves = np.stack([bits >> np.uint32(16), bits & np.uint32(0xFFFF)], axis=1)
        return halves.astype("<u2").tobytes()
    return np.asarray(values).astype(">f4" if processor == MIPS else "<f4").tobytes()
