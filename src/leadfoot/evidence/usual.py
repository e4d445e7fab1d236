"""How much a player's ball usually varies, before anything is known of this student: assumed.

What earlier lessons add stands in `leadfoot.evidence.memory`.
"""

import math
from collections.abc import Mapping
from types import MappingProxyType
from typing import Literal

import numpy as np

from leadfoot.errors import InputError
from leadfoot.evidence.judgement import UsualSpread
from leadfoot.evidence.lesson import Seen

Level = Literal["skilled", "middle", "beginner"]

DAY_DOUBT = 0.20
"""Standard deviation of the logarithm of a day's spread around the student's own. Assumed."""
STUDENT_DOUBT = 0.29
"""The same between students of one level, around the population value: together with the days it
makes 0.35. Assumed."""
BALLS_PER_LOG = 0.75
"""A robust standard deviation from n balls has a logarithm with variance ``0.75 / n`` (normal balls
and the full efficiency give 0.5; the mishit part costs about a third; see tests/outside)."""
UNUSUAL = 2.0
"""How many doubts today's spread must lie above the usual one before the usual one is raised."""
WORTH_SAYING = 1.25
"""From which factor on the raising is worth a remark. A choice."""
MAD_TO_SD = 1.4826
"""Median absolute deviation of a normal to its standard deviation: 1 / 0.67449."""

_DEGREE = math.pi / 180.0

_SHARE_OF_VALUE: Mapping[str, tuple[float, float]] = MappingProxyType(
    {
        "club_speed": (0.010, 0.020),
        "ball_speed": (0.015, 0.040),
        "smash_factor": (0.012, 0.030),
        "carry": (0.035, 0.090),
        "total": (0.035, 0.090),
        "apex": (0.10, 0.20),
        "hang_time": (0.05, 0.10),
        "spin_rate": (0.10, 0.20),
    }
)
"""Usual spread as a share of the value, for low and for high handicaps, driver. Club speed, ball
speed and carry: engineering values from memory, LOW confidence; the others are guesses in line with
them. No published within-golfer standard deviations by handicap were found."""

_FIXED_SI: Mapping[str, tuple[float, float]] = MappingProxyType(
    {
        "attack_angle": (0.8 * _DEGREE, 1.8 * _DEGREE),
        "club_path": (1.0 * _DEGREE, 2.5 * _DEGREE),
        "swing_direction": (1.0 * _DEGREE, 2.5 * _DEGREE),
        "face_angle": (1.5 * _DEGREE, 3.5 * _DEGREE),
        "face_to_path": (1.5 * _DEGREE, 3.5 * _DEGREE),
        "dynamic_loft": (1.2 * _DEGREE, 2.5 * _DEGREE),
        "spin_loft": (1.2 * _DEGREE, 2.5 * _DEGREE),
        "launch_angle": (1.2 * _DEGREE, 2.5 * _DEGREE),
        "launch_direction": (1.5 * _DEGREE, 3.5 * _DEGREE),
        "spin_axis": (5.0 * _DEGREE, 12.0 * _DEGREE),
        "landing_angle": (2.0 * _DEGREE, 4.0 * _DEGREE),
        "low_point": (0.008, 0.020),
        "strike_heel_toe": (0.007, 0.014),
        "strike_high_low": (0.007, 0.014),
    }
)
"""Usual spread in SI. Attack, path, face and strike: engineering values from memory, LOW
confidence; the others are guesses in line with them."""

_OFFLINE_AS_ANGLE = (3.4 * _DEGREE, 7.0 * _DEGREE)
"""Spread of the direction of a drive: 3.4 degrees (tour) to about 7 (shoots 95). M. Broadie, Every
Shot Counts, 2014, from memory, LOW confidence."""

_TYPICAL_CARRY_M: Mapping[str, float] = MappingProxyType(
    {"driver": 190.0, "wood": 170.0, "hybrid": 155.0, "iron": 130.0, "wedge": 80.0}
)
"""Used only where no carry is known. A guess for an average amateur; common practice, no source."""

_TYPICAL_SI: Mapping[str, float] = MappingProxyType(
    {
        "club_speed": 40.0,
        "ball_speed": 56.0,
        "smash_factor": 1.4,
        "total": 200.0,
        "apex": 22.0,
        "hang_time": 5.5,
        "spin_rate": 320.0,
    }
)
"""Used only where the student's own value is not known. Guesses; common practice, no source."""

_PLACE_IN_RANGE: Mapping[Level, float] = MappingProxyType(
    {"skilled": 0.0, "middle": 0.5, "beginner": 1.0}
)


