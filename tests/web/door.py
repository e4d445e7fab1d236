"""A desk whose door is locked, and clients that come to it in every standing."""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

from httpx2 import Response
from starlette.testclient import TestClient

from leadfoot.book.store import SqlBook, open_book
from leadfoot.coaching.homework import Week
from leadfoot.desk import bays
from leadfoot.desk.accounts import add_account
from leadfoot.desk.desk import Desk
from leadfoot.desk.homework import give_homework, make_link
from leadfoot.desk.records import Lesson, Student
from leadfoot.desk.signing_in import make_screen
from leadfoot.web.app import build_app
from leadfoot.web.doors import Doors

PORT = 8470
HOST = "studio.example"
PASSWORD = "a lantern by the quiet pond"  # noqa: S105  (of invented people)
KEY = re.compile(r'<meta name="form-key" content="([0-9a-f]{64})">')


@dataclass
class Hand:
    """A clock whose hands a test moves."""

    now: datetime = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.now

    def on(self, **step: float) -> None:
        self.now += timedelta(**step)


@dataclass
class Locked:
    """A desk with an owner, a coach, a bay, two students, a screen and a private link."""

    path: Path
    clock: Hand = field(default_factory=Hand)

    def __post_init__(self) -> None:
        self.book: SqlBook = open_book(self.path, clock=self.clock)
        self.desk = Desk(
            book=self.book,
            clock=self.clock,
            printer=_no_sheet,
            version="0.0.test",
            home_printer=_home_sheet,
            card_printer=_no_sheet,
        )
        self.student = self._student("Ana Example")
        self.other = self._student("Ben Other")
        self.lesson, self.other_lesson = self._lesson(self.student), self._lesson(self.other)
        self.bay = bays.add_bay(self.desk, "bay-1", lesson_id=self.lesson.id)
        self.bay_2 = bays.add_bay(self.desk, "bay-2", lesson_id=self.other_lesson.id)
        week = Week(days=(0, 2), minutes=30, balls=20, place="range", usual_balls=None)
        self.homework = give_homework(
            self.desk, self.lesson.id, week, cue="press", criterion="between the posts"
        )
        self.secret, _ = make_link(self.desk, self.homework.id)
        self.screen_secret, _ = make_screen(self.desk, self.bay.bay.id)
        add_account(self.desk, "Olga Owner", PASSWORD, role="owner")
        add_account(self.desk, "Carl Coach", PASSWORD, role="coach")

    def _student(self, name: str) -> Student:
        return self.book.add_student(
            name=name, hand="right", goals="", cautions="", invented=False, at=self.clock()
        )

    def _lesson(self, student: Student) -> Lesson:
        return self.book.add_lesson(
            student_id=student.id,
            held_on=date(2026, 3, 2),
            title="Driver",
            change="press",
            club=None,
        )

    @contextmanager
    def served(self, doors: Doors | None = None) -> Iterator["Served"]:
        doors = doors or Doors(port=PORT, beyond=True, names=(HOST,))
        app = build_app(self.desk, port=doors.port, doors=doors)
        base = f"{doors.scheme}://{HOST}:{doors.port}"
        with TestClient(app, base_url=base, follow_redirects=False) as client:
            yield Served(locked=self, client=client, base=base)


@dataclass
class Served:
    """The desk as it is served; a client for each standing."""

    locked: Locked
    client: TestClient
    base: str

    def fresh(self) -> "Visit":
        """A browser that was never here."""
        return Visit(TestClient(self.client.app, base_url=self.base, follow_redirects=False))

    def signed_in(self, name: str, password: str = PASSWORD) -> "Visit":
        visit = self.fresh()
        answer = visit.post("/sign-in", {"name": name, "password": password}, at="/sign-in")
        assert answer.status_code == 303, answer.text
        return visit

    def screen(self) -> "Visit":
        visit = self.fresh()
        at = f"/screen/{self.locked.screen_secret}"
        assert visit.post(at, {}, at=at).status_code == 303
        return visit


@dataclass
class Visit:
    """One browser: keeps cookies, and sends the key of the page on which a form stands."""

    client: TestClient

    def get(self, path: str, *, headers: dict[str, str] | None = None) -> Response:
        return self.client.get(path, headers=headers)

    def key(self, at: str) -> str:
        found = KEY.search(self.client.get(at).text)
        return found[1] if found else ""

    def post(
        self,
        path: str,
        data: dict[str, str] | None = None,
        *,
        at: str = "/",
        key: str | None = None,
    ) -> Response:
        """Send a form as a browser does: with its origin, and the key of the page."""
        given = self.key(at) if key is None else key
        origin = str(self.client.base_url).rstrip("/")
        return self.client.post(
            path,
            data={**(data or {}), "form_key": given},
            headers={"origin": origin, "sec-fetch-site": "same-origin"},
        )


def _no_sheet(*_: object, **__: object) -> bytes:
    return b"%PDF"


def _home_sheet(*_: object, student: str, **__: object) -> bytes:
    return f"%PDF {student}".encode()
