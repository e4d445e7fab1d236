"""Randomisation tests: the order of blocks was drawn by lot, and the lot alone makes the odds.

No model of the balls is needed, no normal spread, no independence from ball to ball: had the
change done nothing, every order that could have been drawn would have been as good. That holds
only if the order *was* drawn, and from just these orders (`leadfoot.evidence.drawn_order`).
"""

import itertools
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.stats import permutation_test

from leadfoot.errors import InputError, OutOfRangeError
from leadfoot.evidence.second.numbers import finite_numbers

Orders = NDArray[np.bool_]
MOST_PAIRED_BLOCKS = 20
MOST_PAIRS = 20
"""With 20 pairs there are a million ways of the signs; more would take minutes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Randomised:
    """Outcome of a randomisation test.

    Attributes
    ----------
    difference
        Mean with the change less mean before.
    p_greater, p_two_sided
        Share of the orders with a difference as large, or as far from zero.
    n_orders
        Orders that could have been drawn; ``1 / n_orders`` is the smallest p there can be.
    """

    difference: float
    p_greater: float
    p_two_sided: float
    n_orders: int


def pair_orders(n_pairs: int) -> Orders:
    """All orders of pairs of blocks, each pair either way round.

    Parameters
    ----------
    n_pairs
        1 to 10.

    Returns
    -------
    Orders
        Shape (2 ** n_pairs, 2 n_pairs), True with the change.

    Raises
    ------
    OutOfRangeError
        If there is no pair, or more than 10.

    Examples
    --------
    >>> pair_orders(2).astype(int).tolist()
    [[0, 1, 0, 1], [0, 1, 1, 0], [1, 0, 0, 1], [1, 0, 1, 0]]
    """
    if not 1 <= n_pairs <= MOST_PAIRED_BLOCKS // 2:
        raise OutOfRangeError(
            f"There are {n_pairs} pairs.",
            fix=f"Give 1 to {MOST_PAIRED_BLOCKS // 2} pairs of blocks.",
        )
    first = np.array(list(itertools.product((False, True), repeat=n_pairs)), dtype=np.bool_)
    return np.stack([first, ~first], axis=2).reshape(len(first), 2 * n_pairs)


def randomisation_test(values: ArrayLike, order: ArrayLike, orders: ArrayLike) -> Randomised:
    """Compare the blocks with the change to those before, over all orders that could have been.

    Parameters
    ----------
    values
        Shape (n blocks,): mean, or another number, of each block in the order hit.
    order
        Shape (n blocks,): True with the change; as it was drawn.
    orders
        Shape (k, n blocks): all that could have been drawn, the drawn one among them.

    Raises
    ------
    InputError
        If the shapes do not fit, or the order is not one of the orders.

    Notes
    -----
    For single cases J. Ferron and P. Onghena, Journal of Experimental Education
    64:231-239, 1996 (abstract). Orders with the same difference count as reached.

    Examples
    --------
    >>> from leadfoot.evidence.drawn_order import possible_orders
    >>> order = [False, True, True, False, True, False, False, True]
    >>> found = randomisation_test([90, 93, 94, 91, 95, 90, 91, 93], order, possible_orders(8))
    >>> found.difference, found.n_orders, round(found.p_greater, 4)
    (3.25, 34, 0.0294)
    """
    blocks = finite_numbers(values, "values", fewest=2)
    drawn, urn = np.asarray(order, dtype=np.bool_), np.asarray(orders, dtype=np.bool_)
    if drawn.shape != blocks.shape or urn.ndim != 2 or urn.shape[1] != len(blocks):
        raise InputError(
            f"There are {len(blocks)} blocks, an order of {drawn.shape} and orders of {urn.shape}.",
            fix="Give one value and one entry of the order for every block.",
        )
    if not (urn == drawn).all(axis=1).any():
        raise InputError(
            "The order that was hit is not among those that could have been drawn.",
            fix="Give the orders from which the lot was drawn.",
        )
    difference = _difference(blocks, drawn[None, :])[0]
    could = _difference(blocks, urn)
    same = 1e-9 * max(float(np.abs(could).max()), 1e-300)
    return Randomised(
        difference=float(difference),
        p_greater=float((could >= difference - same).mean()),
        p_two_sided=float((np.abs(could) >= abs(difference) - same).mean()),
        n_orders=len(urn),
    )


def _difference(blocks: NDArray[np.float64], orders: Orders) -> NDArray[np.float64]:
    n_with = orders.sum(axis=1)
    with_change = (orders * blocks).sum(axis=1) / n_with
    before = (~orders * blocks).sum(axis=1) / (len(blocks) - n_with)
    return np.asarray(with_change - before, dtype=np.float64)


def sign_flip(differences: ArrayLike) -> Randomised:
    """Exact test of pairs: had the change done nothing, each difference could have had either sign.

    Parameters
    ----------
    differences
        Shape (n,), 1 to 20: with the change less before, pair by pair, the order within each pair
        drawn by lot.

    Raises
    ------
    InputError
        If a value is no number, or there is none.
    OutOfRangeError
        If there are more than 20 pairs.

    Notes
    -----
    R. A. Fisher, The Design of Experiments, 1935.

    Examples
    --------
    >>> sign_flip([3.0, 2.0, 4.0, 1.0]).p_greater
    0.0625
    """
    pairs = finite_numbers(differences, "differences", fewest=1)
    if len(pairs) > MOST_PAIRS:
        raise OutOfRangeError(
            f"There are {len(pairs)} pairs.",
            fix=f"Give at most {MOST_PAIRS}, or use the paired t test: it is as good there.",
        )
    if len(pairs) == 1:
        positive = float(pairs[0])
        return Randomised(
            difference=positive,
            p_greater=0.5 if positive > 0.0 else 1.0,
            p_two_sided=1.0,
            n_orders=2,
        )
    greater, either = (_flipped(pairs, statistic) for statistic in (_mean, _mean_size))
    return Randomised(
        difference=float(pairs.mean()),
        p_greater=greater,
        p_two_sided=either,
        n_orders=2 ** len(pairs),
    )


def _flipped(pairs: NDArray[np.float64], statistic: Callable[..., NDArray[np.float64]]) -> float:
    """Share of the ways to flip the signs that reach the statistic; all of them are tried."""
    found = permutation_test(
        (pairs,),
        statistic,
        permutation_type="samples",
        alternative="greater",
        n_resamples=1 << MOST_PAIRS,
        vectorized=True,
        batch=1 << 14,
    )
    return float(found.pvalue)


def _mean(pairs: NDArray[np.float64], axis: int = -1) -> NDArray[np.float64]:
    return np.asarray(pairs.mean(axis=axis))


def _mean_size(pairs: NDArray[np.float64], axis: int = -1) -> NDArray[np.float64]:
    return np.asarray(np.abs(pairs.mean(axis=axis)))
