"""Rows as a CSV file that no spreadsheet takes for formulas."""

import csv
import math
from collections.abc import Iterable, Sequence
from io import StringIO

Cell = str | float | int | bool | None
_STARTS = frozenset("=+-@\t\r\n\uff1d\uff0b\uff0d\uff20\u2212")
"""Letters with which a spreadsheet may begin to compute, their wide forms among them."""
MARK = "'"
"""Put before such a text: a spreadsheet then shows it as it is."""


def safe_cell(value: Cell, decimals: int = 3) -> str:
    """One value as the text of a cell; a number stays a number, a text never becomes a formula.

    Parameters
    ----------
    value
        Text of any origin, a number, yes or no, or None for an empty cell; so is a number that is
        not finite.
    decimals
        Most decimals of a number.

    Notes
    -----
    The letters are those of the OWASP page "CSV Injection" (from memory), with the minus sign of
    printers, which some spreadsheets read as one.

    Examples
    --------
    >>> safe_cell("=1+1"), safe_cell("  @here"), safe_cell(-3.25), safe_cell("the block")
    ("'=1+1", "'  @here", '-3.25', 'the block')
    >>> safe_cell(float("nan")), safe_cell(None), safe_cell(True), safe_cell(12)
    ('', '', 'yes', '12')
    """
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int):
        return str(value)
    if isinstance(value, float):
        return _number(value, decimals) if math.isfinite(value) else ""
    bare = value.lstrip(" \u00a0\ufeff")
    return f"{MARK}{value}" if bare[:1] in _STARTS and bare else value


def _number(value: float, decimals: int) -> str:
    text = f"{round(value, decimals) + 0.0:.15g}"
    # Fifteen digits may round the largest floats up to infinity.
    return text if math.isfinite(float(text)) else repr(value)


def safe_csv(header: Sequence[str], rows: Iterable[Sequence[Cell]], *, decimals: int = 3) -> bytes:
    r"""A table as CSV in UTF-8, with commas and points.

    Parameters
    ----------
    header
        Names of the columns, with their units in brackets.
    rows
        The cells, as many in each row as there are names.
    decimals
        Most decimals of a number.

    Examples
    --------
    >>> safe_csv(["ball", "note"], [(1, "+49 30"), (2, 'said "go", then')])
    b'ball,note\n1,\'+49 30\n2,"said ""go"", then"\n'
    """
    out = StringIO()
    table = csv.writer(out, lineterminator="\n")
    table.writerow([safe_cell(name) for name in header])
    for row in rows:
        table.writerow([safe_cell(value, decimals) for value in row])
    return out.getvalue().encode()
