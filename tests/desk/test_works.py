"""What works for whom: the order of cues, honest ranges, merged spellings, the best of many."""

import numpy as np
import pytest
from scipy import stats

from leadfoot.desk.works import Works, meaning, merge, what_works_for_whom
from tests.desk.simulated_book import Simulated, simulated

COVERAGE = 0.93


def covered(book: Simulated, works: Works) -> tuple[int, int]:
    """Of the effects on students, how many lie in their range, of how many."""
    own = works.quantities[0].own
    inside = [one.low <= book.own[one.student_id, one.cue] <= one.high for one in own]
    return sum(inside), len(inside)


def order(book: Simulated, works: Works) -> float:
    """Rank correlation of what was found with the truth."""
    lines = works.quantities[0].lines
    return float(
        stats.spearmanr([line.mean for line in lines], [book.cues[line.cue] for line in lines])[0]
    )


def test_a_small_book_orders_its_cues_and_covers_its_students() -> None:
    book = simulated(40, 9_600, seed=1)
    told: list[tuple[int, int]] = []
    works = what_works_for_whom(book.desk, lambda done, steps: told.append((done, steps)))
    assert [one.quantity for one in works.quantities] == ["club_speed"]
    assert (works.n_students, works.n_lessons, works.n_shots) == (40, 240, 9_600)
    assert order(book, works) > 0.9
    inside, n = covered(book, works)
    assert inside >= stats.binom.ppf(0.01, n, COVERAGE)
    assert told[-1][0] == told[-1][1]
    assert [done for done, _ in told] == sorted(done for done, _ in told)


@pytest.mark.rates
def test_a_book_of_200_students_and_50_000_shots() -> None:
    inside = n = 0
    for seed in range(4):
        book = simulated(200, 50_000, seed=seed)
        works = what_works_for_whom(book.desk)
        assert works.n_shots >= 50_000
        assert order(book, works) > 0.95
        more, of = covered(book, works)
        inside, n = inside + more, n + of
    assert inside / n >= COVERAGE


def test_the_best_of_many_useless_cues_is_not_believed() -> None:
    book = simulated(12, 960, seed=3)
    flat = dict.fromkeys(book.cues, 0.0)
    for lesson in book.desk.book.lessons():
        shots = book.desk.book.shots_of[lesson.id]  # type: ignore[attr-defined]
        middle = float(np.median([shot.values["club_speed"].value for shot in shots]))
        rng = np.random.default_rng(lesson.id)
        for shot in shots:
            object.__setattr__(shot.values["club_speed"], "value", middle + 1.2 * rng.normal())
    (speed,) = what_works_for_whom(book.desk).quantities
    best = speed.best()
    assert best.mean < max(line.raw for line in speed.lines)
    doubts = (f"it is the best of {len(flat)} tries", "no cue so far moves it that way")
    assert any(doubt in speed.sentences[0] for doubt in doubts)


def test_two_spellings_can_be_one_cue_and_two_again() -> None:
    book = simulated(10, 800, seed=4, n_cues=3)
    merge(book.desk, "Cue 3.", "cue 1")
    works = what_works_for_whom(book.desk)
    assert {line.cue for line in works.quantities[0].lines} == {"cue 1", "cue 2"}
    assert works.merged == {"cue 3": "cue 1"}
    merge(book.desk, "cue 3", "")
    again = what_works_for_whom(book.desk)
    assert {line.cue for line in again.quantities[0].lines} == {"cue 1", "cue 2", "cue 3"}


def test_a_circle_of_merges_ends() -> None:
    assert meaning("a", {"a": "b", "b": "a"}) == "b"


def test_an_empty_book_says_nothing() -> None:
    works = what_works_for_whom(simulated(1, 0, seed=5).desk)
    assert (works.quantities, works.n_lessons) == ((), 0)
    assert works.as_json()["schema"] == "leadfoot.works/1"
