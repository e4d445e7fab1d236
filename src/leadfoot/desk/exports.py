"""Exports that are made beside the pages: kept for a while for whoever asked, then gone.

A finished export lies in a folder of this machine, beside the backups, and belongs to the one who
asked for it. It goes away after a day, and at once where its job is gone: erasing a student takes
every job with it, so that no export is left that still holds the student.
"""

import json
import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path
from typing import Final

from leadfoot.desk.desk import Desk
from leadfoot.desk.job_port import Job
from leadfoot.errors import InputError, NotInBookError

KIND: Final = "export"
"""Kind of the jobs that make exports."""
KEPT_FOR: Final = timedelta(hours=24)
"""How long a finished export is kept (our own choice)."""
_NAME: Final = re.compile(r"export-([0-9]{1,18})\.zip(?:\.part)?")

Progress = Callable[[int, int], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadyExport:
    """A finished export."""

    path: Path
    name: str
    """What it is called once it is taken along."""
    size_bytes: int


def about_export(student_id: int | None) -> str:
    """What an export is about, as its job says it.

    Examples
    --------
    >>> about_export(None), student_of_export("student 3"), student_of_export("book")
    ('book', 3, None)
    """
    return "book" if student_id is None else f"student {student_id}"


def student_of_export(about: str) -> int | None:
    """Whose export it is; None: of the whole book."""
    return None if about == "book" else int(about.removeprefix("student "))


def make_export(desk: Desk, job: Job, progress: Progress) -> str:
    """Make the export of a job; give what came of it as JSON.

    Raises
    ------
    NotInBookError
        If there is no such student any more.
    BookError, InputError
        If it can't be read or written.
    """
    sweep(desk)
    path = _path(desk, job.id)
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    path.unlink(missing_ok=True)
    student_id = student_of_export(job.about)
    desk.book.file.export_to(path, student_id=student_id, version=desk.version, progress=progress)
    size = path.stat().st_size
    if _job(desk, job.id) is None:  # a student was erased meanwhile: nothing of them may stay
        path.unlink(missing_ok=True)
    whose = "book" if student_id is None else f"student-{student_id}"
    name = f"leadfoot-{whose}-{desk.clock():%Y-%m-%d}.zip"
    return json.dumps({"name": name, "size_bytes": size})


def ready_export(desk: Desk, job: Job) -> ReadyExport | None:
    """The file of a finished export; None once it has gone, or before it is there."""
    sweep(desk)
    path = _path(desk, job.id)
    if job.state != "done" or job.result_json is None or not path.is_file():
        return None
    said = json.loads(job.result_json)
    return ReadyExport(path=path, name=said["name"], size_bytes=said["size_bytes"])


def export_of(desk: Desk, job_id: int, *, whose: str) -> Job:
    """The job of an export, for the one who asked for it.

    Raises
    ------
    InputError
        If there is none, or somebody else asked for it: both look the same.
    """
    job = _job(desk, job_id)
    if job is None or job.kind != KIND or job.whose != whose:
        raise InputError(
            "There is no such export for you, or no longer.", fix="Ask for the export again."
        )
    return job


def sweep(desk: Desk) -> None:
    """Delete the exports whose time is up, and those whose job is gone."""
    folder = desk.book.file.exports_folder()
    if not folder.is_dir():
        return
    for path in folder.iterdir():
        named = _NAME.fullmatch(path.name)
        if named is None:
            continue
        job = _job(desk, int(named[1]))
        over = job is not None and job.ended_at is not None
        if job is None or (over and desk.clock() - (job.ended_at or desk.clock()) > KEPT_FOR):
            path.unlink(missing_ok=True)


def _job(desk: Desk, job_id: int) -> Job | None:
    try:
        return desk.book.jobs.job(job_id)
    except NotInBookError:
        return None


def _path(desk: Desk, job_id: int) -> Path:
    return desk.book.file.exports_folder() / f"export-{job_id}.zip"
