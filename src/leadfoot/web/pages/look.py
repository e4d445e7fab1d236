"""The switch between paper and slate."""

from fastapi import APIRouter, Request
from fastapi.responses import RedirectResponse

from leadfoot.web.page import LOOKS, FormHere, said
from leadfoot.web.visitor import doors_of, keep_choice

router = APIRouter()

YEAR_S = 365 * 86_400
"""How long a browser keeps what was chosen in it. [s]"""


@router.post("/look")
def choose_look(request: Request, form: FormHere) -> RedirectResponse:
    """Remember a look in this browser, and go back to the page."""
    look = said(form, "look", "auto")
    response = RedirectResponse(own_path(said(form, "back", "/")), status_code=303)
    if look in LOOKS:
        keep_choice(response, doors_of(request), "look", look, for_s=YEAR_S)
    return response


def own_path(path: str) -> str:
    r"""A path of this server to go back to, or that of the first page.

    Examples
    --------
    >>> own_path("/bays?x=1"), own_path("//evil.example"), own_path("/\\evil.example")
    ('/bays?x=1', '/', '/')
    """
    # "//host" and "/\host" would lead elsewhere, and control characters may hide them.
    own = path.startswith("/") and not path.startswith(("//", "/\\"))
    return path if own and path.isprintable() else "/"
