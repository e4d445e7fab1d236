"""Damaged tables of forces: a thousand of them; none may crash, hang, or invent a sample."""

import random
import time

import numpy as np
import pytest

from leadfoot.errors import InputError
from leadfoot.ground.form import reading_json
from leadfoot.ground.read import read_recording
from leadfoot.tables.lines import PartedLines
from leadfoot.tables.split import split_lines
from tests.ground.force_tables import stance, table
from tests.shots.test_mutations import mutated

N_MUTATIONS = 1_200
N_PARTS = 4
N_SAME = 600
LONGEST_S = 2.0


def originals() -> list[bytes]:
    one = stance(n=300, rate_hz=100.0)
    six = {name: one[name] for name in ("time", "fx", "fy", "fz", "mx", "my", "mz")}
    place = {f"Left {name}": one[name] for name in ("fz", "cx", "cy")}
    place |= {f"Right {name}": one[name] for name in ("fz", "cx", "cy")}
    return [
        table(six),
        table({"Zeit [ms]": 1000.0 * one["time"], "Kraft [N]": one["fz"]}, mark=";", decimal=","),
        table(place, above="Sampling rate,100\nPlates,,,,,\n"),
        table({"time": one["time"], "fz": one["fz"]}, header=False, mark="\t"),
    ]


@pytest.mark.parametrize("part", range(N_PARTS))
def test_damaged_tables_never_crash_or_hang(part: int) -> None:
    rng = random.Random(7000 + part)  # noqa: S311
    good = originals()
    n_read = 0
    for _ in range(N_MUTATIONS // N_PARTS):
        damaged = mutated(rng.choice(good), rng)
        started = time.process_time()
        try:
            reading = read_recording(damaged)
        except InputError:
            continue
        finally:
            assert time.process_time() - started < LONGEST_S, damaged
        reading_json(reading)
        reading.mapping()
        n_read += reading.recording is not None
    assert n_read > 0.2 * N_MUTATIONS / N_PARTS


@pytest.mark.parametrize("part", range(N_PARTS))
def test_columns_at_once_and_cell_by_cell_give_the_same(
    part: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    rng = random.Random(7100 + part)  # noqa: S311
    good = originals()
    damaged = [*good, *(mutated(rng.choice(good), rng) for _ in range(N_SAME // N_PARTS))]
    at_once = [outcome(data) for data in damaged]
    monkeypatch.setattr(PartedLines, "numbers", lambda *_: None)
    monkeypatch.setattr("leadfoot.tables.split.PartedLines", split_lines)
    for data, one in zip(damaged, at_once, strict=True):
        other = outcome(data)
        assert one[0] == other[0], data
        for mine, theirs in zip(one[1], other[1], strict=True):
            np.testing.assert_array_equal(mine, theirs)


def outcome(data: bytes) -> tuple[object, list[np.ndarray]]:
    """Everything that a reading says, and its forces."""
    try:
        reading = read_recording(data)
    except InputError as error:
        return str(error), []
    forces = [] if reading.recording is None else [p.force_n for p in reading.recording.plates]
    return (reading_json(reading), reading.mapping()), forces


def test_an_empty_cell_is_no_zero() -> None:
    lines = originals()[0].decode().splitlines()
    lines[50] = ",".join([lines[50].split(",")[0], "", "", "", "", "", ""])
    recording = read_recording("\n".join(lines).encode()).recording
    assert recording is not None
    assert np.isnan(recording.plates[0].force_n[49]).all()
    assert np.isfinite(np.delete(recording.plates[0].force_n, 49, axis=0)).all()
