"""Lessons made by hand for the tests of the judging."""

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from leadfoot.evidence.judgement import Aim, LessonShots, Track, UsualSpread
from leadfoot.evidence.lesson import Seen

Floats = NDArray[np.float64]

SPREAD: Mapping[str, float] = {
    "club_speed": 0.54,
    "ball_speed": 1.2,
    "smash_factor": 0.02,
    "carry": 7.3,
    "total": 7.5,
    "offline": 11.0,
    "launch_direction": 0.04,
}
"""Usual spreads in SI of an invented student."""


def aim_of(quantity: str) -> Aim:
    return "nearer_zero" if quantity in {"offline", "launch_direction"} else "more"


def track(quantity: str, values: Sequence[float] | Floats, *, sd: float | None = None) -> Track:
    return Track(
        quantity=quantity,
        values=np.asarray(values, dtype=np.float64),
        aim=aim_of(quantity),
        usual=UsualSpread(sd=SPREAD[quantity] if sd is None else sd, n_shots=80),
    )


def lesson_of(
    with_change: Sequence[bool] | NDArray[np.bool_],
    tracks: Mapping[str, Sequence[float] | Floats],
    *,
    distance: str | None = None,
    direction: str | None = None,
    sds: Mapping[str, float] | None = None,
) -> LessonShots:
    n = len(with_change)
    return LessonShots(
        with_change=np.asarray(with_change, dtype=np.bool_),
        ball_number=np.arange(n, dtype=np.float64),
        tracks={key: track(key, values, sd=(sds or {}).get(key)) for key, values in tracks.items()},
        declared_distance=distance,
        declared_direction=direction,
    )


def balls_of(values: Sequence[float] | Floats, n_before: int) -> Seen:
    n = len(values)
    return Seen(
        values=np.asarray(values, dtype=np.float64),
        with_change=np.arange(n) >= n_before,
        ball_number=np.arange(n, dtype=np.float64),
    )


def normal_balls(
    rng: np.random.Generator, n_before: int, n_after: int, *, change: float = 0.0
) -> Seen:
    """Clean balls of standard deviation 1 around 0."""
    n = n_before + n_after
    return balls_of(rng.standard_normal(n) + change * (np.arange(n) >= n_before), n_before)
