"""How long a large table takes: 100,000 shots in 12 columns, within 3 s on a studio's laptop."""

from typing import Any

import numpy as np
import pytest

from leadfoot.shots.read import read_table

N_SHOTS = 100_000
COLUMNS = {
    "Club speed [mph]": (95.0, 4.0, 1),
    "Ball speed [mph]": (137.0, 5.0, 1),
    "Smash factor": (1.44, 0.03, 3),
    "Attack angle [deg]": (-1.0, 2.0, 1),
    "Club path [deg]": (1.0, 3.0, 1),
    "Face angle [deg]": (0.5, 3.0, 1),
    "Launch angle [deg]": (13.0, 2.0, 1),
    "Spin rate [rpm]": (2900.0, 350.0, 0),
    "Carry [yd]": (218.0, 10.0, 1),
    "Offline [yd]": (0.0, 15.0, 1),
}
"""Median, spread and decimals of an invented driver."""


def table(decimal: str, mark: str) -> bytes:
    """Write the large table: ball number, club, and ten quantities."""
    rng = np.random.default_rng(20)
    columns = [[str(ball) for ball in range(1, N_SHOTS + 1)], ["Driver"] * N_SHOTS]
    for median, spread, decimals in COLUMNS.values():
        values = rng.normal(median, spread, N_SHOTS)
        columns.append([f"{value:.{decimals}f}".replace(".", decimal) for value in values])
    lines = [mark.join(["Ball", "Club", *COLUMNS])]
    lines += [mark.join(cells) for cells in zip(*columns, strict=True)]
    return "\n".join(lines).encode()


@pytest.mark.parametrize(("decimal", "mark"), [(".", ","), (",", ";")], ids=["dot", "comma"])
def test_read_100_000_shots(benchmark: Any, decimal: str, mark: str) -> None:
    data = table(decimal, mark)
    reading = benchmark.pedantic(read_table, args=(data,), rounds=3, iterations=1)
    assert len(reading.shots) == N_SHOTS


def test_read_40_shots(benchmark: Any) -> None:
    data = b"\n".join(table(".", ",").split(b"\n", 41)[:41])
    reading = benchmark(read_table, data)
    assert len(reading.shots) == 40
