"""Damaged tables: thousands of them, none of which may crash, hang, or lose a row in silence."""

import random
import re
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from leadfoot.errors import InputError
from leadfoot.shots.form import read_json
from leadfoot.shots.read import TableReading, read_table
from tests.shots.accounting import check_accounts
from tests.shots.test_tables import SPECS, load, read

N_MUTATIONS = 5_000
N_PARTS = 10
LONGEST_S = 2.0
"""Longest that one file may take, in processor time, so that a busy machine fails no test."""

JUNK = [
    *('"', ";", ",", "\t", "|", "\n", "\r\n", "\x00", "\ufeff", "'", "(", ")", "-", "--", "%", "#"),
    *("1e999", "nan", "inf", "-inf", "1_000", "0x1F", "1/2", "½", "²", "９", "−", "١", "=1+1"),
    *("Average", "Total", "Max", "Carry", "Club", "mph", "km/h", "R", "L", "open", "平均", "7i"),
    *("9" * 400, "," * 300, '"' * 301, "a" * 5000, "1.1" * 2000, "Carry " * 900, " " * 3000),
    *("\ud7ff", "\U0001f3cc", "e\u0301", "ﬀ", "\u202e", "\u2028", "\x0b", "\x85", "\x1c"),
]


def flip_bytes(data: bytes, rng: random.Random) -> bytes:
    out = bytearray(data)
    for _ in range(rng.randint(1, 8)):
        out[rng.randrange(len(out))] = rng.randrange(256)
    return bytes(out)


def cut(data: bytes, rng: random.Random) -> bytes:
    first, last = sorted((rng.randrange(len(data) + 1), rng.randrange(len(data) + 1)))
    return data[:first] + data[last:] if rng.random() < 0.7 else data[first:last]


def insert(data: bytes, rng: random.Random) -> bytes:
    place = rng.randrange(len(data) + 1)
    return data[:place] + rng.choice(JUNK).encode() + data[place:]


def repeat(data: bytes, rng: random.Random) -> bytes:
    first, last = sorted((rng.randrange(len(data) + 1), rng.randrange(len(data) + 1)))
    return data[:last] + data[first:last] * rng.randint(1, 20) + data[last:]


def change_cells(data: bytes, rng: random.Random) -> bytes:
    text = data.decode("utf-8", errors="replace")
    mark = rng.choice(",;\t|")
    lines = [line.split(mark) for line in text.split("\n")]
    for _ in range(rng.randint(1, 6)):
        row = rng.choice(lines)
        row[rng.randrange(len(row))] = rng.choice(JUNK)
    return "\n".join(mark.join(row) for row in lines).encode("utf-8", errors="replace")


def shuffle_lines(data: bytes, rng: random.Random) -> bytes:
    lines = data.split(b"\n")
    rng.shuffle(lines)
    return b"\n".join(lines)


MUTATIONS: list[Callable[[bytes, random.Random], bytes]] = [
    flip_bytes,
    cut,
    insert,
    repeat,
    change_cells,
    change_cells,
    shuffle_lines,
]


def mutated(data: bytes, rng: random.Random) -> bytes:
    for _ in range(rng.choice([1, 1, 2, 3])):
        data = rng.choice(MUTATIONS)(data, rng) if data else data
    return data


NUMBER = re.compile(r"[+-]?\d{1,6}(?:[.,]\d{1,6})?")


def lost_rows(data: bytes, reading: TableReading) -> list[tuple[int, str, str]]:
    """Find rows of numbers that were taken for something that holds none.

    Told apart from the reader's own ways: plain lines of text without quotes, parted at every mark
    that the reader knows, of which most cells are bare numbers.
    """
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError:
        return []
    if '"' in text or "\x00" in text or data.startswith(b"PK"):
        return []
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    lost: list[tuple[int, str, str]] = []
    for row, (line, kind) in enumerate(zip(lines, reading.row_kinds, strict=False), start=1):
        cells = [cell.strip() for cell in re.split(r"[;\t|]|,(?=[^\d]|$)|(?<=\D),| {2,}", line)]
        named = [cell for cell in cells if cell]
        numbers = sum(1 for cell in named if NUMBER.fullmatch(cell))
        if numbers >= 2 and 2 * numbers > len(named) and kind not in HOLDS_NUMBERS:
            lost.append((row, kind, line))
    return lost


HOLDS_NUMBERS = {"shot", "problem", "summary", "unread"}


@pytest.mark.parametrize("part", range(N_PARTS))
def test_damaged_tables_never_crash_hang_or_lose_rows(part: int) -> None:
    rng = random.Random(1000 + part)  # noqa: S311
    originals = [load(path) for path in SPECS]
    for _ in range(N_MUTATIONS // N_PARTS):
        spec, data = rng.choice(originals)
        damaged = mutated(data, rng)
        started = time.process_time()
        try:
            reading = read_table(damaged, hand=spec.get("hand", "right"))
        except InputError:
            continue
        finally:
            assert time.process_time() - started < LONGEST_S, damaged
        check_accounts(reading)
        assert lost_rows(damaged, reading) == [], damaged
        read_json(reading)
        reading.mapping()


PLAIN = [
    path
    for path in SPECS
    if not {"workbook", "encoding", "mark", "row_blocks"} & load(path)[0].keys()
    and load(path)[0]["rows"]
    and b'"' not in load(path)[1]
]


@pytest.mark.parametrize("spec_path", PLAIN, ids=[path.stem for path in PLAIN])
def test_a_bad_cell_costs_no_other_row(spec_path: Path) -> None:
    """Damage the last cell of one shot: all other shots stay, and the damage is told."""
    spec, data = load(spec_path)
    lines = data.decode().split("\n")
    for row in spec["rows"]:
        damaged = [*lines]
        damaged[row - 1] += "¿"
        after = read(spec, "\n".join(damaged).encode())
        held = set(after.shots.rows.tolist())
        assert set(spec["rows"]) - {row} <= held
        assert row in held | {problem.row for problem in after.problems}
