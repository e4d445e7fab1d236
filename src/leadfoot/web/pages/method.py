"""How it is judged, and what is assumed: one click from every answer."""

from itertools import groupby
from operator import attrgetter

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from leadfoot.evidence.assumptions import assumptions
from leadfoot.evidence.promise import promise
from leadfoot.web.page import page

router = APIRouter()


@router.get("/method")
def show_method(request: Request) -> HTMLResponse:
    """The page of the method."""
    return page(
        request,
        "method.html",
        promise=promise(),
        assumptions=[
            (about, tuple(those)) for about, those in groupby(assumptions(), attrgetter("about"))
        ],
    )
