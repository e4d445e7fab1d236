"""Simulated offline of many lessons at once, with a known truth.

Invented and seeded. The student's spread is 12 yd; the reference day has a spread that differs by
15 % (sd) from the usual one, 8 % mishits three times as wide, a correlation of 0.1 from ball to
ball, a wander of 0.15 spreads between the blocks, and values rounded to a yard.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
USUAL_YD = 12.0
HEAVY = 1.0 / 0.68
"""Tails of a t with 3 degrees of freedom whose spread, as the judging sees it, is the usual one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Truth:
    """One cell of the table: spreads and means in yards, drifts in usual spreads a ball."""

    spread: tuple[float, float] = (12.0, 12.0)
    mean: tuple[float, float] = (5.0, 5.0)
    mishits: float = 0.08
    tails: float | None = None
    drift: float = 0.0
    drift_sd: float = 0.0


NOTHING: Mapping[str, Truth] = MappingProxyType(
    {
        "none, mean 5": Truth(),
        "none, mean 10": Truth(mean=(10.0, 10.0)),
        "none, t3 tails": Truth(mishits=0.0, tails=3.0, spread=(12.0 * HEAVY, 12.0 * HEAVY)),
        "none, drift 0.02 toward the line, mean 10": Truth(mean=(10.0, 10.0), drift=-0.02),
        "none, drift 0.02 away from it, mean 5": Truth(drift=0.02),
    }
)
CHANGED: Mapping[str, Truth] = MappingProxyType(
    {
        "spread 12 to 9": Truth(spread=(12.0, 9.0)),
        "spread 12 to 6": Truth(spread=(12.0, 6.0)),
        "mean 10 to 0": Truth(mean=(10.0, 0.0)),
        "12 to 9 and 10 to 4": Truth(spread=(12.0, 9.0), mean=(10.0, 4.0)),
        "12 to 6 and 10 to 2": Truth(spread=(12.0, 6.0), mean=(10.0, 2.0)),
    }
)
WORSE: Mapping[str, Truth] = MappingProxyType(
    {"spread 12 to 9 but mean 0 to 12": Truth(spread=(12.0, 9.0), mean=(0.0, 12.0))}
)


def simulate_offline(
    rng: np.random.Generator,
    n_lessons: int,
    blocks: tuple[int, int],
    truth: Truth,
    *,
    day_doubt: float = 0.15,
    wander: float = 0.15,
) -> Floats:
    """Offline in yards, shape (lessons, balls): a block before, a block with the change."""
    n = sum(blocks)
    changed = np.arange(n) >= blocks[0]
    if truth.tails is None:
        e = rng.standard_normal((n_lessons, n))
    else:
        e = rng.standard_t(truth.tails, (n_lessons, n)) / np.sqrt(truth.tails / (truth.tails - 2))
    for ball in range(1, n):
        e[:, ball] = 0.1 * e[:, ball - 1] + np.sqrt(1 - 0.1**2) * e[:, ball]
    e = np.where(rng.random((n_lessons, n)) < truth.mishits, 3.0 * e, e)
    day = np.exp(day_doubt * rng.standard_normal((n_lessons, 1)))
    slope = truth.drift + truth.drift_sd * rng.standard_normal((n_lessons, 1))
    moved = slope * np.arange(n) + wander * rng.standard_normal((n_lessons, 1)) * changed
    spread, mean = (
        np.where(changed, truth.spread[1], truth.spread[0]),
        np.where(changed, *truth.mean[::-1]),
    )
    return np.asarray(np.round(mean + spread * day * e + USUAL_YD * moved), dtype=np.float64)
