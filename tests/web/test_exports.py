"""Exports as jobs, on both kinds of book: progress, for whoever asked alone, gone after a day."""

import io
import time
import zipfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import timedelta
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from leadfoot.book.store import SqlBook, open_book
from leadfoot.desk import exports, keeping
from leadfoot.desk.desk import Desk
from leadfoot.desk.exports import ready_export, sweep
from leadfoot.errors import BookError
from leadfoot.web.app import build_app
from leadfoot.web.pages import exports as pages
from tests.web.conftest import NOON, PORT, print_plainly
from tests.web.door import Locked, Served
from tests.web.lessons import Given, give_lesson

PATIENCE_S = 30.0


@dataclass
class Asking:
    """A desk on one kind of book, and a browser at it."""

    desk: Desk
    client: TestClient
    given: Given


@pytest.fixture(params=["file", "server"])
def asking(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Asking]:
    if request.param == "file":
        book: SqlBook = open_book(tmp_path / "lessons.book", clock=lambda: NOON)
    else:
        new_book = request.getfixturevalue("postgres").new_book()
        book = open_book(new_book, backups=tmp_path / "a.zip", clock=lambda: NOON)
    with book:
        desk = Desk(book=book, clock=lambda: NOON, printer=print_plainly, version="0.0.test")
        given = give_lesson(desk)
        app = build_app(desk, port=PORT)
        with TestClient(app, base_url=f"http://127.0.0.1:{PORT}") as client:
            yield Asking(desk=desk, client=client, given=given)


def until(holds: Callable[[], bool]) -> None:
    end = time.monotonic() + PATIENCE_S
    while not holds():
        assert time.monotonic() < end
        time.sleep(0.05)


def test_a_small_one_comes_at_once_and_is_whole(
    asking: Asking, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(pages, "PATIENCE_S", PATIENCE_S)  # a server may begin a little later
    for path, name in (("/book", "book"), (f"/students/{asking.given.student.id}", "student-1")):
        answer = asking.client.post(f"{path}/export")
        assert answer.headers["content-type"] == "application/zip"
        assert f'filename="leadfoot-{name}-2026-03-02.zip"' in answer.headers["content-disposition"]
        held = zipfile.ZipFile(io.BytesIO(answer.content))
        assert held.testzip() is None
        assert "tables/shots.jsonl" in held.namelist()


def test_a_large_one_shows_its_progress_and_waits(
    asking: Asking, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(pages, "PATIENCE_S", 0.0)
    page = asking.client.post("/book/export", follow_redirects=False)
    where = page.headers["location"]
    shown = asking.client.get(where)
    assert "export" in shown.text
    job_id = int(where.rsplit("/", 1)[1])
    until(lambda: asking.desk.book.jobs.job(job_id).has_ended)
    job = asking.desk.book.jobs.job(job_id)
    assert (job.about, job.whose, job.state) == ("book", "this machine", "done")
    assert job.n_done == job.n_steps > 20  # rows
    ready = asking.client.get(where)
    assert "The export is ready" in ready.text
    assert "refresh" not in ready.headers
    assert asking.client.get(f"{where}/file").headers["content-type"] == "application/zip"
    folder = asking.desk.book.file.exports_folder()
    assert folder.stat().st_mode & 0o777 == 0o700
    (file,) = folder.iterdir()
    assert file.stat().st_mode & 0o777 == 0o600


def test_it_is_gone_after_a_day_and_when_a_student_is_erased(
    asking: Asking, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(pages, "PATIENCE_S", PATIENCE_S)
    first = asking.client.post("/book/export", follow_redirects=False).headers["location"]
    later = replace(asking.desk, clock=lambda: NOON + timedelta(hours=23))
    sweep(later)
    folder = asking.desk.book.file.exports_folder()
    assert len(list(folder.iterdir())) == 1
    sweep(replace(asking.desk, clock=lambda: NOON + timedelta(hours=25)))
    assert list(folder.iterdir()) == []
    assert "is not there, or no longer" in asking.client.get(first).text
    gone = asking.client.get(first.removesuffix("/file"))
    assert "This export has gone" in gone.text
    asking.client.post("/book/export")
    assert len(list(folder.iterdir())) == 1
    keeping.erase(asking.desk, 1, typed_name="Ida Invented", in_backups="leave")
    assert list(folder.iterdir()) == []


def test_one_that_fails_says_why(asking: Asking, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pages, "PATIENCE_S", PATIENCE_S)

    def fail(*_: object, **__: object) -> None:
        raise BookError("The disk is full.", fix="Free some space.")

    monkeypatch.setattr(type(asking.desk.book.file), "export_to", fail)
    answer = asking.client.post("/book/export")
    assert answer.status_code == 500
    assert "The disk is full." in answer.text
    assert "Free some space." in answer.text


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Served]:
    locked = Locked(tmp_path / "lessons.book")
    with locked.served() as served:
        yield served
    locked.book.close()


def test_it_is_for_the_one_who_asked_alone(served: Served, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pages, "PATIENCE_S", PATIENCE_S)
    coach, owner = served.signed_in("Carl Coach"), served.signed_in("Olga Owner")
    assert coach.post("/book/export").status_code == 403
    own = coach.post("/students/1/export").headers["location"]
    assert coach.get(own).status_code == 200
    everything = owner.post("/book/export").headers["location"]
    assert owner.get(everything).status_code == 200
    for visit, theirs in ((owner, own), (coach, everything)):
        for path in (theirs, theirs.removesuffix("/file")):
            refused = visit.get(path)
            assert refused.status_code == 422
            assert "There is no such export for you, or no longer." in refused.text
    assert served.screen().get(own).status_code == 403
    assert served.fresh().get(own).status_code == 303
    job = served.locked.desk.book.jobs.newest(exports.KIND)
    assert job is not None
    assert job.whose == "account 1"
    assert ready_export(served.locked.desk, job) is not None
