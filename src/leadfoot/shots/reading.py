"""What a table gave: its columns, shots, blocks, problems and questions, and each row's fate."""

from collections.abc import Mapping
from dataclasses import dataclass

from leadfoot.errors import InputError
from leadfoot.shots.columns import Column, ColumnMapping, ColumnRule, Question
from leadfoot.shots.lines import RowKind
from leadfoot.shots.shot import BlockSpan, ShotTable
from leadfoot.tables.problem import Problem


@dataclass(frozen=True, slots=True, kw_only=True)
class RowBlock:
    """A block that the coach gives by rows of the table, both ends included, counted from 1.

    Examples
    --------
    >>> RowBlock(label="before", first_row=2, last_row=9).last_row
    9
    """

    label: str
    first_row: int
    last_row: int

    def __post_init__(self) -> None:
        if not 1 <= self.first_row <= self.last_row:
            raise InputError(
                f"Rows {self.first_row} to {self.last_row} for {self.label!r} are no range.",
                fix="Give the first row, then the last, counted from 1 as a spreadsheet does.",
            )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TableReading:
    """All that was understood of a table, and all that was not."""

    columns: tuple[Column, ...]
    shots: ShotTable
    blocks: tuple[BlockSpan, ...]
    problems: tuple[Problem, ...]
    questions: tuple[Question, ...]
    header_row: int | None
    """Spreadsheet row of the header (its lowest, if it has two); None where there is none."""
    header_key: str
    """Key by which a saved mapping is found again; empty without a header."""
    n_summary_rows: int
    row_kinds: tuple[RowKind, ...]
    """What became of each row of the file, from row 1 on: none is lost without a word."""
    source: str
    """How the cells were found: delimiter and encoding, or the sheet."""
    preview: tuple[tuple[int, tuple[str, ...]], ...]
    """The first rows of shots: spreadsheet row, and its cells as text."""

    def cells(self, n: int) -> tuple[tuple[str, ...], ...]:
        """Give the first rows of shots as text, at most `n`, for a page to show."""
        return tuple(texts for _, texts in self.preview[:n])

    def mapping(self) -> ColumnMapping:
        """Give what the columns were taken for, for the coach to change, confirm and save."""
        return ColumnMapping(
            columns=tuple(
                ColumnRule(
                    header=column.header,
                    role=column.role,
                    quantity=column.quantity,
                    unit=column.unit,
                    sign=column.sign,
                )
                for column in self.columns
            )
        )

    def count_rows(self) -> Mapping[RowKind, int]:
        """Count the rows of each kind."""
        counts: dict[RowKind, int] = {}
        for kind in self.row_kinds:
            counts[kind] = counts.get(kind, 0) + 1
        return counts
