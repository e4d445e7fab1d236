"""The log for owners: who saw and changed what, filtered, a page at a time, or as a table."""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from datetime import date, datetime, time, timedelta, tzinfo
from types import MappingProxyType
from typing import TYPE_CHECKING, Final, get_args

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response

from leadfoot.desk.access_records import DEED_WORDS, Deed, Line, LogFilter
from leadfoot.desk.desk import Desk
from leadfoot.tables.safe_csv import safe_csv
from leadfoot.web.download import csv_file
from leadfoot.web.page import DeskHere, page
from leadfoot.web.pages.access import moment

if TYPE_CHECKING:
    from leadfoot.web.noting import Noter

router = APIRouter(prefix="/access")

AT_ONCE: Final = 200
MOST_IN_TABLE: Final = 100_000
WORDS: Mapping[str, str] = MappingProxyType(
    {
        "/": "the list of students",
        "/access": "who may come in",
        "/access/accounts": "the accounts",
        "/access/log": "this log",
        "/access/log.csv": "this log, as a table",
        "/access/mine": "a password of one's own",
        "/access/opening": "which machines reach the desk",
        "/bays": "the bays",
        "/book": "the file of the book",
        "/book/export": "everything, as an export",
        "/exports/{job_id}": "how far an export is",
        "/exports/{job_id}/file": "an export, taken along",
        "/h/{secret}": "a private page",
        "/h/{secret}/sheet.pdf": "a private page, printed",
        "/h/{secret}/shots": "shots given on a private page",
        "/settings": "the settings",
        "/settings/air": "the air of the studio",
        "/settings/clubs": "a club of the studio",
        "/settings/clubs/remove": "a club of the studio, taken away",
        "/settings/columns/forget": "remembered columns, forgotten",
        "/settings/monitor": "the errors of the monitor",
        "/settings/units": "the units",
        "/settings/usual": "a setting, back to the usual",
        "/sign-in": "",
        "/students/{student_id}": "the story",
        "/students/{student_id}/erase": "erasing",
        "/students/{student_id}/export": "all that is kept, as an export",
        "/students/{student_id}/merge": "merging with another",
        "/works": "what works for whom",
    }
)
"""What an address is called; another one is named by its last words."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownLine:
    """A line as the page shows it."""

    id: int
    when: str
    who: str
    role: str
    deed: str
    what: str
    student: str
    student_id: int | None
    lesson_id: int | None
    address: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What the page was asked for, as it was typed."""

    who: str = ""
    deed: str = ""
    student: str = ""
    since: str = ""
    until: str = ""
    before: str = ""

    def filter(self, zone: tzinfo | None) -> LogFilter:
        """The filter; what can't be read asks for nothing."""
        deed: Deed | None = next((one for one in get_args(Deed) if one == self.deed), None)
        until = _day(self.until, zone)
        return LogFilter(
            who=self.who or None,
            deed=deed,
            student_id=_number(self.student),
            since=_day(self.since, zone),
            until=None if until is None else until + timedelta(days=1),
            before_id=_number(self.before),
        )


def asked_of(request: Request) -> Asked:
    """What the address asks for."""
    query = request.query_params
    return Asked(**{one.name: query.get(one.name, "") for one in fields(Asked)})


@router.get("/log")
def show_log(request: Request, desk: DeskHere) -> HTMLResponse:
    """The log, the newest lines first."""
    asked = asked_of(request)
    lines = _lines(request, desk, asked, AT_ONCE + 1)
    return page(
        request,
        "access_log.html",
        lines=lines[:AT_ONCE],
        older=lines[AT_ONCE - 1].id if len(lines) > AT_ONCE else None,
        asked=asked,
        people=desk.book.access.people_in_log(),
        students=desk.book.students(),
        deeds=DEED_WORDS,
        crumbs=(("/", "Today"), ("/access", "Who may come in")),
    )


@router.get("/log.csv")
def log_table(request: Request, desk: DeskHere) -> Response:
    """The log as a table."""
    names = ["when", "who", "role", "deed", "what", "student", "lesson", "address"]
    rows = [
        (one.when, one.who, one.role, one.deed, one.what, one.student, one.lesson_id, one.address)
        for one in _lines(request, desk, asked_of(request), MOST_IN_TABLE)
    ]
    return csv_file(safe_csv(names, rows), "log")


def what_words(path: str) -> str:
    """What an address is called.

    Examples
    --------
    >>> what_words("/"), what_words("/lessons/{lesson_id}/leave-out")
    ('the list of students', 'lesson, leave out')
    """
    if path in WORDS:
        return WORDS[path]
    parts = [part for part in path.split("/") if part and not part.startswith("{")]
    first, rest = parts[0].removesuffix("s"), " ".join(parts[1:]).replace("-", " ")
    return f"{first}, {rest.partition('.')[0]}" if rest else first


def _lines(request: Request, desk: Desk, asked: Asked, most: int) -> list[ShownLine]:
    noter: Noter = request.app.state.noter
    noter.write()
    zone = desk.clock().tzinfo
    names = {student.id: student.name for student in desk.book.students()}
    found = desk.book.access.log(asked.filter(zone), most=most)
    return [_shown(line, names, zone) for line in found]


def _shown(line: Line, names: Mapping[int, str], zone: tzinfo | None) -> ShownLine:
    student = ""
    if line.student_id is not None:
        student = names.get(line.student_id, f"student {line.student_id}, erased")
    return ShownLine(
        id=line.id,
        when=moment(line.at, zone),
        who=line.who,
        role=line.role,
        deed=DEED_WORDS[line.deed],
        what=what_words(line.what),
        student=student,
        student_id=line.student_id if line.student_id in names else None,
        lesson_id=line.lesson_id,
        address=line.address,
    )


def _number(text: str) -> int | None:
    return int(text) if text.isascii() and text.isdecimal() and len(text) < 19 else None


def _day(text: str, zone: tzinfo | None) -> datetime | None:
    try:
        day = date.fromisoformat(text)
    except ValueError:
        return None
    # A day at the very edge of the calendar has no next one, and no other zone.
    return datetime.combine(day, time.min, zone) if 1 < day.year < 9999 else None
