"""The gate: finds out who asks, lets in who may, and writes down who saw and changed what."""

import secrets
from collections.abc import Callable
from urllib.parse import quote

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import MutableHeaders
from starlette.requests import HTTPConnection
from starlette.responses import RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from leadfoot.desk.access_records import Deed, NewLine, SignIn
from leadfoot.desk.desk import Desk
from leadfoot.desk.homework import link_of
from leadfoot.desk.signing_in import sign_in_of
from leadfoot.web.doors import Doors
from leadfoot.web.guard import Refusal
from leadfoot.web.noting import Noter
from leadfoot.web.rights import Answer, Place, Places, may
from leadfoot.web.visitor import HERE, UNKNOWN, Visitor, page_cookie, sign_in_cookie

YEAR_S = 365 * 86_400
_STATIC = "/static/"
_UNSEEN = frozenset({"/sign-in", "/sign-out", "/look", "/method", "/flight", "/flight/numbers"})
"""Addresses that show nobody; signing in and out writes its own lines."""
_OF_PROGRAMS = "/bays/{name}/shots"

NOT_YOURS = Refusal(
    status=403,
    what="This is not for you to open.",
    fix="Ask an owner of the desk, or sign in under another name.",
)


class Gate:
    """Middleware between the guard and the pages.

    Parameters
    ----------
    app
        The application behind it.
    desk
        Its desk, which knows the accounts.
    doors
        How the desk is opened.
    places
        Every address of the program.
    noter
        Writes the log.
    refuse
        Makes the page for a refusal.
    """

    def __init__(
        self,
        app: ASGIApp,
        *,
        desk: Desk,
        doors: Doors,
        places: Places,
        noter: Noter,
        refuse: Callable[[Scope, Refusal], Response],
    ) -> None:
        self._app = app
        self._desk = desk
        self._doors = doors
        self._places = places
        self._noter = noter
        self._refuse = refuse

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request through, send it to the sign-in, or refuse it."""
        if scope["type"] not in {"http", "websocket"} or scope["path"].startswith(_STATIC):
            await self._app(scope, receive, send)
            return
        place = self._places.of(scope)
        connection = HTTPConnection(scope)
        if place.path == _OF_PROGRAMS:  # a bay shows its token, and has no cookies
            await self._app(scope, receive, send)
            return
        visitor = await run_in_threadpool(self._visitor, connection, place)
        scope["visitor"] = visitor
        answer = may(visitor, place, connection.query_params.get("lesson"))
        if scope["type"] == "websocket":
            await self._socket(answer, scope, receive, send)
        else:
            await self._request(answer, place, scope, receive, send)

    async def _socket(self, answer: Answer, scope: Scope, receive: Receive, send: Send) -> None:
        if answer == "let in":
            await self._app(scope, receive, send)
            return
        # Taken and closed with a word: a browser tells a page nothing about one that is refused.
        await send({"type": "websocket.accept"})
        await send({"type": "websocket.close", "code": 1008, "reason": "Sign in again."})

    async def _request(
        self, answer: Answer, place: Place, scope: Scope, receive: Receive, send: Send
    ) -> None:
        visitor: Visitor = scope["visitor"]
        sending = self._sending(scope, place, send)
        if answer == "let in":
            await self._app(scope, receive, sending)
        elif answer == "sign in" and scope["method"] in {"GET", "HEAD"}:
            asked = scope["path"] + (
                f"?{scope['query_string'].decode()}" * bool(scope["query_string"])
            )
            to = "/sign-in" if asked == "/" else f"/sign-in?next={quote(asked)}"
            await RedirectResponse(to, status_code=303)(scope, receive, sending)
        else:
            if visitor.sign_in is not None:
                self._noter.saw(self._line(visitor, place, "refused"))
            refusal = NOT_YOURS if answer == "refuse" else _SIGN_IN
            await self._refuse(scope, refusal)(scope, receive, sending)

    def _visitor(self, connection: HTTPConnection, place: Place) -> Visitor:
        address = connection.client.host if connection.client else ""
        token = connection.cookies.get(sign_in_cookie(self._doors))
        page_secret = connection.cookies.get(page_cookie(self._doors)) or _fresh(connection.scope)
        if place.path is not None and place.path.startswith("/h/"):
            link = link_of(self._desk, str(place.gaps["secret"]))
            if link is not None:
                lesson_id = self._desk.book.homework(link.homework_id).lesson_id
                return Visitor(
                    standing="student",
                    who=f"private link {link.id}",
                    secret=page_secret,
                    address=address,
                    student_id=self._desk.book.lesson(lesson_id).student_id,
                )
        sign_in = None if token is None else sign_in_of(self._desk, token)
        if token is not None and sign_in is not None:
            self._noter.used(sign_in)
            return self._signed_in(sign_in, token, address)
        if self._doors.beyond or self._desk.book.access.has_accounts():
            return Visitor(standing="nobody", who=UNKNOWN, secret=page_secret, address=address)
        return Visitor(standing="owner", who=HERE, secret=page_secret, address=address)

    def _signed_in(self, sign_in: SignIn, token: str, address: str) -> Visitor:
        if sign_in.account is not None:
            account = sign_in.account
            return Visitor(
                standing=account.role,
                who=account.name,
                secret=token,
                token=token,
                address=address,
                sign_in=sign_in,
            )
        bay = self._desk.book.bay(sign_in.screen.bay_id) if sign_in.screen else None
        in_use = bay is not None and bay.withdrawn_at is None
        return Visitor(
            standing="screen" if in_use else "nobody",
            who=f"screen of {bay.name}" if bay else UNKNOWN,
            secret=token,
            token=token,
            address=address,
            sign_in=sign_in,
            bay=bay.name if bay else None,
            lesson_id=bay.lesson_id if bay else None,
        )

    def _sending(self, scope: Scope, place: Place, send: Send) -> Send:
        async def sending(message: Message) -> None:
            if message["type"] == "http.response.start":
                self._keep_page_secret(scope, message)
                await self._note(scope, place, message["status"])
            await send(message)

        return sending

    def _keep_page_secret(self, scope: Scope, message: Message) -> None:
        secret = scope.get("fresh_secret")
        if secret is None or scope["method"] != "GET" or message["status"] >= 500:
            return
        visitor: Visitor = scope["visitor"]
        if visitor.sign_in is not None:
            return
        # The secret is of letters that need no quoting.
        kept = f"{page_cookie(self._doors)}={secret}; Max-Age={YEAR_S}; Path=/; HttpOnly"
        kept += "; SameSite=Lax" + "; Secure" * self._doors.https
        MutableHeaders(scope=message).append("set-cookie", kept)

    async def _note(self, scope: Scope, place: Place, status: int) -> None:
        visitor: Visitor = scope["visitor"]
        if status >= 400 or visitor.standing == "nobody" or place.path in {None, *_UNSEEN}:
            return
        if scope["method"] in {"GET", "HEAD"}:
            if status < 300:
                self._noter.saw(self._line(visitor, place, "saw"))
        else:
            line = self._line(visitor, place, "changed")
            await run_in_threadpool(self._noter.changed, line)

    def _line(self, visitor: Visitor, place: Place, deed: Deed) -> NewLine:
        return NewLine(
            at=self._desk.clock(),
            who=visitor.who,
            role=visitor.standing,
            deed=deed,
            what=place.path or "an address that is none",
            student_id=visitor.student_id or place.number("student_id"),
            lesson_id=place.number("lesson_id"),
            raw_file_id=place.number("raw_file_id"),
            address=visitor.address,
        )


_SIGN_IN = Refusal(
    status=401,
    what="You are not signed in, or no longer.",
    fix="Sign in, then do it once more. Nothing was changed.",
)


def _fresh(scope: Scope) -> str:
    """A new secret for a browser that has none; it gets it with the answer."""
    secret: str = scope.setdefault("fresh_secret", secrets.token_urlsafe(32))
    return secret
