"""The switch between paper and slate."""

from fastapi import APIRouter
from fastapi.responses import RedirectResponse

from leadfoot.web.page import LOOKS, FormHere, said

router = APIRouter()

YEAR_S = 365 * 86_400
"""How long a browser keeps what was chosen in it. [s]"""


@router.post("/look")
def choose_look(form: FormHere) -> RedirectResponse:
    """Remember a look in this browser, and go back to the page."""
    look = said(form, "look", "auto")
    back = said(form, "back", "/")
    # Only a path of this server: "//host" and "/\host" would lead elsewhere.
    own = back.startswith("/") and not back.startswith(("//", "/\\"))
    response = RedirectResponse(back if own else "/", status_code=303)
    if look in LOOKS:
        response.set_cookie("look", look, max_age=YEAR_S, samesite="strict")
    return response
