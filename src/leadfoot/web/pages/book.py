"""The file of the book: where it is, and its backups."""

import json
from dataclasses import dataclass
from datetime import tzinfo

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from leadfoot.desk.desk import Desk
from leadfoot.desk.job_port import Job
from leadfoot.desk.keeping_records import Backup
from leadfoot.web.jobs import Jobs, Progress, trouble_of
from leadfoot.web.page import DeskHere, page

router = APIRouter()

_WHY = {
    "scheduled": "of the day",
    "by_hand": "by hand",
    "before_upgrade": "before an upgrade",
    "before_restore": "before a restore",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class BackupLine:
    """A backup in a list."""

    name: str
    when: str
    why: str
    size: str


def backup_line(backup: Backup, zone: tzinfo | None) -> BackupLine:
    """A backup with its time in the zone of the desk."""
    made = backup.made_at.astimezone(zone)
    return BackupLine(
        name=backup.name,
        when=f"{made.day} {made:%b %Y}, {made:%H:%M}",
        why=_WHY[backup.kind],
        size=in_megabytes(backup.size_bytes),
    )


def in_megabytes(n_bytes: int) -> str:
    """A size in words.

    Examples
    --------
    >>> in_megabytes(1_250_000)
    '1.2 MB'
    """
    return f"{n_bytes / 1e6:.1f} MB"


KIND = "backup"
"""Kind of the job that backs the book up."""
PATIENCE_S = 1.5
"""How long a page waits for a backup before it says that one is being made. Our own choice."""


def back_up_now(desk: Desk, _: Job, __: Progress) -> str:
    """Back the book up; give the name of the backup as JSON."""
    return json.dumps(desk.book.file.back_up().name)


@router.get("/book")
def show_book(request: Request, desk: DeskHere, job: int = 0) -> HTMLResponse:
    """Where the book is, and its backups; with a job, what became of that backup."""
    asked = desk.book.jobs.newest(KIND)
    if asked is None or asked.id != job:
        asked = None
    elif asked.state == "failed":
        raise trouble_of(asked)
    state = desk.book.file.state()
    zone = desk.clock().tzinfo
    lines = [backup_line(one, zone) for one in state.backups]
    shown = page(
        request,
        "book.html",
        state=state,
        size=in_megabytes(state.size_bytes),
        lines=lines,
        last=lines[0] if lines else None,
        made=json.loads(asked.result_json) if asked and asked.result_json else "",
        working=asked is not None and not asked.has_ended,
        crumbs=(("/", "Today"),),
    )
    if asked is not None and not asked.has_ended:
        shown.headers["Refresh"] = "1"
    return shown


@router.post("/book/backup")
def back_up(request: Request) -> Response:
    """Back the book up now; it goes on by itself when it takes longer than a page may wait."""
    jobs: Jobs = request.app.state.jobs
    job = jobs.wait(jobs.ask(KIND), PATIENCE_S)
    return RedirectResponse(f"/book?job={job.id}", status_code=303)
