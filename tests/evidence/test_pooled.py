import math
from dataclasses import replace

import numpy as np
import pytest

from leadfoot.errors import InputError, OutOfRangeError
from leadfoot.evidence.judgement import UsualSpread
from leadfoot.evidence.lesson import Seen
from leadfoot.evidence.pooled import PastLesson, pooled_pattern, pooled_verdict

USUAL = UsualSpread(sd=12.0)


def lesson(seed: int, n_before: int, n_after: int, *, ratio: float, age: float = 0.0) -> PastLesson:
    rng = np.random.default_rng(seed)
    values = 5.0 + 12.0 * rng.standard_normal(n_before + n_after)
    values[n_before:] = 5.0 + ratio * (values[n_before:] - 5.0) + 3.0 * rng.standard_normal()
    number = np.arange(float(len(values)))
    balls = Seen(values=values, with_change=number >= n_before, ball_number=number)
    return PastLesson(balls=balls, age_days=age)


def test_eight_lessons_show_what_one_cannot() -> None:
    lessons = [lesson(seed, 10, 15, ratio=0.6) for seed in range(8)]
    assert pooled_verdict(pooled_pattern(lessons[:1], USUAL)) == "not_yet"
    assert pooled_verdict(pooled_pattern(lessons, USUAL)) == "yes"


def test_the_order_of_lessons_plays_no_part() -> None:
    lessons = [lesson(seed, 8, 9, ratio=0.8, age=30.0 * seed) for seed in range(5)]
    a, b = pooled_pattern(lessons, USUAL), pooled_pattern(lessons[::-1], USUAL)
    assert a.change.narrower == pytest.approx(b.change.narrower, abs=1e-9)
    assert a.change.misses_less == pytest.approx(b.change.misses_less, abs=1e-9)


def test_mirror_images_and_units() -> None:
    lessons = [lesson(seed, 8, 9, ratio=0.8) for seed in range(4)]
    scaled = [
        replace(one, balls=replace(one.balls, values=-0.9144 * one.balls.values)) for one in lessons
    ]
    a, b = pooled_pattern(lessons, USUAL), pooled_pattern(scaled, replace(USUAL, sd=12.0 * 0.9144))
    for name in ("nearer_clearly", "narrower", "misses_less", "misses_clearly_more"):
        assert getattr(b.change, name) == pytest.approx(getattr(a.change, name), abs=1e-6)
    assert b.change.bias.before == pytest.approx(-0.9144 * a.change.bias.before, abs=1e-6)


def test_an_old_lesson_counts_by_its_half_life() -> None:
    fresh, old = lesson(1, 10, 15, ratio=0.5), lesson(1, 10, 15, ratio=0.5, age=180.0)
    alone = pooled_pattern([old], USUAL, half_life_days=180.0)
    assert alone.counted_after == pytest.approx(7.5)
    assert alone.change.log_ratio_sd > pooled_pattern([fresh], USUAL).change.log_ratio_sd
    unfading = pooled_pattern([old], USUAL, half_life_days=math.inf)
    assert unfading.change == pooled_pattern([fresh], USUAL).change


def test_lessons_of_one_side_only_are_compared_too() -> None:
    lessons = [lesson(seed, 15, 0, ratio=1.0) for seed in range(6)]
    lessons += [lesson(seed, 0, 15, ratio=0.4) for seed in range(20, 26)]
    assert pooled_pattern(lessons, USUAL).change.narrower > 0.95


def test_what_cannot_be_pooled_is_refused() -> None:
    with pytest.raises(InputError, match="15 balls before and 0 with") as missing:
        pooled_pattern([lesson(1, 15, 0, ratio=1.0)], USUAL)
    assert "on either side" in missing.value.fix
    with pytest.raises(OutOfRangeError, match="-1 days old"):
        pooled_pattern([lesson(1, 5, 5, ratio=1.0, age=-1.0)], USUAL)
    with pytest.raises(OutOfRangeError, match="half-life is 0 days"):
        pooled_pattern([lesson(1, 5, 5, ratio=1.0)], USUAL, half_life_days=0.0)
