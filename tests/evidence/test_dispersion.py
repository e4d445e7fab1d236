"""Patterns of shots: what they hold, what they say of few balls, and how they move."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from leadfoot.errors import InputError, OutOfRangeError
from leadfoot.evidence.dispersion import Plane, shot_pattern, spread_range
from leadfoot.evidence.ellipse import Ellipse, ellipse_around, mean_factor, prediction_factor
from leadfoot.evidence.robust import robust_cloud
from leadfoot.evidence.share import posterior_share, wilson_share
from leadfoot.evidence.solid import mishit_odds

Floats = NDArray[np.float64]
seeds = st.integers(0, 2**32 - 1)


def balls(rng: np.random.Generator, n: int, mishits: float = 0.0) -> tuple[Floats, Floats]:
    """Carry and offline in metres; a mishit loses some 15 m and more and strays twice as far."""
    carry, offline = 190.0 + 7.0 * rng.standard_normal(n), 9.0 * rng.standard_normal(n)
    bad = rng.random(n) < mishits
    carry[bad] += -14.0 + 28.0 * rng.standard_normal(int(bad.sum()))
    offline[bad] *= 2.0
    return carry, offline


def full(plane: Plane | None) -> Plane:
    assert plane is not None
    assert plane.missing is None
    return plane


@pytest.mark.parametrize(("n", "mishits"), [(4, 0.0), (8, 0.0), (15, 0.0), (12, 0.08), (20, 0.15)])
def test_ellipses_and_ranges_hold_what_they_promise(n: int, mishits: float) -> None:
    # 400 blocks: 0.9 holds 0.90 to 0.95 of the next solid balls, 0.5 holds 0.50 to 0.66. Standard
    # error of a share: 0.007. The range of the spread holds it 9 times in 10, less with mishits.
    rng = np.random.default_rng(n)
    held: dict[float, list[float]] = {0.5: [], 0.9: []}
    covered = []
    for _ in range(400):
        plane = full(shot_pattern(*balls(rng, n, mishits)).metres)
        carry, offline = balls(rng, 50)
        for chance, inside in held.items():
            inside.append(float(plane.ellipses[chance].holds(offline, carry).mean()))
        assert plane.spread_across is not None
        covered.append(plane.spread_across.low <= 9.0 <= plane.spread_across.high)
    assert 0.885 < np.mean(held[0.9]) < 0.96
    assert 0.485 < np.mean(held[0.5]) < 0.67
    assert np.mean(covered) > (0.88 if mishits == 0.0 else 0.78)


@given(seeds, st.integers(4, 30), st.floats(-30.0, 30.0), st.floats(0.5, 2.0))
def test_a_pattern_moves_and_grows_with_its_balls(
    seed: int, n: int, right_m: float, factor: float
) -> None:
    carry, offline = balls(np.random.default_rng(seed), n)
    here = full(shot_pattern(carry, offline).metres)
    there = full(shot_pattern(factor * carry, factor * offline + right_m).metres)
    assert there.across == pytest.approx(factor * here.across + right_m, abs=1e-5)
    assert there.along == pytest.approx(factor * here.along, rel=1e-6)
    one, two = here.ellipses[0.9], there.ellipses[0.9]
    assert two.area == pytest.approx(factor**2 * one.area, rel=1e-4)
    assert one.width >= one.height


@given(seeds, st.floats(0.5, 2.0))
def test_a_longer_ball_with_the_same_angles_is_as_straight_in_degrees(
    seed: int, factor: float
) -> None:
    carry, offline = balls(np.random.default_rng(seed), 12)
    here = full(shot_pattern(carry, offline).polar)
    there = full(shot_pattern(factor * carry, factor * offline).polar)
    assert here.spread_across is not None
    assert there.spread_across is not None
    assert there.spread_across.sd == pytest.approx(here.spread_across.sd, rel=1e-5)
    assert there.along - here.along == pytest.approx(math.log(factor), abs=1e-7)


def test_an_angle_of_one_degree_is_3_84_yd_at_220() -> None:
    found = shot_pattern(np.array([220.0]), np.array([3.84]))
    assert found.polar is not None
    assert math.degrees(found.polar.across) == pytest.approx(1.0, abs=0.0005)
    assert math.exp(found.polar.along) == pytest.approx(220.03, abs=0.01)


def test_a_topped_ball_is_counted_and_hardly_moves_the_pattern() -> None:
    carry, offline = balls(np.random.default_rng(3), 14)
    clean = shot_pattern(carry, offline, corridor_m=20.0)
    topped = shot_pattern(np.append(carry, 60.0), np.append(offline, -25.0), corridor_m=20.0)
    assert clean.mishits is not None
    assert topped.mishits is not None
    assert (topped.mishits.k, topped.mishits.n) == (clean.mishits.k + 1, 15)
    assert full(topped.metres).along == pytest.approx(full(clean.metres).along, abs=2.0)
    # In the corridor it counts, as a ball outside.
    assert clean.in_corridor is not None
    assert topped.in_corridor is not None
    assert (topped.in_corridor.k, topped.in_corridor.n) == (clean.in_corridor.k, 15)


@pytest.mark.parametrize(
    ("carry", "offline", "missing"),
    [
        ([190.0], [3.0], "too_few"),
        ([190.0, 180.0], [3.0, 1.0], "too_few"),
        ([190.0] * 6, [3.0] * 6, "all_equal"),
        ([190.0, 192, 188, 191], [3.0] * 4, "on_a_line"),
        ([190.0, 192, 194, 196, 198], [1.0, 2, 3, 4, 5], "on_a_line"),
        ([190.0] * 9 + [180.0], [3.0] * 9 + [2.0], "on_a_line"),
    ],
)
def test_what_few_or_flat_balls_cannot_say(
    carry: list[float], offline: list[float], missing: str
) -> None:
    found = shot_pattern(np.array(carry), np.array(offline), corridor_m=10.0)
    plane = found.metres
    assert plane is not None
    assert plane.missing == missing
    assert plane.ellipses == {}
    assert plane.spread_across is None
    assert plane.across == pytest.approx(np.median(offline))
    assert found.in_corridor is not None


def test_no_ball_at_all_says_nothing() -> None:
    found = shot_pattern(np.array([np.nan, 190.0]), np.array([3.0, np.nan]), corridor_m=10.0)
    assert (found.n, found.n_unknown) == (0, 2)
    assert found.metres is None
    assert found.polar is None
    assert found.mishits is None
    assert found.in_corridor is None
    assert found.mishit_odds == ()


def test_a_ball_that_went_nowhere_has_no_angle_but_is_a_mishit() -> None:
    carry, offline = balls(np.random.default_rng(3), 9)
    found = shot_pattern(np.append(carry, 0.0), np.append(offline, 0.0))
    assert found.polar is not None
    assert found.polar.missing == "no_distance"
    assert found.metres is not None
    assert found.metres.missing is None
    assert found.mishits is not None
    assert found.mishits.k == 1
    nowhere = shot_pattern(np.zeros(3), np.zeros(3)).polar
    assert nowhere is not None
    assert nowhere.missing == "no_distance"


@pytest.mark.parametrize(
    ("call", "error", "says"),
    [
        (
            lambda: shot_pattern(np.zeros(3), np.zeros(2)),
            InputError,
            "carry_m has shape (3,) and offline_m (2,). "
            "Give one value of each for every ball, NaN where there is none.",
        ),
        (
            lambda: shot_pattern(np.array([np.inf]), np.zeros(1)),
            InputError,
            "A ball lies infinitely far. Put NaN where it has no value.",
        ),
        (
            lambda: shot_pattern(np.ones(3), np.ones(3), corridor_m=0.0),
            OutOfRangeError,
            "The corridor is 0 m wide. Give a width above 0, such as 27 m.",
        ),
        (
            lambda: shot_pattern(np.ones(3), np.ones(3), held=(1.0,)),
            OutOfRangeError,
            "1 is no chance of an ellipse or a range. Give one between 0 and 1, such as 0.9.",
        ),
        (
            lambda: prediction_factor(2, 0.9),
            OutOfRangeError,
            "An ellipse from 2 balls is not defined. Hit at least 3 balls.",
        ),
        (
            lambda: mean_factor(9, 0.0),
            OutOfRangeError,
            "The share of balls inside is 0. Give one between 0 and 1, such as 0.9.",
        ),
        (
            lambda: wilson_share(3, 2),
            OutOfRangeError,
            "3 of 2 balls is no share. Give at least one ball, and no more than all.",
        ),
        (
            lambda: posterior_share(1, 2, probability=1.0),
            OutOfRangeError,
            "The probability of the range is 1. Give one between 0 and 1, such as 0.9.",
        ),
        (
            lambda: spread_range(0.0),
            OutOfRangeError,
            "A spread from 0 degrees of freedom is not defined. Hit at least two balls.",
        ),
        (
            lambda: robust_cloud(np.array([[1.0, np.nan]])),
            InputError,
            "The points have shape (1, 2), or hold what is no number. "
            "Give one row for each ball, without NaN.",
        ),
        (
            lambda: robust_cloud(np.ones((4, 2)), tails=0.5),
            OutOfRangeError,
            "The tails are 0.5. Give 1 or more, such as 4.",
        ),
        (
            lambda: mishit_odds(np.array([1.0, np.nan])),
            InputError,
            "The values have shape (2,), or hold what is no number. "
            "Give one number for each ball, without NaN.",
        ),
    ],
)
def test_what_is_refused(call: object, error: type[Exception], says: str) -> None:
    with pytest.raises(error) as caught:
        call()  # type: ignore[operator]
    assert str(caught.value) == says


@given(seeds, st.floats(0.05, 0.99))
def test_an_outline_lies_on_its_ellipse(seed: int, chance: float) -> None:
    rng = np.random.default_rng(seed)
    root = rng.standard_normal((2, 2))
    scatter = root @ root.T + 0.01 * np.eye(2)
    found = ellipse_around(np.array([3.0, 190.0]), scatter, prediction_factor(10, chance))
    assert found is not None
    away = found.outline() - [3.0, 190.0]
    squared = (away * np.linalg.solve(scatter, away.T).T).sum(axis=1)
    assert squared == pytest.approx(prediction_factor(10, chance), rel=1e-6)
    assert -0.5 * math.pi < found.turn_rad <= 0.5 * math.pi
    assert found.area == pytest.approx(
        math.pi * prediction_factor(10, chance) * math.sqrt(np.linalg.det(scatter)), rel=1e-6
    )
    slightly = Ellipse(
        x=found.x,
        y=found.y,
        width=1.001 * found.width,
        height=1.001 * found.height,
        turn_rad=found.turn_rad,
    )
    assert slightly.holds(*found.outline().T).all()


@given(st.integers(1, 200), st.data())
def test_ranges_of_shares_hold_the_share(n: int, drawn: st.DataObject) -> None:
    k = drawn.draw(st.integers(0, n))
    for found in (wilson_share(k, n), posterior_share(k, n)):
        assert 0.0 <= found.low <= k / n <= found.high <= 1.0
    assert wilson_share(n - k, n).low == pytest.approx(1.0 - wilson_share(k, n).high, abs=1e-12)


@given(seeds, st.integers(3, 40))
def test_mishits_are_short_balls_wherever_the_level(seed: int, n: int) -> None:
    values = balls(np.random.default_rng(seed), n, 0.15)[0]
    odds = mishit_odds(values)
    assert ((odds >= 0.0) & (odds <= 1.0)).all()
    assert odds[np.argmax(values)] < 0.5
    assert mishit_odds(values + 40.0) == pytest.approx(odds, abs=1e-5)
    assert mishit_odds(1.0936133 * values) == pytest.approx(odds, abs=1e-5)


def test_one_far_short_ball_is_a_mishit_and_a_long_one_is_not() -> None:
    values = np.array([182.0, 176, 185, 179, 188, 174, 181])
    assert mishit_odds(np.append(values, 120.0))[-1] > 0.99
    assert mishit_odds(np.append(values, 245.0))[-1] == 0.0
    assert not mishit_odds(np.full(5, 180.0)).any()
    assert not mishit_odds(np.array([180.0, 90.0])).any()
