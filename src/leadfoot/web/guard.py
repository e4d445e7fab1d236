"""What stands between the network and the pages: hosts, origins, sizes and headers."""

from collections.abc import Awaitable, Callable
from dataclasses import dataclass

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from leadfoot.web.doors import Doors

LIMIT_BYTES = 20 * 2**20
"""Largest request that is read: a table of 100,000 rows is about 10 MB of text (our own choice)."""

_DRAIN_BYTES = 10 * LIMIT_BYTES
"""How much of a request that is too large is read and dropped, so that the page can be shown."""

YEAR_S = 365 * 86_400
"""How long a browser keeps to https once it was served so. [s]"""

POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' data:",
        "font-src 'self'",
        "connect-src 'self'",
        "form-action 'self'",
        "frame-ancestors 'none'",
        "base-uri 'none'",
    )
)
"""The Content-Security-Policy: all comes from this server, and no script stands in a page."""

HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    # "no-referrer" would make browsers send "Origin: null" with a form, which is refused below.
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), microphone=(), geolocation=()",
}
"""What every response carries."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Refusal:
    """A request that is not let in: its status, what is wrong, and what to do."""

    status: int
    what: str
    fix: str


class TooLargeError(Exception):
    """More bytes arrived than a request may have."""


class Guard:
    """Middleware that lets in only what the desk's own pages send.

    Parameters
    ----------
    app
        The application behind it.
    doors
        Under which names and port the pages are served: Host and Origin must say the same.
    refuse
        Makes the page for a refusal.
    """

    def __init__(
        self, app: ASGIApp, *, doors: Doors, refuse: Callable[[Scope, Refusal], Response]
    ) -> None:
        self._app = app
        self._doors = doors
        self._refuse = refuse

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request through, or refuse it."""
        if scope["type"] not in {"http", "websocket"}:
            await self._app(scope, receive, send)
            return
        refusal = self._refusal(scope)
        if scope["type"] == "websocket":
            await self._socket(refusal, scope, receive, send)
        else:
            await self._request(refusal, scope, receive, with_headers(send, self._doors))

    async def _socket(
        self, refusal: Refusal | None, scope: Scope, receive: Receive, send: Send
    ) -> None:
        if refusal is None:
            await self._app(scope, receive, send)
        else:
            await send({"type": "websocket.close", "code": 1008, "reason": refusal.what})

    async def _request(
        self, refusal: Refusal | None, scope: Scope, receive: Receive, send: Send
    ) -> None:
        if refusal is None:
            counted = _counted(receive)
            try:
                await self._app(scope, counted, send)
            except TooLargeError:
                refusal = _TOO_LARGE
        elif refusal is _TOO_LARGE:
            await _drained(receive)
        if refusal is not None:
            await self._refuse(scope, refusal)(scope, receive, send)

    def _refusal(self, scope: Scope) -> Refusal | None:
        headers = Headers(scope=scope)
        host = headers.get("host", "").lower()
        at = (scope.get("server") or (None,))[0]
        if not self._doors.answers_to(host, at):
            return Refusal(
                status=421,
                what=f"This desk does not answer under the name {host!r}.",
                fix=f"Open {self._doors.scheme}://127.0.0.1:{self._doors.port}/ on the machine "
                "that it runs on; a name for other machines is given with --name.",
            )
        if scope["type"] == "http" and scope["method"] in {"GET", "HEAD", "OPTIONS"}:
            return None
        if not self._from_own_page(headers, at, must_say=scope["type"] == "websocket"):
            return Refusal(
                status=403,
                what="This request came from another site.",
                fix="Do it on the desk's own page.",
            )
        if _length(headers) > LIMIT_BYTES:
            return _TOO_LARGE
        return None

    def _from_own_page(self, headers: Headers, at: str | None, *, must_say: bool) -> bool:
        origin = headers.get("origin")
        if origin is not None:
            return self._doors.is_own_origin(origin.lower(), at)
        # Every browser of today names the origin of a form and of a socket; a script need not.
        return not must_say and headers.get("sec-fetch-site", "none") in {"none", "same-origin"}


_TOO_LARGE = Refusal(
    status=413,
    what=f"That is more than {LIMIT_BYTES // 2**20} MB, the most that is read at once.",
    fix="Nothing was changed. Split the table into several files, and give them one by one.",
)


def _length(headers: Headers) -> int:
    text = headers.get("content-length", "0")
    return int(text) if text.isdecimal() else 0


def _counted(receive: Receive) -> Callable[[], Awaitable[Message]]:
    """Pass messages on until they hold more bytes than a request may have."""
    n_bytes = 0

    async def counted() -> Message:
        nonlocal n_bytes
        message = await receive()
        n_bytes += len(message.get("body", b""))
        if n_bytes > LIMIT_BYTES:
            raise TooLargeError
        return message

    return counted


async def _drained(receive: Receive) -> None:
    """Read the rest and drop it: a browser shows the answer only once it has sent everything."""
    n_bytes = 0
    while n_bytes < _DRAIN_BYTES:
        message = await receive()
        n_bytes += len(message.get("body", b""))
        if message["type"] != "http.request" or not message.get("more_body", False):
            return


def with_headers(send: Send, doors: Doors) -> Send:
    """Wrap `send` so that every response carries the protecting headers."""

    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
            headers.setdefault("Cache-Control", "no-store")
            if doors.https:
                headers.setdefault("Strict-Transport-Security", f"max-age={YEAR_S}")
        await send(message)

    return sending
