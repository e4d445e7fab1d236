"""Jumps of one person over days and months: best and mean of three, real changes, the trend."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from scipy.special import ndtr, ndtri

from leadfoot.errors import InputError

Kind = Literal["impulse", "flight time", "reach"]
Measure = Literal["height", "peak force", "peak power", "take-off velocity"]

RETEST_CV: dict[Measure, float] = {
    "height": 0.058,
    "peak force": 0.025,
    "peak power": 0.051,
    "take-off velocity": 0.051,
}
"""Spread of one person from test to test, as a share: 41 active men, 2 to 7 days apart (PMC7039490,
abstract). For power and velocity the paper's range is 2.5 to 5.1 %, and the larger is taken. The
rate of rise of the force (12.9 %) is too uncertain to be reported."""
TIMES_CV = 1.5
"""A change is reported as real beyond this many of them (own choice)."""
LIMITS: dict[Measure, float] = {
    "height": 0.09,
    "peak force": 0.038,
    "peak power": 0.077,
    "take-off velocity": 0.077,
}
"""1.5 times the spread from test to test; for height rounded up to 9 %."""
ENOUGH_JUMPS = 3
"""Jumps a day on which best and mean are those of three (own choice)."""
LEAST_DAYS, LEAST_SPAN_DAYS = 3, 28.0
"""Tests, and days between the first and the last, below which no trend is said (own choice)."""
MONTH_DAYS = 30.4375
"""A twelfth of 365.25 days."""


@dataclass(frozen=True, slots=True, kw_only=True)
class JumpDay:
    """The jumps of one day, all found in one way.

    Attributes
    ----------
    day
        Days since any fixed day. [d]
    heights_m
        One or more heights. [m]
    kind
        How they were found; only days of one kind can be compared.
    threshold_n
        Of take-off and landing, for jumps on plates. [N]

    Examples
    --------
    >>> day = JumpDay(day=0.0, heights_m=(0.31, 0.33, 0.32))
    >>> day.best_m, round(day.mean_m, 3), day.complete
    (0.33, 0.32, True)
    """

    day: float
    heights_m: tuple[float, ...]
    kind: Kind = "impulse"
    threshold_n: float | None = 20.0

    def __post_init__(self) -> None:
        if not self.heights_m or not all(0.0 < height < 1.5 for height in self.heights_m):
            raise InputError(
                f"The heights of the day are {self.heights_m}; heights are 0 to 1.5 m.",
                fix="Give one height or more, in metres.",
            )

    @property
    def best_m(self) -> float:
        """The highest jump, in m."""
        return max(self.heights_m)

    @property
    def mean_m(self) -> float:
        """The mean of the jumps, in m."""
        return math.fsum(self.heights_m) / len(self.heights_m)

    @property
    def complete(self) -> bool:
        """Whether there are three jumps or more."""
        return len(self.heights_m) >= ENOUGH_JUMPS


@dataclass(frozen=True, slots=True, kw_only=True)
class JumpChange:
    """A change between two tests, and whether it is larger than the test's own spread.

    Attributes
    ----------
    measure
        Of what.
    share
        ``after / before - 1``.
    limit
        A change up to this size says nothing.
    real
        Whether it is beyond the limit.
    """

    measure: Measure
    share: float
    limit: float
    real: bool

    @property
    def said(self) -> str:
        """The change in a sentence.

        Examples
        --------
        >>> change_between(0.30, 0.33).said
        'Height rose by 10.0 %, more than the 9.0 % by which a test varies of itself.'
        """
        if not self.real:
            return (
                f"{self.measure.capitalize()}: {self.share * 100:+.1f} % cannot be told from the "
                f"{self.limit * 100:.1f} % by which a test varies of itself."
            )
        way = "rose" if self.share > 0.0 else "fell"
        return (
            f"{self.measure.capitalize()} {way} by {abs(self.share) * 100:.1f} %, more than the "
            f"{self.limit * 100:.1f} % by which a test varies of itself."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class JumpTrend:
    """Growth of the height over months.

    Attributes
    ----------
    per_month
        Growth a month, as a share; with `low` and `high` around nine in ten.
    odds_rising
        Probability that it grows at all.
    n_days, span_days
        Tests, and days between the first and the last.
    enough
        False: too few tests or too short a time, so that nothing should be said.
    """

    per_month: float
    low: float
    high: float
    odds_rising: float
    n_days: int
    span_days: float
    enough: bool


def change_between(before: float, after: float, measure: Measure = "height") -> JumpChange:
    """Compare two tests of one person, found in one way.

    Parameters
    ----------
    before, after
        Two values above 0 in one unit: best with best, or mean with mean.
    measure
        Of what.

    Raises
    ------
    InputError
        If a value is not above 0.

    Examples
    --------
    >>> change_between(0.30, 0.32).real, change_between(0.30, 0.33).real
    (False, True)
    """
    if not (before > 0.0 and after > 0.0):
        raise InputError(
            f"The {measure} is {before:g} before and {after:g} after; both must be above 0.",
            fix="Check the values.",
        )
    share = after / before - 1.0
    limit = LIMITS[measure]
    return JumpChange(measure=measure, share=share, limit=limit, real=abs(share) > limit)


def change_of_days(before: JumpDay, after: JumpDay) -> JumpChange:
    """Compare the means of two days.

    Raises
    ------
    InputError
        If the heights were found in different ways.

    Examples
    --------
    >>> one = JumpDay(day=0.0, heights_m=(0.30,), kind="reach", threshold_n=None)
    >>> other = JumpDay(day=30.0, heights_m=(0.36,), kind="reach", threshold_n=None)
    >>> change_of_days(one, other).real
    True
    """
    _one_way((before, after))
    return change_between(before.mean_m, after.mean_m)


def trend(days: Sequence[JumpDay]) -> JumpTrend:
    """Growth of the mean height over months, with the test's own spread as its error.

    A straight line through the logarithms of the means. The error of one test is the larger of the
    published spread from test to test and what the tests stray about the line; a normal gives range
    and odds.

    Parameters
    ----------
    days
        In any order; two at least, all found in one way.

    Raises
    ------
    InputError
        If there are fewer than two days, or they were found in different ways.

    Examples
    --------
    >>> found = trend([JumpDay(day=30.4375 * k, heights_m=(0.30 * 1.02**k,)) for k in range(7)])
    >>> round(found.per_month, 4), round(found.odds_rising, 3), found.enough
    (0.02, 0.968, True)
    """
    _one_way(days)
    month = np.array([day.day for day in days], dtype=np.float64) / MONTH_DAYS
    if len(days) < 2 or float(np.ptp(month)) == 0.0:
        raise InputError("A trend needs two days at least.", fix="Test again another day.")
    logs = np.log([day.mean_m for day in days])
    off = month - month.mean()
    slope = float(off @ logs / (off @ off))
    stray = logs - logs.mean() - slope * off
    sd = math.log1p(RETEST_CV["height"])
    if len(days) > 2:
        sd = max(sd, float(np.sqrt(stray @ stray / (len(days) - 2))))
    error = sd / float(np.sqrt(off @ off))
    reach = float(ndtri(0.95)) * error
    span_days = float(np.ptp(month)) * MONTH_DAYS
    return JumpTrend(
        per_month=math.expm1(slope),
        low=math.expm1(slope - reach),
        high=math.expm1(slope + reach),
        odds_rising=float(ndtr(slope / error)),
        n_days=len(days),
        span_days=span_days,
        enough=len(days) >= LEAST_DAYS and span_days >= LEAST_SPAN_DAYS,
    )


def _one_way(days: Sequence[JumpDay]) -> None:
    ways = sorted({(day.kind, day.threshold_n or 0.0) for day in days})
    if len(ways) > 1:
        said = ", ".join(f"{kind} ({threshold:g} N)" for kind, threshold in ways)
        raise InputError(
            f"The heights were found in different ways: {said}.",
            fix="Compare only jumps of one method and threshold.",
        )
