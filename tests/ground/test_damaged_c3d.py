"""Damaged C3D files: thousands of them; none may crash, hang, or weigh wrong without a word."""

import random
import struct
import time
from collections.abc import Callable

import pytest

from leadfoot.errors import InputError
from leadfoot.ground.c3d import read_c3d
from leadfoot.ground.choices import Choices
from leadfoot.ground.quiet import quiet_stance
from leadfoot.ground.recording import Recording
from tests.ground.c3d_files import MIPS, written
from tests.ground.people import swaying
from tests.recordings import recording

N_MUTATIONS = 3_000
N_PARTS = 6
LONGEST_S = 2.0
"""Longest that one file may take, in processor time, so that a busy machine fails no test."""
WRONG = 0.03
"""Share of the weight by which it counts as wrong."""


def originals() -> list[bytes]:
    made = [
        written([swaying(2)], n_points=2, per_frame=5),
        written([swaying(3)], is_float=False),
        written([swaying(1), swaying(4, seed=6)], processor=MIPS),
    ]
    return [*made, recording("jump_one_plate"), recording("drop_two_plates")]


def flip_bits(data: bytes, rng: random.Random, n_first: int) -> bytes:
    """Flip a few bits, mostly in header and parameters."""
    out = bytearray(data)
    for _ in range(rng.randint(1, 6)):
        end = n_first if rng.random() < 0.8 else len(out)
        out[rng.randrange(end)] ^= 1 << rng.randrange(8)
    return bytes(out)


def overwrite(data: bytes, rng: random.Random, n_first: int) -> bytes:
    """Write numbers that lie at the edges of their kind."""
    out = bytearray(data)
    for _ in range(rng.randint(1, 4)):
        at = rng.randrange(min(n_first, len(out) - 4))
        out[at : at + 4] = rng.choice(EDGES)
    return bytes(out)


EDGES = [
    *(struct.pack("<f", value) for value in (0.0, -1.0, 1e38, -1e38, 1e-38)),
    *(b"\xff\xff\xff\xff", b"\x00\x00\x80\x7f", b"\x00\x00\xc0\x7f", b"\x7f\xff\x7f\xff"),
    *(b"\x00\x80\x00\x80", b"\x01\x00\x01\x00", b"\xff\x7f\xff\x7f", b"\x00\x00\x00\x00"),
]


def cut(data: bytes, rng: random.Random, n_first: int) -> bytes:
    """Cut the end off, or a piece out of the middle, or the start."""
    first, last = sorted((rng.randrange(len(data)), rng.randrange(len(data))))
    return rng.choice([data[:last], data[:first] + data[last:], data[first:], data[:n_first]])


def swap(data: bytes, rng: random.Random, n_first: int) -> bytes:
    """Exchange two blocks, or write one over another."""
    blocks = [data[at : at + 512] for at in range(0, len(data), 512)]
    first, second = rng.randrange(min(8, len(blocks))), rng.randrange(len(blocks))
    blocks[first], blocks[second] = blocks[second], rng.choice([blocks[first], blocks[second]])
    return b"".join(blocks)


def header(data: bytes, rng: random.Random, n_first: int) -> bytes:
    """Write a wrong number into one word of the header, or another processor."""
    out = bytearray(data)
    if rng.random() < 0.1:
        out[512 + 3] = rng.randrange(256)
        return bytes(out)
    at = 2 * rng.randrange(12)
    out[at : at + 2] = struct.pack(
        "<H", rng.choice([0, 1, 2, 255, 32767, 65535, rng.randrange(65536)])
    )
    return bytes(out)


MUTATIONS: list[Callable[[bytes, random.Random, int], bytes]] = [
    flip_bits,
    flip_bits,
    overwrite,
    overwrite,
    cut,
    swap,
    header,
]


def weight_n(read: Recording) -> float:
    quiet = quiet_stance(read.vertical_n, read.rate_hz)
    return 0.0 if quiet is None else quiet.weight_n


@pytest.mark.parametrize("part", range(N_PARTS))
def test_damaged_files_never_crash_hang_or_weigh_wrong(part: int) -> None:
    rng = random.Random(4000 + part)  # noqa: S311
    known = [(data, weight_n(read_c3d(data))) for data in originals()]
    n_read = 0
    for _ in range(N_MUTATIONS // N_PARTS):
        data, true_n = rng.choice(known)
        n_first = 512 * (1 + data[512 + 2])
        damaged = data
        for _ in range(rng.choice([1, 1, 1, 2])):
            if len(damaged) > n_first + 600:
                damaged = rng.choice(MUTATIONS)(damaged, rng, n_first)
        started = time.process_time()
        try:
            read = read_c3d(damaged, Choices(scale_n=true_n))
        except InputError:
            continue
        finally:
            assert time.process_time() - started < LONGEST_S
        n_read += 1
        told = any(remark.weight != "note" for remark in read.remarks if remark.kind in TELLS)
        assert abs(weight_n(read) / true_n - 1.0) <= WRONG or told
    assert n_read > 0.2 * N_MUTATIONS / N_PARTS


TELLS = {"scale", "no_stance", "weight", "cut_short", "gap", "spike", "unread_plate"}
"""Remarks that say that the weight may be wrong."""
