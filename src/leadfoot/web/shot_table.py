"""The shots of a lesson as a table: which columns it has, and what stands in each cell."""

import math
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from leadfoot.desk.answer import Answer, Basis
from leadfoot.desk.lesson import LessonView, view_table
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
    """One ball with the text of its cells, each with what its number rests on."""

    lesson_id: int
    shot_id: int
    place: int
    block: Block
    club: str
    left_out_reason: str | None
    cells: tuple[tuple[str, Basis], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ShotRows:
    """The whole table, in hitting order."""

    columns: tuple[TableColumn, ...]
    rows: tuple[TableRow, ...]
    n_earlier: int
    """Balls before the first row that is shown."""
    n_in: Mapping[int, int]
    """How many balls a block has, by the block's id; none: not in it."""


MOST_ROWS = 200
"""Most balls that a page shows unless all are asked for: some two hours of hitting (our choice)."""


def shot_rows(view: LessonView, *, whole: bool = True) -> ShotRows:
    """Lay out the shots of a lesson, all or the last ones.

    What the flight model computed stands in columns of its own, so that it is never taken for a
    measurement.
    """
    table = view_table(view)
    measured = [
        TableColumn(quantity=key, name=known.name, unit=table.readings[key].unit, basis="measured")
        for key, known in glossary().items()
        if key in table.readings
    ]
    computed = _computed_columns(view.answer)
    columns = (*measured, *computed)
    bases = tuple(column.basis for column in columns)
    block_of = {block.id: block for block in view.blocks}
    n_earlier = 0 if whole else max(len(view.shots) - MOST_ROWS, 0)
    computed_cells = _computed_cells(view.answer, computed)
    rows = tuple(
        _row(
            shot,
            block_of[shot.block_id],
            (*_measured_cells(table, index, measured), *computed_cells(shot.place)),
            bases,
        )
        for index, shot in enumerate(view.shots)
        if index >= n_earlier
    )
    n_in = Counter(shot.block_id for shot in view.shots)
    return ShotRows(columns=columns, rows=rows, n_earlier=n_earlier, n_in=n_in)


def _row(shot: StoredShot, block: Block, texts: Sequence[str], bases: Sequence[Basis]) -> TableRow:
    return TableRow(
        lesson_id=shot.lesson_id,
        shot_id=shot.id,
        place=shot.place,
        block=block,
        club=shot.club or "",
        left_out_reason=shot.left_out_reason,
        cells=tuple(zip(texts, bases, strict=True)),
    )


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


def _computed_cells(
    answer: Answer | None, columns: Sequence[TableColumn]
) -> Callable[[int], list[str]]:
    """The computed cells of the ball at a place."""
    if answer is None or not columns:
        return lambda _: []
    where = {int(row): index for index, row in enumerate(answer.pattern.rows)}
    series = {"carry": answer.pattern.carry, "offline": answer.pattern.offline}

    def cells(place: int) -> list[str]:
        index = where.get(place)
        return [
            cell(
                math.nan if index is None else float(series[one.quantity][index]),
                one.quantity,
                one.unit,
            )
            for one in columns
        ]

    return cells
