"""Pages stay in step with the book: what a page hears over its socket, and of what it hears."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient, WebSocketTestSession

from leadfoot.book.store import open_book
from leadfoot.desk import lesson as deeds
from leadfoot.desk.desk import Desk
from leadfoot.errors import BookError
from tests.web.conftest import PORT
from tests.web.lessons import give_lesson, new_shot

LIVE = f"ws://127.0.0.1:{PORT}/live"
OWN = {"origin": f"http://127.0.0.1:{PORT}"}


def hears(socket: WebSocketTestSession) -> dict[str, object]:
    said: dict[str, object] = socket.receive_json()
    return said


@pytest.fixture
def socket(client: TestClient, desk: Desk) -> Iterator[WebSocketTestSession]:
    address = f"{LIVE}?since={desk.book.last_change()}"
    with client.websocket_connect(address, headers=OWN) as socket:
        assert hears(socket) == {"hello": True}
        yield socket


def test_a_page_hears_of_every_change(socket: WebSocketTestSession, desk: Desk) -> None:
    deeds.add_student(desk, name="New", hand="right")
    assert hears(socket) == {"change": desk.book.last_change()}


def test_a_page_hears_of_what_another_program_wrote(
    socket: WebSocketTestSession, tmp_path: Path, desk: Desk
) -> None:
    other = open_book(tmp_path / "lessons.book")
    other.add_student(
        name="Other", hand="right", goals="", cautions="", invented=True, at=desk.clock()
    )
    other.close()
    assert hears(socket) == {"change": desk.book.last_change()}


def test_a_page_that_was_away_hears_what_it_missed(client: TestClient, desk: Desk) -> None:
    give_lesson(desk, n_before=1, n_with=1)
    with client.websocket_connect(f"{LIVE}?since=1", headers=OWN) as socket:
        assert hears(socket) == {"hello": True}
        assert hears(socket) == {"change": desk.book.last_change()}


def test_a_lesson_hears_of_itself_and_its_student_only(client: TestClient, desk: Desk) -> None:
    mine = give_lesson(desk, n_before=1, n_with=1)
    other = give_lesson(desk, name="Other", n_before=1, n_with=1)
    address = f"{LIVE}?since={desk.book.last_change()}&lesson={mine.lesson.id}"
    with client.websocket_connect(address, headers=OWN) as socket:
        assert hears(socket) == {"hello": True}
        rng_ball = {"carry": 200.0}
        desk.book.add_shot(
            desk.book.blocks(other.lesson.id)[0].id, new_shot(rng_ball), at=desk.clock()
        )
        desk.book.add_shot(
            desk.book.blocks(mine.lesson.id)[0].id, new_shot(rng_ball), at=desk.clock()
        )
        assert hears(socket) == {"change": desk.book.last_change()}
        desk.book.change_student(
            mine.student.id, name="Renamed", hand="right", goals="", cautions=""
        )
        assert hears(socket) == {"change": desk.book.last_change()}


def test_a_page_of_another_book_starts_over(client: TestClient, desk: Desk) -> None:
    give_lesson(desk, n_before=1, n_with=1)
    with client.websocket_connect(f"{LIVE}?since=999999", headers=OWN) as socket:
        assert hears(socket) == {"hello": True}
        assert hears(socket) == {"change": desk.book.last_change()}


def test_every_page_of_the_book_says_which_change_it_shows(client: TestClient, desk: Desk) -> None:
    given = give_lesson(desk, n_before=1, n_with=1)
    for path in ("/", f"/students/{given.student.id}", f"/lessons/{given.lesson.id}"):
        assert f'data-change="{desk.book.last_change()}"' in client.get(path).text
    assert 'data-change=""' in client.get("/method").text


def test_a_quiet_page_gets_a_sign_of_life(
    client: TestClient, desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("leadfoot.web.live.BEAT_EVERY_S", 0.05)
    with client.websocket_connect(f"{LIVE}?since={desk.book.last_change()}", headers=OWN) as socket:
        assert hears(socket) == {"hello": True}
        assert hears(socket) == {"beat": True}
        assert hears(socket) == {"beat": True}


def test_a_book_that_fails_for_a_moment_is_read_again(
    socket: WebSocketTestSession, desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    failures = iter([True, True, False])
    real = type(desk.book).last_change

    def shaky(book: object) -> int:
        if next(failures, False):
            raise BookError("The client book is in use.", fix="Do it again.")
        return real(book)  # type: ignore[arg-type]

    monkeypatch.setattr(type(desk.book), "last_change", shaky)
    deeds.add_student(desk, name="New", hand="right")
    assert hears(socket) == {"change": real(desk.book)}
