"""Read the shots of any table: bytes in; columns, shots, problems and questions out."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial
from itertools import zip_longest
from types import MappingProxyType

import numpy as np

from leadfoot.errors import InputError
from leadfoot.language.say import noted
from leadfoot.shots.amounts import read_amounts, settle, with_sides
from leadfoot.shots.club import club_class
from leadfoot.shots.columns import Column, ColumnMapping, Question
from leadfoot.shots.guess import Guess, guess_columns
from leadfoot.shots.heads import names_column
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
from leadfoot.shots.ranges import clubs_of
from leadfoot.shots.reading import RowBlock, TableReading
from leadfoot.shots.realign import realigned
from leadfoot.shots.shot import Readings, ShotTable
from leadfoot.shots.sides import Hand
from leadfoot.shots.takings import Takings, left_in_twins
from leadfoot.shots.terms import plain, squeezed, terms
from leadfoot.tables.grid import Cell, Grid, clip, text_of
from leadfoot.tables.open import open_table
from leadfoot.tables.problem import Problem
from leadfoot.tables.split import is_number

__all__ = ["RowBlock", "TableReading", "is_term", "read_table"]

_PREVIEWED = 50
_NO_ROWS = Problem(
    row=None,
    column=None,
    text="no rows",
    reason="No shot stands below the header; check that the whole table was saved.",
)


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
    grid = open_table(data, names_column=names_column, is_term=is_term)
    layout = find_layout(grid.rows, mapping)
    body = grid.rows[layout.first_row :]
    if not layout.header_rows and not _has_numbers(grid.rows):
        raise InputError(
            f"{name or 'The file'} has no header that names a quantity, and no columns of numbers.",
            fix="Give a table with a header such as: Club, Ball speed [mph], Carry [yd].",
        )
    guess = partial(guess_columns, mapping=mapping, hand=hand, block_column=block_column)
    guesses = guess(layout, body)
    lines = _sorted(grid, layout, guesses)
    below = [p for p in range(layout.first_row, len(grid.rows)) if lines.kinds[p] == "header"]
    moved = realigned(grid.rows, layout, below) if below else None
    if moved is not None:
        rows, layout = moved
        grid = replace(grid, rows=rows)
        guesses = guess(layout, rows[layout.first_row :])
        lines = _sorted(grid, layout, guesses)
    table = _Table(grid=grid, layout=layout, guesses=guesses, lines=lines, hand=hand)
    return table.read(row_blocks)


def _sorted(grid: Grid, layout: Layout, guesses: Sequence[Guess]) -> Sorted:
    quantities = [guess.index for guess in guesses if guess.role == "quantity"]
    club = next((guess.index for guess in guesses if guess.role == "club"), None)
    return sort_rows(grid.rows, layout, quantities, club, may_slip=grid.may_slip)


def is_term(part: str) -> bool:
    """Tell whether a piece of text is a word of the trade."""
    words = terms()
    spelling = squeezed(part)
    return bool(plain(part)) and (
        spelling in words.quantities or spelling in words.roles or club_class(part) is not None
    )


def _has_numbers(rows: Sequence[Sequence[Cell]]) -> bool:
    """Tell whether there are rows that are mostly numbers."""
    for row in rows[:1000]:
        texts = [text for text in map(text_of, row[:MOST_COLUMNS]) if text]
        numbers = sum(1 for text in texts if is_number(text))
        if numbers and 2 * numbers >= len(texts):
            return True
    return False


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Table:
    """A table whose columns are guessed, ready to be read."""

    grid: Grid
    layout: Layout
    guesses: Sequence[Guess]
    lines: Sorted
    hand: Hand

    def read(self, row_blocks: Sequence[RowBlock]) -> TableReading:
        rows = self.grid.rows
        lines = self.lines
        if not any(guess.role == "quantity" for guess in self.guesses):
            return self._unread(lines)
        cells = _by_column([rows[place] for place in lines.shots], len(self.guesses))
        clubs = clubs_by_shot(self._role_cells("club", cells), lines.clubs)
        classes = clubs_of(clubs)
        amounts = read_amounts(self.guesses, cells, classes, self.hand)
        amounts, guesses = with_sides(amounts, self.guesses, cells, self.hand)
        measured, questions = settle(amounts, classes)
        takings = Takings(lines=lines, rows=rows)
        values = {amount.key: takings.take(amount, measured[amount.key]) for amount in amounts}
        held = takings.held()
        labels = self._labels(lines, cells, row_blocks)
        shots = ShotTable(
            rows=np.array([lines.shots[place] + 1 for place in held], dtype=np.int64),
            blocks=tuple(labels[place] for place in held),
            clubs=tuple(clubs[place] for place in held),
            readings=MappingProxyType(
                {
                    key: Readings(values=column[held], unit=measured[key].unit)
                    for key, column in values.items()
                }
            ),
        )
        problems = [*self.grid.problems, *lines.problems, *takings.problems]
        problems += empty_ranges(shots.blocks, row_blocks)
        taken = {amount.guess.index: values[amount.key] for amount in amounts}
        problems += left_in_twins(guesses, cells, taken)
        if not lines.shots:
            problems.append(_NO_ROWS)
        found = {amount.guess.index: amount.column(measured[amount.key]) for amount in amounts}
        columns = tuple(found.get(guess.index) or _other_column(guess) for guess in guesses)
        return self._reading(columns=columns, shots=shots, problems=problems, questions=questions)

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

    def _unread(self, lines: Sorted) -> TableReading:
        """Give a table of which no column is known: nothing is read, and that is said."""
        for place in lines.shots:
            lines.kinds[place] = "unread"
        first, last = (lines.shots[0] + 1, lines.shots[-1] + 1) if lines.shots else (0, 0)
        unknown = Problem(
            row=None,
            column=None,
            text=f"rows {first} to {last}",
            reason=noted("No column is known, so no shot was read; say what the columns are."),
        )
        return self._reading(
            columns=tuple(map(_other_column, self.guesses)),
            shots=ShotTable(rows=np.zeros(0, dtype=np.int64), blocks=(), clubs=()),
            problems=[*self.grid.problems, unknown, *lines.problems],
            questions=[],
        )

    def _reading(
        self,
        *,
        columns: tuple[Column, ...],
        shots: ShotTable,
        problems: Sequence[Problem],
        questions: Sequence[Question],
    ) -> TableReading:
        header = self.layout.header_rows
        kinds = self.lines.kinds
        shown = self.lines.shots[:_PREVIEWED]
        return TableReading(
            columns=columns,
            shots=shots,
            blocks=block_spans([int(row) for row in shots.rows], shots.blocks),
            problems=tuple(sorted(problems, key=lambda problem: problem.row or 0)),
            questions=tuple(questions),
            header_row=header[-1] + 1 if header else None,
            header_key=self.layout.key(),
            n_summary_rows=kinds.count("summary"),
            row_kinds=tuple(kinds),
            source=self.grid.source,
            preview=tuple((place + 1, _texts(self.grid.rows[place])) for place in shown),
        )


def _other_column(guess: Guess) -> Column:
    """Say what a column is that holds no quantity."""
    return Column(
        index=guess.index,
        header=guess.header,
        role=guess.role,
        quantity=None,
        unit=None,
        reason=guess.reason,
        sure=guess.sure,
    )


def _texts(row: Sequence[Cell]) -> tuple[str, ...]:
    return tuple(clip(text_of(cell), 60) for cell in row[:MOST_COLUMNS])


def _by_column(rows: Sequence[Sequence[Cell]], width: int) -> list[Sequence[Cell]]:
    columns = list(zip_longest(*rows, fillvalue=""))[:width]
    empty = ("",) * len(rows)
    return [*columns, *([empty] * (width - len(columns)))]
