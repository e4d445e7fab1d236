"""A piece of a table that could not be used: where, what stands there, and why."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """A cell, a row or a column that could not be used as it stands."""

    row: int | None
    """Spreadsheet row, or None where a whole column or file is meant."""
    column: str | None
    """Header of the column, or None where a whole row or file is meant."""
    text: str
    """What stands there."""
    reason: str
    """What is wrong, and what to do."""
