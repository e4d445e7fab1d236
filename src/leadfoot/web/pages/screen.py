"""The big screen of a bay: the lesson for which it hits, on a machine that can do no more."""

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from leadfoot.desk.bays import bay_named
from leadfoot.desk.signing_in import become_screen, make_screen, screen_of
from leadfoot.web.page import DeskHere, ViewsHere, VisitorHere, page
from leadfoot.web.pages.bay import bay_page
from leadfoot.web.pages.bays import bays_page
from leadfoot.web.visitor import doors_of, give_token

router = APIRouter()


@router.post("/bays/{name}/screens")
def new_screen(request: Request, desk: DeskHere, name: str) -> HTMLResponse:
    """Make the private address of a screen; it is shown this once."""
    secret, _ = make_screen(desk, bay_named(desk, name).id)
    doors = doors_of(request)
    host = doors.link_host(request.url.netloc)
    return bays_page(request, screen=(name, f"{doors.scheme}://{host}/screen/{secret}"))


@router.post("/bays/{name}/screens/withdraw")
def withdraw_screens(desk: DeskHere, name: str) -> Response:
    """Withdraw every screen of a bay."""
    bay_id = bay_named(desk, name).id
    for screen in desk.book.access.screens():
        if screen.bay_id == bay_id and screen.withdrawn_at is None:
            desk.book.access.withdraw_screen(screen.id, at=desk.clock())
    return RedirectResponse("/bays", status_code=303)


@router.get("/screen/{secret}")
def ask_screen(request: Request, desk: DeskHere, secret: str) -> HTMLResponse:
    """Ask whether this machine is to be a screen: opening an address alone changes nothing."""
    screen = screen_of(desk, secret)
    return page(request, "screen_ask.html", bay=desk.book.bay(screen.bay_id).name, path="")


@router.post("/screen/{secret}")
def take_screen(request: Request, desk: DeskHere, visitor: VisitorHere, secret: str) -> Response:
    """Make this browser the screen of a bay, and nothing else any more."""
    entered = become_screen(desk, secret, ends_token=visitor.token)
    screen = entered.sign_in.screen
    name = desk.book.bay(screen.bay_id).name if screen else ""
    response = RedirectResponse(f"/bays/{name}/screen", status_code=303)
    give_token(response, doors_of(request), entered.sign_in, entered.token)
    return response


@router.get("/bays/{name}/screen")
def show_screen(request: Request, desk: DeskHere, views: ViewsHere, name: str) -> HTMLResponse:
    """The big screen of the lesson for which a bay hits."""
    bay = bay_named(desk, name)
    if bay.lesson_id is not None:
        return bay_page(request, views, bay.lesson_id)
    return page(request, "screen_waits.html", bay=bay, change=desk.book.last_change())
