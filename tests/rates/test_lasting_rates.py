"""How often "lasted" and "gone" are right: students over eight weeks whose truth is known."""

import numpy as np
import pytest
from scipy import stats

from tests.rates.weeks import (
    COURSES,
    USUAL_MPH,
    WEATHER,
    WINDY,
    Course,
    after_weeks,
    at_a_place_after_weeks,
    elsewhere_after_weeks,
)

FALSE_LASTED = 0.05
SHORT, LONG = 150, 4_000


def most(n: int, rate: float) -> int:
    """More than this many of n happen in one run of a hundred at the rate."""
    return int(stats.binom.ppf(0.99, n, rate))


def words(course: Course, gain_mph: float, kept: float, n: int, seed: int) -> dict[str, int]:
    rng = np.random.default_rng(seed)
    said = [after_weeks(course, gain_mph, kept, rng).answer for _ in range(n)]
    return {word: said.count(word) for word in set(said)}


@pytest.mark.parametrize("course", COURSES[::2])
def test_a_gain_that_is_gone_has_hardly_ever_lasted(course: Course) -> None:
    said = words(course, 3.0, 0.0, SHORT, 1)
    assert said.get("lasted", 0) + said.get("partly", 0) <= most(SHORT, FALSE_LASTED)


def test_a_large_gain_that_stayed_is_seen_from_three_days_on_either_side() -> None:
    assert words(COURSES[2], 4.0, 1.0, SHORT, 2).get("lasted", 0) >= 0.9 * SHORT


def words_elsewhere(
    course: Course, gain_mph: float, carried: float, n: int, seed: int
) -> dict[str, int]:
    rng = np.random.default_rng(seed)
    said = [elsewhere_after_weeks(course, gain_mph, carried, rng).answer for _ in range(n)]
    return {word: said.count(word) for word in set(said)}


@pytest.mark.parametrize("course", COURSES[::2])
def test_a_gain_that_did_not_carry_over_is_hardly_ever_seen_there(course: Course) -> None:
    said = words_elsewhere(course, 4.0, 0.0, SHORT, 6)
    assert said.get("carried_over", 0) <= most(SHORT, FALSE_LASTED)


def test_a_large_gain_that_carried_over_is_seen_from_three_days_on_either_side() -> None:
    assert words_elsewhere(COURSES[2], 4.0, 1.0, SHORT, 7).get("carried_over", 0) >= 0.9 * SHORT


def words_at_a_place(
    course: Course,
    gain_mph: float,
    carried: float,
    n: int,
    seed: int,
    *,
    weather: float = WEATHER,
) -> dict[str, int]:
    rng = np.random.default_rng(seed)
    said = [
        at_a_place_after_weeks(course, gain_mph, carried, rng, weather=weather).answer
        for _ in range(n)
    ]
    return {word: said.count(word) for word in set(said)}


@pytest.mark.parametrize("course", COURSES[::2])
def test_a_gain_that_stayed_in_the_studio_is_hardly_ever_seen_elsewhere(course: Course) -> None:
    said = words_at_a_place(course, 4.0, 0.0, SHORT, 10)
    assert said.get("carried_over", 0) <= most(SHORT, FALSE_LASTED)


def test_a_large_gain_that_came_along_is_seen_at_the_other_place() -> None:
    said = words_at_a_place(COURSES[2], 4.0, 1.0, SHORT, 12)
    assert said.get("carried_over", 0) >= 0.75 * SHORT


@pytest.mark.rates
@pytest.mark.parametrize("course", COURSES)
@pytest.mark.parametrize("gain_mph", [2.0, 4.0])
@pytest.mark.parametrize("weather", [0.0, WEATHER, WINDY])
def test_false_words_of_another_place_keep_the_promise(
    course: Course, gain_mph: float, weather: float
) -> None:
    """In still air, in the weather that is assumed, and in nearly twice as much of it."""
    none = words_at_a_place(course, gain_mph, 0.0, LONG, 13, weather=weather)
    assert none.get("carried_over", 0) <= FALSE_LASTED * LONG
    every = words_at_a_place(course, gain_mph, 1.0, LONG, 14, weather=weather)
    assert every.get("not_seen", 0) <= FALSE_LASTED * LONG


@pytest.mark.rates
@pytest.mark.parametrize("course", COURSES)
@pytest.mark.parametrize("gain_mph", [2.0, 4.0])
def test_false_words_of_another_club_keep_the_promise(course: Course, gain_mph: float) -> None:
    none = words_elsewhere(course, gain_mph, 0.0, LONG, 8)
    assert none.get("carried_over", 0) <= FALSE_LASTED * LONG
    every = words_elsewhere(course, gain_mph, 1.0, LONG, 9)
    assert every.get("not_seen", 0) <= FALSE_LASTED * LONG


@pytest.mark.rates
@pytest.mark.parametrize("course", COURSES)
@pytest.mark.parametrize("gain_mph", [1.0, 2.0, 3.0, 4.0])
def test_false_words_keep_the_promise(course: Course, gain_mph: float) -> None:
    none_left = words(course, gain_mph, 0.0, LONG, 3)
    assert none_left.get("lasted", 0) + none_left.get("partly", 0) <= FALSE_LASTED * LONG
    all_left = words(course, gain_mph, 1.0, LONG, 4)
    assert all_left.get("gone", 0) <= FALSE_LASTED * LONG


@pytest.mark.rates
def test_odds_come_true() -> None:
    """Of the students told p in 100 that something is left, p in 100 have it, in every fifth."""
    rng = np.random.default_rng(5)
    said, true = [], []
    for _ in range(LONG):
        gain = float(USUAL_MPH * (rng.normal() if rng.random() < 0.7 else 3.0 * rng.normal()))
        kept = float(rng.uniform(-0.4, 1.6))
        found = after_weeks(COURSES[2], gain, kept, rng)
        said.append(found.odds_some)
        true.append(kept * gain > 0.2 * USUAL_MPH)
    order = np.argsort(said)
    for fifth in np.array_split(order, 5):
        predicted, came = np.mean(np.array(said)[fifth]), np.mean(np.array(true)[fifth])
        assert came == pytest.approx(predicted, abs=0.05)
