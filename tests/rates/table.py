"""Prints the tables of the whole answer in docs/explain/evidence.md anew.

``python -m tests.rates.table``; then lessons a cell, and which of ``days``, ``plans``, ``truths``.
Every cell without a plan / with the blocks planned before the change, on the same lessons.
"""

import sys
from collections.abc import Iterable, Mapping, Sequence
from types import MappingProxyType

import numpy as np

from tests.rates.lessons import DAYS, NO_CHANGE, PLANS, REFERENCE, Day, Plan, Truth
from tests.rates.looking import Heard, share
from tests.rates.whole import heard_both_ways

TRUTHS: Mapping[str, Truth] = MappingProxyType(
    {
        "club speed +1 mph": Truth(club_speed_mph=1.0),
        "club speed +2 mph": Truth(club_speed_mph=2.0),
        "club speed +4 mph": Truth(club_speed_mph=4.0),
        "carry +4 yd, speed unchanged": Truth(carry_yd=4.0),
        "carry +8 yd, speed unchanged": Truth(carry_yd=8.0),
        "carry +16 yd, speed unchanged": Truth(carry_yd=16.0),
        "mean offline 10 to 0 yd": Truth(offline_yd=(10.0, 0.0)),
        "spread 12 to 9 yd": Truth(narrower=0.75),
        "spread 12 to 6 yd, mean 10 to 2 yd": Truth(narrower=0.5, offline_yd=(10.0, 2.0)),
        "club speed +4 mph, 25 % more mishits, spread 12 to 18 yd": Truth(
            club_speed_mph=4.0, more_mishits=0.25, narrower=1.5
        ),
        "carry -8 yd": Truth(carry_yd=-8.0),
    }
)
HEAD = ("keep", "longer", "straighter", "both", "shown worse", "drop", "keep at the end")


def row(name: str, both: tuple[Sequence[Heard], Sequence[Heard]]) -> str:
    """One row in percent, with the median number of balls of those kept; without / with a plan."""
    cells = zip(*map(_cells, both), strict=True)
    return f"| {name} | " + " | ".join(" / ".join(pair) for pair in cells) + " |"


def _cells(lessons: Sequence[Heard]) -> list[str]:
    shares = [
        100 * share(lessons, what)
        for what in ("kept", "longer", "straighter", "both", "worse", "dropped")
    ]
    shares.append(100 * float(np.mean([lesson.at_end == "keep" for lesson in lessons])))
    balls = [lesson.kept_at for lesson in lessons if lesson.kept_at is not None]
    return [*(f"{one:.1f}" for one in shares), f"{np.median(balls):.0f}" if balls else "-"]


def table(cells: Iterable[tuple[str, Plan, Day, Truth]], n_lessons: int, seed: int) -> None:
    """Print one table, row by row as it is simulated."""
    write = sys.stdout.write
    write("| lessons | " + " | ".join(HEAD) + " | median ball |\n" + "|---" * 9 + "|\n")
    for place, (name, plan, day, truth) in enumerate(cells):
        write(row(name, heard_both_ways(n_lessons, seed + place, plan, day, truth)) + "\n")
        sys.stdout.flush()
    write("\n")


def main() -> None:
    """Print the tables asked for, or all three."""
    n_lessons = int(sys.argv[1]) if len(sys.argv) > 1 else 4000
    asked = sys.argv[2:] or ["days", "plans", "truths"]
    usual = PLANS["10 before, 15 with"]
    if "days" in asked:
        table(((name, usual, day, NO_CHANGE) for name, day in DAYS.items()), n_lessons, 100)
    if "plans" in asked:
        table(((name, plan, REFERENCE, NO_CHANGE) for name, plan in PLANS.items()), n_lessons, 200)
    if "truths" in asked:
        table(((name, usual, REFERENCE, truth) for name, truth in TRUTHS.items()), n_lessons, 300)


if __name__ == "__main__":
    main()
