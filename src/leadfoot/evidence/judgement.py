"""The records of a judgement: arrays of shots go in, odds and a decision come out.

Everything is in SI. Numbers shown to people are made on the floors above.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Verdict = Literal["yes", "no", "not_yet"]
Decision = Literal["keep", "drop", "hit_more"]
Answer = Literal["keep", "hurts", "no_worthwhile_gain", "trade", "hit_more", "go_back"]
"""What a coach is told to do, one word finer than the decision."""
Kind = Literal["level", "bias", "spread", "mishits"]
Aim = Literal["more", "nearer_zero"]


@dataclass(frozen=True, slots=True, kw_only=True)
class UsualSpread:
    """How much one student's ball varies from shot to shot, before today's shots are looked at.

    Attributes
    ----------
    sd
        Usual shot-to-shot standard deviation, in the SI unit of the quantity.
    n_shots
        What the earlier shots of this student and club behind it are worth; 0 for a population
        value.
    """

    sd: float
    n_shots: int = 0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Track:
    """One quantity through a lesson, in hitting order.

    Attributes
    ----------
    quantity
        Key of the glossary.
    values
        Shape (n,), SI, NaN where the shot has no value.
    aim
        ``more`` (length, speed) or ``nearer_zero`` (directions).
    usual
        The student's usual spread.
    """

    quantity: str
    values: NDArray[np.float64]
    aim: Aim
    usual: UsualSpread


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LessonShots:
    """The shots of one club in one lesson, before and with one change, in hitting order.

    Attributes
    ----------
    with_change
        Shape (n,): True where the shot was hit with the change.
    ball_number
        Shape (n,): number of the ball in the session, from 0; left-out balls keep their number.
    tracks
        Quantity key to its track; every track has n values.
    declared
        The distance quantity that the claim "longer" is about, and the direction quantity that
        "straighter" is about; None where the lesson has none.
    planned
        Shape (m,): for every ball that was planned before the change, whether it would be hit with
        it; None where nothing was planned. The looks may then spend their doubt late
        (`leadfoot.evidence.settings`).
    """

    with_change: NDArray[np.bool_]
    ball_number: NDArray[np.float64]
    tracks: Mapping[str, Track]
    declared_distance: str | None
    declared_direction: str | None
    planned: NDArray[np.bool_] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What changed in one respect, with its range and its odds.

    For ``level`` and ``bias`` the numbers are means (a bias is signed, right positive), for
    ``spread`` standard deviations, for ``mishits`` shares of the balls. ``change`` is after less
    before, the shrunk estimate; ``low`` and ``high`` hold it with 90 % probability.
    ``odds_better`` is the probability that the change is an improvement: more, nearer the target,
    narrower, fewer.
    """

    quantity: str
    kind: Kind
    before: float
    after: float
    change: float
    low: float
    high: float
    odds_better: float
    verdict: Verdict
    n_before: int
    n_after: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Claim:
    """A claim with its verdict and its odds (None where no shot speaks of it)."""

    verdict: Verdict
    odds: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Judgement:
    """The whole answer for one change in one lesson.

    ``no`` means shown: shown not to be worth having, or shown worse; ``not_yet`` means that the
    shots cannot tell.
    """

    outcomes: tuple[Outcome, ...]
    longer: Claim
    bias: Outcome | None
    spread: Outcome | None
    straighter: Claim
    both: Claim
    odds_shorter: float | None
    """Probability that the distance (or club speed, where there is no other) fell by more than is
    worth talking of."""
    odds_wilder: float | None
    """Probability that the average miss of the declared direction grew by more than 5 %."""
    mishits: Outcome | None
    odds_more_mishits: float | None
    """Probability that the share of mishits rose by more than 5 balls in 100."""
    decision: Decision
    n_more: int | None
    """Balls with the change after which an answer is likely; None where more would not tell.

    While either side has too few balls: as many as are missing on both sides.
    """
    chance_more_tells: float | None
    """Chance that `n_more` (or the most that was looked at) balls bring an answer."""
    reasons: tuple[str, ...]
    """Short words for why the decision fell so.

    ``no_comparison`` (nothing has balls on both sides), ``too_early``; gains that are shown:
    ``longer``, ``faster`` (club speed alone), ``straighter``; losses that are shown: ``shorter``,
    ``wilder``, ``more_mishits``, or only likely: the same after ``maybe_``; ``wider`` and
    ``maybe_wider`` beside a gain of length or speed (its price: the pattern is wider);
    ``trade`` (straighter at the price of length), ``not_worth_it`` (no gain worth having is left to
    hope for); ``cold_start`` (a gain is held back, for the first balls may have been cold ones);
    ``go_back`` (balls without the change would tell more than balls with it); and
    ``wider_than_usual`` (a declared quantity strays far more than the usual spread).
    """

    @property
    def answer(self) -> Answer:
        """The decision, and where it is not to keep, what kind of one it is.

        ``hurts``: a loss is shown. ``no_worthwhile_gain``: no gain worth having is left to hope
        for. ``trade``: straighter at the price of length, the coach's to weigh. ``go_back``: hit
        the old way again next, which tells more. ``hit_more``: hit on with the change.
        """
        if self.decision == "keep":
            return "keep"
        if self.decision == "drop":
            return "no_worthwhile_gain" if "not_worth_it" in self.reasons else "hurts"
        if "trade" in self.reasons:
            return "trade"
        return "go_back" if "go_back" in self.reasons else "hit_more"
