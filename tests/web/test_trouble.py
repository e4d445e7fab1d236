"""Bad news as a page: which status, what is wrong, what to do; and nothing of the inside shown."""

from typing import NoReturn

import pytest
from starlette.testclient import TestClient

from leadfoot.desk.desk import Desk
from leadfoot.errors import (
    BookError,
    InputError,
    LeadfootError,
    MappingError,
    OutOfRangeError,
    ReportError,
)
from leadfoot.web.app import build_app
from leadfoot.web.trouble import status_of
from tests.web.conftest import PORT
from tests.web.lessons import give_lesson


@pytest.mark.parametrize(
    ("kind", "status"),
    [
        (InputError, 422),
        (OutOfRangeError, 422),
        (MappingError, 422),
        (BookError, 503),
        (ReportError, 500),
        (LeadfootError, 500),
    ],
)
def test_status_by_class(kind: type[LeadfootError], status: int) -> None:
    assert status_of(kind("What.", fix="Fix.")) == status


def test_a_book_that_fails_is_a_page_that_says_what_to_do(
    client: TestClient, desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(_: object) -> NoReturn:
        raise BookError("The client book <b> is in use.", fix="Close the other program.")

    monkeypatch.setattr(type(desk.book), "students", fails)
    page = client.get("/")
    assert page.status_code == 503
    assert "The client book &lt;b&gt; is in use." in page.text
    assert "Close the other program." in page.text


def test_what_breaks_inside_shows_nothing_of_the_inside(
    desk: Desk, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def breaks(_: object) -> NoReturn:
        raise ZeroDivisionError("secret detail")

    monkeypatch.setattr(type(desk.book), "students", breaks)
    app = build_app(desk, port=PORT)
    base = f"http://127.0.0.1:{PORT}"
    with TestClient(app, base_url=base, raise_server_exceptions=False) as client:
        page = client.get("/")
    assert page.status_code == 500
    assert "Something broke in the program itself; the book is as it was." in page.text
    assert "secret detail" not in page.text
    assert "secret detail" in caplog.text
    assert "content-security-policy" in page.headers


@pytest.mark.parametrize(
    ("method", "path", "status", "what"),
    [
        ("GET", "/nowhere", 404, "There is no such page."),
        ("GET", "/static/../page.py", 404, "There is no such page."),
        ("GET", "/lessons/abc", 422, "can&#39;t be used"),
        ("POST", "/method", 405, "This address takes no such request."),
    ],
)
def test_wrong_addresses_are_pages(
    client: TestClient, method: str, path: str, status: int, what: str
) -> None:
    page = client.request(method, path)
    assert page.status_code == status
    assert what in page.text
    assert page.headers["content-type"].startswith("text/html")


def test_a_sheet_that_fails_is_a_page(client: TestClient, desk: Desk) -> None:
    given = give_lesson(desk)

    def fails(*_: object, **__: object) -> NoReturn:
        raise ReportError("The sheet could not be printed.", fix="Try once more.")

    object.__setattr__(desk, "printer", fails)
    page = client.get(f"/lessons/{given.lesson.id}/sheet.pdf")
    assert page.status_code == 500
    assert "The sheet could not be printed." in page.text
