"""The tables of docs/explain/straighter.md, written between the marks of the page.

``python -m tests.rates.straight_table 4000`` simulates so many lessons a cell; after the number
come the names of the tables, all of them if there is none.
"""

import sys
from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path
from types import MappingProxyType

import numpy as np
from scipy import stats

from leadfoot.evidence.pairs import DEFAULT_PATTERN_PRIOR
from leadfoot.evidence.pooled import SIDE_CONDITION, pooled_shown
from leadfoot.evidence.settings import DEFAULT_SETTINGS
from leadfoot.evidence.verdict import DirectionShown
from tests.rates.characteristics import put
from tests.rates.earlier import EARLIER_STRAIGHTER
from tests.rates.straight_joint import CELLS, joint
from tests.rates.straight_lessons import CHANGED, NOTHING, Floats, Truth
from tests.rates.straight_looks import (
    BACK,
    DESIGNS,
    ONCE,
    ROWS,
    odds_of,
    percent,
    straighter,
    values_of,
    wilder,
)
from tests.rates.straight_loop import WHAT
from tests.rates.straight_pooled import all_pooled_looks, simulate_lessons
from tests.rates.straight_rule import Said, straighter_above

PAGE = Path(__file__).parents[2] / "docs" / "explain" / "straighter.md"
MADE_BY = "tests.rates.straight_table"
FEWEST = DEFAULT_SETTINGS.fewest
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
DRIFT = "none, drift 0.02 toward the line, mean 10"
LIKE_EARLIER = DirectionShown(straighter=0.95, narrower=0.95, nearer=0.95, wilder=0.95)
"""The threshold of the earlier design, the same at every look."""


@cache
def cell(design: str, row: str, n_lessons: int) -> Floats:
    """The odds of one cell, kept for the tables that share it."""
    return odds_of(design, row, n_lessons).astype(np.float32)


def said_in(design: str, row: str, n_lessons: int, *, said_before: bool) -> float:
    """Percent of lessons in which "straighter" is said after any ball."""
    odds = cell(design, row, n_lessons)
    return percent(straighter(odds, DESIGNS[design], said_before=said_before))


def f_test(values: Floats, n_before: int) -> Said:
    """One-sided F test at 5 % after every ball from the fifth: the spread is smaller."""
    before = values[:, :n_before].var(axis=1, ddof=1)[:, None]
    ends = range(n_before + FEWEST, values.shape[1] + 1)
    after = np.stack([values[:, n_before:n].var(axis=1, ddof=1) for n in ends], axis=1)
    limit = stats.f.ppf(0.05, np.array([n - n_before - 1 for n in ends]), n_before - 1)
    return np.asarray(after / before < limit)


def without_drift(design: str, row: str, n_lessons: int) -> float:
    """Straighter, in percent, if the sums knew of no drift and every look asked for odds of 0.95.

    So the earlier design judged, but for its noise (a normal with mishits).
    """
    prior = replace(DEFAULT_PATTERN_PRIOR, slope_sd=0.0)
    odds = odds_of(design, row, n_lessons, prior=prior)
    return percent(straighter_above(odds, LIKE_EARLIER, 0.5))


def rows_of_lessons(n_lessons: int) -> Iterator[list[str]]:
    """One block each without a plan: straighter / wilder, and the F test beside it."""
    yield ["true change", *ONCE, "10 and 30, F test"]
    for row in ROWS:
        cells = []
        for design in ONCE:
            false = percent(wilder(cell(design, row, n_lessons), DESIGNS[design]))
            told = said_in(design, row, n_lessons, said_before=False)
            cells.append(f"{told:.1f} / {false:.1f}{_earlier(design, row)}")
        test = percent(f_test(values_of("10 and 30", row, n_lessons), 10))
        yield [row, *cells, f"{test:.1f}"]


def rows_of_planned(n_lessons: int) -> Iterator[list[str]]:
    """One block each with a plan: straighter, and the earlier design."""
    yield ["true change", *ONCE]
    for row in ROWS:
        told = [said_in(design, row, n_lessons, said_before=True) for design in ONCE]
        yield [
            row,
            *(f"{one:.1f}{_earlier(design, row)}" for design, one in zip(ONCE, told, strict=True)),
        ]


