"""Several desks on one PostgreSQL book: what one takes in shows on the pages of the other."""

import json
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from datetime import UTC, datetime
from functools import partial
from pathlib import Path

import pytest
from websockets.exceptions import WebSocketException
from websockets.sync.client import connect
from websockets.typing import Origin

from leadfoot.bay.sending import ByHttp
from leadfoot.bay.simulated import InventedStudent
from leadfoot.book.store import SqlBook, open_book
from leadfoot.desk import bays
from leadfoot.desk import lesson as deeds
from leadfoot.desk.desk import Desk
from tests.postgres import Server
from tests.web.conftest import print_plainly
from tests.web.studio import Studio, free_port

PATIENCE_S = 20.0


@pytest.fixture
def book(postgres: Server, tmp_path: Path) -> Iterator[SqlBook]:
    with open_book(postgres.new_book(), backups=tmp_path / "a.zip") as book:
        yield book


@pytest.fixture
def desks(book: SqlBook) -> Iterator[Callable[[], Studio]]:
    """Serve the book once more, in a process of its own."""
    address = book.engine.url.set(drivername="postgresql").render_as_string(hide_password=False)
    desk = Desk(
        book=book, clock=lambda: datetime.now(UTC), printer=print_plainly, version="0.0.test"
    )
    with ExitStack() as closing:

        def serve() -> Studio:
            studio = Studio(path=address, port=free_port(), desk=desk)
            studio.start()
            closing.callback(studio.stop)
            return studio

        yield serve


class Page:
    """A page as a browser keeps it open: it says what it has seen, and hears of more."""

    def __init__(self, studio: Studio, lesson_id: int, since: int) -> None:
        self.studio, self.lesson_id, self.since = studio, lesson_id, since

    def hear_up_to(self, change: int, deed: Callable[[], object] = lambda: None) -> None:
        """Listen until a change is told, also through a cut; `deed` is done once it listens."""
        until, left = time.monotonic() + PATIENCE_S, [deed]
        while self.since < change:
            assert time.monotonic() < until, f"heard up to {self.since} of {change}"
            address = f"ws://127.0.0.1:{self.studio.port}/live"
            address += f"?since={self.since}&lesson={self.lesson_id}"
            try:
                with connect(address, origin=Origin(self.studio.address), proxy=None) as socket:
                    while self.since < change:
                        said = json.loads(socket.recv(timeout=PATIENCE_S))
                        if left:
                            left.pop()()
                        self.since = max(self.since, said.get("change", 0))
            except (WebSocketException, OSError):
                time.sleep(0.1)


def a_lesson(desk: Desk) -> tuple[int, str]:
    student = deeds.add_student(desk, name="Ida Invented", hand="right")
    lesson = deeds.add_lesson(desk, student.id, change="soft block", club="driver")
    return lesson.id, bays.add_bay(desk, "bay-1", lesson_id=lesson.id).token


def test_a_ball_sent_to_one_desk_shows_on_a_page_of_the_other(
    desks: Callable[[], Studio], postgres: Server
) -> None:
    one, other = desks(), desks()
    lesson_id, token = a_lesson(one.desk)
    seen = one.desk.book.last_change()
    page = Page(other, lesson_id, since=seen)
    balls = InventedStudent(change="faster").hit(20)
    sending = ByHttp(address=one.address, bay="bay-1", token=token)

    def send(n: int) -> None:
        sending.send(balls.shot(n, "before", run="a"))

    for n in range(3):
        page.hear_up_to(seen + n + 1, partial(send, n))
    # The server goes away and comes back: both desks find it again, and nothing is missed.
    postgres.restart()
    page.hear_up_to(seen + 4, partial(send, 3))
    assert [shot.place for shot in one.desk.book.shots(lesson_id)] == [1, 2, 3, 4]


def test_a_desk_that_is_killed_has_kept_what_it_acknowledged(
    desks: Callable[[], Studio],
) -> None:
    one, other = desks(), desks()
    lesson_id, token = a_lesson(one.desk)
    balls = InventedStudent(change="faster").hit(20)
    ByHttp(address=one.address, bay="bay-1", token=token).send(balls.shot(0, "before", run="a"))
    assert one.process is not None
    one.process.kill()
    # The bay goes on at the other desk, and sends the last ball again to be safe.
    sending = ByHttp(address=other.address, bay="bay-1", token=token)
    for n in range(2):
        sending.send(balls.shot(n, "before", run="a"))
    assert len(one.desk.book.shots(lesson_id)) == 2
