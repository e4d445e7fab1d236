"""Text to cells: which mark parts the cells, and where a row ends when quotes went wrong."""

import csv
import re
import unicodedata
from collections.abc import Callable, Sequence
from itertools import islice

from leadfoot.errors import InputError
from leadfoot.tables.grid import Cell
from leadfoot.tables.lines import PartedLines

Row = list[Cell]
NamesColumn = Callable[[Cell], bool]
"""Tells whether a cell is a header that is known."""

_NAMES = {
    ";": "semicolons",
    "\t": "tabs",
    "|": "pipes",
    ",": "commas",
    "；": "wide semicolons",
    "，": "wide commas",
    "  ": "blanks",
    "": "lines",
}
"""Marks that may part cells; two blanks stand for columns aligned by blanks."""
_ALIGNED = re.compile(r"[ \u00a0]{2,}|\t")
_NUMBER = re.compile(r"[+\-−]?\d+(?:[.,\u0020'’]\d+)*\Z")
_PIECES = re.compile(r"[;\t|,]| {2,}")
_LOOKED_AT = 60
"""Lines by which the mark is chosen: the first twenty may be anything, so some beyond them."""
MOST_ROWS = 500_000
MOST_CELLS = 5_000_000
MOST_COLUMNS = 16_384
"""Most lines of a text, most cells, most cells of a row: all are held. Our own choice; a recording
of four minutes at 2 kHz has 480,000 rows, the widest sheet of a spreadsheet 16,384 columns."""
_MOST_JOINED = 20
"""Lines that one quoted cell may span before its quote counts as a stray one."""


def split_text(
    text: str, names_column: NamesColumn, *, lazily: bool = False
) -> tuple[Sequence[Row], str]:
    r"""Part text into rows of cells.

    Parameters
    ----------
    text
        The whole file.
    names_column
        Tells whether a cell is a header that is known: the mark under which most are wins.
    lazily
        Part a row only when it is looked at, where no cell is quoted.

    Returns
    -------
    tuple of rows and str
        The rows, and by what their cells are parted, in words.

    Raises
    ------
    InputError
        If it has more rows, cells or columns than are read.

    Examples
    --------
    >>> split_text("Carry;Spin\n210,5;2500\n", lambda cell: cell == "Carry")
    ([['Carry', 'Spin'], ['210,5', '2500']], 'semicolons')
    """
    text = text.lstrip("\ufeff")
    if "\r" in text:
        text = text.replace("\r\n", "\n").replace("\r", "\n")
    text = text.replace("\x0c", "").replace("\x00", "").replace("\x1a", "")
    _refuse_many("rows", text.rstrip().count("\n") + 1, MOST_ROWS)
    lines = text.split("\n")
    while lines and not lines[-1].strip():
        lines.pop()
    told = _told(lines)
    mark = told or _best_mark(lines, names_column)
    if mark:
        _refuse_many("cells", text.count(mark) + len(lines), MOST_CELLS)
        if max(map(len, lines), default=0) > MOST_COLUMNS:
            _refuse_many("columns", max(line.count(mark) for line in lines), MOST_COLUMNS)
    if told:
        lines[0] = ""
    lazily = lazily and len(mark) == 1 and '"' not in text
    rows = PartedLines(lines, mark) if lazily else split_lines(lines, mark)
    return rows, _NAMES.get(mark, repr(mark))


def _refuse_many(what: str, n_there: int, most: int) -> None:
    if n_there > most:
        raise InputError(
            f"The table has {n_there} {what} or more; the program reads up to {most}.",
            fix="Split the table and read the parts.",
        )


def _told(lines: Sequence[str]) -> str | None:
    """Read the mark from a first line such as ``sep=;``, which some spreadsheets write."""
    first = lines[0].strip().strip('"').casefold() if lines else ""
    mark = lines[0].strip().strip('"')[4:] if first.startswith("sep=") else ""
    return mark if mark in {";", ",", "|", "\t"} else None


def _best_mark(lines: Sequence[str], names_column: NamesColumn) -> str:
    """Choose the mark under which most cells are words of the trade or numbers."""
    filled = (line[:4000] for line in lines if line.strip())
    head = list(islice(filled, _LOOKED_AT))
    found = [mark for mark in _NAMES if mark and any(mark in line for line in head)]
    return max(["", *found], key=lambda mark: _rating(split_lines(head, mark), names_column))


