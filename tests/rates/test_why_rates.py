"""How often the range of a share holds the truth: simulated students, monitor errors and all.

The truth is that of very many of the student's own swings, without errors. Bounds are binomial: the
short run fails only if it could hardly come from the rate that is promised.
"""

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import stats

from leadfoot.coaching.attribution import OUTCOMES, Model, attribute
from leadfoot.coaching.shapley import shares
from leadfoot.coaching.swings import explainable
from leadfoot.physics.clubs import club
from tests.rates.students import Player, changed, readings, some_player

PROMISE = 0.93
N_TRUE = 3_000


def true_shares(
    model: Model, before: Player, after: Player, rng: np.random.Generator
) -> NDArray[np.float64]:
    """Shares over very many swings, shape (d, 3)."""
    old, new = before.swings(N_TRUE, rng), after.swings(N_TRUE, rng)
    groups = list(model.parts.values())
    means = np.empty((1 << len(groups), 3))
    for mask in range(len(means)):
        rows = old.copy()
        for k, group in enumerate(groups):
            if mask >> k & 1:
                rows[list(group)] = new[list(group)]
        carry, offline = model.land(rows)
        means[mask] = np.nanmean([carry, offline, np.abs(offline)], axis=1)
    return shares(means)


def held(key: str, *, strike_read: bool, n_students: int, seed: int) -> NDArray[np.bool_]:
    """Whether the range of each share of each outcome held the truth, shape (n, d, 3)."""
    rng = np.random.default_rng(seed)
    found = []
    for _ in range(n_students):
        before = some_player(key, rng)
        after = changed(before, rng)
        one, other = (
            readings(player.swings(n, rng), club(key), rng, strike_read=strike_read)
            for player, n in ((before, 10), (after, 15))
        )
        told = explainable(one, other, club(key))
        answer = attribute(told.before, told.after, told.model)
        truth = true_shares(told.model, before, after, rng)
        ranges = [
            [(share.low_m, share.high_m) for share in answer.splits[name].shares]
            for name in OUTCOMES
        ]
        low, high = np.array(ranges).transpose(2, 1, 0)
        found.append((low <= truth) & (truth <= high))
    return np.array(found)


def least(n: int) -> int:
    """Fewer than this many of n happen in one run of a hundred at the promised rate."""
    return int(stats.binom.ppf(0.01, n, PROMISE))


@pytest.mark.parametrize(("key", "strike_read"), [("driver", True), ("iron7", False)])
def test_ranges_hold_the_truth_in_a_short_run(key: str, strike_read: bool) -> None:
    found = held(key, strike_read=strike_read, n_students=30, seed=1)
    assert found.sum() >= least(found.size)


@pytest.mark.rates
@pytest.mark.parametrize("key", ["driver", "iron7"])
@pytest.mark.parametrize("strike_read", [True, False])
def test_ranges_hold_the_truth(key: str, strike_read: bool) -> None:
    found = held(key, strike_read=strike_read, n_students=500, seed=2)
    by_outcome = found.mean(axis=(0, 1))
    assert (by_outcome >= PROMISE).all(), by_outcome
