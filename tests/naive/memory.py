"""Slow twin of the memory: every unknown summed over a plain grid, written for reading.

Unknown are the student's own spread, the day spread, each day's spread and each block's level.
"""

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from scipy import stats

from leadfoot.evidence.memory import DAY_SPREAD_DOUBT, DAY_SPREADS, PastLesson
from leadfoot.evidence.noise import Noise
from leadfoot.evidence.usual import DAY_DOUBT, STUDENT_DOUBT

Floats = NDArray[np.float64]


def density(residual: Floats, scale: float, noise: Noise) -> Floats:
    """One ball: a solid part, and a wide part for mishits."""
    solid = stats.norm(0.0, scale).pdf(residual)
    mishit = stats.norm(noise.shift * scale, noise.widening * scale).pdf(residual)
    return np.asarray((1 - noise.share) * solid + noise.share * mishit)


def of_block(block: Floats, scale: float, noise: Noise) -> float:
    """Likelihood of the scale with the level summed out."""
    reach = 6 * block.std() + 3 * scale
    levels = np.linspace(block.mean() - reach, block.mean() + reach, 250)
    likelihood = density(block - levels[:, None], scale, noise).prod(axis=1)
    return float(likelihood.sum() * (levels[1] - levels[0]))


def own_spread(
    lessons: Sequence[PastLesson], start_sd: float, noise: Noise, half_life_days: float
) -> tuple[float, float]:
    """Mean and standard deviation of the logarithm of the student's own spread in SI."""
    logs = math.log(start_sd) + np.linspace(-1.5, 1.5, 61)
    days = [
        np.array(
            [
                math.prod(of_block(block, math.exp(log), noise) for block in lesson.blocks)
                for log in logs
            ]
        )
        for lesson in lessons
    ]
    weight = np.zeros(len(logs))
    for day_spread in DAY_SPREADS:
        prior = stats.norm(math.log(DAY_DOUBT), DAY_SPREAD_DOUBT).pdf(math.log(day_spread))
        for place, own in enumerate(logs):
            total = prior * stats.norm(math.log(start_sd), STUDENT_DOUBT).pdf(own)
            for lesson, likelihood in zip(lessons, days, strict=True):
                strays = stats.norm(own, day_spread).pdf(logs)
                said = float(likelihood @ strays / strays.sum())
                total *= said ** (0.5 ** (lesson.age_days / half_life_days))
            weight[place] += total
    weight /= weight.sum()
    mean = float(weight @ logs)
    return mean, math.sqrt(float(weight @ (logs - mean) ** 2))