def _rating(rows: Sequence[Row], names_column: NamesColumn) -> tuple[int, float]:
    """Rate a way of parting: known headers in one row, then numbers in rows of the same width."""
    counts = [sum(map(names_column, row)) for row in rows]
    headers = max(counts, default=0)
    widths = [len(row) for row in rows]
    if headers:
        width = widths[counts.index(headers)]
    else:
        width = max(set(widths), key=widths.count, default=0)
    numbers = sum(1 for row in rows for cell in row if is_number(cell))
    return headers, numbers * widths.count(width) / max(1, len(widths))


def is_number(cell: Cell) -> bool:
    """Tell whether a cell is nothing but a number, in any digits and with any decimal mark.

    Examples
    --------
    >>> [is_number(cell) for cell in ("-2.5", "210,5", "１２", "7i", "", 3.0)]
    [True, True, True, False, False, True]
    """
    if not isinstance(cell, str):
        return True
    text = cell.strip()
    if not text.isascii():
        text = unicodedata.normalize("NFKC", text[:60])
    return len(text) < 40 and _NUMBER.match(text) is not None


def is_mostly_numbers(texts: Sequence[str]) -> bool:
    """Tell whether a row is mostly numbers, however parted, and not words each with its number.

    Examples
    --------
    >>> rows = (["Driver", "138.5", "221"], ["Wind", "3", "Balls", "40"])
    >>> [is_mostly_numbers(row) for row in rows]
    [True, False]
    """
    pieces = [piece.strip() for text in texts for piece in _PIECES.split(text[:2000])]
    named = [is_number(piece) for piece in pieces if piece]
    numbers = sum(named)
    in_pairs = not any(named[::2]) and all(named[1::2])
    return numbers >= 2 and 2 * numbers >= len(named) and not in_pairs


def split_lines(lines: Sequence[str], mark: str) -> list[Row]:
    """Part lines into rows by a mark; a blank line is a row without cells."""
    if mark == "":
        return [[line.strip()] if line.strip() else [] for line in lines]
    if mark == "  ":
        return [list(_ALIGNED.split(line.strip())) if line.strip() else [] for line in lines]
    if not any('"' in line for line in lines):
        return [list(line.split(mark)) if line.strip() else [] for line in lines]
    return _quoted(lines, mark)


def _quoted(lines: Sequence[str], mark: str) -> list[Row]:
    """Part lines some of which have quotes, joining those that one quoted cell spans."""
    rows: list[Row] = []
    usual = _usual_marks(lines[:_LOOKED_AT], mark)
    at = 0
    while at < len(lines):
        row, n_lines = _one_row(lines, at, mark, usual)
        rows.append(row)
        at += n_lines
    return rows


def _usual_marks(lines: Sequence[str], mark: str) -> float:
    """Count the marks of a usual line that is a whole row."""
    whole = [line.count(mark) for line in lines if mark in line and line.count('"') % 2 == 0]
    return sorted(whole)[len(whole) // 2] if whole else 0.0


def _one_row(lines: Sequence[str], at: int, mark: str, usual: float) -> tuple[Row, int]:
    """Part the row that begins at a line; say how many lines it takes."""
    line = lines[at]
    if '"' not in line:
        return (list(line.split(mark)) if line.strip() else []), 1
    row, is_open = _parse(line, mark)
    if not is_open:
        return row, 1
    for n_lines in range(2, min(_MOST_JOINED, len(lines) - at) + 1):
        if lines[at + n_lines - 1].count(mark) > 0.5 * usual and '"' not in lines[at + n_lines - 1]:
            break  # a whole row of its own: the quote above was a stray one
        row, is_open = _parse("\n".join(lines[at : at + n_lines]), mark)
        if not is_open:
            return (row, n_lines) if _is_sane(row, mark, usual) else (list(line.split(mark)), 1)
    return list(line.split(mark)), 1


def _is_sane(row: Row, mark: str, usual: float) -> bool:
    """Tell whether no cell of a joined row swallowed what looks like rows."""
    most = max(1.0, 0.5 * usual)
    texts = [str(cell) for cell in row if "\n" in str(cell)]
    return all(part.count(mark) < most for text in texts for part in text.split("\n"))


def _parse(line: str, mark: str) -> tuple[Row, bool]:
    """Part one line; tell whether its last quote is still open."""
    try:
        row: Row = list(next(csv.reader([line + "\n"], delimiter=mark, skipinitialspace=True)))
    except csv.Error:  # a cell beyond the reader's limit
        return list(line.split(mark)), False
    last = row[-1] if row else ""
    return row, isinstance(last, str) and last.endswith("\n")
