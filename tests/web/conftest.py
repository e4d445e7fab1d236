"""What the tests of the pages share: a desk on a real book, and a client that speaks HTTP to it."""

from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Literal

import pytest
from starlette.testclient import TestClient

from leadfoot.book.store import open_book
from leadfoot.desk.answer import Answer
from leadfoot.desk.desk import Desk
from leadfoot.web.app import build_app

PORT = 8470
NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)


def print_plainly(
    answer: Answer,
    *,
    student: str | None,
    held_on: date | None,
    change: str | None,
    invented: bool,
    paper: Literal["a4", "us-letter"],
) -> bytes:
    """A printer that only says what it was given."""
    return f"%PDF {student} {held_on} {change} {invented} {paper} {answer.sentence}".encode()


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    book = open_book(tmp_path / "lessons.book", clock=lambda: NOON)
    yield Desk(book=book, clock=lambda: NOON, printer=print_plainly, version="0.0.test")
    book.close()


@pytest.fixture
def client(desk: Desk) -> Iterator[TestClient]:
    with TestClient(build_app(desk, port=PORT), base_url=f"http://127.0.0.1:{PORT}") as client:
        yield client
