"""Settings for access: who may sign in, what is open, and whether the network reaches the desk."""

from dataclasses import dataclass
from datetime import datetime, tzinfo

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from leadfoot.desk.access_records import Account, Role, SignIn
from leadfoot.desk.accounts import (
    account_numbered,
    add_account,
    change_password,
    change_role,
    opening_of,
    remove_account,
    set_opening,
)
from leadfoot.desk.desk import Desk
from leadfoot.desk.passwords import FEWEST_LETTERS
from leadfoot.desk.signing_in import is_good, let_in, sign_in
from leadfoot.errors import InputError
from leadfoot.web.page import DeskHere, FormHere, VisitorHere, page, said
from leadfoot.web.visitor import doors_of, give_token

router = APIRouter(prefix="/access")


@dataclass(frozen=True, slots=True, kw_only=True)
class AccountLine:
    """An account in the list, with the browsers in which it is signed in."""

    account: Account
    n_signed_in: int
    last_used: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenLine:
    """Something that opens a page without a password: a screen, or a student's private link."""

    words: str
    until: str
    works: bool
    address: str
    """Where it is withdrawn."""
    number: int


@router.get("")
def show_access(request: Request) -> HTMLResponse:
    """Who may come in."""
    return _page(request)


@router.post("/accounts")
def add(request: Request, desk: DeskHere, visitor: VisitorHere, form: FormHere) -> Response:
    """Add an account; the first one is an owner, who is signed in with it."""
    name, role = said(form, "name"), said(form, "role", "owner")
    # Only a desk that this machine alone can reach lets anyone here who has not signed in.
    first = visitor.sign_in is None
    chosen: Role = "coach" if role == "coach" else "owner"
    try:
        account = add_account(desk, name, said(form, "password"), role=chosen, as_first=first)
    except InputError as error:
        return _page(request, error=error, typed=name, role=chosen)
    response = RedirectResponse("/access", status_code=303)
    if first:
        entered = let_in(desk, account)
        give_token(response, doors_of(request), entered.sign_in, entered.token)
    return response


@router.post("/accounts/{account_id}/role")
def give_role(request: Request, desk: DeskHere, form: FormHere, account_id: int) -> Response:
    """Make a coach an owner, or the other way."""
    try:
        change_role(desk, account_numbered(desk, account_id), said(form, "role"))
    except InputError as error:
        return _page(request, list_error=error)
    return RedirectResponse("/access", status_code=303)


@router.post("/accounts/{account_id}/password")
def give_password(
    request: Request, desk: DeskHere, visitor: VisitorHere, form: FormHere, account_id: int
) -> Response:
    """Give an account a new password; it is signed out everywhere but here."""
    try:
        account = account_numbered(desk, account_id)
        changed = change_password(desk, account, said(form, "password"))
    except InputError as error:
        return _page(request, list_error=error)
    response = RedirectResponse("/access", status_code=303)
    if visitor.sign_in is not None and visitor.sign_in.account == account:
        entered = let_in(desk, changed)
        give_token(response, doors_of(request), entered.sign_in, entered.token)
    return response


@router.post("/accounts/{account_id}/sign-out")
def sign_out_everywhere(request: Request, desk: DeskHere, account_id: int) -> Response:
    """End every sign-in of an account."""
    try:
        desk.book.access.end_sign_ins_of(account_numbered(desk, account_id).id)
    except InputError as error:
        return _page(request, list_error=error)
    return RedirectResponse("/access", status_code=303)


@router.post("/accounts/{account_id}/remove")
def remove(request: Request, desk: DeskHere, form: FormHere, account_id: int) -> Response:
    """Remove an account, if that was confirmed."""
    try:
        account = account_numbered(desk, account_id)
        _refuse_unsure(account, sure=said(form, "sure") == "yes")
        remove_account(desk, account, now_open=doors_of(request).beyond)
    except InputError as error:
        return _page(request, list_error=error)
    return RedirectResponse("/access", status_code=303)


@router.post("/opening")
def open_to(request: Request, desk: DeskHere, form: FormHere) -> Response:
    """Say how the desk is opened from the next time on."""
    names = said(form, "names")
    try:
        set_opening(desk, to_network=said(form, "listens") == "network", names=names)
    except InputError as error:
        return _page(request, opening_error=error, typed_names=names)
    return RedirectResponse("/access?kept=yes#opening-title", status_code=303)


@router.get("/mine")
def show_mine(request: Request) -> HTMLResponse:
    """The form for one's own password."""
    return _mine(request)


