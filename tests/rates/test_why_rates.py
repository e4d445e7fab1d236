"""How often the range of a share holds the truth: simulated students, monitor errors and all.

The truth is that of very many of the student's own swings, without errors. Bounds are binomial: the
short run fails only if it could hardly come from the rate that is promised.
"""

from collections.abc import Mapping
from types import MappingProxyType

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import stats

from leadfoot.coaching.attribution import OUTCOMES, attribute
from leadfoot.coaching.change_inputs import changed_inputs
from leadfoot.coaching.shapley import shares
from leadfoot.coaching.swings import Explainable, balls_of
from leadfoot.coaching.wideness import wideness
from leadfoot.physics.clubs import Club, club
from leadfoot.physics.delivery import DELIVERY_RANGES, Deliveries
from leadfoot.physics.impact import strike_many
from tests.rates.students import Player, changed, readings, some_player

Floats = NDArray[np.float64]

PROMISE = 0.93
N_TRUE = 3_000
STRIKE = ("strike_heel_toe_m", "strike_high_low_m")
CLUB = ("attack_angle_rad", "club_path_rad", "face_angle_rad", "dynamic_loft_rad")
NOT_READ: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "all read": (),
        "no strike": STRIKE,
        "path alone of the club": (*STRIKE, *CLUB[:1], *CLUB[2:]),
        "strike without path": ("club_path_rad",),
        "no spin axis": (*STRIKE, "spin_axis_rad"),
        "club speed and ball": (*STRIKE, *CLUB),
        "club speed and ball without spin axis": (*STRIKE, *CLUB, "spin_axis_rad"),
        "the ball": (*STRIKE, *CLUB, "club_speed_mps"),
    }
)
"""What a monitor leaves out."""
MOST_READ = ("all read", "no strike")


def inputs_of(told: Explainable, swings: Floats, struck: Club) -> Floats:
    """The inputs of the model that these swings have in truth."""
    if told.depth in {"explained", "delivered"}:
        return swings
    found = strike_many(Deliveries(**dict(zip(DELIVERY_RANGES, swings, strict=True))), struck)
    ball = found.rows()
    if "launch_direction_rad" in told.assumed:
        ball[[2, 4]] = 0.0
    if told.depth == "ball":
        return ball
    return np.concatenate([swings[:1], ball[:1] / swings[:1], ball[1:]])


def true_shares(told: Explainable, old: Floats, new: Floats) -> NDArray[np.float64]:
    """Shares over very many swings, shape (d, 3)."""
    groups = list(told.model.parts.values())
    means = np.empty((1 << len(groups), 3))
    for mask in range(len(means)):
        rows = old.copy()
        for k, group in enumerate(groups):
            if mask >> k & 1:
                rows[list(group)] = new[list(group)]
        carry, offline = told.model.land(rows)
        means[mask] = np.nanmean([carry, offline, np.abs(offline)], axis=1)
    return shares(means)


def some_change(key: str, left_out: str, rng: np.random.Generator) -> tuple[Explainable, Floats]:
    """What is told of one student's change, and the true shares."""
    before = some_player(key, rng)
    after = changed(before, rng)
    struck = club(key)

    def read(player: Player, n: int) -> dict[str, Floats]:
        found = readings(player.swings(n, rng), struck, rng)
        return {name: values for name, values in found.items() if name not in NOT_READ[left_out]}

    told = changed_inputs(read(before, 10), read(after, 15), struck)
    old, new = (inputs_of(told, one.swings(N_TRUE, rng), struck) for one in (before, after))
    return told, true_shares(told, old, new)


