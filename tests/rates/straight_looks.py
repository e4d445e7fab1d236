"""What is said of one direction after every ball, in any order of blocks, planned or not.

Odds by the compiled look (`tests.rates.straight_loop`), thresholds by the settings of the program.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from leadfoot.evidence.judgement import UsualSpread
from leadfoot.evidence.lesson import Planned, Stage, order_of_blocks
from leadfoot.evidence.pairs import DEFAULT_PATTERN_PRIOR, PatternPrior
from leadfoot.evidence.settings import DEFAULT_SETTINGS
from leadfoot.evidence.verdict import DirectionShown
from tests.rates.lessons import every_look
from tests.rates.straight_lessons import (
    CHANGED,
    HARDER,
    NOTHING,
    USUAL_YD,
    WORSE,
    Floats,
    Truth,
    simulate_offline,
)
from tests.rates.straight_loop import WHAT, looks_in
from tests.rates.straight_rule import Said, straighter_above

ROWS: Mapping[str, Truth] = MappingProxyType({**NOTHING, **CHANGED, **WORSE, **HARDER})
MIGHT = 0.8
"""Odds of a rough sum below which nothing is said; no threshold lies as low."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Design:
    """Blocks before and with the change by turns, and the student.

    ``day_doubt`` is by how much a day's spread differs from the usual one (the standard deviation
    of its logarithm), ``n_history`` the earlier shots that are known.
    """

    blocks: tuple[int, ...]
    day_doubt: float = 0.15
    n_history: int = 60

    @property
    def with_change(self) -> NDArray[np.bool_]:
        return np.repeat(np.arange(len(self.blocks)) % 2 == 1, self.blocks)

    @property
    def looks(self) -> NDArray[np.int64]:
        """Balls so far at each look: every ball from the fifth on either side."""
        return every_look(self.with_change, DEFAULT_SETTINGS.fewest)

    @property
    def usual(self) -> UsualSpread:
        return UsualSpread(sd=USUAL_YD, n_shots=self.n_history)

    def stages(self, *, said_before: bool) -> list[Stage]:
        """How far the lesson has come at each look."""
        changed = self.with_change
        return [
            Stage(
                order=order_of_blocks(changed[:n]),
                n_before=int((~changed[:n]).sum()),
                n_after=int(changed[:n].sum()),
                planned=Planned.of(changed) if said_before else None,
            )
            for n in self.looks
        ]


ONCE: Mapping[str, Design] = MappingProxyType(
    {
        "10 and 15": Design(blocks=(10, 15)),
        "10 and 30": Design(blocks=(10, 30)),
        "20 and 30": Design(blocks=(20, 30)),
        "10 and 30, new student": Design(blocks=(10, 30), day_doubt=0.35, n_history=0),
    }
)
BACK: Mapping[str, Design] = MappingProxyType(
    {
        "10, 15 with, 15": Design(blocks=(10, 15, 15)),
        "10, 10 with, 10, 10 with": Design(blocks=(10, 10, 10, 10)),
        "fives by turns": Design(blocks=(5,) * 8),
    }
)
DESIGNS: Mapping[str, Design] = MappingProxyType({**ONCE, **BACK})


def values_of(design: str, row: str, n_lessons: int) -> Floats:
    """Offline of the lessons of one cell; 10 and 15 are the first balls of 10 and 30."""
    one = DESIGNS["10 and 30" if design == "10 and 15" else design]
    places = [one.blocks[0], one.n_history] if design in ONCE else list(one.blocks)
    rng = np.random.default_rng([2026, list(ROWS).index(row), *places])
    values = simulate_offline(rng, n_lessons, one.blocks, ROWS[row], day_doubt=one.day_doubt)
    return values[:, : sum(DESIGNS[design].blocks)]


def odds_of(
    design: str, row: str, n_lessons: int, *, prior: PatternPrior = DEFAULT_PATTERN_PRIOR
) -> Floats:
    """Odds of one cell after every ball, from the fifth on either side."""
    one = DESIGNS[design]
    values = values_of(design, row, n_lessons)
    return looks_in(values, one.with_change, one.looks, one.usual, prior=prior, worth_a_look=MIGHT)


def straighter(
    odds: Floats, design: Design, *, said_before: bool = False, alone: bool = True
) -> Said:
    """Whether "straighter" is said at each look."""
    said = [
        straighter_above(
            odds[:, look : look + 1],
            DirectionShown.of(DEFAULT_SETTINGS, stage, alone=alone),
            DEFAULT_SETTINGS.side_condition,
        )
        for look, stage in enumerate(design.stages(said_before=said_before))
    ]
    return np.concatenate(said, axis=1)


def wilder(odds: Floats, design: Design, *, said_before: bool = False) -> Said:
    """Whether "wilder" is said at each look."""
    shown = [
        DirectionShown.of(DEFAULT_SETTINGS, stage, alone=True).wilder
        for stage in design.stages(said_before=said_before)
    ]
    return np.asarray(odds[..., WHAT.index("misses_clearly_more")] > np.array(shown))


def percent(said: Said) -> float:
    """Share of lessons in which it is said at any look."""
    return 100.0 * float(said.any(axis=1).mean())
