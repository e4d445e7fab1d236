"""Which block and which club each shot belongs to."""

from collections.abc import Sequence
from itertools import groupby, pairwise

from leadfoot.errors import InputError
from leadfoot.shots.cell import is_missing
from leadfoot.shots.club import club_name
from leadfoot.shots.reading import RowBlock
from leadfoot.shots.shot import BlockSpan
from leadfoot.shots.terms import squeezed
from leadfoot.tables.grid import Cell, text_of
from leadfoot.tables.problem import Problem

Label = str | None


def column_labels(cells: Sequence[Cell]) -> list[Label]:
    """Read a column of labels; one that is typed only where it changes holds until the next.

    Examples
    --------
    >>> column_labels(["before", "", "", "after", ""])
    ['before', 'before', 'before', 'after', 'after']
    >>> column_labels(["x", "x", "", "x"])
    ['x', 'x', None, 'x']
    """
    named = {cell: _label(cell) for cell in set(cells)}
    labels = [named[cell] for cell in cells]
    if None not in labels or any(
        len(list(run)) > 1 for label, run in groupby(labels) if label is not None
    ):
        return labels
    held: Label = None
    filled: list[Label] = []
    for label in labels:
        held = label if label is not None else held
        filled.append(held)
    return filled


def _label(cell: Cell) -> Label:
    text = " ".join(text_of(cell).split())
    return None if is_missing(text) and text.casefold() != "x" else text[:200]


def clubs_by_shot(cells: Sequence[Cell] | None, sections: Sequence[Label]) -> list[Label]:
    """Give the club of each shot: by its column, else by the label above it.

    One club has one name in a table: the one it is first called by if that is but a spelling of
    the usual name ("Driver", "7-iron"), else the usual name ("7i" becomes "7 iron").

    Examples
    --------
    >>> clubs_by_shot(["7i", "", "Driver", "DRIVER"], ["driver"] * 4)
    ['7 iron', '7 iron', 'Driver', 'Driver']
    """
    if cells is None:
        return list(sections)
    typed = column_labels(cells)
    first: dict[str, str] = {}
    for name in typed:
        if name is not None:
            usual = club_name(name)
            first.setdefault(usual, name if squeezed(name) == squeezed(usual) else usual)
    names = {name: first[club_name(name)] for name in set(typed) if name is not None}
    return [
        names[name] if name is not None else above
        for name, above in zip(typed, sections, strict=True)
    ]


def blocks_by_rows(rows: Sequence[int], row_blocks: Sequence[RowBlock]) -> list[Label]:
    """Give the block of each shot by the coach's ranges of rows; None outside all of them.

    Raises
    ------
    InputError
        If two ranges overlap.
    """
    ordered = sorted(row_blocks, key=lambda block: block.first_row)
    for block, after in pairwise(ordered):
        if after.first_row <= block.last_row:
            raise InputError(
                f"Rows {after.first_row} to {min(after.last_row, block.last_row)} belong to both "
                f"{block.label!r} and {after.label!r}.",
                fix="Give ranges that do not overlap.",
            )
    labels: list[Label] = []
    at = 0
    for row in rows:
        while at < len(ordered) and row > ordered[at].last_row:
            at += 1
        inside = at < len(ordered) and row >= ordered[at].first_row
        labels.append(ordered[at].label if inside else None)
    return labels


def empty_ranges(labels: Sequence[Label], row_blocks: Sequence[RowBlock]) -> list[Problem]:
    """Report the ranges of rows in which no shot stands."""
    held = set(labels)
    return [
        Problem(
            row=None,
            column=None,
            text=f"rows {block.first_row} to {block.last_row}",
            reason=f"No shot stands in the rows given for {block.label!r}; check the range.",
        )
        for block in row_blocks
        if block.label not in held
    ]


def block_spans(rows: Sequence[int], labels: Sequence[Label]) -> tuple[BlockSpan, ...]:
    """List the runs of consecutive shots with one label.

    Examples
    --------
    >>> block_spans([2, 3, 5], ["before", "before", None])
    (BlockSpan(label='before', first_row=2, last_row=3, n_shots=2),)
    """
    spans: list[BlockSpan] = []
    for label, run in groupby(zip(rows, labels, strict=True), key=lambda pair: pair[1]):
        held = [row for row, _ in run]
        if label is not None:
            spans.append(
                BlockSpan(label=label, first_row=held[0], last_row=held[-1], n_shots=len(held))
            )
    return tuple(spans)
