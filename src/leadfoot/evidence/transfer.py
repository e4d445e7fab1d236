"""Did it carry over: a gain looked for with another club or at another place, each by its baseline.

Another club, or another place, has another level, so its test is never held against the baseline
of the first. Two questions are asked, each within one club at one place: was the gain shown where
it was made, and does the other lie above its own baseline from before. Blocks of one day share what
that day did to the student, as in `leadfoot.evidence.retention`. How much of the gain carried over
is not told: what the change would have done there in the lesson was not measured.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from leadfoot.errors import InputError, OutOfRangeError
from leadfoot.evidence.retention import (
    DAY_DOUBT,
    DAY_SD,
    SHOWN,
    BlockLevel,
    Kind,
    Nodes,
    ends_of,
    weighed,
)

PLACE_DAY_SD, PLACE_DAY_DOUBT = 0.9, 0.35
"""How much days differ at another place, in usual shot-to-shot spreads, and the standard deviation
of its logarithm. Assumed: the student's own days (0.65, as in one studio), and weather of 0.6 on
top. Wind along the line that differs by 2 m/s from day to day moves a driver's carry by 4 m and a 7
iron's by 5 m in this program's flight model, 0.2 to 1.1 of the usual spreads of carry. For speeds,
and indoors, that is too much, which is the careful side."""

Carried = Literal["carried_over", "not_seen", "cannot_tell", "nothing_to_keep"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Club:
    """The blocks of one club at one place, and what is usual with it there.

    Attributes
    ----------
    blocks
        At least one from before, and one to hold against it: with the change where it was made, a
        test elsewhere.
    usual_sd
        The student's usual shot-to-shot spread with this club, above 0, in the unit of the levels.
    day_sd, day_doubt
        How much days differ, in the unit of the levels (None: assumed, as in one studio), and the
        standard deviation of its logarithm. At another place: see `PLACE_DAY_SD`.
    more_is_better
        False where the gain is a fall.
    """

    blocks: Sequence[BlockLevel]
    usual_sd: float
    day_sd: float | None = None
    day_doubt: float = DAY_DOUBT
    more_is_better: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Transfer:
    """Whether a gain is seen with another club or at another place.

    Attributes
    ----------
    answer
        ``not_seen`` where it is shown that nothing worth having is there; ``nothing_to_keep`` where
        no gain worth having was shown with the first club.
    above, above_low, above_high
        How far the test lies above the own baseline, better way up, with its 95 % range.
    odds_some
        Probability that it lies above by something worth having.
    """

    answer: Carried
    above: float
    above_low: float
    above_high: float
    odds_some: float


def transfer(home: Club, there: Club, *, worth_sd: float = 0.2) -> Transfer:
    """Say whether a gain that was made with one club at one place is seen with or at another.

    Parameters
    ----------
    home
        The club with which the change was made: blocks before and with the change.
    there
        The other club or place: its own blocks from before the change, and the test.
    worth_sd
        Gain that is worth having, in usual spreads of each club.

    Raises
    ------
    InputError
        If a club has no block from before, or none to hold against it.
    OutOfRangeError
        If a spread or a variance is not above 0.

    Examples
    --------
    >>> def block(kind, day, mean):
    ...     return BlockLevel(kind=kind, day=day, mean=mean, variance=0.03)
    >>> driver = [block("before", 3, 40.0), block("with_change", 3, 42.5)]
    >>> iron = [*(block("before", day, 35.0) for day in range(4)), block("test", 5, 37.2)]
    >>> found = transfer(Club(blocks=driver, usual_sd=0.54), Club(blocks=iron, usual_sd=0.5))
    >>> found.answer, round(found.above, 1)
    ('carried_over', 2.0)
    >>> same = [*iron[:4], block("test", 5, 35.0)]
    >>> transfer(Club(blocks=driver, usual_sd=0.54), Club(blocks=same, usual_sd=0.5)).answer
    'cannot_tell'
    """
    gain, above = _rise(home, "with_change"), _rise(there, "test")
    some = above.gain_above(worth_sd)
    sign = 1.0 if there.more_is_better else -1.0
    rise = above.gain()
    low, high = ends_of(rise, sign * there.usual_sd)
    return Transfer(
        answer=_answer(gain.gain_above(worth_sd), some),
        above=sign * there.usual_sd * rise.mean,
        above_low=low,
        above_high=high,
        odds_some=some,
    )


def _answer(shown: float, some: float) -> Carried:
    if shown < SHOWN:
        return "nothing_to_keep"
    if some > SHOWN:
        return "carried_over"
    return "not_seen" if 1.0 - some > SHOWN else "cannot_tell"


def _rise(club: Club, against: Kind) -> Nodes:
    """How far blocks of one kind lie above those from before, in usual spreads."""
    wanted: tuple[Kind, ...] = ("before", against)
    for kind in wanted:
        if not any(block.kind == kind for block in club.blocks):
            raise InputError(
                f"There is no block of the kind {kind!r}.",
                fix="Give each club its blocks from before, and those to hold against them.",
            )
    chosen = [block for block in club.blocks if block.kind in wanted]
    spreads = [club.usual_sd, *(block.variance for block in chosen)]
    spreads += [] if club.day_sd is None else [club.day_sd]
    if not all(0.0 < spread < np.inf for spread in spreads):
        raise OutOfRangeError(
            "A spread or a variance is not above 0.", fix="Check the levels and the usual spread."
        )
    # A rise is asked for, not a share that was kept: every block against it carries all of it.
    whole = [
        BlockLevel(
            kind="before" if block.kind == "before" else "with_change",
            day=block.day,
            mean=block.mean,
            variance=block.variance,
        )
        for block in chosen
    ]
    sign = 1.0 if club.more_is_better else -1.0
    values = np.array([sign * block.mean for block in whole]) / club.usual_sd
    error = np.array([block.variance for block in whole]) / club.usual_sd**2
    day = DAY_SD if club.day_sd is None else club.day_sd / club.usual_sd
    return weighed(whole, values, error, day, club.day_doubt)
