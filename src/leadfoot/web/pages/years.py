"""What is done with a student over the years: consent, archive, merge, erase."""

from typing import cast

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from leadfoot.desk import keeping
from leadfoot.desk.desk import Desk
from leadfoot.desk.keeping_records import Backup
from leadfoot.errors import InputError
from leadfoot.web.page import DeskHere, FormHere, page, said
from leadfoot.web.pages.book import BackupLine, backup_line
from leadfoot.web.pages.student import student_page

router = APIRouter()


@router.post("/students/{student_id}/consent")
def note_consent(request: Request, desk: DeskHere, form: FormHere, student_id: int) -> Response:
    """Write down what was agreed, and who speaks for a minor."""
    names = ("consent_on", "consent_words", "guardian")
    typed = {name: said(form, name) for name in names}
    minor = said(form, "minor") == "yes"
    try:
        keeping.note_consent(desk, student_id, **typed, minor=minor)
    except InputError as error:
        agreed = {**typed, "minor": minor}
        return student_page(
            request, desk, student_id, agreed=agreed, agreed_error=error, status=422
        )
    return RedirectResponse(f"/students/{student_id}", status_code=303)


@router.post("/students/{student_id}/language")
def set_language(desk: DeskHere, form: FormHere, student_id: int) -> Response:
    """Choose the language of the student's sheets and private pages."""
    keeping.set_language(desk, student_id, said(form, "language"))
    return RedirectResponse(f"/students/{student_id}", status_code=303)


@router.post("/students/{student_id}/archive")
def archive(desk: DeskHere, form: FormHere, student_id: int) -> Response:
    """Take a student out of the daily lists, or back into them."""
    if said(form, "back") == "yes":
        keeping.bring_back(desk, student_id)
    else:
        keeping.archive(desk, student_id)
    return RedirectResponse(f"/students/{student_id}", status_code=303)


@router.post("/students/{student_id}/merge")
def merge(desk: DeskHere, form: FormHere, student_id: int) -> Response:
    """Make one of two students.

    Raises
    ------
    InputError
        If no other student was chosen, or it was not confirmed.
    """
    other = said(form, "other")
    if not other.isdecimal() or said(form, "sure") != "yes":
        raise InputError(
            "Nothing was merged: it was not confirmed.",
            fix="Go back, choose the other student, and tick that you are sure.",
        )
    keeping.merge(desk, student_id, int(other))
    return RedirectResponse(f"/students/{student_id}", status_code=303)


@router.get("/students/{student_id}/erase")
def ask_to_erase(request: Request, desk: DeskHere, student_id: int) -> HTMLResponse:
    """Say what would be erased, and where the student still is."""
    return _ask(request, desk, student_id, in_backups="rewrite")


@router.post("/students/{student_id}/erase")
def erase(request: Request, desk: DeskHere, form: FormHere, student_id: int) -> Response:
    """Erase a student for good, if the name was typed."""
    typed, chosen = said(form, "typed_name"), said(form, "in_backups", "leave")
    in_backups: keeping.InBackups = (
        cast("keeping.InBackups", chosen) if chosen in {"rewrite", "delete"} else "leave"
    )
    try:
        parting = keeping.erase(desk, student_id, typed_name=typed, in_backups=in_backups)
    except InputError as error:
        return _ask(
            request, desk, student_id, in_backups=in_backups, typed=typed, error=error, status=422
        )
    return page(
        request,
        "erased.html",
        parting=parting,
        n_rows=sum(parting.erased.rows.values()),
        groups=(
            ("Backups written anew without the student", _lines(desk, parting.rewritten)),
            ("Backups that were deleted", _lines(desk, parting.deleted)),
            ("Backups that still hold the student", _lines(desk, parting.still_in)),
        ),
        crumbs=(("/", "Today"),),
    )


def _ask(
    request: Request,
    desk: Desk,
    student_id: int,
    *,
    in_backups: keeping.InBackups,
    typed: str = "",
    error: InputError | None = None,
    status: int = 200,
) -> HTMLResponse:
    student = desk.book.student(student_id)
    return page(
        request,
        "erase.html",
        status=status,
        student=student,
        n_lessons=len(desk.book.lessons(student_id)),
        backups=_lines(desk, desk.book.file.holding(student_id)),
        in_backups=in_backups,
        typed_name=typed,
        error=error,
        invented=student.invented,
        crumbs=(("/", "Today"), (f"/students/{student_id}", student.name)),
    )


def _lines(desk: Desk, backups: tuple[Backup, ...]) -> list[BackupLine]:
    return [backup_line(one, desk.clock().tzinfo) for one in backups]
