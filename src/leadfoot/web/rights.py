"""Who may open what: decided by the address as the program knows it, before any page runs."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Final, Literal

from fastapi import APIRouter
from fastapi.routing import APIRoute, APIWebSocketRoute
from starlette.routing import Match
from starlette.types import Scope

from leadfoot.web.visitor import Visitor

Answer = Literal["let in", "sign in", "refuse"]

OPEN: Final = frozenset(
    {
        "/sign-in",
        "/h/{secret}",
        "/h/{secret}/sheet.pdf",
        "/h/{secret}/shots",
        "/screen/{secret}",
        "/bays/{name}/shots",
    }
)
"""What needs no signing in: the way in, and what is opened by a secret or a token of its own."""

OF_OWNERS: Final = frozenset(
    {
        "/access",
        "/access/accounts",
        "/access/accounts/{account_id}/role",
        "/access/accounts/{account_id}/password",
        "/access/accounts/{account_id}/sign-out",
        "/access/accounts/{account_id}/remove",
        "/access/opening",
        "/access/log",
        "/access/log.csv",
        "/book/export",
        "/settings/units",
        "/settings/air",
        "/settings/monitor",
        "/settings/usual",
        "/students/{student_id}/erase",
    }
)
"""What an owner alone may do: open the door, read the log, take all away, erase for good, and set
what the whole studio reads in."""

OF_SCREENS: Final = frozenset(
    {"/bays/{name}/screen", "/lessons/{lesson_id}/bay", "/lessons/{lesson_id}/bay/numbers"}
)
"""What the screen of a bay may show, of its own bay and lesson."""

OF_EVERYONE: Final = frozenset({"/look", "/sign-out"})
"""What changes nothing but this browser, for all who have signed in."""

LIVE: Final = "/live"


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """An address as the program knows it, with what stands in its gaps; None: there is no such."""

    path: str | None
    gaps: dict[str, Any]

    def number(self, name: str) -> int | None:
        """A number that stands in a gap; one too large for the book is none."""
        found = self.gaps.get(name)
        text = str(found)
        return int(text) if text.isascii() and text.isdecimal() and len(text) < 19 else None


class Places:
    """Every address of the program."""

    def __init__(self, routers: Iterable[APIRouter]) -> None:
        self._routes = [
            route
            for router in routers
            for route in router.routes
            if isinstance(route, APIRoute | APIWebSocketRoute)
        ]

    @property
    def all(self) -> tuple[tuple[str, str], ...]:
        """Method and path of every address."""
        return tuple(
            (method, route.path)
            for route in self._routes
            for method in (sorted(route.methods or ()) if isinstance(route, APIRoute) else ["LIVE"])
        )

    def of(self, scope: Scope) -> Place:
        """The address that a request asks for, by the rules by which its page will be found."""
        for route in self._routes:
            match, child = route.matches(scope)
            if match is not Match.NONE:
                return Place(path=route.path, gaps=child.get("path_params", {}))
        return Place(path=None, gaps={})


def may(visitor: Visitor, place: Place, lesson_asked: str | None = None) -> Answer:
    """Decide on a request.

    Parameters
    ----------
    visitor
        Who asks.
    place
        For what.
    lesson_asked
        On the live channel, the lesson of which a page wants to hear.

    Examples
    --------
    >>> nobody = Visitor(standing="nobody", who="", secret="", address="")
    >>> may(nobody, Place(path="/sign-in", gaps={})), may(nobody, Place(path="/", gaps={}))
    ('let in', 'sign in')
    >>> coach = Visitor(standing="coach", who="Anna", secret="", address="")
    >>> may(coach, Place(path="/", gaps={})), may(coach, Place(path="/access", gaps={}))
    ('let in', 'refuse')
    """
    if place.path in OPEN:
        return "let in"
    if visitor.standing == "owner" or (visitor.standing == "coach" and place.path not in OF_OWNERS):
        return "let in"
    if visitor.standing == "screen":
        return "let in" if _is_own(visitor, place, lesson_asked) else "refuse"
    return "sign in" if visitor.standing == "nobody" else "refuse"


def _is_own(visitor: Visitor, place: Place, lesson_asked: str | None) -> bool:
    """Whether a screen asks for what its own bay shows at the moment."""
    if place.path == LIVE:
        # Without a lesson the channel tells numbers of changes and nothing else.
        return lesson_asked in {None, str(visitor.lesson_id)}
    if place.path in OF_EVERYONE:
        return True
    if place.path not in OF_SCREENS:
        return False
    if "name" in place.gaps:
        return bool(place.gaps["name"] == visitor.bay)
    return visitor.lesson_id is not None and place.number("lesson_id") == visitor.lesson_id
