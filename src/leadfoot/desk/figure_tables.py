"""The numbers behind the figures, as tables to take along."""

from dataclasses import dataclass

from leadfoot.desk.answer import Answer
from leadfoot.desk.lesson import LessonView, block_names, table_of
from leadfoot.desk.yardage import Yardages
from leadfoot.evidence.reach import Reach
from leadfoot.quantities import glossary
from leadfoot.tables.safe_csv import Cell, safe_csv


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """Names of the columns, and the rows."""

    header: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]

    def csv(self, *, decimals: int = 3) -> bytes:
        """The table as CSV that no spreadsheet takes for formulas."""
        return safe_csv(self.header, self.rows, decimals=decimals)


def pattern_table(answer: Answer) -> Table:
    """Where each judged ball came down: one row a ball, in hitting order.

    A number that was computed and not measured says so in the name of its column.
    """
    pattern = answer.pattern
    said = {"measured": "", "modelled": ", computed"}
    header = (
        "ball",
        "side",
        f"carry ({pattern.unit}{said[pattern.carry_basis]})",
        f"offline, right positive ({pattern.unit}{said[pattern.offline_basis]})",
        f"{pattern.speed_name} ({pattern.speed_unit})",
    )
    rows = tuple(
        (
            int(pattern.rows[k]),
            answer.after_label if pattern.with_change[k] else answer.before_label,
            float(pattern.carry[k]),
            float(pattern.offline[k]),
            float(pattern.speed[k]),
        )
        for k in range(len(pattern.rows))
    )
    return Table(header=header, rows=rows)


def run_table(view: LessonView) -> Table:
    """Every ball of a lesson in hitting order with everything that was read of it."""
    table = table_of(view.shots, view.blocks)
    names = block_names(view.blocks)
    role_of = {block.id: block.role.replace("_", " ") for block in view.blocks}
    read = [key for key in glossary() if key in table.readings]
    units = {key: table.readings[key].unit for key in read}
    header = (
        "ball",
        "block",
        "compared as",
        "club",
        "left out because",
        *(
            f"{glossary()[key].name} ({units[key]})" if units[key] else glossary()[key].name
            for key in read
        ),
    )
    rows = tuple(
        (
            shot.place,
            names[shot.block_id],
            role_of[shot.block_id],
            shot.club,
            shot.left_out_reason,
            *(float(table.readings[key].values[k]) for key in read),
        )
        for k, shot in enumerate(view.shots)
    )
    return Table(header=header, rows=rows)


def change_table(answer: Answer) -> Table:
    """What changed: one row an outcome, with its 90 % range and its odds."""
    header = (
        "outcome",
        "kind",
        "unit",
        "basis",
        "before",
        "with the change",
        "change",
        "low (90 %)",
        "high (90 %)",
        "odds better",
        "shown",
        "balls before",
        "balls with the change",
    )
    rows = tuple(
        (
            one.name,
            one.kind,
            one.unit,
            {"measured": "measured", "modelled": "computed"}[one.basis],
            one.before,
            one.after,
            one.change,
            one.low,
            one.high,
            one.odds_better,
            {"yes": "yes", "no": "no", "not_yet": "cannot tell yet"}[one.verdict],
            one.n_before,
            one.n_after,
        )
        for one in answer.outcomes
    )
    return Table(header=header, rows=rows)


def yardage_table(found: Yardages) -> Table:
    """How far every club goes: one row a club, the longest first."""
    ranges = ("middle", "middle low (90 %)", "middle high (90 %)", "low (80 %)", "high (80 %)")
    kinds = ("carry", "total", "carry there, computed", "total there, computed")
    header = (
        "club",
        "basis",
        "balls",
        "lessons",
        "last",
        "mishits",
        "balls flown",
        *(f"{kind}, {name} ({found.unit})" for kind in kinds for name in ranges),
        "hit at",
    )

    def cells(reached: Reach | None) -> tuple[Cell, ...]:
        if reached is None:
            return (None,) * len(ranges)
        ends = (reached.middle, reached.middle_low, reached.middle_high, reached.low, reached.high)
        return tuple(found.shown(length) for length in ends)

    rows = tuple(
        (
            one.club,
            {"measured": "measured", "modelled": "computed"}[one.basis],
            one.carry.n,
            one.n_lessons,
            one.last.isoformat(),
            one.carry.mishits.k,
            one.n_flown,
            *(
                cell
                for reached in (one.carry, one.total, one.place_carry, one.place_total)
                for cell in cells(reached)
            ),
            one.place,
        )
        for one in found.clubs
    )
    return Table(header=header, rows=rows)
