"""The way in and out: name and password, and the end of a sign-in."""

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from leadfoot.desk.access_records import Deed, NewLine, Standing
from leadfoot.desk.accounts import account_of
from leadfoot.desk.desk import Desk
from leadfoot.desk.signing_in import WaitError, sign_in, sign_out
from leadfoot.errors import InputError
from leadfoot.web.page import DeskHere, FormHere, VisitorHere, page, said
from leadfoot.web.pages.look import own_path
from leadfoot.web.visitor import UNKNOWN, Visitor, doors_of, give_token, take_token

router = APIRouter()


@router.get("/sign-in")
def ask_to_sign_in(request: Request, visitor: VisitorHere) -> Response:
    """The form; whoever is in already goes on."""
    to = own_path(request.query_params.get("next", "/"))
    if visitor.teaches:
        return RedirectResponse(to, status_code=303)
    return _form(request, to=to)


@router.post("/sign-in")
def come_in(request: Request, desk: DeskHere, visitor: VisitorHere, form: FormHere) -> Response:
    """Sign in, and go on to the page that was asked for."""
    name, to = said(form, "name"), own_path(said(form, "next", "/"))
    try:
        entered = sign_in(
            desk,
            name,
            said(form, "password"),
            address=visitor.address,
            ends_token=visitor.token,
        )
    except WaitError as error:
        answer = _form(request, to=to, name=name, error=error, status=429)
        answer.headers["Retry-After"] = str(int(error.wait_s) + 1)
        return answer
    except InputError as error:
        # Under the name of an account alone: what else was typed may be a password by mistake.
        _note(desk, visitor, "failed", _known(desk, name), "nobody")
        return _form(request, to=to, name=name, error=error, status=422)
    account = entered.sign_in.account
    if account is not None:
        _note(desk, visitor, "entered", account.name, account.role)
    response = RedirectResponse(to, status_code=303)
    give_token(response, doors_of(request), entered.sign_in, entered.token)
    return response


@router.post("/sign-out")
def go_out(request: Request, desk: DeskHere, visitor: VisitorHere) -> Response:
    """Sign out in this browser."""
    if visitor.sign_in is not None:
        sign_out(desk, visitor.sign_in)
        _note(desk, visitor, "left", visitor.who, visitor.standing)
    response = RedirectResponse("/sign-in", status_code=303)
    take_token(response, doors_of(request))
    return response


def _form(
    request: Request,
    *,
    to: str,
    name: str = "",
    error: InputError | None = None,
    status: int = 200,
) -> HTMLResponse:
    return page(
        request,
        "sign_in.html",
        status=status,
        next=to,
        typed=name,
        error=error,
        open_to_read=doors_of(request).beyond and not doors_of(request).https,
    )


def _known(desk: Desk, name: str) -> str:
    try:
        return account_of(desk, name).name
    except InputError:
        return UNKNOWN


def _note(desk: Desk, visitor: Visitor, deed: Deed, who: str, role: Standing) -> None:
    line = NewLine(
        at=desk.clock(), who=who, role=role, deed=deed, what="/sign-in", address=visitor.address
    )
    desk.book.access.note([line])
