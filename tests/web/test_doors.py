"""Under which names the desk answers, and that writing the log never breaks a page."""

import logging
import socket
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from leadfoot.desk.access_records import LogFilter
from leadfoot.errors import BookError
from leadfoot.web.doors import Doors
from tests.web.door import Locked, Served

if TYPE_CHECKING:
    from leadfoot.web.noting import Noter

HOME = Doors(port=8470)
OPEN = Doors(port=8470, beyond=True, names=("studio.example",), address="192.0.2.7")


@pytest.mark.parametrize("host", ["localhost:8470", "127.0.0.1:8470", "[::1]:8470"])
def test_both_answer_on_their_own_machine(host: str) -> None:
    assert HOME.answers_to(host, "127.0.0.1")
    assert OPEN.answers_to(host, "127.0.0.1")


@pytest.mark.parametrize(
    "host",
    [
        "studio.example:8470",
        "192.0.2.7:8470",
        "192.0.2.99:8470",
        "[2001:db8::7]:8470",
        f"{socket.gethostname().lower()}:8470",
    ],
)
def test_other_names_lead_to_an_open_desk_alone(host: str) -> None:
    reached = "2001:db8::7" if "db8" in host else "192.0.2.99"
    assert OPEN.answers_to(host, reached)
    assert not HOME.answers_to(host, reached)


@pytest.mark.parametrize(
    "host",
    [
        "evil.example:8470",  # a name that leads here and is not the desk's: another site's page
        "192.0.2.98:8470",  # an address at which nobody came in
        "studio.example",
        "studio.example:80",
        "studio.example.evil.example:8470",
        "",
    ],
)
def test_a_name_that_is_not_its_own_is_refused(host: str) -> None:
    assert not OPEN.answers_to(host, "192.0.2.99")


def test_the_usual_port_may_be_left_away() -> None:
    plain = Doors(port=80, beyond=True, names=("studio.example",))
    safe = Doors(port=443, beyond=True, names=("studio.example",), https=True)
    for doors in (plain, safe):
        assert doors.answers_to("studio.example", None)
        assert doors.answers_to(f"studio.example:{doors.port}", None)
    assert safe.is_own_origin("https://studio.example", None)
    assert not safe.is_own_origin("http://studio.example", None)
    assert not plain.is_own_origin("null", None)


@pytest.mark.parametrize(
    ("doors", "asked", "expected"),
    [
        (HOME, "127.0.0.1:8470", "127.0.0.1:8470"),
        (OPEN, "127.0.0.1:8470", "studio.example:8470"),
        (OPEN, "localhost:8470", "studio.example:8470"),
        (OPEN, "192.0.2.7:8470", "192.0.2.7:8470"),
        (Doors(port=443, beyond=True, address="192.0.2.7", https=True), "127.0.0.1", "192.0.2.7"),
        (Doors(port=8470, beyond=True), "127.0.0.1:8470", "127.0.0.1:8470"),
    ],
)
def test_a_link_for_others_names_what_others_reach(doors: Doors, asked: str, expected: str) -> None:
    assert doors.link_host(asked) == expected


# The log, where the book can't take it


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Served]:
    locked = Locked(tmp_path / "lessons.book")
    with locked.served() as served:
        yield served
    locked.book.close()


def test_a_book_that_takes_no_lines_stops_no_page(
    served: Served, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    coach = served.signed_in("Carl Coach")
    key = coach.key("/")

    def full(*_: object) -> None:
        raise BookError("The disk is full.", fix="Free some space.")

    noter: Noter = served.client.app.state.noter  # type: ignore[attr-defined]
    monkeypatch.setattr(type(served.locked.book.access), "note", full)
    with caplog.at_level(logging.WARNING):
        assert coach.get("/works").status_code == 200
        assert coach.post("/students", {"name": "New"}, key=key).status_code == 303
        noter.write()
    told = [record.getMessage() for record in caplog.records]
    assert any(text.endswith("Carl Coach /students") for text in told)
    assert any(text.endswith("Carl Coach /works") for text in told)


def test_what_waits_is_written_when_the_desk_closes(tmp_path: Path) -> None:
    locked = Locked(tmp_path / "lessons.book")
    with locked.served() as served:
        served.signed_in("Carl Coach").get("/works")
    lines = locked.book.access.log(LogFilter(), most=9)
    assert "/works" in {line.what for line in lines}
    locked.book.close()
