"""Writes tables of forces with known numbers, in the shapes that people have."""

import numpy as np
from numpy.typing import NDArray

Values = NDArray[np.float64]


def stance(
    n: int = 3000,
    rate_hz: float = 1000.0,
    share: float = 0.5,
    weight_n: float = 780.0,
    seed: int = 3,
) -> dict[str, Values]:
    """Stand still, then shift: what one plate sees of it, reaction up, moments about its middle."""
    rng = np.random.default_rng(seed)
    time_s = np.arange(n) / rate_hz
    wave = np.sin(2.0 * np.pi * 0.8 * np.clip(time_s - 1.2, 0.0, None))
    fz = weight_n * share * (1.0 + 0.2 * wave) + rng.normal(0.0, 0.3, n)
    fx, fy = 6.0 * wave, -4.0 * wave
    cx, cy = 0.02 + 0.03 * wave, -0.01 + 0.05 * wave
    tz = 5.0 * wave
    return {
        "time": time_s,
        "fx": fx,
        "fy": fy,
        "fz": fz,
        "cx": cx,
        "cy": cy,
        "tz": tz,
        "mx": cy * fz,
        "my": -cx * fz,
        "mz": tz + cx * fy - cy * fx,
    }


def table(
    columns: dict[str, Values],
    *,
    mark: str = ",",
    decimal: str = ".",
    above: str = "",
    header: bool = True,
    decimals: int = 6,
) -> bytes:
    """Write columns by header; rows of text above them as they are."""
    cells = [
        [f"{value:.{decimals}f}".replace(".", decimal) for value in v] for v in columns.values()
    ]
    lines = [mark.join(row) for row in zip(*cells, strict=True)]
    head = [mark.join(columns)] if header else []
    return (above + "\n".join([*head, *lines]) + "\n").encode()
