"""Exports: asked for, made beside the pages, and taken along by the one who asked."""

from typing import Final

from fastapi import APIRouter, Request
from fastapi.responses import FileResponse, RedirectResponse, Response

from leadfoot.desk.exports import (
    KEPT_FOR,
    KIND,
    about_export,
    export_of,
    ready_export,
    student_of_export,
)
from leadfoot.desk.job_port import Job
from leadfoot.errors import InputError
from leadfoot.web.jobs import Jobs, trouble_of
from leadfoot.web.page import DeskHere, VisitorHere, page
from leadfoot.web.visitor import Visitor
from leadfoot.web.words import size_words

router = APIRouter()

PATIENCE_S: Final = 1.5
"""How long a page waits for an export before it shows the progress. Our own choice."""


@router.post("/book/export")
def export_everything(request: Request, visitor: VisitorHere) -> Response:
    """Everything as one ZIP; a small book comes at once."""
    return _asked(request, visitor, None)


@router.post("/students/{student_id}/export")
def export_student(
    request: Request, desk: DeskHere, visitor: VisitorHere, student_id: int
) -> Response:
    """One student as a ZIP; at once where that is quick."""
    desk.book.student(student_id)
    return _asked(request, visitor, student_id)


@router.get("/exports/{job_id}")
def show_export(request: Request, desk: DeskHere, visitor: VisitorHere, job_id: int) -> Response:
    """How far an export is, and the way to take it along; it asks again by itself."""
    job = _own(desk, visitor, job_id)
    if job.state == "failed":
        raise trouble_of(job)
    student_id = student_of_export(job.about)
    ready = ready_export(desk, job)
    shown = page(
        request,
        "export.html",
        job=job,
        ready=ready,
        size=size_words(ready.size_bytes) if ready else "",
        hours=round(KEPT_FOR.total_seconds() / 3600),
        again="/book/export" if student_id is None else f"/students/{student_id}/export",
        crumbs=(("/", "Today"),),
    )
    if not job.has_ended:
        shown.headers["Refresh"] = "1"
    return shown


@router.get("/exports/{job_id}/file")
def take_export(desk: DeskHere, visitor: VisitorHere, job_id: int) -> Response:
    """The export as a download."""
    ready = ready_export(desk, _own(desk, visitor, job_id))
    if ready is None:
        raise InputError("This export is not there, or no longer.", fix="Ask for the export again.")
    return FileResponse(ready.path, media_type="application/zip", filename=ready.name)


def whose_exports(visitor: Visitor) -> str:
    """Who an export belongs to, as its job says it: an account by its number, or this machine."""
    account = visitor.sign_in.account if visitor.sign_in is not None else None
    return visitor.who if account is None else f"account {account.id}"


def _asked(request: Request, visitor: Visitor, student_id: int | None) -> Response:
    jobs: Jobs = request.app.state.jobs
    asked = jobs.ask(KIND, about=about_export(student_id), whose=whose_exports(visitor), here=True)
    job = jobs.wait(asked, PATIENCE_S)
    end = "/file" if job.state == "done" else ""
    return RedirectResponse(f"/exports/{job.id}{end}", status_code=303)


def _own(desk: DeskHere, visitor: Visitor, job_id: int) -> Job:
    job = export_of(desk, job_id, whose=whose_exports(visitor))
    if student_of_export(job.about) is None and visitor.standing != "owner":
        raise InputError(
            "An export of everything is for owners.", fix="Ask an owner of the desk for it."
        )
    return job
