"""Prints the table of docs/explain/finding.md anew: ``python -m tests.rates.finding_table``."""

import re
import sys
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from leadfoot.coaching.block import block_of
from leadfoot.coaching.findings import find, key_list
from leadfoot.coaching.rules import Rule, rules
from leadfoot.physics.clubs import club
from leadfoot.units import si_into
from tests.rates.faults import FAULTS, SOUND, baseline, student_with

SOUND_KEY = "none"
HEAD = "| planted | size | students | first | in the first two | silent | first instead |"


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """What was found in many students with one planted fault."""

    key: str
    size: str
    n: int
    first: int
    in_two: int
    silent: int
    instead: Mapping[str, int]

    def line(self) -> str:
        """One row of the table."""
        others = ", ".join(f"{key} {n}" for key, n in sorted(self.instead.items()))
        counts = "- | -" if self.key == SOUND_KEY else f"{self.first} | {self.in_two}"
        return f"| {self.key} | {self.size} | {self.n} | {counts} | {self.silent} | {others} |"


def run_many(key: str, n: int, seed: int, *, strike_read: bool = True) -> Row:
    """Plant one fault in n students and look at 12 to 20 balls of each."""
    fault = FAULTS.get(key, SOUND)
    rng = np.random.default_rng(seed)
    came: Counter[str] = Counter()
    in_two = 0
    for _ in range(n):
        student = student_with(fault, rng)
        balls = int(rng.integers(12, 21))
        read = baseline(student, balls, rng, strike_read=fault.strike_read and strike_read)
        block = block_of(read, club(student.club_key), goal_speed_mps=student.goal)
        found = key_list(find(block).found)
        came[found[0] if found else ""] += 1
        in_two += key in found[:2]
    return Row(
        key=key,
        size=fault.size,
        n=n,
        first=came[key],
        in_two=in_two,
        silent=came[""],
        instead={other: count for other, count in came.items() if other not in {key, ""}},
    )


def table_rows(page: str) -> dict[str, Row]:
    """The rows as they stand on the page."""
    rows = {}
    known = "|".join((*FAULTS, SOUND_KEY))
    cells = r"([^|]*) \| (\d+) \| (\d+|-) \| (\d+|-) \| (\d+) \|"
    for key, size, n, first, in_two, silent in re.findall(
        rf"^\| ({known}) \| {cells}", page, re.MULTILINE
    ):
        numbers = [0 if one == "-" else int(one) for one in (n, first, in_two, silent)]
        rows[key] = Row(
            key=key,
            size=size,
            n=numbers[0],
            first=numbers[1],
            in_two=numbers[2],
            silent=numbers[3],
            instead={},
        )
    return rows


def rules_table() -> str:
    """The rules as a table, as they stand in the catalogue."""
    lines = ["| finding | of what | a fault from | usual | source |", "|---|---|---|---|---|"]
    for rule in rules().values():
        sign = "±" if rule.statistic == "mean" and rule.side == "either" else ""
        away = " from usual" if rule.statistic == "mean" else ""
        of_what = f"{rule.statistic} of {rule.axis}"
        limit = f"{sign}{_numbers(rule, rule.fault_from)}{away}"
        side = f", {rule.side}" if rule.side != "either" and rule.statistic == "mean" else ""
        lines.append(
            f"| `{rule.key}` {rule.name} | {of_what}{side} | {limit} | "
            f"{_numbers(rule, rule.usual)} | {rule.source} |"
        )
    return "\n".join(lines)


def _numbers(rule: Rule, by_class: Mapping[str, float]) -> str:
    said = [f"{key} {si_into(value, rule.unit):g}" for key, value in by_class.items()]
    if len(said) == 1:
        said = [said[0].removeprefix("other ")]
    return f"{', '.join(said)} {rule.unit}"


def main() -> None:
    """Print the table row by row, or with ``rules`` that of the rules; arguments: the rows."""
    if sys.argv[1:] == ["rules"]:
        sys.stdout.write(f"{rules_table()}\n")
        return
    sys.stdout.write(f"{HEAD}\n{'|---' * 7}|\n")
    for key in sys.argv[1:] or [*FAULTS, SOUND_KEY]:
        row = run_many(key, 400 if key == SOUND_KEY else 200, seed=21)
        sys.stdout.write(f"{row.line()}\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main()
