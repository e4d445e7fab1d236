from collections.abc import Callable

import numpy as np
import pytest

from leadfoot.evidence.change import level_change
from leadfoot.evidence.judgement import UsualSpread
from leadfoot.evidence.more import (
    Limits,
    chance_narrower,
    chance_of_answer,
    chance_smaller_miss,
)
from leadfoot.evidence.noise import Floats
from leadfoot.evidence.pattern import pattern_change
from tests.evidence.shots import balls_of, normal_balls

USUAL = UsualSpread(sd=1.0, n_shots=80)
LIMITS = Limits(worth_sd=0.2, shown=0.965, loss=0.965, given_up=0.1, fewest=5, patience=8)


def test_the_chance_grows_with_the_balls_and_is_the_same_every_time() -> None:
    balls = normal_balls(np.random.default_rng(1), 10, 5, change=0.6)
    found = level_change(balls, USUAL)
    chance = chance_of_answer(found, balls, LIMITS, n_more=30)
    assert (np.diff(chance) >= 0).all()
    assert ((chance >= 0) & (chance <= 1)).all()
    assert (chance == chance_of_answer(found, balls, LIMITS, n_more=30)).all()


def test_nothing_is_answered_before_the_fewest_balls() -> None:
    balls = normal_balls(np.random.default_rng(2), 10, 2, change=4.0)
    chance = chance_of_answer(level_change(balls, USUAL), balls, LIMITS, n_more=5)
    assert (chance[:2] == 0).all()
    assert chance[2] > 0.5


def test_near_the_threshold_an_answer_is_near() -> None:
    rng = np.random.default_rng(3)
    balls = normal_balls(rng, 10, 8, change=0.8)
    values = balls.values - np.where(balls.with_change, balls.values[10:].mean(), 0)
    values -= np.where(balls.with_change, 0, balls.values[:10].mean())
    at = {
        shift: level_change(balls_of(values + shift * balls.with_change, 10), USUAL)
        for shift in (0.6, 1.1)
    }
    chances = {
        shift: chance_of_answer(found, balls, LIMITS, n_more=10)[-1] for shift, found in at.items()
    }
    assert chances[1.1] > chances[0.6]


def test_only_a_gain_is_waited_for_where_nothing_is_given_up() -> None:
    balls = balls_of(np.tile([-0.9, 0.9, -0.4, 0.4], 5)[:18], 10)
    found = level_change(balls, USUAL)
    assert found.above(0.2) == pytest.approx(0.3, abs=0.1)
    patient = Limits(worth_sd=0.2, shown=0.965, loss=0.965, given_up=0.0, fewest=5, patience=8)
    assert (
        chance_of_answer(found, balls, patient, n_more=20)[-1]
        < chance_of_answer(found, balls, LIMITS, n_more=20)[-1]
    )


@pytest.mark.parametrize("shown", [0.95, 0.965, 0.99])
def test_a_pattern_answers_later_to_a_stricter_threshold(shown: float) -> None:
    rng = np.random.default_rng(5)
    values = np.concatenate((rng.standard_normal(10), 0.6 * rng.standard_normal(10)))
    balls = balls_of(values, 10)
    found = pattern_change(balls, USUAL)
    chance = chance_narrower(found, balls, shown, n_more=30)
    stricter = chance_narrower(found, balls, 0.5 + shown / 2, n_more=30)
    assert (np.diff(chance) >= 0).all()
    assert (stricter <= chance).all()


@pytest.mark.parametrize("chance_of", [chance_narrower, chance_smaller_miss])
def test_odds_that_fall_ball_by_ball_are_crossed_where_they_have_fallen(
    chance_of: Callable[..., Floats],
) -> None:
    rng = np.random.default_rng(8)
    balls = balls_of(np.concatenate((rng.standard_normal(10), 0.6 * rng.standard_normal(10))), 10)
    found = pattern_change(balls, USUAL)
    falling = np.linspace(0.999, 0.9, 20)
    chance = chance_of(found, balls, falling, n_more=20)
    strict, mild = (chance_of(found, balls, odds, n_more=20) for odds in (0.999, 0.9))
    assert (strict <= chance).all()
    assert (chance <= mild).all()
    assert strict[-1] < chance[-1] < mild[-1]
    assert (
        chance_of(found, balls, np.full(20, 0.95), n_more=20)
        == chance_of(found, balls, 0.95, n_more=20)
    ).all()
