"""An order of small blocks drawn by lot: which of them are hit with the change.

A lot that could have fallen otherwise is what makes a fair comparison: drift, fatigue and the
coach's hopes cannot choose the side. Orders with a long run of one kind are not in the urn, since
there drift would pass for a change (E. S. Edgington, P. Onghena, Randomization Tests, 4th ed. 2007,
from memory).
"""

from dataclasses import dataclass
from functools import cache
from itertools import combinations, groupby

import numpy as np

from leadfoot.errors import OutOfRangeError

MOST_BLOCKS = 16
"""Most small blocks in one urn: it then holds fewer than 12,870 orders. A choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnOrder:
    """One order drawn from the urn, which can be drawn again from its seed.

    Attributes
    ----------
    with_change
        For each small block, whether it is hit with the change.
    balls
        Balls in each block.
    seed
        What it was drawn with.
    n_possible
        Orders in the urn: a test over the lot can reach odds of one in so many, and no less.
    """

    with_change: tuple[bool, ...]
    balls: int
    seed: int
    n_possible: int


@cache
def possible_orders(n_blocks: int, longest_run: int = 2) -> tuple[tuple[bool, ...], ...]:
    """Every order in the urn: half of the blocks with the change, no long run of either kind.

    Parameters
    ----------
    n_blocks
        Small blocks, an even number from 2 to 16.
    longest_run
        Most blocks of one kind in a row, at least 1.

    Raises
    ------
    OutOfRangeError
        If the numbers are not such.

    Examples
    --------
    >>> len(possible_orders(8)), possible_orders(4, longest_run=1)
    (34, ((True, False, True, False), (False, True, False, True)))
    """
    if n_blocks % 2 or not 2 <= n_blocks <= MOST_BLOCKS or longest_run < 1:
        raise OutOfRangeError(
            f"{n_blocks} small blocks with runs of at most {longest_run} can't be drawn.",
            fix=f"Give an even number of blocks from 2 to {MOST_BLOCKS} and a run of 1 or more.",
        )
    orders = (
        tuple(place in chosen for place in range(n_blocks))
        for chosen in combinations(range(n_blocks), n_blocks // 2)
    )
    return tuple(order for order in orders if _longest_run(order) <= longest_run)


def _longest_run(order: tuple[bool, ...]) -> int:
    return max(len(list(run)) for _, run in groupby(order))


def drawn_order(
    seed: int, *, n_blocks: int = 8, balls: int = 5, longest_run: int = 2
) -> DrawnOrder:
    """Draw one order; the same seed draws the same one.

    Parameters
    ----------
    seed
        Kept with the lesson, so that the draw can be shown to be one.
    n_blocks, longest_run
        As for `possible_orders`.
    balls
        Balls in each block, at least 1.

    Raises
    ------
    OutOfRangeError
        If the numbers are not such, or the seed is negative.

    Examples
    --------
    >>> order = drawn_order(7)
    >>> "".join("B" if block else "A" for block in order.with_change), order.n_possible
    ('AABABBAB', 34)
    """
    if balls < 1 or seed < 0:
        raise OutOfRangeError(
            f"Blocks of {balls} balls can't be drawn with the seed {seed}.",
            fix="Give at least one ball a block, and a seed of 0 or more.",
        )
    urn = possible_orders(n_blocks, longest_run)
    return DrawnOrder(
        with_change=urn[int(np.random.default_rng(seed).integers(len(urn)))],
        balls=balls,
        seed=seed,
        n_possible=len(urn),
    )