def usual_spread(
    quantity: str,
    club_class: str | None,
    typical_value_si: float | None,
    level: Level = "middle",
) -> UsualSpread:
    """Usual shot-to-shot spread of a student without history.

    LOW confidence: see the tables in this file. It is only a start: today's own spread soon
    outweighs it, and a spread learnt from earlier lessons replaces it.

    Parameters
    ----------
    quantity
        Key of the glossary.
    club_class
        ``driver``, ``wood``, ``hybrid``, ``iron``, ``wedge`` or None; used where
        `typical_value_si` is None.
    typical_value_si
        The student's typical value of the quantity; for ``offline`` the typical carry. SI.
    level
        ``skilled`` (low handicap), ``middle`` or ``beginner`` (high handicap).

    Raises
    ------
    InputError
        If there is no value for the quantity.

    Examples
    --------
    >>> round(usual_spread("club_speed", "driver", 45.0).sd, 4)
    0.6364
    """
    place = _PLACE_IN_RANGE[level]
    if quantity in _FIXED_SI:
        return UsualSpread(sd=_between(_FIXED_SI[quantity], place))
    if quantity == "offline":
        carry_m = _size(typical_value_si) or _typical(quantity, club_class)
        return UsualSpread(sd=carry_m * math.tan(_between(_OFFLINE_AS_ANGLE, place)))
    if quantity in _SHARE_OF_VALUE:
        value_si = _size(typical_value_si) or _typical(quantity, club_class)
        return UsualSpread(sd=value_si * _between(_SHARE_OF_VALUE[quantity], place))
    raise InputError(
        f"No usual spread is known for {quantity!r}.",
        fix=f"Use one of: {' '.join(sorted({*_FIXED_SI, *_SHARE_OF_VALUE, 'offline'}))}.",
    )


def _between(ends: tuple[float, float], place: float) -> float:
    """Between two spreads, evenly in their logarithm."""
    return math.exp((1.0 - place) * math.log(ends[0]) + place * math.log(ends[1]))


def _size(value_si: float | None) -> float:
    if value_si is None or not math.isfinite(value_si):
        return 0.0
    return abs(value_si)


def _typical(quantity: str, club_class: str | None) -> float:
    carry_m = _TYPICAL_CARRY_M.get(club_class or "iron", _TYPICAL_CARRY_M["iron"])
    return carry_m if quantity in {"carry", "offline"} else _TYPICAL_SI[quantity]


def scale_doubt(n_shots: int, *, more: float = 0.0) -> float:
    """Standard deviation of the logarithm of today's spread, given the usual one.

    Parameters
    ----------
    n_shots
        Earlier shots behind the usual spread; 0 for a population value.
    more
        Doubt beside it, as a standard deviation of the logarithm.

    Examples
    --------
    >>> round(scale_doubt(0), 4), round(scale_doubt(60), 4)
    (0.3523, 0.2256)
    """
    own = 1.0 / (1.0 / STUDENT_DOUBT**2 + n_shots / BALLS_PER_LOG)
    return math.sqrt(DAY_DOUBT**2 + own + more**2)


def spread_today(balls: Seen, usual: UsualSpread, *, more_doubt: float = 0.0) -> tuple[float, bool]:
    """The spread to count in: the usual one, raised if today's balls stray far more than it allows.

    A spread that is assumed too small would make luck look like a change, so today's own (median
    absolute deviation within before and after) may raise it. It is never lowered. `more_doubt` is
    that of `scale_doubt`.

    Returns
    -------
    tuple[float, bool]
        The spread in SI, and whether it was raised by so much that it is worth a remark.

    Examples
    --------
    >>> wild = Seen(values=np.array([0.0, 10, 20, 30, 0, 10, 20, 30]),
    ...             with_change=np.arange(8) >= 4, ball_number=np.arange(8.0))
    >>> spread_today(wild, UsualSpread(sd=1.0, n_shots=80))[1]
    True
    """
    doubt = scale_doubt(usual.n_shots, more=more_doubt)
    lowest_today = observed_spread(balls) * math.exp(-UNUSUAL * doubt)
    return max(usual.sd, lowest_today), lowest_today > WORTH_SAYING * usual.sd


def observed_spread(balls: Seen) -> float:
    """Robust spread of the balls around the middles of before and after, in SI.

    Examples
    --------
    >>> balls = Seen(values=np.array([1.0, 2.0, 3.0, 11.0, 12.0, 13.0]),
    ...              with_change=np.arange(6) >= 3, ball_number=np.arange(6.0))
    >>> round(observed_spread(balls), 5)
    1.81581
    """
    away = [
        np.abs(side - np.median(side)) * math.sqrt(len(side) / (len(side) - 1))
        for side in (balls.values[~balls.with_change], balls.values[balls.with_change])
        if len(side) > 2
    ]
    return MAD_TO_SD * float(np.median(np.concatenate(away))) if away else 0.0
