"""Who asks for a page: an account, a screen, a student's link, this machine, or nobody known."""

import hashlib
import hmac
import secrets
from dataclasses import dataclass

from starlette.requests import HTTPConnection
from starlette.responses import Response

from leadfoot.desk.access_records import SignIn, Standing
from leadfoot.web.doors import Doors

HERE = "this machine"
"""Who it is where nobody has to sign in."""
UNKNOWN = "someone unknown"
KEY_FIELD = "form_key"
KEY_HEADER = "x-form-key"


@dataclass(frozen=True, slots=True, kw_only=True)
class Visitor:
    """Who asks.

    Attributes
    ----------
    standing
        What this one is to the desk.
    who
        As the log says it.
    secret
        What only this browser and the desk know: the keys of its forms come from it.
    sign_in
        The sign-in; None where none is needed or there is none.
    token
        The token of the sign-in.
    address
        The network address.
    bay, lesson_id
        Of a screen: its bay, and the lesson for which that hits.
    student_id
        Of a private link: its student.
    """

    standing: Standing
    who: str
    secret: str
    address: str
    sign_in: SignIn | None = None
    token: str | None = None
    bay: str | None = None
    lesson_id: int | None = None
    student_id: int | None = None

    @property
    def teaches(self) -> bool:
        """Whether this one works at the desk: an owner or a coach."""
        return self.standing in {"owner", "coach"}

    @property
    def key(self) -> str:
        """The key that every form of this browser carries.

        It is made of the browser's secret and tells nothing about it; another site can neither
        read nor guess it.
        """
        text = b"leadfoot form key"
        return hmac.new(self.secret.encode(), text, hashlib.sha256).hexdigest()

    def has_key(self, given: str) -> bool:
        """Tell whether a form carried the right key."""
        return hmac.compare_digest(self.key.encode(), given.encode("utf-8", "replace"))


def visitor_of(connection: HTTPConnection) -> Visitor:
    """Who asks for this page; nobody known where a request was refused before it was found out."""
    found = connection.scope.get("visitor")
    if isinstance(found, Visitor):
        return found
    return Visitor(standing="nobody", who=UNKNOWN, secret=secrets.token_urlsafe(), address="")


def doors_of(connection: HTTPConnection) -> Doors:
    """How the desk is opened."""
    doors: Doors = connection.app.state.doors
    return doors


def sign_in_cookie(doors: Doors) -> str:
    """Name of the cookie with the token; ports share cookies, so the port is in it.

    Examples
    --------
    >>> sign_in_cookie(Doors(port=8470)), sign_in_cookie(Doors(port=443, https=True))
    ('leadfoot-8470', '__Host-leadfoot-443')
    """
    return f"{_host_mark(doors)}leadfoot-{doors.port}"


def page_cookie(doors: Doors) -> str:
    """Name of the cookie from which the keys of forms are made before anyone has signed in."""
    return f"{_host_mark(doors)}page-{doors.port}"


def give_token(response: Response, doors: Doors, sign_in: SignIn, token: str) -> None:
    """Let the browser keep the token of a sign-in, out of reach of any script."""
    response.set_cookie(
        sign_in_cookie(doors),
        token,
        max_age=int((sign_in.expires_at - sign_in.begun_at).total_seconds()),
        httponly=True,
        secure=doors.https,
        # Not "strict": a link from a mail or a calendar would find the coach signed out.
        samesite="lax",
    )


def take_token(response: Response, doors: Doors) -> None:
    """Let the browser forget its token, and start over with the keys of its forms."""
    for name in (sign_in_cookie(doors), page_cookie(doors)):
        response.delete_cookie(name, httponly=True, secure=doors.https, samesite="lax")


def keep_choice(response: Response, doors: Doors, name: str, value: str, *, for_s: int) -> None:
    """Let the browser keep a choice of how pages look."""
    response.set_cookie(
        name, value, max_age=for_s, httponly=True, secure=doors.https, samesite="strict"
    )


def _host_mark(doors: Doors) -> str:
    """What ties a cookie to this very host; browsers take it from encrypted pages alone."""
    return "__Host-" if doors.https else ""