def held(
    key: str, left_out: str, *, n_students: int, seed: int
) -> tuple[NDArray[np.bool_], Floats]:
    """Whether the range of each share held the truth, and its width, shape (n, d, 3) each."""
    rng = np.random.default_rng(seed)
    found, widths = [], []
    for _ in range(n_students):
        told, truth = some_change(key, left_out, rng)
        answer = attribute(told.before, told.after, told.model)
        ranges = [
            [(share.low_m, share.high_m) for share in answer.splits[name].shares]
            for name in OUTCOMES
        ]
        low, high = np.array(ranges).transpose(2, 1, 0)
        # Where the ball is taken as straight, offline is nothing: to the rounding of the flight.
        found.append((low <= truth + 1e-9) & (truth <= high + 1e-9))
        widths.append(high - low)
    return np.array(found), np.array(widths)


def least(n: int) -> int:
    """Fewer than this many of n happen in one run of a hundred at the promised rate."""
    return int(stats.binom.ppf(0.01, n, PROMISE))


@pytest.mark.parametrize(
    ("key", "left_out"),
    [("driver", "all read"), ("iron7", "no strike"), ("driver", "club speed and ball")],
)
def test_ranges_hold_the_truth_in_a_short_run(key: str, left_out: str) -> None:
    found, _ = held(key, left_out, n_students=30, seed=1)
    assert found.sum() >= least(found.size)


@pytest.mark.rates
@pytest.mark.parametrize("seed", [2, 3])
@pytest.mark.parametrize("key", ["driver", "iron7"])
@pytest.mark.parametrize("left_out", MOST_READ)
def test_the_range_of_each_share_holds_the_truth(key: str, left_out: str, seed: int) -> None:
    found, _ = held(key, left_out, n_students=500, seed=seed)
    by_share = found.mean(axis=0)
    assert (by_share >= PROMISE).all(), by_share


@pytest.mark.rates
@pytest.mark.parametrize("key", ["driver", "iron7"])
@pytest.mark.parametrize("left_out", [name for name in NOT_READ if name not in MOST_READ])
def test_the_range_of_each_share_holds_the_truth_of_less(key: str, left_out: str) -> None:
    """With fewer students, so that one share may fall short of the promise by luck alone."""
    found, _ = held(key, left_out, n_students=200, seed=2)
    assert found.mean() >= PROMISE
    by_share = found.sum(axis=0)
    assert (by_share >= least(200)).all(), by_share


def pattern_held(
    key: str, left_out: str, *, n_students: int, seed: int
) -> tuple[NDArray[np.bool_], Floats]:
    """Whether the range of each share of the spread held the truth, and estimate less truth."""
    rng = np.random.default_rng(seed)
    found, off = [], []
    for _ in range(n_students):
        before = some_player(key, rng)
        after = changed(before, rng)
        struck = club(key)
        one, other = (
            {
                name: values
                for name, values in readings(player.swings(n, rng), struck, rng).items()
                if name not in NOT_READ[left_out]
            }
            for player, n in ((before, 10), (after, 15))
        )
        told = changed_inputs(one, other, struck)
        answer = wideness([told.before, told.after], told.model, told.error_covariance).shares
        exact = [
            balls_of({}, inputs_of(told, player.swings(n, rng), struck))
            for player, n in ((before, 800), (after, 1_200))
        ]
        truth = wideness(exact, told.model, np.zeros_like(told.error_covariance), n_draws=2).shares
        found.append([a.low <= b.share <= a.high for a, b in zip(answer, truth, strict=True)])
        off.append([a.share - b.share for a, b in zip(answer, truth, strict=True)])
    return np.array(found), np.array(off)


PATTERN_HELD = 0.70
"""What the ranges of the shares of a spread hold at least; see docs/explain/why.md."""


@pytest.mark.rates
@pytest.mark.parametrize("key", ["driver", "iron7"])
@pytest.mark.parametrize("left_out", MOST_READ)
def test_the_shares_of_the_pattern_hold_what_the_page_says(key: str, left_out: str) -> None:
    found, off = pattern_held(key, left_out, n_students=200, seed=5)
    assert (found.mean(axis=0) >= PATTERN_HELD).all(), found.mean(axis=0)
    assert (np.abs(off.mean(axis=0)) < 0.15).all(), off.mean(axis=0)
