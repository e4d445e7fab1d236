"""A second process makes the same pages from the same book, and is never needed to make them."""

import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from functools import partial
from pathlib import Path

import pytest
from fastapi import FastAPI
from starlette.testclient import TestClient

from leadfoot.book.store import open_book
from leadfoot.desk import lesson as deeds
from leadfoot.desk.desk import Desk
from leadfoot.web import second_process, shared_pages
from leadfoot.web.app import build_app
from leadfoot.web.second_process import SecondProcess
from tests.web.conftest import NOON, PORT, print_plainly
from tests.web.lessons import give_lesson


def opened(path: Path) -> Desk:
    book = open_book(path, clock=lambda: NOON)
    return Desk(book=book, clock=lambda: NOON, printer=print_plainly, version="0.0.test")


def refuses() -> Desk:
    raise OSError("no such book")


@pytest.fixture
def app(desk: Desk, tmp_path: Path) -> FastAPI:
    return build_app(desk, port=PORT, again=partial(opened, tmp_path / "lessons.book"))


@pytest.fixture
def client(app: FastAPI) -> Iterator[TestClient]:
    with TestClient(app, base_url=f"http://127.0.0.1:{PORT}") as client:
        yield client


def _running(app: FastAPI) -> tuple[SecondProcess, int]:
    """The second process, begun, and its number."""
    second: SecondProcess = app.state.second
    second.start()
    assert second.is_ready
    assert second.pid is not None
    return second, second.pid


def test_pages_are_the_same_wherever_they_are_made(
    app: FastAPI, client: TestClient, desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    given = give_lesson(desk, n_before=6, n_with=6)
    addresses = [f"/lessons/{given.lesson.id}{rest}" for rest in ("", "/bay", "?balls=all")]
    client.cookies.set("look", "slate")
    here = [client.get(address).text for address in addresses]
    _running(app)
    monkeypatch.setattr(shared_pages, "make_pages", None)  # from here on nothing is made here
    assert [client.get(address).text for address in addresses] == here
    deeds.leave_out(desk, desk.book.shots(given.lesson.id)[0].id, "a bird")
    text = client.get(addresses[0]).text
    assert "a bird" in text  # it reads what the first process has written
    assert 'data-look="slate"' in text


def test_what_it_cannot_make_is_made_here_and_says_what_is_wrong(
    app: FastAPI, client: TestClient
) -> None:
    _running(app)
    answer = client.get("/lessons/77")
    assert answer.status_code == 404
    assert "77" in answer.text


def test_a_page_is_made_also_when_it_was_killed(
    app: FastAPI, client: TestClient, desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    given = give_lesson(desk, n_before=5, n_with=5)
    second, pid = _running(app)
    os.kill(pid, signal.SIGKILL)
    assert client.get(f"/lessons/{given.lesson.id}").status_code == 200
    assert not second.is_ready
    assert second.pid is None
    second.start()  # it has just ended by itself: not yet
    assert not second.is_ready
    monkeypatch.setattr(second_process, "AGAIN_AFTER_S", 0.0)
    assert _running(app)[1] != pid


def test_one_that_hangs_is_ended_and_its_pages_are_made_here(
    app: FastAPI, client: TestClient, desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    given = give_lesson(desk, n_before=5, n_with=5)
    second, pid = _running(app)
    monkeypatch.setattr(second_process, "ANSWER_WITHIN_S", 0.2)
    monkeypatch.setattr(second_process, "_END_WITHIN_S", 0.2)
    os.kill(pid, signal.SIGSTOP)
    assert client.get(f"/lessons/{given.lesson.id}").status_code == 200
    assert not second.is_ready
    assert not _lives(pid)


def test_it_is_begun_where_pages_wait_and_not_before(
    app: FastAPI, client: TestClient, desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    given = give_lesson(desk, n_before=5, n_with=5)
    second: SecondProcess = app.state.second
    client.get(f"/lessons/{given.lesson.id}")
    assert second.pid is None
    monkeypatch.setattr(shared_pages, "TOO_LONG_S", -1.0)
    client.get(f"/lessons/{given.lesson.id}")
    deadline = time.monotonic() + 60
    while not second.is_ready and time.monotonic() < deadline:
        time.sleep(0.05)
    assert second.is_ready


def test_it_ends_where_nobody_needs_it_and_with_the_first(
    app: FastAPI, desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    with TestClient(app, base_url=f"http://127.0.0.1:{PORT}"):
        second, _ = _running(app)
        second.end_if_not_needed()
        assert second.is_ready
        monkeypatch.setattr(second_process, "NOT_NEEDED_S", -1.0)
        second.end_if_not_needed()
        assert second.pid is None
        monkeypatch.setattr(second_process, "AGAIN_AFTER_S", 0.0)
        _, pid = _running(app)
    assert not _lives(pid)
    second.start()  # closed for good
    assert second.pid is None


def test_one_that_cannot_begin_leaves_all_to_the_first(
    desk: Desk, caplog: pytest.LogCaptureFixture
) -> None:
    app = build_app(desk, port=PORT, again=refuses)
    given = give_lesson(desk, n_before=5, n_with=5)
    with TestClient(app, base_url=f"http://127.0.0.1:{PORT}") as client:
        app.state.second.start()
        assert not app.state.second.is_ready
        assert client.get(f"/lessons/{given.lesson.id}").status_code == 200
    assert "The second process did not begin; pages are made by this one alone" in caplog.text


_FIRST = """
import sys, time
from functools import partial
from pathlib import Path
from leadfoot.web.app import build_app
from tests.web.test_second_process import opened

if __name__ == "__main__":
    again = partial(opened, Path(sys.argv[1]))
    app = build_app(again(), port=8470, again=again)
    app.state.second.start()
    print(app.state.second.pid, flush=True)
    time.sleep(600)
"""


def test_it_ends_when_the_first_is_killed(tmp_path: Path) -> None:
    script = tmp_path / "first.py"
    script.write_text(_FIRST, encoding="utf-8")
    root = str(Path(__file__).parents[2])
    env = {**os.environ, "PYTHONPATH": os.pathsep.join([root, os.environ.get("PYTHONPATH", "")])}
    command = [sys.executable, str(script), str(tmp_path / "lessons.book")]
    with subprocess.Popen(command, env=env, stdout=subprocess.PIPE, text=True) as first:
        assert first.stdout is not None
        pid = int(first.stdout.readline())
        assert _lives(pid)
        first.kill()
    deadline = time.monotonic() + 30
    while _lives(pid) and time.monotonic() < deadline:
        time.sleep(0.05)
    assert not _lives(pid)


def _lives(pid: int) -> bool:
    """Whether a process runs; one that has ended and was not asked about yet does not."""
    try:
        status = Path(f"/proc/{pid}/stat").read_text(encoding="ascii")
    except FileNotFoundError:
        return False
    return status.rpartition(")")[2].split()[0] != "Z"
