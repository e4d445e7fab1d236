"""What the tests of the pages share: a desk on a real book, and a client that speaks HTTP to it."""

from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Literal

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect, sync_playwright
from starlette.testclient import TestClient

from leadfoot.book.store import open_book
from leadfoot.desk.answer import Answer
from leadfoot.desk.desk import Desk
from leadfoot.web.app import build_app
from tests.web.studio import Studio, Watch, free_port, launch

PORT = 8470
expect.set_options(timeout=20_000)  # what a page says is tested, not how soon on a busy machine
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


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    with sync_playwright() as playwright:
        browser = launch(playwright.chromium)
        yield browser
        browser.close()


@pytest.fixture(scope="module")
def studio(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Studio]:
    path = tmp_path_factory.mktemp("studio") / "lessons.book"
    book = open_book(path)
    here = Desk(
        book=book, clock=lambda: datetime.now(UTC), printer=print_plainly, version="0.0.test"
    )
    studio = Studio(path=path, port=free_port(), desk=here)
    studio.start()
    yield studio
    studio.stop()
    book.close()


@pytest.fixture
def watch(studio: Studio) -> Watch:
    return Watch(own=studio.address)


@pytest.fixture
def context(browser: Browser, studio: Studio, watch: Watch) -> Iterator[BrowserContext]:
    """A browser of its own for one test; the test fails if a page did what no page may do."""
    context = browser.new_context(
        base_url=studio.address, viewport={"width": 1280, "height": 800}, reduced_motion="reduce"
    )
    watch.over(context)
    yield context
    context.close()
    assert watch.found() == []


@pytest.fixture
def page(context: BrowserContext) -> Page:
    return context.new_page()
