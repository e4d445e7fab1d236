"""Rows of the table of balls, each rendered once: with a new ball all others stay."""

from functools import lru_cache

from markupsafe import Markup

from leadfoot.web.page import templates
from leadfoot.web.shot_table import TableRow

MOST_KEPT = 8192
"""Rows that are kept, about a kilobyte each: some twenty long lessons (our own choice)."""


@lru_cache(maxsize=MOST_KEPT)
def row_text(row: TableRow, *, chosen: bool) -> Markup:
    """The row of one ball; `chosen`: its button is pressed."""
    template = templates().get_template("_shot_row.html")
    # A template that escapes has rendered it: safe as it is.
    return Markup(template.render(row=row, chosen=chosen))  # noqa: S704
