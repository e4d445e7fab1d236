import math
from collections import OrderedDict
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from leadfoot.errors import OutOfRangeError
from leadfoot.evidence import block_curves
from leadfoot.evidence.judgement import UsualSpread
from leadfoot.evidence.memory import HALF_LIFE_DAYS, PastLesson, learn_usual_spread, remember
from leadfoot.evidence.noise import DIRECTION_NOISE, LENGTH_NOISE, Floats
from tests.naive.memory import own_spread
from tests.rates.remembered import own_doubt

START = UsualSpread(sd=8.0)


def past(
    rng: np.random.Generator, sd: float, *, age_days: float = 0.0, level: float = 200.0, n: int = 8
) -> PastLesson:
    before, after = (level + sd * rng.standard_normal(n) for _ in range(2))
    return PastLesson(age_days=age_days, blocks=(before, after), baseline=before)


@pytest.mark.parametrize(("aim", "half_life"), [("more", 180.0), ("nearer_zero", math.inf)])
def test_it_is_what_plain_sums_over_everything_give(aim: str, half_life: float) -> None:
    rng = np.random.default_rng(31)
    lessons = [
        past(rng, sd, age_days=age, n=6) for sd, age in ((5.0, 10.0), (9.0, 200.0), (7.0, 400.0))
    ]
    lessons[1].blocks[0][2] -= 40.0
    noise = LENGTH_NOISE if aim == "more" else DIRECTION_NOISE
    mean, sd = own_spread(lessons, START.sd, noise, half_life)
    found = remember(
        lessons,
        start=START,
        aim="more" if aim == "more" else "nearer_zero",
        half_life_days=half_life,
    ).usual
    assert math.log(found.sd) == pytest.approx(mean, abs=0.02)
    assert own_doubt(found) == pytest.approx(sd, rel=0.05)


def test_old_lessons_fade() -> None:
    rng = np.random.default_rng(32)
    calm, wild = past(rng, 4.0), past(rng, 12.0)
    calm_first = [replace(calm, age_days=900.0), wild]
    wild_first = [calm, replace(wild, age_days=900.0)]
    sd = {
        name: remember(lessons, start=START, aim="more").usual.sd
        for name, lessons in (("calm then", calm_first), ("calm now", wild_first))
    }
    assert sd["calm now"] < sd["calm then"]


@given(age=st.floats(0, 3000), older=st.floats(0, 3000))
def test_the_older_the_less_it_is_worth(age: float, older: float) -> None:
    lesson = past(np.random.default_rng(33), 6.0)
    worth = [
        remember([replace(lesson, age_days=days)], start=START, aim="more").usual.n_shots
        for days in (age, age + older)
    ]
    assert worth[1] <= worth[0]


def test_one_half_life_halves_the_say() -> None:
    lesson = past(np.random.default_rng(34), 6.0)
    twice = [replace(lesson, age_days=HALF_LIFE_DAYS)] * 2
    once = remember([lesson], start=START, aim="more").usual
    assert remember(twice, start=START, aim="more").usual.sd == pytest.approx(once.sd, rel=0.01)


def test_a_new_student_is_assumed_and_says_so() -> None:
    known = remember([], start=START, aim="more")
    assert (known.source, known.n_lessons, known.n_balls) == ("assumed", 0, 0)
    assert known.usual is START
    assert known.oldest_days is None
    assert known.day_to_day is None


def test_it_says_where_it_came_from() -> None:
    rng = np.random.default_rng(35)
    lessons = [past(rng, 6.0, age_days=age) for age in (300.0, 20.0, 90.0)]
    known = remember(lessons, start=START, aim="more")
    assert (known.source, known.n_lessons, known.n_balls) == ("learnt", 3, 48)
    assert (known.newest_days, known.oldest_days) == (20.0, 300.0)
    assert 0 < known.usual.n_shots < 48


def test_within_a_day_and_from_day_to_day_are_told_apart() -> None:
    rng = np.random.default_rng(36)
    steady = [past(rng, 6.0, level=200.0) for _ in range(12)]
    shifts = rng.standard_normal(12)
    shifts *= 9.0 / shifts.std(ddof=1)
    moved = [
        PastLesson(
            age_days=0.0,
            blocks=tuple(block + shift for block in one.blocks),
            baseline=one.baseline + shift,
        )
        for one, shift in zip(steady, shifts, strict=True)
    ]
    calm, wandering = (remember(one, start=START, aim="more") for one in (steady, moved))
    assert wandering.usual.sd == pytest.approx(calm.usual.sd, rel=1e-6)
    assert calm.day_to_day is not None
    assert wandering.day_to_day is not None
    assert wandering.day_to_day.low <= 9.0 <= wandering.day_to_day.high
    assert calm.day_to_day.sd < 0.5 * wandering.day_to_day.sd
    assert wandering.day_to_day.n_days == 12


def test_one_baseline_tells_nothing_from_day_to_day() -> None:
    rng = np.random.default_rng(37)
    lessons = [past(rng, 6.0), replace(past(rng, 6.0), baseline=np.zeros(0))]
    assert remember(lessons, start=START, aim="more").day_to_day is None


def test_days_of_different_spread_are_seen() -> None:
    rng = np.random.default_rng(38)
    even = remember([past(rng, 6.0, n=20) for _ in range(10)], start=START, aim="more")
    uneven = remember(
        [past(rng, 3.5 if day % 2 else 10.0, n=20) for day in range(10)], start=START, aim="more"
    )
    assert even.day_spread < 0.17 < uneven.day_spread


