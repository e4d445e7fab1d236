"""Pages of a lesson that many browsers have open: rendered once, and waited for without a thread.

When a ball arrives, every open page of its lesson asks at once. One request is at work for all who
asked before it began, and whoever comes later shares the next one; so a page is never older than
the moment at which it was asked for. Waiting costs no thread: the next ball finds one.

What differs from browser to browser is the key of its forms alone; it is put in at the end.
"""

import asyncio
import secrets
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import Final
from weakref import WeakValueDictionary

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


class SharedPages:
    """The pages of lessons; see `leadfoot.web.views.Views` for what is kept."""

    def __init__(self, views: Views) -> None:
        self._views = views
        self._at_once = CapacityLimiter(AT_ONCE)
        self._turns: WeakValueDictionary[int, asyncio.Lock] = WeakValueDictionary()
        self._at_work: dict[tuple[int, str], asyncio.Task[PackedPage]] = {}
        self._next: dict[tuple[int, str], asyncio.Task[PackedPage]] = {}

    async def sheet(
        self, lesson_id: int, how: str, render: Callable[[int, LessonView], PackedPage]
    ) -> PackedPage:
        """A page; see `Views.shown`."""
        key = (lesson_id, how)
        task = self._next.get(key)
        if task is None:
            before = self._at_work.get(key)
            task = asyncio.create_task(self._make(key, render, before))
            self._next[key] = task
        return await asyncio.shield(task)

    async def _make(
        self,
        key: tuple[int, str],
        render: Rendered,
        before: asyncio.Task[PackedPage] | None,
    ) -> PackedPage:
        if before is not None:
            await asyncio.wait([before])
        # Two pages of one lesson need the same answer: one after the other, on one place.
        async with self._turns.setdefault(key[0], asyncio.Lock()), self._at_once:
            # From here on the book is read: who asks now has to wait for the next one.
            self._at_work[key] = self._next.pop(key)
            try:
                return await anyio.to_thread.run_sync(
                    partial(self._views.shown, *key, render), limiter=CapacityLimiter(1)
                )
            finally:
                del self._at_work[key]


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
