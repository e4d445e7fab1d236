"""How it is judged, and what is assumed: one click from every answer."""

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from leadfoot.web.page import page

router = APIRouter()


@router.get("/method")
def show_method(request: Request) -> HTMLResponse:
    """The page of the method."""
    return page(request, "method.html")
