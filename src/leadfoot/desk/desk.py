"""The desk itself: the book, the printers and the clock that every deed needs."""

from dataclasses import dataclass

from leadfoot.desk.card_port import CardPrinter, no_card_printer
from leadfoot.desk.ports import Book, Clock, HomePrinter, Printer
from leadfoot.desk.season_port import SeasonPrinter, no_season_printer


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Desk:
    """What stands on the desk; ``version`` is that of the program, kept with each answer."""

    book: Book
    clock: Clock
    printer: Printer
    version: str
    home_printer: HomePrinter | None = None
    """Prints homework; None where no sheet can be printed."""
    card_printer: CardPrinter = no_card_printer
    season_printer: SeasonPrinter = no_season_printer
