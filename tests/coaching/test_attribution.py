"""The change shared out: sums, silence where nothing changed, ranges, balls that say nothing."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import stats

from leadfoot.coaching.attribution import OUTCOMES, Balls, Model, attribute
from leadfoot.coaching.swings import explainable
from leadfoot.errors import InputError
from leadfoot.physics.clubs import club
from tests.rates.students import changed, readings, some_player

Floats = NDArray[np.float64]


def bent(rows: Floats) -> tuple[Floats, Floats]:
    """A landing that is no straight line in any of its three inputs."""
    return rows[0] * rows[1] + np.sin(rows[2]), rows[1] ** 2 - rows[0] * rows[2]


MODEL = Model(parts={"one": (0,), "two": (1,), "three": (2,)}, land=bent)


def balls(rng: np.random.Generator, n: int) -> Balls:
    nothing = np.full(n, np.nan)
    return Balls(rows=rng.normal(size=(3, n)), carry_m=nothing, offline_m=nothing)


def test_shares_add_up_to_the_change_on_a_thousand_pairs_of_blocks() -> None:
    rng = np.random.default_rng(8)
    for _ in range(1_000):
        before, after = balls(rng, int(rng.integers(3, 9))), balls(rng, int(rng.integers(3, 9)))
        found = attribute(before, after, MODEL, n_draws=4)
        for outcome in OUTCOMES:
            split = found.splits[outcome]
            whole = sum(share.value_m for share in split.shares)
            assert whole == pytest.approx(split.after_m - split.before_m, abs=1e-9)
            assert whole == pytest.approx(split.change.value_m, abs=1e-9)


def test_ends_are_the_means_of_the_model() -> None:
    rng = np.random.default_rng(1)
    before, after = balls(rng, 5), balls(rng, 7)
    found = attribute(before, after, MODEL).splits
    assert found["carry"].before_m == pytest.approx(bent(before.rows)[0].mean())
    assert found["miss"].after_m == pytest.approx(np.abs(bent(after.rows)[1]).mean())


def test_a_part_that_is_the_same_on_both_sides_does_nothing() -> None:
    rng = np.random.default_rng(2)
    before, after = balls(rng, 6), balls(rng, 6)
    still = replace(after, rows=np.vstack([after.rows[:2], np.zeros(6)]))
    found = attribute(replace(before, rows=np.vstack([before.rows[:2], np.zeros(6)])), still, MODEL)
    share = found.splits["carry"].shares[2]
    assert (share.value_m, share.low_m, share.high_m) == pytest.approx((0.0, 0.0, 0.0), abs=1e-12)


def test_turned_round_the_shares_change_their_sign() -> None:
    rng = np.random.default_rng(3)
    before, after = balls(rng, 5), balls(rng, 6)
    there, back = attribute(before, after, MODEL), attribute(after, before, MODEL)
    for one, other in zip(there.splits["carry"].shares, back.splits["carry"].shares, strict=True):
        assert one.value_m == pytest.approx(-other.value_m, abs=1e-12)


def test_the_range_of_a_plain_mean_is_that_of_students_t() -> None:
    """One side without spread: the range of the difference is the t interval of the other."""
    rng = np.random.default_rng(4)
    values = rng.normal(size=8)
    model = Model(parts={"it": (0,)}, land=lambda rows: (rows[0], 0.0 * rows[0]))
    nothing = np.full(8, np.nan)
    flat = Balls(rows=np.zeros((1, 8)), carry_m=nothing, offline_m=nothing)
    moving = Balls(rows=values[np.newaxis], carry_m=nothing, offline_m=nothing)
    found = attribute(flat, moving, model, n_draws=200_000).splits["carry"].shares[0]
    low, high = stats.t.interval(0.95, 7, values.mean(), stats.sem(values))
    # The bootstrap's own shape is not quite that of the t: within 6 % of the width.
    assert found.low_m == pytest.approx(low, abs=0.06 * (high - low))
    assert found.high_m == pytest.approx(high, abs=0.06 * (high - low))


def test_what_the_model_does_not_explain_is_a_bar_of_its_own() -> None:
    rng = np.random.default_rng(5)
    before, after = balls(rng, 5), balls(rng, 5)
    before = replace(before, carry_m=bent(before.rows)[0], offline_m=bent(before.rows)[1])
    after = replace(after, carry_m=bent(after.rows)[0] + 3.0, offline_m=bent(after.rows)[1])
    splits = attribute(before, after, MODEL).splits
    assert splits["carry"].unexplained is not None
    assert splits["offline"].unexplained is not None
    assert splits["carry"].unexplained.value_m == pytest.approx(3.0)
    assert splits["offline"].unexplained.high_m == pytest.approx(0.0, abs=1e-9)


def test_without_measured_carry_there_is_no_such_bar() -> None:
    rng = np.random.default_rng(6)
    assert attribute(balls(rng, 4), balls(rng, 4), MODEL).splits["carry"].unexplained is None


def test_a_ball_that_cannot_be_landed_is_left_away() -> None:
    rng = np.random.default_rng(7)
    whole = balls(rng, 5)
    rows = whole.rows.copy()
    rows[1, 2] = np.nan
    found = attribute(replace(whole, rows=rows), whole, MODEL)
    assert (found.n_before, found.n_after) == (4, 5)


def test_too_few_balls_are_refused() -> None:
    rng = np.random.default_rng(9)
    with pytest.raises(InputError, match="2 balls before the change can be struck and flown"):
        attribute(balls(rng, 2), balls(rng, 6), MODEL)


def test_of_very_many_balls_an_even_choice_is_taken() -> None:
    rng = np.random.default_rng(10)
    found = attribute(balls(rng, 5), balls(rng, 1_000), MODEL, n_draws=10)
    assert found.n_after == 300


def test_the_same_balls_give_the_same_answer() -> None:
    rng = np.random.default_rng(11)
    before, after = balls(rng, 5), balls(rng, 6)
    assert attribute(before, after, MODEL) == attribute(before, after, MODEL)


def test_left_and_right_are_mirror_images() -> None:
    """A left-hander whose swings are mirrored: same carry, offline the other way round."""
    rng = np.random.default_rng(12)
    player = some_player("driver", rng)
    struck = club("driver")
    sides = [readings(p.swings(6, rng), struck, rng) for p in (player, changed(player, rng))]
    turned = ("club_path_rad", "face_angle_rad", "launch_direction_rad", "spin_axis_rad")
    mirror = [
        {name: -v if name in {*turned, "offline_m"} else v for name, v in side.items()}
        for side in sides
    ]
    right = explainable(sides[0], sides[1], struck)
    left = explainable(mirror[0], mirror[1], struck, hand="left")
    here = attribute(right.before, right.after, right.model, n_draws=50).splits
    there = attribute(left.before, left.after, left.model, n_draws=50).splits
    for one, other in zip(here["carry"].shares, there["carry"].shares, strict=True):
        assert one.value_m == pytest.approx(other.value_m, abs=1e-6)
    for one, other in zip(here["offline"].shares, there["offline"].shares, strict=True):
        assert one.value_m == pytest.approx(-other.value_m, abs=1e-6)
