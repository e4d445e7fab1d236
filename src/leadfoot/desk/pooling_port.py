"""What the desk needs of the book to pool many lessons: plain balls, many lessons at a time."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from leadfoot.desk.records import Role


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LessonBalls:
    """The balls of one lesson that count, in hitting order: before and with the change.

    Attributes
    ----------
    n_shots
        All balls of the lesson, with those left out and those of other blocks.
    with_change
        Shape (n,).
    clubs
        As they stand in the book, one a ball.
    values
        Shape (n, quantities asked for), SI, NaN where a ball has no such value.
    """

    n_shots: int
    with_change: NDArray[np.bool_]
    clubs: tuple[str | None, ...]
    values: NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CountedBalls:
    """All balls of one lesson that count, in hitting order, whatever their block is.

    Attributes
    ----------
    block_ids, roles, clubs
        One a ball; clubs as they stand in the book.
    quantities
        What was measured, in the order in which it came up.
    values
        Shape (n, quantities), SI, NaN where a ball has no such value.
    """

    block_ids: NDArray[np.int64]
    roles: tuple[Role, ...]
    clubs: tuple[str | None, ...]
    quantities: tuple[str, ...]
    values: NDArray[np.float64]


class PoolingBook(Protocol):
    """The part of the client book that is read many lessons at a time; see `Book`."""

    def balls_of(
        self, lesson_ids: Sequence[int], quantities: Sequence[str]
    ) -> Mapping[int, LessonBalls]:
        """The balls of some lessons by the number of the lesson; one without balls is not there."""
        ...

    def counted_of(self, lesson_ids: Sequence[int]) -> Mapping[int, CountedBalls]:
        """Every value of the balls that count; a lesson without balls is not there."""
        ...
