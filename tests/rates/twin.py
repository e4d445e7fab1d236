"""The level look of `leadfoot.evidence.change`, compiled, for thousands of lessons at a time.

Only the simulations use it; the program itself compiles nothing to judge. It is written ball by
ball instead of array by array, so that it is a second writing-down of the same sums, and
`tests/rates/test_twin.py` holds the two to a millionth of each other on random lessons.
"""

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from leadfoot.evidence.change import DEFAULT_PRIOR
from leadfoot.evidence.noise import LENGTH_NOISE, Noise
from leadfoot.evidence.peak import LevelPrior
from leadfoot.evidence.usual import scale_doubt
from tests.rates.twin_loops import N_COLUMNS, all_looks

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True)
class Model:
    """The assumptions of a look as the compiled loops take them."""

    places: Floats
    """Rows of (scale as power of the doubt, log prior, precision of the change)."""
    precision: Floats
    warm_balls: float
    noise: tuple[float, float, float]
    doubt: float
    worth: float
    cold: float

    @classmethod
    def of(
        cls,
        n_shots: int,
        *,
        prior: LevelPrior = DEFAULT_PRIOR,
        noise: Noise = LENGTH_NOISE,
        worth: float = 0.2,
        cold: float = 0.0,
    ) -> "Model":
        """The model of `level_change` for a student with so many earlier shots."""
        at = np.linspace(-prior.reach, prior.reach, prior.n_nodes)
        rows = [
            (place, math.log(share) - math.log(sd) - 0.5 * place**2, 1.0 / sd**2)
            for sd, share in zip(prior.change_sd, prior.change_share, strict=True)
            for place in at
        ]
        return cls(
            places=np.array(rows),
            precision=1.0 / np.array([prior.level_sd, 1.0, prior.slope_sd, prior.warm_sd]) ** 2,
            warm_balls=prior.warm_balls,
            noise=(noise.share, noise.shift, noise.widening),
            doubt=scale_doubt(n_shots, more=prior.day_doubt),
            worth=worth,
            cold=cold,
        )

    def quick(self) -> "Model":
        """One node in place of all: surer of itself than they are, for a first glance."""
        return replace(self, places=np.array([[-1.0, 0.0, 1.0 / 9.0]]))


def looks_at(
    values: Floats,
    with_change: Flags,
    looks: NDArray[np.int64],
    model: Model,
    *,
    truth: float = 0.0,
    first_ball: int = 0,
    follow: bool = False,
    wanted: Flags | None = None,
) -> Floats:
    """Every look at every lesson, shape (lessons, looks, columns).

    Parameters
    ----------
    values
        Shape (lessons, balls), in usual standard deviations.
    with_change
        Shape (balls,).
    looks
        Numbers of balls after which is looked.
    model, truth
        Assumptions, and the true change in usual standard deviations.
    first_ball
        Number of the first ball that counts: balls hit to get warm keep their numbers.
    follow
        Start each look from the modes of the one before and count no mishits: a third of the time,
        and the same answer but
        where the balls allow two (test_twin.py says how seldom).
    wanted
        Shape (lessons, looks): which looks to take; NaN in the others.
    """
    found = np.full((len(values), len(looks), N_COLUMNS), np.nan)
    if wanted is None:
        wanted = np.ones(found.shape[:2], dtype=np.bool_)
    numbers = first_ball + np.arange(values.shape[1], dtype=np.float64)
    all_looks(
        np.ascontiguousarray(values, dtype=np.float64),
        with_change,
        numbers,
        looks,
        (model.places, model.precision, np.array(model.noise), model.doubt, model.warm_balls),
        (model.worth, truth, model.cold),
        follow,
        wanted,
        found,
    )
    return found
