"""Good recordings, open and invented, get none of the flags that tell a damaged file."""

import tomllib

import numpy as np
import pytest

from leadfoot.ground.c3d import read_c3d
from leadfoot.ground.made_jump import random_jump
from leadfoot.ground.made_swing import random_swing
from leadfoot.ground.read import read_recording
from leadfoot.ground.recording import Recording
from tests.ground.c3d_files import DEC, INTEL, MIPS, Made, written
from tests.ground.people import swaying
from tests.ground.synthetic import MATRIX, jump_table, swing_c3d, swing_table
from tests.recordings import LIST, recording

FLAGS = {
    *("factor", "channel_offset", "general_scale", "matrix", "sensors", "contradiction"),
    *("leap", "not_still", "tilt", "shared_channel"),
}
N_SWINGS = 25
OPEN = tuple(tomllib.loads(LIST.read_text(encoding="utf-8")))


def flags(found: Recording) -> set[str]:
    return {one.kind for one in found.remarks} & FLAGS


@pytest.mark.parametrize("name", OPEN)
def test_open_recordings(name: str) -> None:
    found = read_recording(recording(name)).recording
    assert found is None or flags(found) == set()


@pytest.mark.parametrize("kind", [2, 3, 4])
def test_invented_swings(kind: int) -> None:
    rng = np.random.default_rng(40 + kind)
    for _ in range(N_SWINGS):
        swing, rate_hz = random_swing(rng), float(rng.choice([200.0, 500.0, 1000.0, 2000.0]))
        assert flags(read_c3d(swing_c3d(swing, rate_hz, kind=kind))) == set()


def test_invented_swings_and_jumps_in_tables() -> None:
    rng = np.random.default_rng(50)
    for _ in range(N_SWINGS):
        rate_hz = float(rng.choice([200.0, 1000.0]))
        jump = jump_table(random_jump(rng).force_n(rate_hz), rate_hz)
        for data in (jump, swing_table(random_swing(rng), rate_hz)):
            found = read_recording(data).recording
            assert found is not None
            assert flags(found) == set()


@pytest.mark.parametrize("processor", [INTEL, DEC, MIPS])
@pytest.mark.parametrize("kind", [1, 2, 3, 4])
@pytest.mark.parametrize(("is_float", "unsigned"), [(True, False), (False, False), (False, True)])
def test_every_way_of_writing(processor: int, kind: int, is_float: bool, unsigned: bool) -> None:
    plates: list[Made] = [swaying(kind, matrix=MATRIX), swaying(kind, matrix=MATRIX, seed=9)]
    for made in (plates[:1], plates):
        data = written(made, processor=processor, is_float=is_float, unsigned=unsigned)
        assert flags(read_c3d(data)) == set()
