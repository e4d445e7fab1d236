"""The chance that more balls tell, against what then came: thousands of lessons with carry alone.

Half of the changes do nothing, the others gain 0.8 ± 0.6 usual spreads. After 8 balls with the
change the live program says how likely an answer is within the next 15; the compiled look says
whether one came.
"""

import numpy as np
from numpy.typing import NDArray

from leadfoot.evidence.change import level_change
from leadfoot.evidence.judgement import UsualSpread
from leadfoot.evidence.lesson import Seen
from leadfoot.evidence.more import Limits, chance_of_answer
from leadfoot.evidence.settings import DEFAULT_SETTINGS
from tests.rates.lessons import REFERENCE, USUAL_SI, Plan, Truth, simulate_values
from tests.rates.twin import Floats, Model, looks_at
from tests.rates.twin_loops import DOWN, UP

BEFORE, SO_FAR, AHEAD = 10, 8, 15
LIMITS = Limits(
    worth_sd=DEFAULT_SETTINGS.worth_sd,
    shown=DEFAULT_SETTINGS.distance("once", beside_speed=False),
    given_up=DEFAULT_SETTINGS.given_up,
    fewest=DEFAULT_SETTINGS.fewest,
    patience=DEFAULT_SETTINGS.patience,
)


def predicted_and_come(n_lessons: int, seed: int) -> tuple[Floats, NDArray[np.bool_]]:
    """For lessons that were still open: the predicted chance, and whether an answer came."""
    rng = np.random.default_rng(seed)
    plan = Plan(blocks=(BEFORE, SO_FAR + AHEAD), quantities=("carry",), declared_direction=None)
    z = simulate_values(rng, n_lessons, plan, REFERENCE, Truth())["carry"] / USUAL_SI["carry"]
    gain = (rng.random(n_lessons) < 0.5) * (0.8 + 0.6 * rng.standard_normal(n_lessons))
    z = z + gain[:, None] * plan.with_change
    n = BEFORE + SO_FAR
    found = looks_at(z, plan.with_change, np.arange(n, n + AHEAD + 1), Model.of(60), follow=True)
    up, down = found[:, :, UP], found[:, :, DOWN]
    answered = (up > LIMITS.shown) | (down > LIMITS.shown) | (up < LIMITS.given_up)
    open_ones = np.flatnonzero(~answered[:, 0])
    chances = [_chance(z[lesson, :n], plan.with_change[:n]) for lesson in open_ones]
    return np.array(chances), np.asarray(answered[open_ones, 1:].any(axis=1))


def by_quarter(chance: Floats, came: NDArray[np.bool_]) -> list[tuple[float, float]]:
    """Mean prediction and share that came, by quarter of the prediction."""
    order = np.argsort(chance, kind="stable")
    return [
        (float(chance[mine].mean()), float(came[mine].mean())) for mine in np.array_split(order, 4)
    ]


def _chance(z: Floats, with_change: NDArray[np.bool_]) -> float:
    balls = Seen(values=z, with_change=with_change, ball_number=np.arange(len(z), dtype=np.float64))
    change = level_change(balls, UsualSpread(sd=1.0, n_shots=60))
    return float(chance_of_answer(change, balls, LIMITS, n_more=AHEAD)[-1])
