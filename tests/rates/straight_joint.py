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
from leadfoot.evidence.verdict import decide
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
from tests.rates.straight_looks import MIGHT, Design, straighter
from tests.rates.straight_loop import looks_in

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


def joint(n_lessons: int, seed: int, day: Day, truth: Truth, *, said_before: bool = False) -> Joint:
    """Many lessons of one kind, planned before the change or not."""
    rng = np.random.default_rng(seed)
    plan = replace(PLANS["10 before, 15 with"], said_before=said_before)
    design = Design(blocks=plan.blocks, n_history=day.n_history)
    lessons = [simulate(rng, plan, day, truth) for _ in range(n_lessons)]
    values = np.array([one.tracks["offline"].values for one in lessons])
    usual = UsualSpread(sd=USUAL_SI["offline"], n_shots=day.n_history)
    odds = looks_in(values, design.with_change, design.looks, usual, worth_a_look=MIGHT)
    said = straighter(odds, design, said_before=said_before, alone=False)
    both = 0
    for lesson in np.flatnonzero(said.any(axis=1)):
        for look in np.flatnonzero(said[lesson]):
            so_far = first_balls(lessons[lesson], int(design.looks[look]))
            weighed = weigh(so_far, posteriors(so_far), DEFAULT_SETTINGS)
            if decide(weighed, DEFAULT_SETTINGS).both.verdict == "yes":
                both += 1
                break
    return Joint(straighter=float(said.any(axis=1).mean()), both=both / n_lessons)
