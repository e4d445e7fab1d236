"""Wires the book, the printer and the clock to the desk: the only file that knows them all."""

from datetime import UTC, datetime
from pathlib import Path

import leadfoot
from leadfoot.book.store import default_book_path, open_book
from leadfoot.desk.desk import Desk
from leadfoot.reports.club_card import print_club_card
from leadfoot.reports.homework_sheet import print_homework
from leadfoot.reports.season_sheet import print_season
from leadfoot.reports.sheet import print_sheet


def local_clock() -> datetime:
    """Tell the time of this machine, with its zone."""
    return datetime.now(UTC).astimezone()


def open_desk(book: Path | str | None = None) -> Desk:
    """Open the desk on a client book; a new book is made where there is none.

    Parameters
    ----------
    book
        Path or database URL; None for the book of this user.

    Raises
    ------
    BookError
        If the book can't be opened.
    """
    return Desk(
        book=open_book(book if book is not None else default_book_path()),
        clock=local_clock,
        printer=print_sheet,
        version=leadfoot.__version__,
        home_printer=print_homework,
        card_printer=print_club_card,
        season_printer=print_season,
    )
