"""A table as cells: rows as a spreadsheet would show them, before anything is understood."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from leadfoot.tables.problem import Problem

Cell = str | float
"""What stands in a cell: text, or a number where the file itself says that it is one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """Cells by row; rows are counted from 1 as a spreadsheet shows them."""

    rows: Sequence[Sequence[Cell]]
    source: str
    """How the cells were found: delimiter and encoding, or the sheet."""
    problems: tuple[Problem, ...] = ()
    may_slip: bool = False
    """True where a decimal comma without quotes would part a number into two cells."""

    def width(self) -> int:
        """Count the cells of the widest row."""
        return max(map(len, self.rows), default=0)


def text_of(cell: Cell) -> str:
    """Write a cell as text, whole numbers without a decimal mark.

    Examples
    --------
    >>> text_of(7.0), text_of(2.5), text_of(" Driver ")
    ('7', '2.5', 'Driver')
    """
    if isinstance(cell, str):
        return cell.strip()
    return f"{cell:.0f}" if cell == int(cell) and abs(cell) < 1e15 else repr(cell)


def row_text(row: Sequence[Cell], limit: int = 160) -> str:
    """Write a row as one line for a person to find it again.

    Examples
    --------
    >>> row_text(["Driver", 95.0, ""])
    'Driver | 95'
    """
    texts = list(_shown(row))
    while texts and not texts[-1]:
        texts.pop()
    return clip(" | ".join(texts), limit)


def _shown(row: Sequence[Cell]) -> Iterator[str]:
    return (" ".join(text_of(cell)[:200].split()) for cell in row[:60])


def clip(text: str, limit: int = 80) -> str:
    """Shorten text to a limit, with an ellipsis where something is left away.

    Examples
    --------
    >>> clip("a" * 100, 5)
    'aaaa…'
    """
    return text if len(text) <= limit else text[: limit - 1] + "…"
