"""The chance that more balls tell, against what then came: thousands of lessons with carry alone.

Half of the changes do nothing, the others gain 0.8 ± 0.6 usual spreads. After 8 balls with the
change the live program says how likely an answer is within the next 15; the compiled look says
whether one came.
"""

import numpy as np
from numpy.typing import NDArray

from leadfoot.evidence.change import level_change
from leadfoot.evidence.judgement import UsualSpread
from leadfoot.evidence.lesson import Seen, Stage
from leadfoot.evidence.more import Limits, chance_of_answer
from leadfoot.evidence.settings import DEFAULT_SETTINGS
from tests.rates.lessons import REFERENCE, USUAL_SI, Plan, Truth, simulate_values
from tests.rates.twin import Floats, Model, looks_at
from tests.rates.twin_loops import DOWN, UP

BEFORE, SO_FAR, AHEAD = 10, 8, 15
FIRST_BALL = 8
"""Balls 0 to 7 were hit to get warm."""


def predicted_and_come(n_lessons: int, seed: int) -> tuple[Floats, NDArray[np.bool_]]:
    """For lessons that were still open: the predicted chance, and whether an answer came."""
    rng = np.random.default_rng(seed)
    plan = Plan(
        blocks=(BEFORE, SO_FAR + AHEAD),
        quantities=("carry",),
        declared_direction=None,
        first_ball=FIRST_BALL,
    )
    z = simulate_values(rng, n_lessons, plan, REFERENCE, Truth())["carry"] / USUAL_SI["carry"]
    gain = (rng.random(n_lessons) < 0.5) * (0.8 + 0.6 * rng.standard_normal(n_lessons))
    z = z + gain[:, None] * plan.with_change
    n = BEFORE + SO_FAR
    looks = np.arange(n, n + AHEAD + 1)
    found = looks_at(z, plan.with_change, looks, Model.of(60), first_ball=FIRST_BALL, follow=True)
    up, down = found[:, :, UP], found[:, :, DOWN]
    shown = _shown()
    loss = DEFAULT_SETTINGS.loss(shown)
    answered = (up > shown) | (down > loss) | (up < DEFAULT_SETTINGS.given_up)
    open_ones = np.flatnonzero(~answered[:, 0])
    chances = [_chance(z[lesson, :n], plan.with_change[:n]) for lesson in open_ones]
    return np.array(chances), np.asarray(answered[open_ones, 1:].any(axis=1))


def by_quarter(chance: Floats, came: NDArray[np.bool_]) -> list[tuple[float, float]]:
    """Mean prediction and share that came, by quarter of the prediction."""
    order = np.argsort(chance, kind="stable")
    return [
        (float(chance[mine].mean()), float(came[mine].mean())) for mine in np.array_split(order, 4)
    ]


def _shown() -> Floats:
    """The thresholds now and after each of the next balls."""
    stages = [
        Stage(order="once", n_before=BEFORE, n_after=SO_FAR + ahead) for ahead in range(AHEAD + 1)
    ]
    return np.array([DEFAULT_SETTINGS.distance(one, beside_speed=False) for one in stages])


def _chance(z: Floats, with_change: NDArray[np.bool_]) -> float:
    number = FIRST_BALL + np.arange(len(z), dtype=np.float64)
    balls = Seen(values=z, with_change=with_change, ball_number=number)
    change = level_change(balls, UsualSpread(sd=1.0, n_shots=60))
    limits = Limits(
        worth_sd=DEFAULT_SETTINGS.worth_sd,
        shown=_shown()[1:],
        loss=DEFAULT_SETTINGS.loss(_shown()[1:]),
        given_up=DEFAULT_SETTINGS.given_up,
        fewest=DEFAULT_SETTINGS.fewest,
        patience=DEFAULT_SETTINGS.patience,
    )
    return float(chance_of_answer(change, balls, limits, n_more=AHEAD)[-1])
