"""Longer and straighter together, under looks after every ball: how often "both" is said.

The lessons are those of `tests.rates.lessons` (10 balls before, 15 with the change; carry, club
speed, offline). The compiled look finds every look at which "straighter" may be said; there, and
only there, "both" can be said, and the live judging of the whole lesson is asked.
"""

from dataclasses import dataclass, replace

import numpy as np

from leadfoot.evidence.judge import weigh
from leadfoot.evidence.judgement import UsualSpread
from leadfoot.evidence.posteriors import posteriors
from leadfoot.evidence.settings import DEFAULT_SETTINGS
from leadfoot.evidence.verdict import DirectionShown, decide
from tests.rates.lessons import (
    DAYS,
    PLANS,
    REFERENCE,
    USUAL_SI,
    Day,
    Truth,
    first_balls,
    simulate,
)
from tests.rates.straight_loop import all_looks
from tests.rates.straight_rule import straighter_above

PLAN = PLANS["10 before, 15 with"]
STRAIGHTER = Truth(narrower=0.5, offline_yd=(10.0, 2.0))
CELLS: dict[str, tuple[Day, Truth]] = {
    "nothing": (REFERENCE, Truth(offline_yd=(10.0, 10.0))),
    "nothing, drift 0.02 a ball toward the line": (
        replace(DAYS["drift +.02 sd a ball"]),
        Truth(offline_yd=(-10.0, -10.0)),
    ),
    "only longer: carry +16 yd": (REFERENCE, Truth(carry_yd=16.0, offline_yd=(10.0, 10.0))),
    "only longer: club speed +4 mph": (
        REFERENCE,
        Truth(club_speed_mph=4.0, offline_yd=(10.0, 10.0)),
    ),
    "only straighter: 12 to 6 and 10 to 2 yd": (REFERENCE, STRAIGHTER),
    "both: that and carry +16 yd": (REFERENCE, replace(STRAIGHTER, carry_yd=16.0)),
    "both: that and club speed +4 mph": (REFERENCE, replace(STRAIGHTER, club_speed_mph=4.0)),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint:
    """Shares of lessons in which each was said after any ball."""

    straighter: float
    both: float


def joint(n_lessons: int, seed: int, day: Day, truth: Truth) -> Joint:
    """Many lessons of one kind."""
    rng = np.random.default_rng(seed)
    lessons = [simulate(rng, PLAN, day, truth) for _ in range(n_lessons)]
    n_before, n_after = PLAN.blocks
    looks = np.arange(DEFAULT_SETTINGS.fewest, n_after + 1)
    values = np.array([one.tracks["offline"].values for one in lessons])
    odds = all_looks(
        values,
        n_before,
        looks,
        UsualSpread(sd=USUAL_SI["offline"], n_shots=day.n_history),
        worth_a_look=0.85,
    )
    shown = DirectionShown.of(DEFAULT_SETTINGS, "once", n_after, alone=False)
    said = straighter_above(odds, shown, DEFAULT_SETTINGS.side_condition)
    both = 0
    for lesson in np.flatnonzero(said.any(axis=1)):
        for look in np.flatnonzero(said[lesson]):
            so_far = first_balls(lessons[lesson], n_before + int(looks[look]))
            weighed = weigh(so_far, posteriors(so_far), DEFAULT_SETTINGS)
            if decide(weighed, DEFAULT_SETTINGS).both.verdict == "yes":
                both += 1
                break
    return Joint(straighter=float(said.any(axis=1).mean()), both=both / n_lessons)
