"""Where the header stands: one row or two, perhaps with a row of units below, perhaps nowhere."""

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass

from leadfoot.shots.columns import ColumnMapping
from leadfoot.shots.header import LOOSE, WORDED, header_key_part, understand
from leadfoot.shots.terms import find_table_unit
from leadfoot.tables.grid import Cell, text_of
from leadfoot.tables.split import is_mostly_numbers, is_number

_HEADER_ROWS = 20
"""The header stands in one of the first so many rows that are not blank."""
_ROWS_LOOKED_AT = 200
_LEAST_RATING = 1.5
"""A row with one clear term, or two unclear ones, is a header. Our own choice."""
MOST_COLUMNS = 200
"""Columns beyond this many are not read. Our own choice."""
_RULE_MARKS = set("-=_:+|*~ ─━═")


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """Where the header of a table stands; places of rows are counted from 0."""

    header_rows: tuple[int, ...]
    """Empty where the table has no header."""
    units_row: int | None
    headers: tuple[str, ...]
    units: tuple[str | None, ...]
    """Symbols from the row of units, by column."""
    first_row: int
    """The first row that may be a shot."""

    def n_named(self) -> int:
        """Count the columns up to the last that has a header."""
        named = [i for i, header in enumerate(self.headers) if not is_made_up(header, i)]
        return named[-1] + 1 if named and self.header_rows else len(self.headers)

    def key(self) -> str:
        """Give the key by which a saved mapping is found again; empty without a header."""
        if not self.header_rows:
            return ""
        parts = (
            f"{header_key_part(header)}\x1e{unit or ''}"
            for header, unit in zip(self.headers, self.units, strict=True)
        )
        return hashlib.sha256("\x1f".join(sorted(parts)).encode()).hexdigest()[:32]


def is_made_up(header: str, index: int) -> bool:
    """Tell whether a header only stands in for one that is missing.

    Examples
    --------
    >>> is_made_up("column 3", 2), is_made_up("Carry", 2)
    (True, False)
    """
    return header == made_up(index)


def made_up(index: int) -> str:
    """Name a column that has no header."""
    return f"column {index + 1}"


def find_layout(rows: Sequence[Sequence[Cell]], mapping: ColumnMapping | None) -> Layout:
    """Find the header among the first rows of a table.

    Parameters
    ----------
    rows
        All rows, as cells.
    mapping
        What the headers mean, where the coach said so; the row that holds most of its headers is
        then the header.

    Examples
    --------
    >>> layout = find_layout([["Tuesday"], ["Carry", "Spin"], ["m", "rpm"], ["210", "2500"]], None)
    >>> layout.headers, layout.units, layout.first_row
    (('Carry', 'Spin'), ('m', 'rpm'), 3)
    """
    places = _first_places(rows)
    found = _mapped(rows, places, mapping) or _termed(rows, places) or _worded(rows, places)
    if found is None:
        width = min(MOST_COLUMNS, max(map(len, rows), default=0))
        names = tuple(map(made_up, range(width)))
        return Layout(
            header_rows=(), units_row=None, headers=names, units=(None,) * width, first_row=0
        )
    return _whole(rows, found)


def _first_places(rows: Sequence[Sequence[Cell]]) -> list[int]:
    some = range(min(len(rows), _ROWS_LOOKED_AT))
    return [place for place in some if any(map(_filled, rows[place]))][:_HEADER_ROWS]


def _filled(cell: Cell) -> bool:
    return not isinstance(cell, str) or bool(cell.strip())


def _mapped(
    rows: Sequence[Sequence[Cell]], places: Sequence[int], mapping: ColumnMapping | None
) -> tuple[int, ...] | None:
    """Find the row, or pair of rows, that holds most of a mapping's headers."""
    if mapping is None:
        return None
    wanted = {header_key_part(rule.header) for rule in mapping.columns}
    best, most = None, 0
    for place in places:
        for span in ((place,), (place, place + 1)):
            texts = _headers(rows, span) if span[-1] < len(rows) else []
            hits = len(wanted & {header_key_part(text) for text in texts})
            if hits > most:
                best, most = span, hits
    return best


