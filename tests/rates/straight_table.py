"""Prints the tables of docs/explain/straighter.md anew: ``python -m tests.rates.straight_table``.

Arguments: lessons a cell, then which of ``lesson``, ``pooled``, ``joint``.
"""

import sys
from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType

import numpy as np
from scipy import stats

from leadfoot.evidence.judgement import UsualSpread
from leadfoot.evidence.pooled import SIDE_CONDITION, pooled_shown
from leadfoot.evidence.settings import DEFAULT_SETTINGS
from leadfoot.evidence.verdict import DirectionShown
from tests.rates.earlier import EARLIER_STRAIGHTER
from tests.rates.straight_joint import CELLS, joint
from tests.rates.straight_lessons import (
    CHANGED,
    NOTHING,
    USUAL_YD,
    WORSE,
    Floats,
    Truth,
    simulate_offline,
)
from tests.rates.straight_loop import WHAT, all_looks
from tests.rates.straight_pooled import all_pooled_looks, simulate_lessons
from tests.rates.straight_rule import Said, straighter_above

ROWS: Mapping[str, Truth] = MappingProxyType({**NOTHING, **CHANGED, **WORSE})
PLANS: Mapping[str, tuple[tuple[int, int], float, int]] = MappingProxyType(
    {
        "10 and 30": ((10, 30), 0.15, 60),
        "20 and 30": ((20, 30), 0.15, 60),
        "10 and 30, new student": ((10, 30), 0.35, 0),
    }
)
"""Balls before and with the change, the day's doubt, and the earlier shots that are known."""
FEWEST = DEFAULT_SETTINGS.fewest
EARLY, LATE = (
    DirectionShown.of(DEFAULT_SETTINGS, "once", n, alone=True)
    for n in (FEWEST, DEFAULT_SETTINGS.early_balls + 1)
)
N_EARLY = DEFAULT_SETTINGS.early_balls - FEWEST + 1
"""Looks of a lesson, from the fifth ball with the change, that are early."""
POOLED_ROWS: Mapping[str, Truth] = MappingProxyType(
    {
        name: replace(truth, drift_sd=0.0 if truth.drift else 0.01)
        for name, truth in {
            **{key: NOTHING[key] for key in list(NOTHING)[:4]},
            "spread 12 to 9": CHANGED["spread 12 to 9"],
            "12 to 9 and 10 to 4": CHANGED["12 to 9 and 10 to 4"],
        }.items()
    }
)
LOOKS_A_LESSON = 3
POOLED_ENDS = MappingProxyType({"40 and 60": 4, "60 and 90": 6, "80 and 120": 8})
"""Lessons of ten balls before and fifteen with the change."""


def values_of(plan: str, row: str, n_lessons: int) -> Floats:
    """Offline of the lessons of one cell."""
    blocks, day_doubt, n_history = PLANS[plan]
    rng = np.random.default_rng([2026, list(ROWS).index(row), blocks[0], n_history])
    return simulate_offline(rng, n_lessons, blocks, ROWS[row], day_doubt=day_doubt)


def odds_of(plan: str, row: str, n_lessons: int) -> Floats:
    """Odds of one cell after every ball with the change, from the fifth."""
    blocks, _, n_history = PLANS[plan]
    looks = np.arange(FEWEST, blocks[1] + 1)
    values = values_of(plan, row, n_lessons)
    usual = UsualSpread(sd=USUAL_YD, n_shots=n_history)
    return all_looks(values, blocks[0], looks, usual, worth_a_look=0.85)


def straighter(odds: Floats) -> Said:
    """Whether "straighter" is said at each look of a lesson, one ball after the other."""
    return np.concatenate(
        (
            straighter_above(odds[:, :N_EARLY], EARLY, DEFAULT_SETTINGS.side_condition),
            straighter_above(odds[:, N_EARLY:], LATE, DEFAULT_SETTINGS.side_condition),
        ),
        axis=1,
    )


def wilder(odds: Floats, shown: DirectionShown = LATE) -> Said:
    """Whether "wilder" is said at each look."""
    return np.asarray(odds[..., WHAT.index("misses_clearly_more")] > shown.wilder)


