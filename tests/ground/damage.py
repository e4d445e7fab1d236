"""Ways in which a C3D file is damaged: bits, words, blocks, headers, pieces cut out."""

import random
import struct
from collections.abc import Callable


def damaged(data: bytes, rng: random.Random) -> bytes:
    """Damage a file in one way or two."""
    n_first = 512 * (1 + data[512 + 2])
    out = data
    for _ in range(rng.choice([1, 1, 1, 2])):
        if len(out) > n_first + 600:
            out = rng.choice(MUTATIONS)(out, rng, n_first)
    return out


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
