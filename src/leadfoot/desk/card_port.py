"""What the desk needs of a printer of cards."""

from typing import Literal, Protocol

from leadfoot.desk.yardage import Yardages
from leadfoot.errors import ReportError


class CardPrinter(Protocol):
    """Prints the student's card of clubs."""

    def __call__(self, found: Yardages, *, paper: Literal["a4", "us-letter"]) -> bytes:
        """Give the card as a PDF."""
        ...


def no_card_printer(found: Yardages, *, paper: Literal["a4", "us-letter"]) -> bytes:
    """Stand in where a desk was given no printer of cards.

    Raises
    ------
    ReportError
        Always.
    """
    raise ReportError(
        f"This desk has no printer for the card of {found.student.name} ({paper}).",
        fix="Open the desk with `leadfoot open`, or give it a card printer.",
    )
