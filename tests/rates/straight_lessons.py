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
HARDER: Mapping[str, Truth] = MappingProxyType(
    {
        "none, 15 % mishits": Truth(mishits=0.15),
        "none, 15 % mishits, mean 10": Truth(mishits=0.15, mean=(10.0, 10.0)),
        "none, spread 1.3 x usual": Truth(spread=(15.6, 15.6)),
        "none, spread 1.3 x usual, mean 10": Truth(spread=(15.6, 15.6), mean=(10.0, 10.0)),
        "none, spread 0.77 x usual": Truth(spread=(9.24, 9.24)),
    }
)
"""Nothing either, on days that are unlike what is assumed."""


def simulate_offline(
    rng: np.random.Generator,
    n_lessons: int,
    blocks: tuple[int, ...],
    truth: Truth,
    *,
    day_doubt: float = 0.15,
    wander: float = 0.15,
) -> Floats:
    """Offline in yards, shape (lessons, balls): blocks before and with the change by turns."""
    n = sum(blocks)
    changed = np.repeat(np.arange(len(blocks)) % 2 == 1, blocks)
    if truth.tails is None:
        e = rng.standard_normal((n_lessons, n))
    else:
        e = rng.standard_t(truth.tails, (n_lessons, n)) / np.sqrt(truth.tails / (truth.tails - 2))
    for ball in range(1, n):
        e[:, ball] = 0.1 * e[:, ball - 1] + np.sqrt(1 - 0.1**2) * e[:, ball]
    e = np.where(rng.random((n_lessons, n)) < truth.mishits, 3.0 * e, e)
    day = np.exp(day_doubt * rng.standard_normal((n_lessons, 1)))
    slope = truth.drift + truth.drift_sd * rng.standard_normal((n_lessons, 1))
    moved = slope * np.arange(n) + _wandered(rng, n_lessons, blocks, wander)
    spread, mean = (
        np.where(changed, truth.spread[1], truth.spread[0]),
        np.where(changed, *truth.mean[::-1]),
    )
    return np.asarray(np.round(mean + spread * day * e + USUAL_YD * moved), dtype=np.float64)


def _wandered(
    rng: np.random.Generator, n_lessons: int, blocks: tuple[int, ...], wander: float
) -> Floats:
    """Where the blocks lie by chance; ``wander`` is the spread between two of them."""
    places = wander * rng.standard_normal((n_lessons, len(blocks) - 1))
    if len(blocks) == 2:
        places = np.column_stack((np.zeros(n_lessons), places))
    else:
        first = wander * rng.standard_normal((n_lessons, 1))
        places = np.column_stack((first, places)) / np.sqrt(2.0)
    return np.repeat(places, blocks, axis=1)
