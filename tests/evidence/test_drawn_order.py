from itertools import product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from leadfoot.errors import OutOfRangeError
from leadfoot.evidence.drawn_order import drawn_order, possible_orders


def slow_orders(n_blocks: int, longest_run: int) -> set[tuple[bool, ...]]:
    """Every sequence of two letters, thrown away if it breaks a rule."""
    found = set()
    for letters in product("AB", repeat=n_blocks):
        word = "".join(letters)
        too_long = any(letter * (longest_run + 1) in word for letter in "AB")
        if word.count("A") == word.count("B") and not too_long:
            found.add(tuple(letter == "B" for letter in word))
    return found


@pytest.mark.parametrize("n_blocks", [2, 4, 6, 8, 10])
@pytest.mark.parametrize("longest_run", [1, 2, 3])
def test_the_urn_holds_every_order_once(n_blocks: int, longest_run: int) -> None:
    urn = possible_orders(n_blocks, longest_run)
    assert len(set(urn)) == len(urn)
    assert set(urn) == slow_orders(n_blocks, longest_run)


def test_eight_blocks_have_thirty_four_orders() -> None:
    assert len(possible_orders(8)) == 34


@given(seed=st.integers(0, 2**63), n_half=st.integers(1, 8))
def test_the_same_seed_draws_the_same_order(seed: int, n_half: int) -> None:
    order = drawn_order(seed, n_blocks=2 * n_half)
    assert order == drawn_order(seed, n_blocks=2 * n_half)
    assert order.with_change in possible_orders(2 * n_half)
    assert sum(order.with_change) == n_half


def test_every_order_is_drawn_equally_often() -> None:
    urn = possible_orders(8)
    counts = np.zeros(len(urn))
    for seed in range(3400):
        counts[urn.index(drawn_order(seed).with_change)] += 1
    assert stats.chisquare(counts).pvalue > 0.001


@pytest.mark.parametrize(("n_blocks", "run"), [(7, 2), (0, 2), (18, 2), (8, 0)])
def test_an_urn_that_cannot_be_is_refused(n_blocks: int, run: int) -> None:
    with pytest.raises(OutOfRangeError) as error:
        possible_orders(n_blocks, run)
    assert str(error.value) == (
        f"{n_blocks} small blocks with runs of at most {run} can't be drawn. "
        "Give an even number of blocks from 2 to 16 and a run of 1 or more."
    )


def test_blocks_without_balls_are_refused() -> None:
    with pytest.raises(OutOfRangeError, match="Blocks of 0 balls can't be drawn with the seed 3"):
        drawn_order(3, balls=0)
