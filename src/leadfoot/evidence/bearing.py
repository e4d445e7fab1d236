"""Straighter in degrees: the balls of one lesson as bearings from the tee.

A student who hits it farther at the same bearing lands wider in yards. Whether the swing became
straighter is a matter of the bearing; what it costs on the course is a matter of yards.
"""

import math

import numpy as np

from leadfoot.errors import InputError, OutOfRangeError
from leadfoot.evidence.judgement import UsualSpread
from leadfoot.evidence.lesson import Seen
from leadfoot.evidence.noise import Floats
from leadfoot.evidence.pairs import DEFAULT_PATTERN_PRIOR, PatternPrior
from leadfoot.evidence.pattern import PatternChange, pattern_change


def bearing_rad(offline_m: Floats, distance_m: Floats) -> Floats:
    """Bearing of each ball from the tee, right positive, in ±π/2.

    Parameters
    ----------
    offline_m
        Shape (n,): to the side, right positive.
    distance_m
        Shape (n,): along the target line, above 0 (carry or total, whichever offline belongs to).

    Raises
    ------
    InputError
        If the shapes differ.
    OutOfRangeError
        If a distance is not above 0.

    Examples
    --------
    >>> np.degrees(bearing_rad(np.array([20.0, -20.0]), np.array([200.0, 200.0]))).round(2)
    array([ 5.71, -5.71])
    """
    if offline_m.shape != distance_m.shape:
        raise InputError(
            f"There are {offline_m.shape} values of offline and {distance_m.shape} distances.",
            fix="Give one distance for every ball.",
        )
    if not (distance_m > 0.0).all():
        raise OutOfRangeError(
            "A distance is not above 0 m.",
            fix="Leave balls that went nowhere away: they have no bearing.",
        )
    return np.arctan2(offline_m, distance_m)


def bearing_change(
    offline: Seen,
    distance_m: Floats,
    usual_offline: UsualSpread,
    *,
    prior: PatternPrior = DEFAULT_PATTERN_PRIOR,
) -> PatternChange:
    """Bias and spread of one lesson as bearings, in radians.

    Parameters
    ----------
    offline
        Offline of the balls, in metres.
    distance_m
        Shape (n,): how far each ball went along the target line.
    usual_offline
        The student's usual spread of offline; as a bearing it is taken at the middle distance of
        the balls before the change.
    prior
        The model's assumptions.

    Examples
    --------
    The same angles, and farther with the change: wider in metres, not in degrees.

    >>> rng = np.random.default_rng(2)
    >>> turned, far = rng.normal(0, 0.05, 40), np.repeat([180.0, 220.0], 20)
    >>> balls = Seen(values=far * np.tan(turned), with_change=far > 200,
    ...              ball_number=np.arange(40.0))
    >>> usual = UsualSpread(sd=9.0, n_shots=60)
    >>> in_degrees, in_metres = bearing_change(balls, far, usual), pattern_change(balls, usual)
    >>> in_degrees.narrower > in_metres.narrower
    True
    """
    angle = bearing_rad(offline.values, distance_m)
    middle_m = float(np.median(distance_m[~offline.with_change])) if offline.n_before else 1.0
    usual = UsualSpread(sd=math.atan(usual_offline.sd / middle_m), n_shots=usual_offline.n_shots)
    bearings = Seen(values=angle, with_change=offline.with_change, ball_number=offline.ball_number)
    return pattern_change(bearings, usual, prior=prior)