def _termed(rows: Sequence[Sequence[Cell]], places: Sequence[int]) -> tuple[int, ...] | None:
    """Find the row, or pair of rows, that names most quantities."""
    ratings = [_rating(_headers(rows, (place,))) for place in places]
    enough = max(_LEAST_RATING, 0.5 * max(ratings, default=0.0))
    alone = next(((p, r) for p, r in zip(places, ratings, strict=True) if r >= enough), None)
    best: tuple[int, ...] | None = (alone[0],) if alone else None
    most = alone[1] if alone else _LEAST_RATING
    for place in places if alone is None else (alone[0] - 1, alone[0]):
        below = rows[place + 1] if 0 <= place < len(rows) - 1 else None
        if below is None or is_units_row(below) or _has_numbers([*rows[place], *below]):
            continue
        both = _rating(_headers(rows, (place, place + 1)))
        if both >= most + 1:
            best, most = (place, place + 1), both
    return best


def _rating(texts: Sequence[str]) -> float:
    """Rate how much a row looks like a header: its terms, less its numbers."""
    if is_mostly_numbers(texts[:MOST_COLUMNS]):
        return -1.0
    return sum(map(_cell_rating, texts[:MOST_COLUMNS]))


def _cell_rating(text: str) -> float:
    if not text:
        return 0.0
    if is_number(text):
        return -2.0
    meaning = understand(text)
    if meaning.strength == 0:
        return -0.5 if any(map(str.isdecimal, text)) else -0.01
    if meaning.role == "quantity":
        return 2.0 if meaning.strength >= WORDED else 0.8
    return 1.0 if meaning.strength > LOOSE else 0.0


def _has_numbers(row: Sequence[Cell]) -> bool:
    return any(map(is_number, row))


def _worded(rows: Sequence[Sequence[Cell]], places: Sequence[int]) -> tuple[int, ...] | None:
    """Find a row of words above rows of numbers, where no term is known."""
    for place in places:
        texts = [text_of(cell) for cell in rows[place]]
        n_words = sum(map(bool, texts))
        has_digits = any(map(str.isdecimal, "".join(text[:100] for text in texts)))
        below = rows[place + 1] if place + 1 < len(rows) else []
        if n_words >= 2 and not has_digits and 2 <= sum(map(is_number, below)) <= n_words:
            return (place,)
    return None


def _headers(rows: Sequence[Sequence[Cell]], span: tuple[int, ...]) -> list[str]:
    """Write the headers of one row, or of a row of groups and the row of names below it."""
    lower = [text_of(cell) for cell in rows[span[-1]]]
    if len(span) == 1:
        return lower
    upper = [text_of(cell) for cell in rows[span[0]]]
    width = max(len(upper), len(lower))
    upper += [""] * (width - len(upper))
    lower += [""] * (width - len(lower))
    group = ""
    joined: list[str] = []
    for above, below in zip(upper, lower, strict=True):
        group = above or group
        joined.append(_better(f"{group} {below}".strip(), below) if below else above)
    return joined


def _better(joined: str, alone: str) -> str:
    """Put the group before a name only where it tells more than the name alone."""
    return joined if _cell_rating(joined) > _cell_rating(alone) else alone


def _whole(rows: Sequence[Sequence[Cell]], span: tuple[int, ...]) -> Layout:
    """Put together the layout: header rows, and the row of units below them if there is one."""
    headers = _headers(rows, span)[:MOST_COLUMNS]
    below = span[-1] + 1
    has_units = below < len(rows) and is_units_row(rows[below])
    texts = [text_of(cell) for cell in rows[below]] if has_units else []
    width = min(MOST_COLUMNS, max(len(row) for row in rows[span[0] :]))
    headers += [made_up(index) for index in range(len(headers), width)]
    headers = [text or made_up(index) for index, text in enumerate(headers)]
    units = [find_table_unit(text) for text in texts[:width]]
    units += [None] * (width - len(units))
    return Layout(
        header_rows=span,
        units_row=below if has_units else None,
        headers=tuple(headers),
        units=tuple(units),
        first_row=below + has_units,
    )


def is_units_row(row: Sequence[Cell]) -> bool:
    """Tell whether a row names units and nothing else.

    Examples
    --------
    >>> is_units_row(["", "[mph]", "(yd)", "-"]), is_units_row(["Driver", "95"])
    (True, False)
    """
    texts = [text_of(cell) for cell in row]
    named = [text for text in texts if text and text not in {"-", "–", "[-]", "(-)", "[]", "()"}]
    return bool(named) and all(find_table_unit(text) is not None for text in named)


def is_rule(texts: Sequence[str]) -> bool:
    """Tell whether a row only draws a line.

    Examples
    --------
    >>> is_rule(["---", ":---:", "---"]), is_rule(["-", "--"])
    (True, False)
    """
    named = [text for text in texts if text]
    return bool(named) and all(len(text) > 2 and set(text) <= _RULE_MARKS for text in named)
