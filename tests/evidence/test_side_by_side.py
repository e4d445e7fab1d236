"""Several cues against one baseline."""

import numpy as np
import pytest
from numpy.typing import NDArray

from leadfoot.errors import InputError
from leadfoot.evidence.change import UNWARMED_PRIOR, level_change
from leadfoot.evidence.judgement import UsualSpread
from leadfoot.evidence.lesson import Seen
from leadfoot.evidence.side_by_side import CuedBalls, level_changes

USUAL = UsualSpread(sd=1.0, n_shots=80)


def cued(values: NDArray[np.float64], cue: NDArray[np.int64]) -> CuedBalls:
    return CuedBalls(values=values, cue=cue, ball_number=np.arange(len(cue), dtype=np.float64))


def test_one_cue_is_one_change() -> None:
    rng = np.random.default_rng(1)
    cue = np.repeat([0, 1], [10, 12])
    values = rng.standard_normal(22) + 0.8 * cue
    balls = Seen(values=values, with_change=cue > 0, ball_number=np.arange(22.0))
    alone, one = level_change(balls, USUAL), level_changes(cued(values, cue), USUAL)
    told = one.against_before(1)
    assert (told.mean, told.sd, told.above(0.2), one.before_si) == pytest.approx(
        (alone.mean, alone.sd, alone.above(0.2), alone.before_si), abs=1e-9
    )
    assert one.mishit == pytest.approx(alone.mishit, abs=1e-9)


def test_each_cue_is_told_from_the_others() -> None:
    rng = np.random.default_rng(2)
    cue = np.repeat([0, 1, 0, 2, 0, 3], 8)
    values = 0.5 * rng.standard_normal(48) + np.array([0.0, 2.0, 0.0, -1.0])[cue]
    found = level_changes(cued(values, cue), USUAL)
    assert found.n_cues == 3
    assert found.mean == pytest.approx([2.0, 0.0, -1.0], abs=0.6)
    assert found.against(1, 3).above(0.2) > 0.99
    assert found.against(1, 2).mean == pytest.approx(found.mean[0] - found.mean[1])
    spread = np.sqrt(found.covariance[0, 0] + found.covariance[1, 1] - 2 * found.covariance[0, 1])
    assert found.against(1, 2).sd == pytest.approx(spread)
    assert found.covariance[0, 1] > 0  # the baseline is shared


def test_names_of_cues_do_not_matter() -> None:
    rng = np.random.default_rng(3)
    cue = np.repeat([0, 1, 0, 2], 7)
    values = rng.standard_normal(28) + 0.6 * (cue == 2)
    swapped = np.array([0, 2, 1])[cue]
    one, other = (level_changes(cued(values, names), USUAL) for names in (cue, swapped))
    assert one.mean == pytest.approx(other.mean[::-1], abs=1e-6)


def test_a_second_cue_that_does_nothing_hardly_moves_the_first() -> None:
    rng = np.random.default_rng(4)
    cue = np.repeat([0, 1, 0, 2], 8)
    values = rng.standard_normal(32) + 1.2 * (cue == 1)
    both = level_changes(cued(values, cue), USUAL).against_before(1)
    only = values[:24], cue[:24]
    balls = Seen(values=only[0], with_change=only[1] > 0, ball_number=np.arange(24.0))
    alone = level_change(balls, USUAL, prior=UNWARMED_PRIOR)
    assert both.mean == pytest.approx(alone.mean, abs=0.25)
    assert both.sd == pytest.approx(alone.sd, rel=0.25)


@pytest.mark.parametrize(
    ("cue", "text"),
    [
        ([1, 1], "Balls by cue, without one first: [0, 2]."),
        ([0, 0], "Balls by cue, without one first: [2]."),
        ([0, 2], "Balls by cue, without one first: [1, 0, 1]."),
    ],
)
def test_a_cue_without_balls_is_refused(cue: list[int], text: str) -> None:
    with pytest.raises(InputError) as caught:
        level_changes(cued(np.zeros(2), np.array(cue)), USUAL)
    assert str(caught.value).startswith(text)


def test_too_many_cues_and_a_cue_that_is_not_there_are_refused() -> None:
    with pytest.raises(InputError, match="6 cues in one lesson are more than"):
        level_changes(cued(np.zeros(7), np.arange(7)), USUAL)
    found = level_changes(cued(np.array([0.0, 1.0]), np.array([0, 1])), USUAL)
    with pytest.raises(InputError, match="There is no cue 2; the lesson has 1"):
        found.against_before(2)
