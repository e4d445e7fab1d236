"""The compiled look of the simulations says what the live one says."""

import numpy as np
import pytest

from leadfoot.evidence.change import DEFAULT_PRIOR, level_change
from leadfoot.evidence.judgement import UsualSpread
from leadfoot.evidence.lesson import Seen
from tests.rates.lessons import DAYS, PLANS, USUAL_SI, Truth, every_look, simulate_values
from tests.rates.twin import Model, looks_at
from tests.rates.twin_loops import (
    ABOVE_ZERO,
    BELOW_TRUTH,
    COLD,
    DOWN,
    HITS_AFTER,
    HITS_BEFORE,
    MEAN,
    SD,
    UP,
)


@pytest.mark.parametrize("plan", list(PLANS))
def test_the_compiled_look_is_the_live_one_to_a_millionth(plan: str) -> None:
    rng = np.random.default_rng(sum(map(ord, plan)))
    with_change = PLANS[plan].with_change
    looks = every_look(with_change)
    for day in DAYS.values():
        truth = Truth(club_speed_mph=float(rng.choice([0.0, 2.0, 4.0])), carry_yd=3.0)
        values = simulate_values(rng, 1, PLANS[plan], day, truth)
        for key in ("club_speed", "carry"):
            z = values[key] / USUAL_SI[key]
            found = looks_at(z, with_change, looks, Model.of(day.n_history), truth=0.4)[0]
            for place in rng.choice(len(looks), 2):
                n = looks[place]
                balls = Seen(
                    values=z[0, :n],
                    with_change=with_change[:n],
                    ball_number=np.arange(n, dtype=np.float64),
                )
                live = level_change(
                    balls, UsualSpread(sd=1.0, n_shots=day.n_history), prior=DEFAULT_PRIOR
                )
                look = found[place]
                told = {
                    UP: live.above(0.2),
                    DOWN: 1.0 - live.above(-0.2),
                    ABOVE_ZERO: live.above(0.0),
                    MEAN: live.mean * live.unit_si,
                    SD: live.sd * live.unit_si,
                    BELOW_TRUTH: 1.0 - live.above(0.4 / live.unit_si),
                    COLD: live.cold,
                    HITS_BEFORE: live.mishit[~balls.with_change].sum(),
                    HITS_AFTER: live.mishit[balls.with_change].sum(),
                }
                assert look[list(told)] == pytest.approx(list(told.values()), abs=1e-6)
