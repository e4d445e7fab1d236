"""Books for the tests: one suite, one parameter for each kind of database."""

from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from leadfoot.book.store import SqlBook, open_book
from leadfoot.desk.ports import Book

if TYPE_CHECKING:
    from tests.postgres import Server


class StepClock:
    """A clock that goes on by one second whenever it is asked."""

    def __init__(self) -> None:
        self.now = datetime(2026, 3, 1, 9, 15, tzinfo=UTC)

    def __call__(self) -> datetime:
        self.now += timedelta(seconds=1)
        return self.now


@pytest.fixture
def clock() -> StepClock:
    return StepClock()


@pytest.fixture
def book_path(tmp_path: Path) -> Path:
    return tmp_path / "lessons.book"


@pytest.fixture(params=["sqlite", "postgresql"])
def address(request: pytest.FixtureRequest, book_path: Path) -> Iterator[str]:
    """Where a new book of each kind is."""
    if request.param == "sqlite":
        yield str(book_path)
        return
    server: Server = request.getfixturevalue("postgres")
    made = server.new_book()
    yield made
    server.take_back(made)


@pytest.fixture
def reopen(address: str, book_path: Path) -> Iterator[Callable[[], SqlBook]]:
    """Open the same book once more: as another program would."""
    opened: list[SqlBook] = []

    def open_again() -> SqlBook:
        kept = book_path.with_suffix(".zip")
        opened.append(open_book(address, clock=StepClock(), backups=kept))
        return opened[-1]

    yield open_again
    for book in opened:
        book.close()


@pytest.fixture
def book(reopen: Callable[[], SqlBook]) -> Book:
    """A new book; the assignment to the port is checked by mypy."""
    return reopen()
