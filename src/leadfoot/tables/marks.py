"""Which mark is the decimal one: told by a whole column, then by the whole table, else asked."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from leadfoot.tables.grid import Cell

Mark = Literal[".", ","]
"""A decimal mark."""

_CLEAR: dict[Mark, re.Pattern[str]] = {
    ".": re.compile(
        r"\d\.(?:\d{1,2}|\d{4,})(?![\d.,])|(?<![\d.,])\.\d|,\d{3}\.\d|(?<![\d.,])0\.\d|\d{4}\.\d"
    ),
    ",": re.compile(
        r"\d,(?:\d{1,2}|\d{4,})(?![\d.,])|(?<![\d.,]),\d|\.\d{3},\d|(?<![\d.,])0,\d|\d{4},\d"
    ),
}
"""Numbers that only make sense with this decimal mark."""
_GROUPED: dict[Mark, re.Pattern[str]] = {
    ".": re.compile(r"(?<![\d.,])[1-9]\d{0,2}\.\d{3}(?![\d.,])"),
    ",": re.compile(r"(?<![\d.,])[1-9]\d{0,2},\d{3}(?![\d.,])"),
}
"""Numbers whose mark may be a decimal or a thousands mark."""
_LONG_GROUPS: dict[Mark, re.Pattern[str]] = {
    ".": re.compile(r"\d\.\d{3}\.\d{3}(?!\d)"),
    ",": re.compile(r"\d,\d{3},\d{3}(?!\d)"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkEvidence:
    """What the cells of one column say of its decimal mark."""

    decimal: Mark | None
    """None where the column alone does not tell."""
    open_mark: Mark | None
    """The mark that may be a decimal or a thousands mark, where the column does not tell."""


def other_mark(mark: Mark) -> Mark:
    """Give the other of the two marks."""
    return "," if mark == "." else "."


def column_marks(cells: Sequence[Cell]) -> MarkEvidence:
    """Tell the decimal mark of one column.

    Examples
    --------
    >>> column_marks(["2.613", "210,5"]).decimal, column_marks(["2.613"]).open_mark
    (',', '.')
    """
    joined = "\n".join(cell for cell in set(cells) if isinstance(cell, str))
    hits = {m: m in joined and _CLEAR[m].search(joined) is not None for m in _CLEAR}
    if hits["."] != hits[","]:
        return MarkEvidence(decimal="." if hits["."] else ",", open_mark=None)
    if hits["."]:
        dots, commas = (len(_CLEAR[mark].findall(joined)) for mark in _CLEAR)
        return MarkEvidence(decimal="." if dots >= commas else ",", open_mark=None)
    for mark, groups in _LONG_GROUPS.items():
        if groups.search(joined):
            return MarkEvidence(decimal=other_mark(mark), open_mark=None)
    for mark, grouped in _GROUPED.items():
        if grouped.search(joined):
            return MarkEvidence(decimal=None, open_mark=mark)
    return MarkEvidence(decimal=None, open_mark=None)


def table_mark(columns: Sequence[MarkEvidence]) -> Mark | None:
    """Tell the decimal mark that most columns of a table show, or None.

    Examples
    --------
    >>> table_mark([column_marks(["210,5"]), column_marks(["3"])])
    ','
    """
    dots = sum(1 for column in columns if column.decimal == ".")
    commas = sum(1 for column in columns if column.decimal == ",")
    if dots == commas:
        return None
    return "." if dots > commas else ","


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkChoice:
    """The decimal mark by which one column is read, and what is said of it."""

    decimal: Mark
    reason: str = ""
    asks: str = ""


def choose_mark(
    evidence: MarkEvidence, table: Mark | None, decimal_fits: bool, thousands_fits: bool
) -> MarkChoice:
    """Choose the decimal mark of one column.

    Parameters
    ----------
    evidence
        What its cells say.
    table
        The decimal mark of the table, where it tells.
    decimal_fits, thousands_fits
        Whether the values would be plausible with the open mark as a decimal or thousands mark.

    Examples
    --------
    >>> choose_mark(MarkEvidence(decimal=None, open_mark="."), None, False, True).decimal
    ','
    """
    if evidence.decimal is not None:
        return MarkChoice(decimal=evidence.decimal)
    mark = evidence.open_mark
    if mark is None:
        return MarkChoice(decimal=table or ".")
    if decimal_fits == thousands_fits:
        return _undecided(mark, table)
    decimal = mark if decimal_fits else other_mark(mark)
    what = "is the decimal mark" if decimal_fits else "parts thousands"
    reason = f"{mark!r} {what}, else the values would not be plausible"
    clashes = table is not None and table != decimal
    asks = f"{mark!r} is read as if it {what}, unlike in other columns." if clashes else ""
    return MarkChoice(decimal=decimal, reason=reason, asks=asks)


def _undecided(mark: Mark, table: Mark | None) -> MarkChoice:
    """Choose where the values would be plausible either way, or neither way."""
    if table is not None:
        what = "is the decimal mark" if table == mark else "parts thousands"
        return MarkChoice(decimal=table, reason=f"{mark!r} {what}, by the other columns")
    decimal: Mark = "."
    what = "the decimal mark" if mark == decimal else "a thousands mark"
    return MarkChoice(
        decimal=decimal,
        reason=f"{mark!r} is taken as {what}",
        asks=f"{mark!r} is taken as {what}; the table does not tell.",
    )
