"""What the desk needs of a printer of seasons."""

from typing import Literal, Protocol

from leadfoot.desk.season_records import SeasonSheet
from leadfoot.errors import ReportError


class SeasonPrinter(Protocol):
    """Prints the season of a student."""

    def __call__(self, found: SeasonSheet, *, paper: Literal["a4", "us-letter"]) -> bytes:
        """Give the sheet as a PDF, in the language that is spoken."""
        ...


def no_season_printer(found: SeasonSheet, *, paper: Literal["a4", "us-letter"]) -> bytes:
    """Stand in where a desk was given no printer of seasons.

    Raises
    ------
    ReportError
        Always.
    """
    raise ReportError(
        f"This desk has no printer for the season of {found.student.name} ({paper}).",
        fix="Open the desk with `leadfoot open`, or give it a season printer.",
    )
