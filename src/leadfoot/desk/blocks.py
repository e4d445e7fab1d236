"""Blocks that a table leaves unsaid: the balls before the first label, and a table without any."""

from dataclasses import replace

from leadfoot.language.say import noted
from leadfoot.shots.shot import ShotTable

ONE_BLOCK = noted("all balls")
"""Label of the one block of a table that names none."""
OUTSIDE = noted("outside the blocks")
"""Label of the balls that belong to no block of a table that has blocks."""
FIRST = noted("before")
"""Label of the balls above the first label: a coach names the change when it begins."""


def with_named_blocks(shots: ShotTable, *, by_rows: bool = False) -> ShotTable:
    """Give every shot a block.

    Parameters
    ----------
    shots
        Shots as read, with None where the table names no block.
    by_rows
        True where the coach said by row ranges which balls belong to which block: what lies
        outside of them is outside then.

    Returns
    -------
    ShotTable
        Balls above the first label are "before" (unless that is itself a label of the table), a
        table without labels is one block, anything else is outside.
    """
    if all(label is None for label in shots.blocks):
        return replace(shots, blocks=(ONE_BLOCK,) * len(shots))
    first = next(place for place, label in enumerate(shots.blocks) if label is not None)
    above = OUTSIDE if by_rows or FIRST in shots.blocks else FIRST
    return replace(
        shots,
        blocks=tuple(
            label if label is not None else (above if place < first else OUTSIDE)
            for place, label in enumerate(shots.blocks)
        ),
    )
