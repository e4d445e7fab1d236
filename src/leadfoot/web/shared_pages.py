"""Pages of a lesson that many browsers have open: rendered once, and waited for without a thread.

When a ball arrives, every open page of its lesson asks at once. All that wait for a lesson are made
in one turn, from one judging, whatever they show of it; whoever comes later waits for the next
turn. So a page is never older than the moment at which it was asked for, and a desk that has fallen
behind catches up: it judges a lesson once a turn, however many balls came in between. Waiting costs
no thread: the next ball finds one.

What differs from browser to browser is the key of its forms alone; it is put in at the end.
"""

import asyncio
import secrets
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

import anyio.to_thread
from anyio import CapacityLimiter
from fastapi import Request
from fastapi.responses import HTMLResponse, Response

from leadfoot.desk.lesson import LessonView
from leadfoot.web.packed import PackedPage
from leadfoot.web.views import Views
from leadfoot.web.visitor import visitor_of

AT_ONCE: Final = 2
"""Pages that are judged and rendered at the same time: what a small machine has cores."""

Render = Callable[[Request, int, LessonView], HTMLResponse]
"""Renders a page from the request, the change that it holds, and the lesson."""

Rendered = Callable[[int, LessonView], PackedPage]
"""The same for one request, packed for all browsers that ask for it."""

_STAND_IN: Final = secrets.token_urlsafe(32)
"""The secret from which the key is made that every shared page is rendered with."""
_CHOICES: Final = ("look", "fields", "bay")
"""Cookies on which these pages depend."""


@dataclass(frozen=True, slots=True)
class _Asked:
    """A way of showing a lesson that is waited for."""

    render: Rendered
    page: asyncio.Future[PackedPage]


class SharedPages:
    """The pages of lessons; see `leadfoot.web.views.Views` for what is kept."""

    def __init__(self, views: Views) -> None:
        self._views = views
        self._at_once = CapacityLimiter(AT_ONCE)
        self._waiting: dict[int, dict[str, _Asked]] = {}
        """What is asked for of each lesson, until its turn begins."""
        self._turns: dict[int, asyncio.Task[None]] = {}
        """One for each lesson that is waited for or made."""

    async def sheet(self, lesson_id: int, how: str, render: Rendered) -> PackedPage:
        """A page; see `Turn.shown` in `leadfoot.web.views`."""
        waiting = self._waiting.setdefault(lesson_id, {})
        if how not in waiting:
            waiting[how] = _Asked(render, asyncio.get_running_loop().create_future())
        asked = waiting[how]
        if lesson_id not in self._turns:
            self._turns[lesson_id] = asyncio.create_task(self._take_turns(lesson_id))
        return await asyncio.shield(asked.page)

    async def _take_turns(self, lesson_id: int) -> None:
        try:
            while lesson_id in self._waiting:
                async with self._at_once:
                    # From here on the book is read: who asks now has to wait for the next turn.
                    asked = self._waiting.pop(lesson_id)
                    await anyio.to_thread.run_sync(
                        self._make,
                        lesson_id,
                        asked,
                        asyncio.get_running_loop(),
                        limiter=CapacityLimiter(1),
                    )
        finally:
            del self._turns[lesson_id]

    def _make(
        self, lesson_id: int, asked: dict[str, _Asked], loop: asyncio.AbstractEventLoop
    ) -> None:
        """Make all pages of one turn, and give each as soon as it is there."""
        with self._views.turn(lesson_id) as turn:
            for how, one in asked.items():
                try:
                    found = turn.shown(how, one.render)
                except Exception as error:  # noqa: BLE001  (it is told to who asked for this page)
                    loop.call_soon_threadsafe(_fail, one.page, error)
                else:
                    loop.call_soon_threadsafe(_give, one.page, found)


def _give(waiting: asyncio.Future[PackedPage], page: PackedPage) -> None:
    if not waiting.done():
        waiting.set_result(page)


def _fail(waiting: asyncio.Future[PackedPage], error: Exception) -> None:
    if not waiting.done():
        waiting.set_exception(error)
        waiting.exception()  # seen, also where the browser that asked has gone


async def shared_page(request: Request, lesson_id: int, render: Render) -> Response:
    """The page of a lesson, rendered once for all browsers that ask for it in the same way."""
    visitor = visitor_of(request)
    for_all = replace(visitor, secret=_STAND_IN)
    asked = Request({**request.scope, "visitor": for_all})
    choices = [request.cookies.get(name, "") for name in _CHOICES]
    shown_to = [visitor.standing, visitor.who, str(visitor.sign_in is not None)]
    how = "\n".join((request.url.path, request.url.query, *choices, *shown_to))

    def rendered(change: int, view: LessonView) -> PackedPage:
        return PackedPage(bytes(render(asked, change, view).body), for_all.key.encode())

    pages: SharedPages = request.app.state.shared_pages
    sheet = await pages.sheet(lesson_id, how, rendered)
    return sheet.response(visitor.key.encode(), request.headers.get("accept-encoding", ""))
