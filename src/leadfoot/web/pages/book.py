"""The file of the book: where it is, its backups, and an export of everything."""

import tempfile
from dataclasses import dataclass
from datetime import tzinfo
from pathlib import Path

from fastapi import APIRouter, Request
from fastapi.responses import FileResponse, HTMLResponse, RedirectResponse, Response
from starlette.background import BackgroundTask

from leadfoot.desk import keeping
from leadfoot.desk.desk import Desk
from leadfoot.desk.keeping_records import Backup
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


@router.get("/book")
def show_book(request: Request, desk: DeskHere, made: str = "") -> HTMLResponse:
    """Where the book is, and its backups."""
    state = desk.book.file.state()
    zone = desk.clock().tzinfo
    lines = [backup_line(one, zone) for one in state.backups]
    return page(
        request,
        "book.html",
        state=state,
        size=in_megabytes(state.size_bytes),
        lines=lines,
        last=lines[0] if lines else None,
        made=made if made in {line.name for line in lines} else "",
        crumbs=(("/", "Today"),),
    )


@router.post("/book/backup")
def back_up(desk: DeskHere) -> Response:
    """Back the book up now."""
    made = desk.book.file.back_up()
    return RedirectResponse(f"/book?made={made.name}", status_code=303)


@router.get("/book/export")
def export_everything(desk: DeskHere) -> Response:
    """Everything as one ZIP."""
    return exported(desk, student_id=None)


def exported(desk: Desk, *, student_id: int | None) -> Response:
    """An export as a download; the file goes away once it is sent."""
    folder = tempfile.TemporaryDirectory(prefix="leadfoot-")
    path = Path(folder.name, "export.zip")
    try:
        keeping.export_to(desk, path, student_id=student_id)
    except BaseException:
        folder.cleanup()
        raise
    whose = "book" if student_id is None else f"student-{student_id}"
    return FileResponse(
        path,
        media_type="application/zip",
        filename=f"leadfoot-{whose}-{desk.clock():%Y-%m-%d}.zip",
        background=BackgroundTask(folder.cleanup),
    )
