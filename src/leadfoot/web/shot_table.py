"""The shots of a lesson as a table: which columns it has, and what stands in each cell."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from leadfoot.desk.answer import Answer, Basis
from leadfoot.desk.lesson import LessonView, table_of
from leadfoot.desk.records import Block, StoredShot
from leadfoot.quantities import glossary
from leadfoot.shots.shot import ShotTable
from leadfoot.web.words import cell


@dataclass(frozen=True, slots=True, kw_only=True)
class TableColumn:
    """One column: a quantity in one unit, measured or computed."""

    quantity: str
    name: str
    unit: str | None
    basis: Basis


@dataclass(frozen=True, slots=True, kw_only=True)
class TableRow:
    """One ball with the text of its cells."""

    shot: StoredShot
    block: Block
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ShotRows:
    """The whole table, in hitting order."""

    columns: tuple[TableColumn, ...]
    rows: tuple[TableRow, ...]
    n_earlier: int
    """Balls before the first row that is shown."""


MOST_ROWS = 300
"""Most balls that a page shows unless all are asked for: some hours of hitting (our choice)."""


def shot_rows(view: LessonView, *, whole: bool = True) -> ShotRows:
    """Lay out the shots of a lesson, all or the last ones.

    What the flight model computed stands in columns of its own, so that it is never taken for a
    measurement.
    """
    table = table_of(view.shots, view.blocks)
    measured = [
        TableColumn(quantity=key, name=known.name, unit=table.readings[key].unit, basis="measured")
        for key, known in glossary().items()
        if key in table.readings
    ]
    computed = _computed_columns(view.answer)
    block_of = {block.id: block for block in view.blocks}
    n_earlier = 0 if whole else max(len(view.shots) - MOST_ROWS, 0)
    rows = tuple(
        TableRow(
            shot=shot,
            block=block_of[shot.block_id],
            cells=(
                *_measured_cells(table, index, measured),
                *_computed_cells(view.answer, shot.place, computed),
            ),
        )
        for index, shot in enumerate(view.shots)
        if index >= n_earlier
    )
    return ShotRows(columns=(*measured, *computed), rows=rows, n_earlier=n_earlier)


def _measured_cells(table: ShotTable, index: int, columns: Sequence[TableColumn]) -> list[str]:
    return [
        cell(float(table.readings[one.quantity].values[index]), one.quantity, one.unit)
        for one in columns
    ]


def _computed_columns(answer: Answer | None) -> list[TableColumn]:
    if answer is None:
        return []
    pattern = answer.pattern
    return [
        TableColumn(quantity=key, name=glossary()[key].name, unit=pattern.unit, basis=basis)
        for key, basis in (("carry", pattern.carry_basis), ("offline", pattern.offline_basis))
        if basis == "modelled"
    ]


def _computed_cells(answer: Answer | None, place: int, columns: Sequence[TableColumn]) -> list[str]:
    if answer is None or not columns:
        return []
    where = {int(row): index for index, row in enumerate(answer.pattern.rows)}
    index = where.get(place)
    series = {"carry": answer.pattern.carry, "offline": answer.pattern.offline}
    return [
        cell(
            math.nan if index is None else float(series[one.quantity][index]),
            one.quantity,
            one.unit,
        )
        for one in columns
    ]
