"""The judging of a length against an independent sampler of the same model.

Two errors are allowed for: the Monte Carlo error of the sampler, and that of Laplace's method,
which was measured before at a mean of 0.003 to 0.004 and at most 0.03 for the odds.
"""

import numpy as np
import pytest

from leadfoot.evidence.change import level_change
from leadfoot.evidence.judgement import UsualSpread
from leadfoot.evidence.lesson import Seen
from tests.outside.sampler import Sampled, draw_changes
from tests.rates.lessons import DAYS, Plan, Truth, simulate

LAPLACE_ODDS = 0.03
LAPLACE_MEAN = 0.05
"""For the mean of the change, in usual spreads; a tenth of what 20 balls leave open."""
LAPLACE_ODDS_MEAN = 0.004
PLANS = ((6, 6), (10, 8), (10, 15), (8, 8, 8), (5, 5, 5, 5))
GAINS_YD = (0.0, 4.0, 8.0, -6.0, 14.0)
DAY_NAMES = (
    "reference",
    "clean",
    "new student",
    "drift +.02 sd a ball",
    "cold start 1 sd",
    "spread 1.3 x usual",
    "15 % mishits",
    "memory .3",
)


def varied_lessons(n: int, seed: int) -> list[tuple[Seen, UsualSpread]]:
    """Carries of simulated lessons: five orders of blocks, eight kinds of day, five gains."""
    rng = np.random.default_rng(seed)
    found = []
    for k in range(n):
        plan = Plan(blocks=PLANS[k % 5], quantities=("carry",), declared_direction=None)
        truth = Truth(carry_yd=GAINS_YD[(k // 2) % 5])
        lesson = simulate(rng, plan, DAYS[DAY_NAMES[k % 8]], truth)
        track = lesson.tracks["carry"]
        balls = Seen(
            values=track.values, with_change=lesson.with_change, ball_number=lesson.ball_number
        )
        found.append((balls, track.usual))
    return found


def check_agreement(lessons: list[tuple[Seen, UsualSpread]], sampled: list[Sampled]) -> None:
    """Each lesson within its own errors, and all of them together within the smaller mean one."""
    for limit in (0.0, 0.2, 1.0):
        gaps, errors = [], []
        for (balls, usual), draws in zip(lessons, sampled, strict=True):
            found = level_change(balls, usual)
            error = draws.above_error(limit)
            assert found.above(limit) == pytest.approx(
                draws.above(limit), abs=LAPLACE_ODDS + 4.0 * error
            )
            assert found.mean == pytest.approx(
                draws.mean, abs=LAPLACE_MEAN + 4.0 * draws.mean_error
            )
            gaps.append(abs(found.above(limit) - draws.above(limit)))
            errors.append(error)
        # A Monte Carlo error of size e is 0.8 e off on average.
        assert np.mean(gaps) < LAPLACE_ODDS_MEAN + 0.8 * np.mean(errors) + 0.01 / len(gaps) ** 0.5


def test_six_lessons_agree_with_the_sampler() -> None:
    # source: NumPyro, No-U-Turn sampler; tolerance: as said on top of this file
    lessons = varied_lessons(6, seed=50)
    check_agreement(lessons, draw_changes(lessons, seed=1))
