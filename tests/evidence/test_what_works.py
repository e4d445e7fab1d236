"""Cues pooled over students: a simulated book whose truth is known, and what pooling must do."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy import stats

from leadfoot.errors import InputError, OutOfRangeError
from leadfoot.evidence.what_works import Tries, what_works

Floats = NDArray[np.float64]
N_CUES, N_STUDENTS, N_LESSONS = 8, 200, 6


def book(seed: int, n_students: int = N_STUDENTS) -> tuple[Tries, Floats, Floats]:
    """A book in which the effect of every cue on every student is known."""
    rng = np.random.default_rng(seed)
    of_cue = rng.normal(0.7, 0.6, N_CUES)
    of_pair = of_cue + rng.normal(0.0, 0.6, (n_students, N_CUES))
    student = np.repeat(np.arange(n_students), N_LESSONS)
    own = np.array([rng.choice(N_CUES, 3, replace=False) for _ in range(n_students)])
    cue = own[student, np.tile(np.arange(N_LESSONS) % 3, n_students)]
    error = 0.45 * np.exp(0.2 * rng.normal(size=len(student)))
    change = (
        of_pair[student, cue]
        + rng.normal(0.0, 0.35, len(student))
        + error * rng.normal(size=len(student))
    )
    return Tries(student=student, cue=cue, change=change, standard_error=error), of_cue, of_pair


def test_ranges_hold_the_truth_and_the_order_is_right() -> None:
    held_cues, held_own, ranks = [], [], []
    for seed in range(20):
        tries, of_cue, of_pair = book(seed)
        found = what_works(tries)
        held_cues += [each.low <= of_cue[each.cue] <= each.high for each in found.cues]
        held_own += [each.low <= of_pair[each.student, each.cue] <= each.high for each in found.own]
        said = np.array([each.mean for each in sorted(found.cues, key=lambda each: each.cue)])
        ranks.append(stats.spearmanr(said, of_cue).statistic)
    assert np.mean(held_own) >= 0.93
    assert np.mean(held_cues) >= 0.93
    assert np.mean(ranks) > 0.95


def test_pooling_is_nearer_the_truth_than_plain_means() -> None:
    tries, _, of_pair = book(3)
    found = what_works(tries)
    pooled = [each.mean - of_pair[each.student, each.cue] for each in found.own]
    plain = [
        tries.change[(tries.student == each.student) & (tries.cue == each.cue)].mean()
        - of_pair[each.student, each.cue]
        for each in found.own
    ]
    assert np.std(pooled) < 0.85 * np.std(plain)


def test_the_best_of_many_useless_cues_is_not_sold() -> None:
    """No cue does anything: the best looking is drawn to nothing, its odds to be best to chance."""
    rng = np.random.default_rng(5)
    n = 80
    tries = Tries(
        student=np.arange(n) % 20,
        cue=np.arange(n) % 8,
        change=rng.normal(0.0, 0.5, n),
        standard_error=np.full(n, 0.5),
    )
    best = what_works(tries).cues[0]
    plain = max(tries.change[tries.cue == k].mean() for k in range(8))
    assert best.mean < 0.6 * plain
    assert best.odds_best < 0.6


def test_odds_to_be_the_best_add_up() -> None:
    tries, _, _ = book(1, 20)
    assert sum(each.odds_best for each in what_works(tries).cues) == pytest.approx(1.0)


@given(st.floats(0.01, 100.0))
def test_units_change_no_odds(unit: float) -> None:
    tries, _, _ = book(2, 6)
    other = Tries(
        student=tries.student,
        cue=tries.cue,
        change=unit * tries.change,
        standard_error=unit * tries.standard_error,
    )
    plain, found = what_works(tries), what_works(other, unit=unit)
    for one, two in zip(plain.cues, found.cues, strict=True):
        assert one.cue == two.cue
        assert one.odds_helps == pytest.approx(two.odds_helps, abs=1e-6)
        assert two.mean == pytest.approx(unit * one.mean, rel=1e-6)


def test_the_more_students_the_surer() -> None:
    few, many = what_works(book(4, 10)[0]), what_works(book(4, 200)[0])
    widths = [np.mean([each.high - each.low for each in found.cues]) for found in (few, many)]
    assert widths[1] < 0.5 * widths[0]


def test_progress_is_told() -> None:
    seen: list[tuple[int, int]] = []
    what_works(book(1, 3)[0], progress=lambda done, of: seen.append((done, of)))
    assert seen == [(k, 7) for k in range(1, 8)]


def test_numbers_with_gaps_are_kept() -> None:
    tries = Tries(
        student=np.array([4, 9]),
        cue=np.array([7, 2]),
        change=np.array([1.0, 0.0]),
        standard_error=np.array([0.3, 0.3]),
    )
    found = what_works(tries)
    assert {each.cue for each in found.cues} == {2, 7}
    assert {(each.student, each.cue) for each in found.own} == {(4, 7), (9, 2)}


def test_no_lessons_no_effects() -> None:
    none = np.zeros(0)
    found = what_works(
        Tries(student=none.astype(int), cue=none.astype(int), change=none, standard_error=none)
    )
    assert (found.cues, found.own) == ((), ())


def test_arrays_that_do_not_fit_are_refused() -> None:
    with pytest.raises(InputError, match="The arrays of 2 lessons have shapes"):
        Tries(
            student=np.zeros(1, int),
            cue=np.zeros(2, int),
            change=np.zeros(2),
            standard_error=np.ones(2),
        )


def test_an_error_of_nothing_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="its error is not above 0"):
        Tries(
            student=np.zeros(1, int),
            cue=np.zeros(1, int),
            change=np.zeros(1),
            standard_error=np.zeros(1),
        )
