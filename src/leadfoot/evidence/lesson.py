"""The shots as the sums need them: checked, one quantity at a time, missing values left away."""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from leadfoot.errors import InputError, OutOfRangeError
from leadfoot.evidence.judgement import LessonShots, Track
from leadfoot.evidence.noise import Floats

LARGEST_SI = 1e9
"""No quantity of a golf shot comes near it in SI; keeps every sum inside float64."""
SMALLEST_SPREAD_SI = 1e-9
MOST_BALLS = 100_000
"""Highest ball number in one lesson."""

WARM_AFTER = 6.0
"""From this ball number on the first ball counts as a warm one. A choice: the time in which the
model lets a cold start fade to a third."""

Order = Literal["once", "and_back", "twice", "alternating"]
"""How the blocks follow each other: A-B, A-B-A, A-B-A-B, or more changes than that."""
_BY_SWITCHES: tuple[Order, ...] = ("once", "and_back", "twice", "alternating")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Seen:
    """The balls of one track that have a value.

    Attributes
    ----------
    values
        Shape (n,), SI, finite, in hitting order.
    with_change
        Shape (n,).
    ball_number
        Shape (n,), increasing.
    """

    values: Floats
    with_change: NDArray[np.bool_]
    ball_number: Floats

    @property
    def n_after(self) -> int:
        """Balls with the change."""
        return int(self.with_change.sum())

    @property
    def n_before(self) -> int:
        """Balls without it."""
        return len(self.with_change) - self.n_after

    @property
    def fewest(self) -> int:
        """The smaller of the two numbers of balls."""
        return min(self.n_before, self.n_after)


def check_lesson(lesson: LessonShots) -> None:
    """Refuse shots that no sum can be made of.

    Raises
    ------
    InputError
        If lengths differ, a value is infinite, the balls are not in hitting order, or a declared
        quantity is not among the tracks.
    OutOfRangeError
        If a number is larger than any shot of golf can give, a ball number is not one of a lesson,
        or a usual spread is not above zero.

    Examples
    --------
    >>> nothing = LessonShots(
    ...     with_change=np.zeros(0, bool), ball_number=np.zeros(0), tracks={},
    ...     declared_distance=None, declared_direction=None)
    >>> check_lesson(nothing)
    """
    n = len(lesson.with_change)
    if lesson.with_change.shape != (n,) or lesson.ball_number.shape != (n,):
        raise InputError(
            f"with_change has shape {lesson.with_change.shape} and ball_number "
            f"{lesson.ball_number.shape}.",
            fix="Give one entry of each for every ball.",
        )
    _check_ball_numbers(lesson.ball_number)
    _check_plan(lesson.planned)
    for track in lesson.tracks.values():
        _check_track(track, n)
    for name, aim in (
        (lesson.declared_distance, "more"),
        (lesson.declared_direction, "nearer_zero"),
    ):
        if name is not None and (name not in lesson.tracks or lesson.tracks[name].aim != aim):
            raise InputError(
                f"The declared quantity {name!r} is not a track with the aim {aim!r}.",
                fix="Declare one of the lesson's tracks, or None.",
            )


def _check_ball_numbers(ball_number: Floats) -> None:
    if not ((ball_number >= 0) & (ball_number <= MOST_BALLS)).all():
        raise OutOfRangeError(
            f"A ball number lies outside 0 to {MOST_BALLS}.",
            fix="Count the balls of the lesson from 0.",
        )
    if (np.diff(ball_number) <= 0).any():
        raise InputError(
            "The ball numbers do not increase from ball to ball.",
            fix="Give the shots in hitting order, each with its own ball number.",
        )


def _check_plan(planned: NDArray[np.bool_] | None) -> None:
    if planned is None:
        return
    if planned.ndim != 1 or not (planned.any() and not planned.all()):
        raise InputError(
            f"The plan has shape {planned.shape} and {int(planned.sum())} balls with the change.",
            fix="Plan at least one ball without the change and one with it, or give no plan.",
        )


def _check_track(track: Track, n: int) -> None:
    if track.values.shape != (n,):
        raise InputError(
            f"Track {track.quantity!r} has shape {track.values.shape}; the lesson has {n} balls.",
            fix="Give one value for every ball, NaN where there is none.",
        )
    if np.isinf(track.values).any():
        raise InputError(
            f"Track {track.quantity!r} has an infinite value.",
            fix="Put NaN where a ball has no value.",
        )
    if (np.abs(track.values) > LARGEST_SI).any():
        raise OutOfRangeError(
            f"Track {track.quantity!r} has a value beyond {LARGEST_SI:g} in SI.",
            fix="Check the unit of the column, or leave the shot out.",
        )
    if not SMALLEST_SPREAD_SI <= track.usual.sd <= LARGEST_SI or track.usual.n_shots < 0:
        raise OutOfRangeError(
            f"The usual spread of {track.quantity!r} is {track.usual.sd:g} "
            f"from {track.usual.n_shots} shots.",
            fix=f"Give a spread from {SMALLEST_SPREAD_SI:g} to {LARGEST_SI:g} in SI and a number "
            "of shots of 0 or more.",
        )


