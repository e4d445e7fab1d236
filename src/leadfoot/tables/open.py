"""Any table to cells: bytes in, a grid out, with what could not be read."""

from leadfoot.tables.decode import IsTerm, decode, refuse_large
from leadfoot.tables.grid import Grid
from leadfoot.tables.problem import Problem
from leadfoot.tables.split import NamesColumn, split_text
from leadfoot.tables.workbook import is_workbook, read_workbook


def open_table(
    data: bytes, *, names_column: NamesColumn, is_term: IsTerm, lazily: bool = False
) -> Grid:
    r"""Open any table: text in any encoding, however parted, or a workbook.

    Parameters
    ----------
    data
        The whole file.
    names_column
        Tells whether a cell is a header that is known, unit included.
    is_term
        Tells whether a piece of text is a word that is known.
    lazily
        Part a row of text only when it is looked at: for long tables of which most is read as
        columns of numbers.

    Raises
    ------
    InputError
        If the file is empty, too large, locked, damaged, or no text.

    Examples
    --------
    >>> grid = open_table(b"time;force\n0,1;800\n", names_column=bool, is_term=bool)
    >>> grid.rows[1], grid.source
    (['0,1', '800'], 'semicolons, utf-8')
    """
    refuse_large(data)
    if is_workbook(data):
        return read_workbook(data, names_column)
    decoded = decode(data, is_term)
    rows, parted = split_text(decoded.text, names_column, lazily=lazily)
    damage = Problem(
        row=None,
        column=None,
        text=f"characters: {decoded.n_unreadable}",
        reason=f"They can't be read as {decoded.encoding}; save the file as UTF-8 once more.",
    )
    return Grid(
        rows=rows,
        source=f"{parted}, {decoded.encoding}",
        problems=(damage,) if decoded.n_unreadable else (),
        may_slip=parted == "commas",
    )