@given(unit=st.floats(1e-3, 1e3))
def test_it_knows_no_units(unit: float) -> None:
    lessons = [past(np.random.default_rng(seed), 6.0, age_days=30.0 * seed) for seed in range(3)]
    scaled = [
        PastLesson(
            age_days=one.age_days,
            blocks=tuple(block * unit for block in one.blocks),
            baseline=one.baseline * unit,
        )
        for one in lessons
    ]
    a = remember(lessons, start=START, aim="more")
    b = remember(scaled, start=UsualSpread(sd=START.sd * unit), aim="more")
    assert b.usual.sd == pytest.approx(a.usual.sd * unit)
    assert b.usual.n_shots == a.usual.n_shots
    assert a.day_to_day is not None
    assert b.day_to_day is not None
    assert b.day_to_day.sd == pytest.approx(a.day_to_day.sd * unit)


@given(order=st.permutations(range(4)))
def test_the_order_of_the_lessons_makes_no_difference(order: list[int]) -> None:
    lessons = [past(np.random.default_rng(seed), 6.0, age_days=40.0 * seed) for seed in range(4)]
    a = remember(lessons, start=START, aim="more")
    b = remember([lessons[place] for place in order], start=START, aim="more")
    assert b.usual.sd == pytest.approx(a.usual.sd)
    assert b.usual.n_shots == a.usual.n_shots


def test_a_starting_value_that_moves_a_little_makes_no_jump() -> None:
    lessons = [past(np.random.default_rng(39), 6.0)]
    edge = 5.0
    below, above = (
        remember(lessons, start=UsualSpread(sd=edge * (1 + step)), aim="more").usual.sd
        for step in (-1e-9, 1e-9)
    )
    assert above == pytest.approx(below)


def test_a_block_is_worked_out_once(monkeypatch: pytest.MonkeyPatch) -> None:
    lessons = [past(np.random.default_rng(40), 6.0)]
    first = remember(lessons, start=START, aim="more")

    def never(*parts: object) -> None:
        raise AssertionError

    monkeypatch.setattr(block_curves, "_worked_out", never)
    assert remember(lessons, start=START, aim="more") == first


def test_old_curves_make_room(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(block_curves, "MOST_KEPT", 3)
    rng = np.random.default_rng(41)
    for _ in range(5):
        remember([past(rng, 6.0)], start=START, aim="more")
    assert len(block_curves._kept) == 3


def test_bad_ages_are_refused() -> None:
    lesson = past(np.random.default_rng(42), 6.0)
    with pytest.raises(OutOfRangeError) as error:
        remember([replace(lesson, age_days=-1.0)], start=START, aim="more")
    assert str(error.value) == (
        "A lesson -1 days ago is not an earlier one. Give its age in days, 0 or more."
    )
    with pytest.raises(OutOfRangeError, match="A half-life of 0 days can't be"):
        remember([lesson], start=START, aim="more", half_life_days=0.0)


def test_the_own_spread_is_learnt_although_levels_and_mishits_vary() -> None:
    rng = np.random.default_rng(8)
    blocks: list[Floats] = []
    for _ in range(40):
        block = rng.normal(200.0 + 10.0 * rng.standard_normal(), 5.0, 10)
        block[rng.random(10) < 0.08] -= 30.0
        blocks.append(block)
    learnt = learn_usual_spread(blocks, start=UsualSpread(sd=9.0), aim="more")
    assert learnt.sd == pytest.approx(5.0, rel=0.08)
    assert 100 < learnt.n_shots < 400


def test_a_few_balls_only_pull_at_the_population_value() -> None:
    start = UsualSpread(sd=10.0)
    learnt = learn_usual_spread([np.array([0.0, 1.0, -1.0])], start=start, aim="nearer_zero")
    assert 5.0 < learnt.sd < 10.0


def test_nothing_to_learn_from_leaves_the_start() -> None:
    start = UsualSpread(sd=10.0)
    empty = [np.array([]), np.array([1.0, np.nan, 2.0])]
    assert learn_usual_spread(empty, start=start, aim="more") is start


def test_equal_balls_still_give_a_spread() -> None:
    start = UsualSpread(sd=10.0)
    learnt = learn_usual_spread([np.full(30, 4.0)] * 5, start=start, aim="more")
    assert 0 < learnt.sd < 10.0


def test_learning_does_not_depend_on_the_unit() -> None:
    rng = np.random.default_rng(3)
    block = rng.normal(40, 1, 20)
    a = learn_usual_spread([block], start=UsualSpread(sd=1.5), aim="more")
    b = learn_usual_spread([block * 0.3048], start=UsualSpread(sd=1.5 * 0.3048), aim="more")
    assert b.sd == pytest.approx(a.sd * 0.3048)


def test_a_block_says_the_same_alone_and_among_others(monkeypatch: pytest.MonkeyPatch) -> None:
    rng = np.random.default_rng(47)
    blocks = [200.0 + 8.0 * rng.standard_normal(n) for n in (3, 100, 7, 60, 12, 5, 30, 200, 9)]
    blocks[3][:9] -= 60.0
    monkeypatch.setattr(block_curves, "_kept", OrderedDict())
    together = block_curves.block_curves(blocks, 8.0, LENGTH_NOISE)
    for block, curve in zip(blocks, together, strict=True):
        monkeypatch.setattr(block_curves, "_kept", OrderedDict())
        (alone,) = block_curves.block_curves([block], 8.0, LENGTH_NOISE)
        assert alone == pytest.approx(curve, abs=2e-5)
