"""Which cells of a row head a column: headers of the trade, unit included."""

import re

from leadfoot.shots.terms import find_table_unit, squeezed, terms
from leadfoot.tables.grid import Cell

_BRACKETS = re.compile(r"\s*[\[({].*|\s*/.*", re.DOTALL)


def names_column(cell: Cell) -> bool:
    """Tell quickly whether a cell is a header of the trade, unit included.

    Examples
    --------
    >>> names_column("Ball speed [mph]"), names_column("nice one")
    (True, False)
    """
    text = str(cell)
    if len(text) > 60 or not text.strip():
        return False
    words = terms()
    spelling = squeezed(_BRACKETS.sub("", text))
    if spelling in words.quantities or spelling in words.roles or spelling in words.doubtful:
        return True
    first, _, last = text.strip().rpartition(" ")
    return bool(find_table_unit(last)) and squeezed(first) in words.quantities
