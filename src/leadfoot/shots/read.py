"""Read the shots of any table: bytes in; columns, shots, problems and questions out."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import zip_longest
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from leadfoot.errors import InputError
from leadfoot.quantities import glossary
from leadfoot.shots.cell import CellRule
from leadfoot.shots.columns import Column, ColumnMapping, Question
from leadfoot.shots.decode import decode, refuse_large
from leadfoot.shots.doubts import Measured, settle_units
from leadfoot.shots.grid import Cell, Grid, clip, row_text, text_of
from leadfoot.shots.guess import Guess, guess_columns
from leadfoot.shots.labels import (
    Label,
    block_spans,
    blocks_by_rows,
    clubs_by_shot,
    column_labels,
    empty_ranges,
)
from leadfoot.shots.layout import MOST_COLUMNS, Layout, find_layout
from leadfoot.shots.lines import Sorted, sort_rows
from leadfoot.shots.marks import MarkChoice, choose_mark, column_marks, table_mark
from leadfoot.shots.numbers import Numbers, read_numbers
from leadfoot.shots.ranges import Clubs, clubs_of, impossible, share_plausible
from leadfoot.shots.reading import RowBlock, TableReading
from leadfoot.shots.sheet import is_workbook, read_workbook
from leadfoot.shots.shot import Problem, Readings, ShotTable
from leadfoot.shots.sides import Hand
from leadfoot.shots.split import split_text

__all__ = ["RowBlock", "TableReading", "read_table"]

Floats = NDArray[np.float64]

_PREVIEWED = 50
_NO_VALUE = "No usable value stands in this row."


def read_table(
    data: bytes,
    *,
    name: str = "",
    mapping: ColumnMapping | None = None,
    hand: Hand = "right",
    block_column: str | None = None,
    row_blocks: Sequence[RowBlock] = (),
) -> TableReading:
    r"""Read the shots of a table, whatever its shape.

    Parameters
    ----------
    data
        The file as it came: CSV, TSV and their like in any encoding, or a workbook.
    name
        Name of the file, for messages.
    mapping
        What the headers mean, as the coach confirmed; other columns are guessed.
    hand
        The student's hand: open and in-to-out turn with it, right and left do not.
    block_column
        Header of the column that holds the blocks, where the coach names it.
    row_blocks
        Blocks by ranges of rows; shots outside all of them belong to no block.

    Raises
    ------
    InputError
        If the file is empty, locked, damaged, or no table at all.
    MappingError
        If the mapping fits no column, or the block column is not there.

    Examples
    --------
    >>> lines = ["Club,Carry [yd],Side", "7i,152,3.1 R", "7i,149,4 L", "Average,150.5,"]
    >>> reading = read_table("\n".join(lines).encode())
    >>> [shot.values["offline"].value for shot in reading.shots]
    [3.1, -4.0]
    >>> reading.n_summary_rows
    1
    """
    grid = _grid(data)
    layout = find_layout(grid.rows, mapping)
    body = grid.rows[layout.first_row :]
    if not layout.header_rows and not _has_numbers(grid.rows):
        raise InputError(
            f"{name or 'The file'} has no header that names a quantity, and no columns of numbers.",
            fix="Give a table with a header such as: Club, Ball speed [mph], Carry [yd].",
        )
    guesses = guess_columns(layout, body, mapping, hand, block_column)
    table = _Table(grid=grid, layout=layout, guesses=guesses, hand=hand)
    return table.read(row_blocks)


def _grid(data: bytes) -> Grid:
    refuse_large(data)
    if is_workbook(data):
        return read_workbook(data)
    decoded = decode(data)
    rows, parted = split_text(decoded.text)
    damage = Problem(
        row=None,
        column=None,
        text=f"{decoded.n_unreadable} characters",
        reason=f"They can't be read as {decoded.encoding}; save the file as UTF-8 once more.",
    )
    return Grid(
        rows=rows,
        source=f"{parted}, {decoded.encoding}",
        problems=(damage,) if decoded.n_unreadable else (),
    )


def _has_numbers(rows: Sequence[Sequence[Cell]]) -> bool:
    """Tell whether there are rows that are mostly numbers."""
    for row in rows[:1000]:
        texts = [text for text in map(text_of, row[:MOST_COLUMNS]) if text]
        numbers = sum(1 for text in texts if text.strip("+-−%").replace(".", "").isdecimal())
        if numbers and 2 * numbers >= len(texts):
            return True
    return False


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Quantity:
    """One quantity column on its way: its guess, its cells, its numbers, its decimal mark."""

    guess: Guess
    cells: Sequence[Cell]
    numbers: Numbers
    mark: MarkChoice


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Table:
    """A table whose columns are guessed, ready to be read."""

    grid: Grid
    layout: Layout
    guesses: Sequence[Guess]
    hand: Hand

    def read(self, row_blocks: Sequence[RowBlock]) -> TableReading:
        rows = self.grid.rows
        indices = [guess.index for guess in self.guesses if guess.role == "quantity"]
        lines = sort_rows(rows, self.layout, indices)
        if not indices:
            return self._unread(lines)
        cells = _by_column([rows[place] for place in lines.shots], len(self.guesses))
        clubs = clubs_by_shot(self._role_cells("club", cells), lines.clubs)
        quantities = self._numbers(cells, clubs_of(clubs))
        measured, questions = self._settle(quantities, clubs_of(clubs))
        found = _Values(lines=lines, rows=rows)
        readings = {
            quantity.guess.quantity or "": found.take(
                quantity, measured[quantity.guess.quantity or ""]
            )
            for quantity in quantities
        }
        held = found.held()
        labels = self._labels(lines, cells, row_blocks)
        shots = ShotTable(
            rows=np.array([lines.shots[place] + 1 for place in held], dtype=np.int64),
            blocks=tuple(labels[place] for place in held),
            clubs=tuple(clubs[place] for place in held),
            readings=MappingProxyType(
                {
                    key: Readings(values=values[held], unit=measured[key].unit)
                    for key, values in readings.items()
                }
            ),
        )
        problems = [*self.grid.problems, *lines.problems, *found.problems]
        problems += empty_ranges(shots.blocks, row_blocks)
        return self._reading(
            lines=lines,
            columns=self._columns(quantities, measured),
            shots=shots,
            problems=problems,
            questions=[*self._header_questions(), *questions],
        )

    def _role_cells(self, role: str, cells: Sequence[Sequence[Cell]]) -> Sequence[Cell] | None:
        for guess in self.guesses:
            if guess.role == role:
                return cells[guess.index]
        return None

    def _labels(
        self, lines: Sorted, cells: Sequence[Sequence[Cell]], row_blocks: Sequence[RowBlock]
    ) -> Sequence[Label]:
        if row_blocks:
            return blocks_by_rows([place + 1 for place in lines.shots], row_blocks)
        column = self._role_cells("block", cells)
        if column is None:
            return lines.sections
        labels = column_labels(column)
        return labels if any(labels) else lines.sections

    def _numbers(self, cells: Sequence[Sequence[Cell]], clubs: Clubs) -> list[_Quantity]:
        """Read the numbers of every quantity, its decimal mark chosen first."""
        guesses = [guess for guess in self.guesses if guess.role == "quantity"]
        evidence = [column_marks(cells[guess.index]) for guess in guesses]
        whole = table_mark(evidence)
        found: list[_Quantity] = []
        for guess, marks in zip(guesses, evidence, strict=True):
            column = cells[guess.index]
            fits = (False, False)
            if marks.open_mark is not None:
                other = "," if marks.open_mark == "." else "."
                fits = (
                    self._is_plausible(guess, column, marks.open_mark, clubs),
                    self._is_plausible(guess, column, other, clubs),
                )
            mark = choose_mark(marks, whole, *fits)
            numbers = read_numbers(column, self._rule(guess, mark.decimal))
            found.append(_Quantity(guess=guess, cells=column, numbers=numbers, mark=mark))
        return found

    def _rule(self, guess: Guess, decimal: str) -> CellRule:
        key = guess.quantity or ""
        return CellRule(
            quantity=key,
            dimension=glossary()[key].dimension,
            decimal="," if decimal == "," else ".",
            hand=self.hand,
        )

    def _is_plausible(
        self, guess: Guess, cells: Sequence[Cell], decimal: str, clubs: Clubs
    ) -> bool:
        key = guess.quantity or ""
        numbers = read_numbers(cells, self._rule(guess, decimal))
        unit = guess.unit or numbers.main_unit() or glossary()[key].unit
        return share_plausible(numbers.values, unit, key, clubs) >= 0.8

    def _settle(
        self, quantities: Sequence[_Quantity], clubs: Clubs
    ) -> tuple[dict[str, Measured], list[Question]]:
        """Settle the unit of every quantity."""
        measured = {(q.guess.quantity or ""): _measured(q) for q in quantities}
        questions = settle_units(measured, clubs, is_metric=self._is_metric(quantities))
        return measured, questions

    def _is_metric(self, quantities: Sequence[_Quantity]) -> bool:
        """Tell by decimal commas that the table comes from where metres are used."""
        return any(quantity.mark.decimal == "," for quantity in quantities)

    def _columns(
        self, quantities: Sequence[_Quantity], measured: dict[str, Measured]
    ) -> tuple[Column, ...]:
        by_index = {quantity.guess.index: quantity for quantity in quantities}
        return tuple(
            _quantity_column(by_index[guess.index], measured[guess.quantity or ""])
            if guess.index in by_index
            else Column(
                index=guess.index,
                header=guess.header,
                role=guess.role,
                quantity=None,
                unit=None,
                reason=guess.reason,
                sure=guess.sure,
            )
            for guess in self.guesses
        )

    def _header_questions(self) -> list[Question]:
        return [
            Question(
                column=guess.header,
                quantity=guess.quantity,
                unit=guess.unit,
                suggested_unit=None,
                text=guess.asks,
            )
            for guess in self.guesses
            if guess.asks
        ]

    def _unread(self, lines: Sorted) -> TableReading:
        """Give a table of which no column is known: nothing is read, and that is said."""
        for place in lines.shots:
            lines.kinds[place] = "unread"
        first, last = (lines.shots[0] + 1, lines.shots[-1] + 1) if lines.shots else (0, 0)
        unknown = Problem(
            row=None,
            column=None,
            text=f"rows {first} to {last}",
            reason="No column is known, so no shot was read; say what the columns are.",
        )
        empty = ShotTable(rows=np.zeros(0, dtype=np.int64), blocks=(), clubs=())
        return self._reading(
            lines=lines,
            columns=self._columns([], {}),
            shots=empty,
            problems=[*self.grid.problems, unknown, *lines.problems],
            questions=self._header_questions(),
        )

    def _reading(
        self,
        *,
        lines: Sorted,
        columns: tuple[Column, ...],
        shots: ShotTable,
        problems: Sequence[Problem],
        questions: Sequence[Question],
    ) -> TableReading:
        header = self.layout.header_rows
        shown = lines.shots[:_PREVIEWED]
        return TableReading(
            columns=columns,
            shots=shots,
            blocks=block_spans([int(row) for row in shots.rows], shots.blocks),
            problems=tuple(sorted(problems, key=lambda problem: problem.row or 0)),
            questions=tuple(questions),
            header_row=header[-1] + 1 if header else None,
            header_key=self.layout.key(),
            n_summary_rows=lines.kinds.count("summary"),
            row_kinds=tuple(lines.kinds),
            source=self.grid.source,
            preview=tuple((place + 1, _texts(self.grid.rows[place])) for place in shown),
        )


def _texts(row: Sequence[Cell]) -> tuple[str, ...]:
    return tuple(clip(text_of(cell), 60) for cell in row[:MOST_COLUMNS])


def _by_column(rows: Sequence[Sequence[Cell]], width: int) -> list[Sequence[Cell]]:
    columns = list(zip_longest(*rows, fillvalue=""))[:width]
    empty = ("",) * len(rows)
    return [*columns, *([empty] * (width - len(columns)))]


def _measured(quantity: _Quantity) -> Measured:
    """Start settling the unit of a quantity by what its header and its cells state."""
    guess, numbers = quantity.guess, quantity.numbers
    stated, by = guess.unit, f"by the {guess.unit_from}"
    if stated is None and numbers.main_unit() is not None:
        stated, by = numbers.main_unit(), "in the cells"
    sign = guess.sign
    return Measured(
        key=guess.quantity or "",
        header=guess.header,
        values=sign * numbers.in_unit(stated),
        stated=stated,
        stated_by=by,
        sure=guess.sure and not quantity.mark.asks and not numbers.brackets_negative,
    )


def _quantity_column(quantity: _Quantity, measured: Measured) -> Column:
    guess = quantity.guess
    brackets = "numbers in brackets are read as minus" if quantity.numbers.brackets_negative else ""
    said = [guess.reason, *measured.reasons, quantity.mark.reason, brackets, guess.asks]
    return Column(
        index=guess.index,
        header=guess.header,
        role="quantity",
        quantity=guess.quantity,
        unit=measured.unit,
        reason="; ".join(part.rstrip(".") for part in said if part),
        sure=measured.sure,
        sign=guess.sign,
    )


class _Values:
    """The values of all columns as they are taken, and the problems met on the way."""

    def __init__(self, *, lines: Sorted, rows: Sequence[Sequence[Cell]]) -> None:
        self.lines = lines
        self.rows = rows
        self.problems: list[Problem] = []
        self._any = np.zeros(len(lines.shots), dtype=np.bool_)
        self._told: set[int] = set()

    def take(self, quantity: _Quantity, measured: Measured) -> Floats:
        """Take one column's values; wrong and impossible cells become problems."""
        values = measured.values.copy()
        reasons = dict(quantity.numbers.reasons)
        if not measured.asked:
            reasons |= impossible(values, measured.unit, measured.key)
        for place, reason in reasons.items():
            values[place] = np.nan
            self._told.add(place)
            self.problems.append(
                Problem(
                    row=self.lines.shots[place] + 1,
                    column=quantity.guess.header,
                    text=clip(text_of(quantity.cells[place])),
                    reason=reason,
                )
            )
        self._any |= np.isfinite(values)
        return values

    def held(self) -> list[int]:
        """List the places that are shots; report the others."""
        for place in map(int, np.flatnonzero(~self._any)):
            row = self.lines.shots[place]
            self.lines.kinds[row] = "problem"
            if place not in self._told:
                self.problems.append(
                    Problem(
                        row=row + 1, column=None, text=row_text(self.rows[row]), reason=_NO_VALUE
                    )
                )
        return [int(place) for place in np.flatnonzero(self._any)]
