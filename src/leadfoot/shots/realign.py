"""Tables below each other whose columns differ: all rows brought under one header."""

from collections.abc import Sequence
from dataclasses import replace

from leadfoot.shots.header import header_key_part, understand
from leadfoot.shots.layout import MOST_COLUMNS, Layout, made_up
from leadfoot.tables.grid import Cell, text_of

Order = tuple[int, ...]
"""For each column of a lower table, its place under the one header."""


def realigned(
    rows: Sequence[Sequence[Cell]], layout: Layout, header_places: Sequence[int]
) -> tuple[list[Sequence[Cell]], Layout] | None:
    """Bring the rows below other headers under the first one; None where all headers agree.

    Parameters
    ----------
    rows
        All rows, as cells.
    layout
        Where the first header stands.
    header_places
        Places of the headers below it, from 0.

    Examples
    --------
    >>> layout = Layout(header_rows=(0,), units_row=None, headers=("A", "B"), units=(None, None),
    ...                 first_row=1)
    >>> rows = [["A", "B"], ["1", "2"], ["B", "A"], ["3", "4"]]
    >>> realigned(rows, layout, [2])[0]
    [['A', 'B'], ['1', '2'], ['A', 'B'], ['4', '3']]
    """
    headers = _own_headers(rows, layout, min(header_places))
    orders: dict[int, Order] = {}
    for place in header_places:
        texts = [text_of(cell) for cell in rows[place]][:MOST_COLUMNS]
        orders[place] = _order(texts, headers)
    if all(order == tuple(range(len(order))) for order in orders.values()):
        return None
    new: list[Sequence[Cell]] = []
    order: Order = ()
    for place, row in enumerate(rows):
        order = orders.get(place, order)
        new.append(_moved(row, order) if order else row)
    missing = (None,) * (len(headers) - len(layout.units))
    units = (*layout.units, *missing)[: len(headers)]
    return new, replace(layout, headers=tuple(headers), units=units)


def _own_headers(rows: Sequence[Sequence[Cell]], layout: Layout, end: int) -> list[str]:
    """List the headers of the first table, without those that only a wider one below made up."""
    top = min(layout.header_rows, default=0)
    width = max((len(row) for row in rows[top:end]), default=0)
    return list(layout.headers[:width])


def _order(texts: Sequence[str], headers: list[str]) -> Order:
    """Find each header of a lower table under the first one; a new one is added at the end."""
    free = list(range(len(headers)))
    order: list[int | None] = [_take(text, headers, free) for text in texts]
    for index, text in enumerate(texts):
        if order[index] is None:
            order[index] = _take_alike(index, text, headers, free)
    return tuple(place if place is not None else 0 for place in order)


def _take(text: str, headers: Sequence[str], free: list[int]) -> int | None:
    """Take the first free header of the same text."""
    wanted = header_key_part(text)
    for place in free:
        if wanted and header_key_part(headers[place]) == wanted:
            free.remove(place)
            return place
    return None


def _take_alike(index: int, text: str, headers: list[str], free: list[int]) -> int:
    """Take the free header that means the same, or stands at the same place; else add one."""
    meaning = understand(text) if text else None
    for place in free:
        other = understand(headers[place])
        same = meaning is not None and meaning.quantity is not None
        if same and meaning and (meaning.quantity, meaning.unit) == (other.quantity, other.unit):
            free.remove(place)
            return place
    if index in free and (meaning is None or meaning.strength == 0):
        free.remove(index)
        return index
    headers.append(text or made_up(len(headers)))
    return len(headers) - 1


def _moved(row: Sequence[Cell], order: Order) -> list[Cell]:
    """Move the cells of a row to their places; cells beyond the header go to the end."""
    width = max(order) + 1
    moved: list[Cell] = [""] * width
    for cell, place in zip(row, order, strict=False):
        moved[place] = cell
    return [*moved, *row[len(order) :]] if len(row) > len(order) else moved
