"""What works for whom: the cues of the whole book, drawn in, and the merging of names."""

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, JSONResponse, RedirectResponse, Response

from leadfoot.desk.best_cues import best_by_finding
from leadfoot.desk.works import Works, merge
from leadfoot.errors import InputError
from leadfoot.web.page import DeskHere, FormHere, page, said
from leadfoot.web.works_job import WorksJob

router = APIRouter()


def _job(request: Request) -> WorksJob:
    job: WorksJob = request.app.state.works
    return job


@router.get("/works")
def show_works(request: Request, desk: DeskHere) -> HTMLResponse:
    """The page, or how far the reckoning is; it asks again by itself."""
    found = _job(request).ask()
    if not isinstance(found, Works):
        done, steps = found
        waiting = page(request, "works_waiting.html", done=done, steps=steps, crumbs=_CRUMBS)
        waiting.headers["Refresh"] = "1"
        return waiting
    students = {student.id: student for student in desk.book.students()}
    return page(
        request,
        "works.html",
        works=found,
        best=best_by_finding(found),
        students=students,
        invented=bool(students) and all(one.invented for one in students.values()),
        crumbs=_CRUMBS,
    )


@router.get("/works.json")
def give_works(request: Request) -> JSONResponse:
    """The same in its published form."""
    found = _job(request).ask(600.0)
    if not isinstance(found, Works):
        raise InputError("The book is still being pooled.", fix="Ask again in a minute.")
    return JSONResponse(found.as_json())


@router.post("/works/merge")
def merge_names(desk: DeskHere, form: FormHere) -> Response:
    """Let one spelling of a cue stand for another, or for itself again."""
    if not said(form, "spelling").strip():
        raise InputError("No spelling was chosen.", fix="Choose the one that is to be merged.")
    merge(desk, said(form, "spelling"), said(form, "means"))
    return RedirectResponse("/works", status_code=303)


_CRUMBS = (("/", "Today"),)
