"""The pattern of one block: middle, spread, mishits, ellipses and the share in a corridor.

A pattern is described twice. By angle and logarithm of the distance, since what sends a ball
offline is an angle: a longer ball with the same angles lies wider in yards. And in metres, since a
fairway is so many metres wide. Middle and spread are those of the solid balls (a multivariate t,
`leadfoot.evidence.robust`); mishits are counted apart, and in a corridor every ball counts.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy.special import chdtri

from leadfoot.errors import InputError, OutOfRangeError
from leadfoot.evidence.ellipse import Ellipse, ellipse_around, prediction_factor
from leadfoot.evidence.robust import robust_cloud
from leadfoot.evidence.share import Share, wilson_share
from leadfoot.evidence.solid import mishit_odds

Floats = NDArray[np.float64]
Missing = Literal["too_few", "all_equal", "on_a_line", "no_distance"]
"""Why a spread or an ellipse is not there: fewer than three balls; all the same; no width in some
direction; a ball that went nowhere has no angle and no logarithm of its distance."""

HELD = (0.5, 0.9)
"""Chances for which ellipses are drawn: half of the balls, and nine in ten. A choice."""
FEWEST_BALLS = 3
EFFICIENCY = 0.9
"""Share of the balls beyond two that count for the size of an ellipse, since a robust fit wastes
some. Found by simulation: an ellipse meant for 90 of 100 solid balls holds 90 to 93 of them where
there are no mishits, from 4 to 40 balls, and up to 95 where 15 in 100 are mishits
(tests/evidence/test_dispersion.py)."""
SPREAD_EFFICIENCY = 0.75
"""Share of the degrees of freedom that count for the range of a spread; found as above."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """A standard deviation of the solid balls, with its range; in the unit of its direction."""

    sd: float
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Plane:
    """One description of a pattern, across (x) and along (y) the target line.

    Attributes
    ----------
    across, along
        The middle.
    spread_across, spread_along
        None where `missing` says why.
    correlation
        Between across and along, in [-1, 1].
    ellipses
        By the chance to hold the next solid ball; empty where `missing` says why.
    missing
        None where all is there.
    """

    across: float
    along: float
    spread_across: Spread | None
    spread_along: Spread | None
    correlation: float | None
    ellipses: Mapping[float, Ellipse]
    missing: Missing | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ShotPattern:
    """The pattern of one block.

    Attributes
    ----------
    n, n_unknown
        Balls with both numbers, and balls that lack one.
    metres
        Offline (right positive) and carry, in metres; None without any ball.
    polar
        Angle (rad, right positive) and natural logarithm of the distance in metres; the spread of
        the logarithm is a share of the distance. None without any ball.
    mishits
        Balls that were more probably a mishit than not, with their range.
    mishit_odds
        Shape (n,): probability of each ball with both numbers to be a mishit.
    corridor_m, in_corridor
        Full width of the corridor about the target line, and the share of all balls in it, mishits
        among them; None where none was asked for.
    """

    n: int
    n_unknown: int
    metres: Plane | None
    polar: Plane | None
    mishits: Share | None
    mishit_odds: tuple[float, ...]
    corridor_m: float | None
    in_corridor: Share | None


def shot_pattern(
    carry_m: Floats,
    offline_m: Floats,
    *,
    corridor_m: float | None = None,
    held: Sequence[float] = HELD,
    probability: float = 0.9,
) -> ShotPattern:
    """Describe where the balls of one block and one club came down.

    Parameters
    ----------
    carry_m
        Shape (n,): distance along the target line in metres, NaN where unknown.
    offline_m
        Shape (n,): right of the target line is positive, in metres, NaN where unknown.
    corridor_m
        Full width of a corridor about the target line, above 0.
    held
        Chances of the ellipses to hold the next solid ball, each in (0, 1).
    probability
        Coverage of every range, in (0, 1).

    Returns
    -------
    ShotPattern
        With fewer than three balls, equal balls or balls on a line, what cannot be said is None or
        empty, and `Plane.missing` says why.

    Raises
    ------
    InputError
        If the shapes differ or a value is infinite.
    OutOfRangeError
        If the corridor has no width, or a chance lies outside (0, 1).

    Examples
    --------
    >>> carry_m = np.array([182.0, 176, 185, 179, 91, 188, 174, 181, 183, 178])
    >>> offline_m = np.array([4.0, -9, 12, 1, 3, -6, 8, np.nan, -2, 5])
    >>> found = shot_pattern(carry_m, offline_m, corridor_m=15.0)
    >>> found.n, found.n_unknown, found.mishits.k, found.in_corridor.k
    (9, 1, 1, 6)
    >>> round(math.degrees(found.polar.spread_across.sd), 1)
    2.3
    """
    _check(carry_m, offline_m, corridor_m, held, probability)
    known = np.isfinite(carry_m) & np.isfinite(offline_m)
    carry, offline = carry_m[known].astype(np.float64), offline_m[known].astype(np.float64)
    n = len(carry)
    odds = mishit_odds(np.hypot(carry, offline))
    return ShotPattern(
        n=n,
        n_unknown=len(carry_m) - n,
        metres=_plane(offline, carry, held, probability) if n else None,
        polar=_polar(offline, carry, held, probability) if n else None,
        mishits=_share(odds > 0.5, probability),
        mishit_odds=tuple(float(one) for one in odds),
        corridor_m=corridor_m,
        in_corridor=None
        if corridor_m is None
        else _share(np.abs(offline) <= 0.5 * corridor_m, probability),
    )


def _check(
    carry_m: Floats,
    offline_m: Floats,
    corridor_m: float | None,
    held: Sequence[float],
    probability: float,
) -> None:
    if carry_m.ndim != 1 or carry_m.shape != offline_m.shape:
        raise InputError(
            f"carry_m has shape {carry_m.shape} and offline_m {offline_m.shape}.",
            fix="Give one value of each for every ball, NaN where there is none.",
        )
    if np.isinf(carry_m).any() or np.isinf(offline_m).any():
        raise InputError("A ball lies infinitely far.", fix="Put NaN where it has no value.")
    if corridor_m is not None and not 0.0 < corridor_m < math.inf:
        raise OutOfRangeError(
            f"The corridor is {corridor_m:g} m wide.", fix="Give a width above 0, such as 27 m."
        )
    for chance in (*held, probability):
        if not 0.0 < chance < 1.0:
            raise OutOfRangeError(
                f"{chance:g} is no chance of an ellipse or a range.",
                fix="Give one between 0 and 1, such as 0.9.",
            )


def _share(counts: NDArray[np.bool_], probability: float) -> Share | None:
    if not len(counts):
        return None
    return wilson_share(int(counts.sum()), len(counts), probability=probability)


def _polar(offline: Floats, carry: Floats, held: Sequence[float], probability: float) -> Plane:
    """The plane of angle and logarithm of distance; a ball behind the player has its angle too."""
    distance = np.hypot(offline, carry)
    if not (distance > 0.0).all():
        still = distance > 0.0
        if not still.any():
            return _middle_only(math.nan, math.nan, "no_distance")
        rest = _polar(offline[still], carry[still], held, probability)
        return _middle_only(rest.across, rest.along, "no_distance")
    return _plane(np.arctan2(offline, carry), np.log(distance), held, probability)


def _plane(across: Floats, along: Floats, held: Sequence[float], probability: float) -> Plane:
    missing = _missing(across, along)
    cloud = None if missing else robust_cloud(np.column_stack([across, along]))
    if cloud is None:
        middle = float(np.median(across)), float(np.median(along))
        return _middle_only(*middle, missing or "on_a_line")
    n = len(across)
    sd = np.sqrt(np.diag(cloud.covariance))
    counted = 2.0 + EFFICIENCY * (n - 2.0)
    ellipses = {
        chance: ellipse_around(cloud.centre, cloud.covariance, prediction_factor(counted, chance))
        for chance in held
    }
    return Plane(
        across=float(cloud.centre[0]),
        along=float(cloud.centre[1]),
        spread_across=_spread(float(sd[0]), n, probability),
        spread_along=_spread(float(sd[1]), n, probability),
        correlation=float(np.clip(cloud.covariance[0, 1] / (sd[0] * sd[1]), -1.0, 1.0)),
        ellipses=MappingProxyType({key: one for key, one in ellipses.items() if one is not None}),
        missing=None,
    )


def _middle_only(across: float, along: float, missing: Missing) -> Plane:
    return Plane(
        across=across,
        along=along,
        spread_across=None,
        spread_along=None,
        correlation=None,
        ellipses=MappingProxyType({}),
        missing=missing,
    )


def _missing(across: Floats, along: Floats) -> Missing | None:
    if len(across) < FEWEST_BALLS:
        return "too_few"
    flat = [float(np.ptp(values)) == 0.0 for values in (across, along)]
    if all(flat):
        return "all_equal"
    return "on_a_line" if any(flat) else None


def _spread(sd: float, n: int, probability: float) -> Spread:
    """A spread with its chi-square range, at the degrees of freedom that the fit leaves."""
    freedom = SPREAD_EFFICIENCY * (n - 1.0)
    low, high = spread_range(freedom, probability=probability)
    return Spread(sd=sd, low=sd * low, high=sd * high)


def spread_range(freedom: float, *, probability: float = 0.9) -> tuple[float, float]:
    """Factors from a standard deviation to the ends of its range, for normal balls.

    Parameters
    ----------
    freedom
        Degrees of freedom: balls less one for a plain standard deviation; above 0.
    probability
        Coverage, in (0, 1).

    Raises
    ------
    OutOfRangeError
        If there is no degree of freedom.

    Examples
    --------
    >>> low, high = spread_range(9, probability=0.95)
    >>> round(low, 3), round(high, 3)
    (0.688, 1.826)
    """
    if not freedom > 0.0:
        raise OutOfRangeError(
            f"A spread from {freedom:g} degrees of freedom is not defined.",
            fix="Hit at least two balls.",
        )
    tail = 0.5 * (1.0 - probability)
    return (
        math.sqrt(freedom / float(chdtri(freedom, tail))),
        math.sqrt(freedom / float(chdtri(freedom, 1.0 - tail))),
    )
