"""Writes the table of faults and of what came of them into ``docs/explain/faults.md``.

Run ``make faults``: the page is written when every fault has passed.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

PAGE = Path(__file__).parents[2] / "docs" / "explain" / "faults.md"
BEGIN = "<!-- results: made by make faults -->\n"
END = "<!-- end of results -->\n"


@dataclass(frozen=True)
class Row:
    """A fault, how often it was made, and what came of it."""

    fault: str
    book: str
    n_times: int
    n_acknowledged: int
    n_again: int
    """How often a bay had to send a ball once more."""
    lost: int
    doubled: int
    remark: str


def table(rows: Sequence[Row]) -> str:
    """All faults as a table."""
    head = (
        "| fault | book | times | balls acknowledged | sent again | lost | doubled | it says |\n"
        "|---|---|---|---|---|---|---|---|\n"
    )
    lines = [
        f"| {one.fault} | {one.book} | {one.n_times} | {one.n_acknowledged} | {one.n_again} "
        f"| {one.lost} | {one.doubled} | {one.remark} |\n"
        for one in rows
    ]
    return head + "".join(lines)


def write(rows: Sequence[Row]) -> None:
    """Put the table into the page."""
    head, _, rest = PAGE.read_text(encoding="utf-8").partition(BEGIN)
    _, _, tail = rest.partition(END)
    PAGE.write_text(f"{head}{BEGIN}\n{table(rows)}\n{END}{tail}", encoding="utf-8")
