"""What a page of a lesson is made from, so that it is the same whichever process makes it."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from fastapi import FastAPI, Request
from fastapi.responses import HTMLResponse

from leadfoot.desk.lesson import LessonView
from leadfoot.web.packed import PackedPage
from leadfoot.web.visitor import Visitor

if TYPE_CHECKING:
    from leadfoot.web.views import Views

CHOICES = ("look", "fields", "bay")
"""Cookies on which these pages depend."""

Render = Callable[[Request, int, LessonView], HTMLResponse]
"""Renders a page from the request, the change of the book that it holds, and the lesson."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PageAsked:
    """A page of a lesson, as it is asked for.

    Attributes
    ----------
    render
        Renders it; a function of a module, so that another process finds it too.
    path, query
        Its address.
    choices
        What the browser chose, in the order of `CHOICES`; empty where it did not.
    visitor
        Who asks. The secret is a stand-in: the key of each browser's forms is put in at the end.
    """

    render: Render
    path: str
    query: str
    choices: tuple[str, ...]
    visitor: Visitor

    @property
    def how(self) -> tuple[object, ...]:
        """All that the page depends on beside the lesson; who asks for the same shares it."""
        shown_to = (self.visitor.standing, self.visitor.who, self.visitor.sign_in is not None)
        return (self.path, self.query, self.choices, shown_to)

    def made(self, app: FastAPI, change: int, view: LessonView) -> PackedPage:
        """Render it on a desk's application, and pack it for all who ask."""
        chosen = "; ".join(
            f"{name}={value}" for name, value in zip(CHOICES, self.choices, strict=True) if value
        )
        request = Request(
            {
                "type": "http",
                "method": "GET",
                "path": self.path,
                "query_string": self.query.encode(),
                "headers": [(b"cookie", chosen.encode("latin-1"))],
                "app": app,
                "visitor": self.visitor,
            }
        )
        body = bytes(self.render(request, change, view).body)
        return PackedPage(body, self.visitor.key.encode())


def asked_for(request: Request, render: Render, visitor: Visitor, stand_in: str) -> PageAsked:
    """The page that a request asks for."""
    return PageAsked(
        render=render,
        path=request.url.path,
        query=request.url.query,
        choices=tuple(request.cookies.get(name, "") for name in CHOICES),
        visitor=replace(visitor, secret=stand_in),
    )


def make_pages(
    app: FastAPI,
    lesson_id: int,
    asked: tuple[PageAsked, ...],
    *,
    give: Callable[[int, PackedPage], object],
    fail: Callable[[int, Exception], object],
) -> None:
    """Make pages of one lesson from one judging, and give each as soon as it is there.

    Parameters
    ----------
    app
        The application of the desk.
    lesson_id, asked
        The pages.
    give, fail
        Called for each page, with its place in `asked`, and the page or what went wrong with it.
    """
    views: Views = app.state.views
    with views.turn(lesson_id) as turn:
        for place, one in enumerate(asked):
            try:
                page = turn.shown(one.how, lambda *state, one=one: one.made(app, *state))
            except Exception as error:  # noqa: BLE001  (it is told to who asked for this page)
                fail(place, error)
            else:
                give(place, page)
