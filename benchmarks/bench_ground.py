"""How long a force recording takes: 60 s, 2000 Hz, two plates, within 1 s on a studio's laptop."""

from typing import Any

import numpy as np
import pytest

from leadfoot.ground.c3d import read_c3d
from leadfoot.ground.table import read_force_table
from tests.ground.c3d_files import written
from tests.ground.people import swaying

N = 120_000


@pytest.mark.parametrize("kind", [2, 3])
def test_read_a_minute_of_c3d(benchmark: Any, kind: int) -> None:
    plates = [swaying(kind, n=N), swaying(kind, n=N, seed=6)]
    data = written(plates, rate_hz=2000.0, per_frame=10)
    recording = benchmark.pedantic(read_c3d, args=(data,), rounds=5, iterations=1)
    assert (len(recording), len(recording.plates)) == (N, 2)


def test_read_a_minute_of_a_table(benchmark: Any) -> None:
    plates = [swaying(2, n=N), swaying(2, n=N, seed=6)]
    columns = np.concatenate([plate.channels() for plate in plates]).T
    time_s = np.arange(N) / 2000.0
    names = [f"{name}{k}" for k in (1, 2) for name in ("Fx", "Fy", "Fz", "Mx", "My", "Mz")]
    lines = [",".join(["time [s]", *names])]
    lines += [
        f"{time:.4f}," + ",".join(f"{value:.3f}" for value in row)
        for time, row in zip(time_s.tolist(), columns.tolist(), strict=True)
    ]
    data = "\n".join(lines).encode()
    reading = benchmark.pedantic(read_force_table, args=(data,), rounds=3, iterations=1)
    assert reading.recording is not None
    assert len(reading.recording) == N
