"""Where the numbers of a table of forces stand: header, row of groups, row of units, the rate."""

from collections.abc import Sequence
from dataclasses import dataclass

from leadfoot.errors import InputError
from leadfoot.ground.table_columns import ForceMapping
from leadfoot.ground.table_terms import is_rate_word, names_force_column, plain, unit_in
from leadfoot.tables.grid import Cell, text_of
from leadfoot.tables.lines import PartedLines
from leadfoot.tables.split import is_number

_HEADER_ROWS = 80
"""The header stands in one of the first so many rows; exports put long notes above it."""
_MOST_COLUMNS = 400
_RATES_HZ = (20.0, 20_000.0)
"""A lone number above the header in this range may be the rate (own choice). [Hz]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """Where the parts of a table stand; rows are counted from 0."""

    headers: tuple[str, ...]
    """What stands above each column; empty text where there is no header."""
    groups: tuple[str, ...]
    """What stands over several columns together."""
    units: tuple[str | None, ...]
    header_row: int | None
    first_row: int
    last_row: int
    """The first row after the numbers."""
    rate_hz: float | None
    """The rate that stands above the header."""
    rate_words: str
    """Where it stands, and how sure that is."""
    is_rate_sure: bool


def find_layout(rows: Sequence[Sequence[Cell]], mapping: ForceMapping | None) -> Layout:
    """Find the header of a table of forces and the rows of numbers below it.

    Parameters
    ----------
    rows
        All rows, as cells.
    mapping
        What a person confirmed: the row that holds its headers is the header.

    Raises
    ------
    InputError
        If there are no rows of numbers.

    Examples
    --------
    >>> layout = find_layout([["Rate", "500"], ["Time", "Fz"], ["s", "N"], ["0", "800"]], None)
    >>> layout.headers, layout.units, layout.rate_hz, layout.first_row
    (('Time', 'Fz'), ('s', 'N'), 500.0, 3)
    """
    header = _header_row(rows, mapping)
    below = 0 if header is None else header + 1
    texts = [text_of(cell) for cell in rows[below]] if below < len(rows) else []
    has_units = header is not None and _is_units_row(texts)
    first = _first_numbers(rows, below + has_units)
    last = rows.end_of_rows(first) if isinstance(rows, PartedLines) else _end_of_rows(rows, first)
    names = [] if header is None else [text_of(cell) for cell in rows[header]]
    width = min(_MOST_COLUMNS, max(len(names), *(len(row) for row in rows[first : first + 50])))
    groups = _groups(rows, header, width)
    rate_hz, words, is_sure = _told_rate(rows[: header or 0])
    return Layout(
        headers=_padded(names, width),
        groups=groups,
        units=tuple(unit_in(text) for text in _padded(texts if has_units else [], width)),
        header_row=header,
        first_row=first,
        last_row=last,
        rate_hz=rate_hz,
        rate_words=words,
        is_rate_sure=is_sure,
    )


def _end_of_rows(rows: Sequence[Sequence[Cell]], first: int) -> int:
    last = first
    while last < len(rows) and any(map(_filled, rows[last])):
        last += 1
    return last


def _filled(cell: Cell) -> bool:
    return not isinstance(cell, str) or bool(cell.strip())


def _padded(texts: Sequence[str], width: int) -> tuple[str, ...]:
    return (*texts[:width], *[""] * (width - len(texts)))


def _header_row(rows: Sequence[Sequence[Cell]], mapping: ForceMapping | None) -> int | None:
    """Find the row that names most columns of forces."""
    wanted = {plain(rule.header) for rule in mapping.columns} if mapping is not None else set()
    best, most = None, 0
    for place, row in enumerate(rows[:_HEADER_ROWS]):
        texts = [text_of(cell) for cell in row[:_MOST_COLUMNS]]
        if sum(map(is_number, filter(None, texts))) > len(texts) // 3:
            continue
        hits = sum(plain(text) in wanted for text in texts if text)
        hits = max(hits, sum(map(names_force_column, texts)))
        if hits > most:
            best, most = place, hits
    return best


def _is_units_row(texts: Sequence[str]) -> bool:
    named = [text for text in texts if text.strip() and text.strip() not in {"-", "[-]"}]
    known = sum(unit_in(text) is not None for text in named)
    return bool(named) and not any(map(is_number, named)) and 2 * known >= len(named)


def _first_numbers(rows: Sequence[Sequence[Cell]], start: int) -> int:
    """Find the first row that is mostly numbers."""
    for place in range(start, min(len(rows), start + _HEADER_ROWS)):
        texts = [text for text in map(text_of, rows[place]) if text]
        if texts and 2 * sum(map(is_scientific, texts)) > len(texts):
            return place
    raise InputError(
        "The table has no rows of numbers.",
        fix="Give a table with a header such as: time [s], Fz1 [N], Fz2 [N].",
    )


def is_scientific(text: str) -> bool:
    """Tell whether a text is a number, with an exponent or without.

    Examples
    --------
    >>> [is_scientific(text) for text in ("-1.2E-03", "3,5", "Fz")]
    [True, True, False]
    """
    if is_number(text):
        return True
    try:
        float(text.replace(",", "."))
    except ValueError:
        return False
    return True


def _groups(rows: Sequence[Sequence[Cell]], header: int | None, width: int) -> tuple[str, ...]:
    """Fill the row above the header to the right: each group reaches to the next."""
    texts = [text_of(cell) for cell in rows[header - 1]] if header else []
    if sum(map(bool, texts)) < 2 or any(map(is_number, filter(None, texts))):
        return ("",) * width
    filled: list[str] = []
    for text in _padded(texts, width):
        filled.append(text or (filled[-1] if filled else ""))
    return tuple(filled)


def _told_rate(rows: Sequence[Sequence[Cell]]) -> tuple[float | None, str, bool]:
    """Find the rate above the header: beside its word, or as the only number of a row."""
    lone: tuple[float, str] | None = None
    for place, row in enumerate(rows):
        texts = [text for text in map(text_of, row) if text]
        if len(texts) > 1 and is_rate_word(texts[0]) and is_scientific(texts[1]):
            return float(texts[1].replace(",", ".")), f"row {place + 1}, {texts[0]!r}", True
        if len(texts) == 1 and is_scientific(texts[0]):
            value = float(texts[0].replace(",", "."))
            if _RATES_HZ[0] <= value <= _RATES_HZ[1]:
                lone = (value, f"row {place + 1}, a number alone")
    return (lone[0], lone[1], False) if lone is not None else (None, "", False)