def seen(lesson: LessonShots, track: Track) -> Seen:
    """The balls of one track that have a value.

    Examples
    --------
    >>> from leadfoot.evidence.judgement import UsualSpread
    >>> carry = Track(quantity="carry", values=np.array([200.0, np.nan]), aim="more",
    ...               usual=UsualSpread(sd=7.0))
    >>> lesson = LessonShots(with_change=np.array([False, True]), ball_number=np.arange(2.0),
    ...     tracks={"carry": carry}, declared_distance="carry", declared_direction=None)
    >>> seen(lesson, carry).n_after
    0
    """
    has_value = np.isfinite(track.values)
    return Seen(
        values=track.values[has_value].astype(np.float64),
        with_change=lesson.with_change[has_value].astype(np.bool_),
        ball_number=lesson.ball_number[has_value].astype(np.float64),
    )


def order_of_blocks(with_change: NDArray[np.bool_]) -> Order:
    """Recognise the design from the balls.

    Parameters
    ----------
    with_change
        Shape (n,), in hitting order. Which of the two came first makes no difference.

    Examples
    --------
    >>> order_of_blocks(np.array([False, False, True, True, False]))
    'and_back'
    """
    n_switches = int((with_change[1:] != with_change[:-1]).sum())
    return _BY_SWITCHES[min(max(n_switches, 1), len(_BY_SWITCHES)) - 1]


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """The comparison as it was planned before the change.

    Attributes
    ----------
    order
        How its blocks follow each other.
    n_before, n_after
        Its balls without and with the change.
    way_back
        How many balls come back to what the first block was, for each ball of that block.
    """

    order: Order
    n_before: int
    n_after: int
    way_back: float = 1.0

    @classmethod
    def of(cls, with_change: NDArray[np.bool_]) -> "Planned":
        """The plan of these balls.

        Examples
        --------
        >>> Planned.of(np.repeat([False, True, False], [10, 15, 15]))
        Planned(order='and_back', n_before=25, n_after=15, way_back=1.5)
        """
        n_after = int(with_change.sum())
        as_first = with_change == with_change[0]
        n_first = int(np.argmin(as_first)) or len(as_first)
        return cls(
            order=order_of_blocks(with_change),
            n_before=len(with_change) - n_after,
            n_after=n_after,
            way_back=int(as_first.sum()) / n_first - 1.0,
        )

    @property
    def n_balls(self) -> int:
        """All of its balls."""
        return self.n_before + self.n_after

    @property
    def comes_back(self) -> bool:
        """Whether the old way is hit again after the change."""
        return self.order != "once"

    def told(self, n_before: int, n_after: int) -> float:
        """How much of what the whole plan tells of a change so many balls tell.

        The information about a difference of two means is n m / (n + m).

        Examples
        --------
        >>> Planned(order="and_back", n_before=20, n_after=20).told(10, 10)
        0.5
        """
        whole = self.n_before * self.n_after / (self.n_before + self.n_after)
        return n_before * n_after / max(n_before + n_after, 1) / whole

    def holds(self, order: Order, n_before: int, n_after: int) -> bool:
        """Whether the balls so far can still be a beginning of it.

        Examples
        --------
        >>> Planned(order="once", n_before=10, n_after=15).holds("and_back", 15, 10)
        False
        """
        few_enough = n_before + n_after <= self.n_before + self.n_after
        return few_enough and _BY_SWITCHES.index(order) <= _BY_SWITCHES.index(self.order)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """How far a lesson has come, as far as the thresholds of a length or a speed ask.

    Attributes
    ----------
    order
        How the blocks follow each other.
    n_before, n_after
        Balls with a value on either side.
    warm
        Whether balls to get warm were recorded before the first that counts.
    planned
        What was planned before the change; None where nothing was.
    """

    order: Order
    n_before: int
    n_after: int
    warm: bool = True
    planned: Planned | None = None

    @property
    def fewer(self) -> int:
        """Balls on the side that has fewer."""
        return min(self.n_before, self.n_after)

    @property
    def follows(self) -> Planned | None:
        """The plan as long as it holds."""
        plan = self.planned
        return plan if plan and plan.holds(self.order, self.n_before, self.n_after) else None

    @classmethod
    def of(cls, balls: Seen, order: Order | None = None, planned: Planned | None = None) -> "Stage":
        """The stage of the balls of one quantity; the order of all balls may be given.

        Examples
        --------
        >>> balls = Seen(values=np.zeros(3), ball_number=np.arange(8.0, 11.0),
        ...              with_change=np.array([False, False, True]))
        >>> Stage.of(balls)
        Stage(order='once', n_before=2, n_after=1, warm=True, planned=None)
        """
        return cls(
            order=order or order_of_blocks(balls.with_change),
            n_before=balls.n_before,
            n_after=balls.n_after,
            warm=bool(balls.ball_number[0] >= WARM_AFTER),
            planned=planned,
        )
