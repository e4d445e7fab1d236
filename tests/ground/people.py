"""Invented pushes on plates with every number known: a still stance and a sway."""

import numpy as np

from tests.ground.c3d_files import Made

N = 3000
RATE_HZ = 1000.0


def swaying(
    kind: int = 2,
    *,
    weight_n: float = 900.0,
    n: int = N,
    seed: int = 5,
    noise_n: float = 0.4,
    **more: object,
) -> Made:
    """Stand still for a second, then sway: the ground's force on the person, up positive."""
    rng = np.random.default_rng(seed)
    time_s = np.arange(n) / RATE_HZ
    move = np.clip(time_s - 1.0, 0.0, None)
    wave = np.sin(2.0 * np.pi * 1.3 * move)
    force = np.column_stack(
        [
            40.0 * wave,
            -25.0 * wave,
            weight_n * (1.0 + 0.3 * wave),
        ]
    ) + rng.normal(0.0, noise_n, (n, 3))
    place = np.column_stack([640.0 + 60.0 * wave, 1250.0 - 90.0 * wave])
    return Made(force_n=force, place_mm=place, twist_nmm=6000.0 * wave, kind=kind, **more)  # type: ignore[arg-type]
