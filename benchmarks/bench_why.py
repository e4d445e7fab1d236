"""Why it changed: one attribution with 2,000 draws, from readings to shares, beside its flights."""

from time import process_time

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from leadfoot.coaching.attribution import OUTCOMES, Attribution, attribute
from leadfoot.coaching.change_inputs import changed_inputs
from leadfoot.coaching.swings import Explainable
from leadfoot.physics.clubs import club
from tests.rates.students import changed, readings, some_player

FEW = 5


def flights_s(told: Explainable) -> float:
    """Processor time of striking and flying all mixtures of all pairs once."""
    n_mixtures, pairs = 1 << len(told.model.parts), len(told.before) * len(told.after)
    rows = np.tile(told.before.rows[:, :1], n_mixtures * pairs)
    start = process_time()
    for _ in range(FEW):
        told.model.land(rows)
    return (process_time() - start) / FEW


@pytest.mark.parametrize("strike_read", [True, False])
def test_one_attribution(benchmark: BenchmarkFixture, strike_read: bool) -> None:
    rng = np.random.default_rng(1)
    before = some_player("iron7", rng)
    one, other = (
        readings(player.swings(n, rng), club("iron7"), rng, strike_read=strike_read)
        for player, n in ((before, 10), (changed(before, rng), 15))
    )

    def shared() -> Attribution:
        told = changed_inputs(one, other, club("iron7"))
        return attribute(told.before, told.after, told.model, n_draws=2_000)

    found = benchmark(shared)
    assert set(found.splits) == set(OUTCOMES)
    told = changed_inputs(one, other, club("iron7"))
    ratio = benchmark.stats.stats.median / flights_s(told)
    benchmark.extra_info["times_its_flights"] = round(ratio, 1)
    print(f"\n{benchmark.name}: {ratio:.1f} times its flights")