@router.post("/mine")
def change_mine(request: Request, desk: DeskHere, visitor: VisitorHere, form: FormHere) -> Response:
    """Change one's own password, which ends all other sign-ins."""
    account = visitor.sign_in.account if visitor.sign_in else None
    if account is None:
        return _mine(request)
    try:
        sign_in(desk, account.name, said(form, "old"), address=visitor.address)
        changed = change_password(desk, account, said(form, "password"))
    except InputError as error:
        return _mine(request, error=error)
    entered = let_in(desk, changed)
    response = RedirectResponse("/", status_code=303)
    give_token(response, doors_of(request), entered.sign_in, entered.token)
    return response


def _refuse_unsure(account: Account, *, sure: bool) -> None:
    if not sure:
        raise InputError(
            f"{account.name} was not removed: it was not confirmed.",
            fix="Tick that you are sure, then remove the account.",
        )


def _mine(request: Request, *, error: InputError | None = None) -> HTMLResponse:
    return page(
        request,
        "access_mine.html",
        status=200 if error is None else 422,
        error=error,
        fewest=FEWEST_LETTERS,
        crumbs=(("/", "Today"),),
    )


def _page(
    request: Request,
    *,
    error: InputError | None = None,
    list_error: InputError | None = None,
    opening_error: InputError | None = None,
    typed: str = "",
    typed_names: str | None = None,
    role: Role = "coach",
) -> HTMLResponse:
    desk: Desk = request.app.state.desk
    opening = opening_of(desk)
    accounts = desk.book.access.accounts()
    bad = [one for one in (error, list_error, opening_error) if one is not None]
    return page(
        request,
        "access.html",
        status=422 if bad else 200,
        accounts=_accounts(desk, accounts),
        screens=_screens(desk),
        links=_links(desk),
        opening=opening,
        names=" ".join(opening.names) if typed_names is None else typed_names,
        doors=doors_of(request),
        error=error,
        list_error=list_error,
        opening_error=opening_error,
        typed=typed,
        role=role,
        kept=request.query_params.get("kept", ""),
        fewest=FEWEST_LETTERS,
        crumbs=(("/", "Today"),),
    )


def _accounts(desk: Desk, accounts: tuple[Account, ...]) -> list[AccountLine]:
    now = desk.clock()
    good = [one for one in desk.book.access.sign_ins() if is_good(one, now)]
    return [
        _account_line(account, [one for one in good if one.account == account], now.tzinfo)
        for account in accounts
    ]


def _account_line(account: Account, theirs: list[SignIn], zone: tzinfo | None) -> AccountLine:
    last = max((one.seen_at for one in theirs), default=None)
    return AccountLine(
        account=account, n_signed_in=len(theirs), last_used=moment(last, zone) if last else ""
    )


def _screens(desk: Desk) -> list[OpenLine]:
    now = desk.clock()
    signed_in = {
        one.screen.id: one
        for one in desk.book.access.sign_ins()
        if one.screen is not None and is_good(one, now)
    }
    lines = []
    for screen in desk.book.access.screens():
        there = signed_in.get(screen.id)
        until = there.expires_at if there else screen.expires_at
        if screen.withdrawn_at is not None or until <= now:
            continue
        bay = desk.book.bay(screen.bay_id)
        lines.append(
            OpenLine(
                words=f"{bay.name}: {'a screen shows it' if there else 'not opened yet'}",
                until=moment(until, now.tzinfo),
                works=True,
                address=f"/bays/{bay.name}/screens/withdraw",
                number=screen.id,
            )
        )
    return lines


def _links(desk: Desk) -> list[OpenLine]:
    now = desk.clock()
    names = {student.id: student.name for student in desk.book.students()}
    return [
        OpenLine(
            words=names[link.student_id],
            until=moment(link.expires_at, now.tzinfo),
            works=True,
            address=f"/students/{link.student_id}/homework/{link.homework_id}"
            f"/links/{link.id}/withdraw",
            number=link.id,
        )
        for link in desk.book.access.student_links()
        if link.withdrawn_at is None and link.expires_at > now
    ]


def moment(at: datetime, zone: tzinfo | None) -> str:
    """A moment as a page says it.

    Examples
    --------
    >>> from datetime import UTC
    >>> moment(datetime(2026, 3, 2, 9, 5, tzinfo=UTC), UTC)
    '2 Mar 2026, 09:05'
    """
    local = at.astimezone(zone)
    return f"{local.day} {local:%b %Y, %H:%M}"