def rows_of_back(n_lessons: int) -> Iterator[list[str]]:
    """Back to the old way: straighter / wilder with a plan, and without one in brackets."""
    yield ["true change", *BACK]
    for row in ROWS:
        cells = []
        for name, design in BACK.items():
            odds = cell(name, row, n_lessons)
            planned, without = (
                " / ".join(
                    f"{percent(claim(odds, design, said_before=before)):.1f}"
                    for claim in (straighter, wilder)
                )
                for before in (True, False)
            )
            cells.append(f"{planned} ({without})")
        yield [row, *cells]


def rows_of_drift(n_lessons: int) -> Iterator[list[str]]:
    """What the rule of the earlier design says, drift or none; the earlier figure in brackets."""
    designs = list(ONCE)[1:3]
    yield ["true change", *designs]
    for row in (*NOTHING, *CHANGED):
        told = [without_drift(design, row, n_lessons) for design in designs]
        yield [
            row,
            *(
                f"{one:.1f}{_earlier(design, row)}"
                for design, one in zip(designs, told, strict=True)
            ),
        ]


def rows_of_beside() -> Iterator[list[str]]:
    """Ours with a plan and the rule of the earlier design on the same lessons, from the page."""
    ours, rule = on_page("planned"), on_page("drift")
    designs = list(ONCE)[1:3]
    yield ["true change", *(f"{name}, {whose}" for name in designs for whose in ("ours", "rule"))]
    for row in (*NOTHING, *CHANGED):
        told = [one[row, name].split(" ")[0] for name in designs for one in (ours, rule)]
        yield [row, *told]


def on_page(name: str) -> dict[tuple[str, str], str]:
    """The cells of a table of the page by row and column."""
    text = PAGE.read_text(encoding="utf-8")
    text = text.split(f"<!-- {name}: made by {MADE_BY} -->\n")[1].split(f"<!-- end {name} -->")[0]
    lines = [
        [cell.strip() for cell in line.strip("|").split("|")]
        for line in text.splitlines()
        if line.startswith("|")
    ]
    return {
        (line[0], head): cell
        for line in lines[2:]
        for head, cell in zip(lines[0][1:], line[1:], strict=True)
    }


def _earlier(design: str, row: str) -> str:
    told = EARLIER_STRAIGHTER.get(row)
    return f" ({told[list(ONCE).index(design)]:g})" if told else ""


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
    return np.asarray(odds[..., WHAT.index("misses_clearly_more")] > pooled_shown(1).wilder)


def rows_of_pooled(n_students: int) -> Iterator[list[str]]:
    """Straighter / wilder over several lessons, in percent of students."""
    yield ["true change", *POOLED_ENDS]
    for row in POOLED_ROWS:
        odds = pooled_odds(row, n_students)
        parts = [odds[:, : 3 * n - 1] for n in POOLED_ENDS.values()]
        yield [
            row,
            *(
                f"{percent(pooled_straighter(part)):.1f} / {percent(pooled_wilder(part)):.1f}"
                for part in parts
            ),
        ]


def rows_of_joint(n_lessons: int) -> Iterator[list[str]]:
    """The claim "both", without and with a plan, in percent of lessons."""
    yield ["true change", "straighter", "both", "straighter, planned", "both, planned"]
    for place, (name, (day, truth)) in enumerate(CELLS.items()):
        found = [
            joint(n_lessons, 500 + place, day, truth, said_before=planned)
            for planned in (False, True)
        ]
        told = [share for one in found for share in (one.straighter, one.both)]
        yield [name, *(f"{100 * share:.1f}" for share in told)]


TABLES = MappingProxyType(
    {
        "planned": rows_of_planned,
        "lesson": rows_of_lessons,
        "back": rows_of_back,
        "drift": rows_of_drift,
        "beside": lambda _: rows_of_beside(),
        "pooled": rows_of_pooled,
        "joint": rows_of_joint,
    }
)


def table(name: str, n: int) -> str:
    """One table with the line that says how it was made."""
    lines = []
    for place, row in enumerate(TABLES[name](n)):
        lines.append("| " + " | ".join(row) + " |")
        if place == 0:
            lines.append("|---" * len(row) + "|")
        sys.stderr.write(f"{name}: {lines[-1]}\n")
    return "\n".join(lines) + f"\n\n{n} {'students' if name == 'pooled' else 'lessons'} a cell.\n"


def main() -> None:
    """Simulate and write the tables asked for, or all of them."""
    n = int(sys.argv[1]) if len(sys.argv) > 1 else 4000
    for name in sys.argv[2:] or TABLES:
        text = table(name, n)
        page = PAGE.read_text(encoding="utf-8")
        PAGE.write_text(put(page, name, text, MADE_BY), encoding="utf-8")


if __name__ == "__main__":
    main()
