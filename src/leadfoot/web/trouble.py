"""Bad news as a page: what is wrong, and what to do."""

import logging
from collections.abc import Mapping
from http import HTTPStatus
from types import MappingProxyType

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.responses import JSONResponse, Response
from starlette.types import Scope

from leadfoot.errors import BookError, InputError, LeadfootError, NotInBookError, ReportError
from leadfoot.web.form_key import StaleFormError
from leadfoot.web.guard import HEADERS, Refusal
from leadfoot.web.page import page
from leadfoot.web.student_trouble import is_of_student, student_trouble

STATUS: Mapping[type[LeadfootError], int] = MappingProxyType(
    {
        InputError: 422,
        StaleFormError: 403,
        NotInBookError: 404,
        BookError: 503,
        ReportError: 500,
        LeadfootError: 500,
    }
)
"""HTTP status by class of error; a class that is not named has that of its parent."""

_log = logging.getLogger(__name__)


def status_of(error: LeadfootError) -> int:
    """The HTTP status for an error.

    Examples
    --------
    >>> from leadfoot.errors import MappingError
    >>> status_of(MappingError("No such column.", fix="Look again."))
    422
    """
    return next(STATUS[kind] for kind in type(error).__mro__ if kind in STATUS)


def for_programs(path: str) -> bool:
    """Tell whether an address is for programs: they get their bad news as JSON.

    Examples
    --------
    >>> for_programs("/bays/bay-1/shots"), for_programs("/bays"), for_programs("/lessons/1")
    (True, False, False)
    """
    return path.startswith("/bays/") and path.endswith("/shots")


def trouble_page(request: Request, *, status: int, what: str, fix: str) -> Response:
    """The page for bad news; for a program that sends shots, the same as JSON."""
    if for_programs(request.url.path):
        return JSONResponse({"error": {"what": what, "fix": fix}}, status_code=status)
    if is_of_student(request.url.path):
        return student_trouble(request, status)
    return page(request, "trouble.html", status=status, what=what, fix=fix, code=status)


def refusal_page(scope: Scope, refusal: Refusal) -> Response:
    """The page for a request that was not let in."""
    return trouble_page(Request(scope), status=refusal.status, what=refusal.what, fix=refusal.fix)


def install_troubles(app: FastAPI) -> None:
    """Answer every error with a page of our own."""

    @app.exception_handler(LeadfootError)
    def _known(request: Request, error: LeadfootError) -> Response:
        return trouble_page(request, status=status_of(error), what=error.what, fix=error.fix)

    @app.exception_handler(HTTPException)
    def _http(request: Request, error: HTTPException) -> Response:
        what, fix = _HTTP.get(
            error.status_code,
            (f"{HTTPStatus(error.status_code).phrase}.", "Go back and try again."),
        )
        return trouble_page(request, status=error.status_code, what=what, fix=fix)

    @app.exception_handler(RequestValidationError)
    def _unreadable(request: Request, error: RequestValidationError) -> Response:
        places = ", ".join(str(one["loc"][-1]) for one in error.errors())
        return trouble_page(
            request,
            status=422,
            what=f"This address can't be used: {places} is not what it should be.",
            fix="Go to the first page, and choose from there.",
        )

    @app.exception_handler(Exception)
    def _unknown(request: Request, error: Exception) -> Response:
        _log.error("A page failed: %s %s", request.method, request.url.path, exc_info=error)
        answer = trouble_page(
            request,
            status=500,
            what="Something broke in the program itself; the book is as it was.",
            fix="Go back, and try once more. If it stays so, the log of the program says more.",
        )
        answer.headers.update(HEADERS)  # this answer is made outside of the guard
        return answer


_HTTP: Mapping[int, tuple[str, str]] = MappingProxyType(
    {
        404: ("There is no such page.", "Go to the first page, and choose from there."),
        405: ("This address takes no such request.", "Go to the first page."),
        413: ("That is more than is read at once.", "Send it in several parts."),
        400: ("This form could not be read.", "Go back and send it once more."),
    }
)