def percent(said: Said) -> float:
    """Share of lessons in which it is said at any look."""
    return 100.0 * float(said.any(axis=1).mean())


def f_test(values: Floats, n_before: int) -> Said:
    """One-sided F test at 5 % after every ball from the fifth: the spread is smaller."""
    before = values[:, :n_before].var(axis=1, ddof=1)[:, None]
    ends = range(n_before + FEWEST, values.shape[1] + 1)
    after = np.stack([values[:, n_before:n].var(axis=1, ddof=1) for n in ends], axis=1)
    limit = stats.f.ppf(0.05, np.array([n - n_before - 1 for n in ends]), n_before - 1)
    return np.asarray(after / before < limit)


def _write(*cells: object) -> None:
    sys.stdout.write("| " + " | ".join(str(cell) for cell in cells) + " |\n")
    sys.stdout.flush()


def _rule(n: int) -> None:
    sys.stdout.write("|---" * n + "|\n")


def lesson_table(n_lessons: int) -> None:
    """Straighter / wilder, in percent of lessons."""
    _write("true change", "10 and 15", *PLANS, "10 and 30, F test")
    _rule(6)
    for row in ROWS:
        cells: list[str] = []
        for plan in PLANS:
            odds = odds_of(plan, row, n_lessons)
            if not cells:
                early = odds[:, :N_EARLY]
                cells.append(f"{percent(straighter(early)):.1f} / {percent(wilder(early)):.1f}")
            cells.append(f"{percent(straighter(odds)):.1f} / {percent(wilder(odds)):.1f}")
        for place, before in enumerate(EARLIER_STRAIGHTER.get(row, ())):
            cells[place] += f" ({before:g})"
        test = percent(f_test(values_of("10 and 30", row, n_lessons), 10))
        _write(row, *cells, f"{test:.1f}")


def pooled_odds(row: str, n_students: int, n_lessons: int = 8) -> Floats:
    """Odds of one row of the pooled table, three looks a lesson."""
    rng = np.random.default_rng([2027, list(POOLED_ROWS).index(row)])
    odds = all_pooled_looks(simulate_lessons(rng, n_students, n_lessons, POOLED_ROWS[row]))
    return odds[:, 1:]


def pooled_straighter(odds: Floats) -> Said:
    """Whether "straighter" is said at each look over several lessons."""
    said = [
        straighter_above(
            odds[:, place : place + 1],
            pooled_shown((place + 1) // LOOKS_A_LESSON + 1),
            SIDE_CONDITION,
            "narrower_clearly",
        )
        for place in range(odds.shape[1])
    ]
    return np.concatenate(said, axis=1)


def pooled_wilder(odds: Floats) -> Said:
    """Whether "wilder" is said at each look; its threshold is the same for any number."""
    return wilder(odds, pooled_shown(1))


def pooled_table(n_students: int) -> None:
    """Straighter / wilder over several lessons, in percent of students."""
    _write("true change", *POOLED_ENDS)
    _rule(4)
    for row in POOLED_ROWS:
        odds = pooled_odds(row, n_students)
        parts = [odds[:, : 3 * n - 1] for n in POOLED_ENDS.values()]
        _write(
            row,
            *(
                f"{percent(pooled_straighter(part)):.1f} / {percent(pooled_wilder(part)):.1f}"
                for part in parts
            ),
        )


def joint_table(n_lessons: int) -> None:
    """The claim "both", in percent of lessons."""
    _write("true change", "straighter", "both")
    _rule(3)
    for place, (name, (day, truth)) in enumerate(CELLS.items()):
        found = joint(n_lessons, 500 + place, day, truth)
        _write(name, f"{100 * found.straighter:.1f}", f"{100 * found.both:.1f}")


def main() -> None:
    """Print the tables asked for, or all three."""
    n = int(sys.argv[1]) if len(sys.argv) > 1 else 4000
    asked = sys.argv[2:] or ["lesson", "pooled", "joint"]
    for name, table in (("lesson", lesson_table), ("pooled", pooled_table), ("joint", joint_table)):
        if name in asked:
            table(n)
            sys.stdout.write("\n")


if __name__ == "__main__":
    main()
