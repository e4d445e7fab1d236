"""Pages of a lesson that many browsers have open: made once, and waited for without a thread.

When a ball arrives, every open page of its lesson asks at once. All that wait for a lesson are made
in one turn, from one judging, whatever they show of it; whoever comes later waits for the next
turn. So a page is never older than the moment at which it was asked for, and a desk that has fallen
behind catches up: it judges a lesson once a turn, however many balls came in between. Waiting costs
no thread: the next ball finds one.

What differs from browser to browser is the key of its forms alone; it is put in at the end.
"""

import asyncio
import secrets
import time
from collections.abc import Callable
from typing import Final

import anyio.to_thread
from anyio import CapacityLimiter
from fastapi import FastAPI, Request
from fastapi.responses import Response

from leadfoot.web.packed import PackedPage
from leadfoot.web.page_asked import PageAsked, Render, asked_for, make_pages
from leadfoot.web.second_process import SecondProcess
from leadfoot.web.visitor import visitor_of

AT_ONCE: Final = 2
"""Lessons that are judged and rendered at the same time here (our own choice)."""
TOO_LONG_S: Final = 0.25
"""Pages that waited so long for others have a second process begun (our own choice)."""

_STAND_IN: Final = secrets.token_urlsafe(32)
"""The secret from which the key is made that every shared page is rendered with."""

_Wish = tuple[PageAsked, asyncio.Future[PackedPage]]
"""A page that is asked for, and who is waiting for it."""


class SharedPages:
    """The pages of lessons; see `leadfoot.web.views.Views` for what is kept.

    Parameters
    ----------
    app
        The application of the desk.
    second
        The second process, where there may be one.
    """

    def __init__(self, app: FastAPI, second: SecondProcess | None = None) -> None:
        self._app = app
        self._second = second
        self._here = CapacityLimiter(AT_ONCE)
        self._there = CapacityLimiter(1)
        self._waiting: dict[int, dict[tuple[object, ...], _Wish]] = {}
        """By lesson and by how they are shown, until their turn begins."""
        self._turns: dict[int, asyncio.Task[None]] = {}
        """One for each lesson that is waited for or made."""
        self._beginning: asyncio.Task[None] | None = None

    async def sheet(self, lesson_id: int, asked: PageAsked) -> PackedPage:
        """A page of a lesson, not older than this moment.

        Raises
        ------
        NotInBookError
            If there is no such lesson.
        """
        waiting = self._waiting.setdefault(lesson_id, {})
        if asked.how not in waiting:
            waiting[asked.how] = asked, asyncio.get_running_loop().create_future()
        _, page = waiting[asked.how]
        if lesson_id not in self._turns:
            self._turns[lesson_id] = asyncio.create_task(self._take_turns(lesson_id))
        return await asyncio.shield(page)

    async def _take_turns(self, lesson_id: int) -> None:
        try:
            while lesson_id in self._waiting:
                began_s = time.monotonic()
                there = self._second if self._second and self._second.is_ready else None
                async with self._there if there else self._here:
                    self._note_wait(time.monotonic() - began_s)
                    # From here on the book is read: who asks now has to wait for the next turn.
                    waiting = tuple(self._waiting.pop(lesson_id).values())
                    await self._make(there, lesson_id, waiting)
        finally:
            del self._turns[lesson_id]

    async def _make(
        self, there: SecondProcess | None, lesson_id: int, waiting: tuple[_Wish, ...]
    ) -> None:
        loop = asyncio.get_running_loop()
        try:
            await anyio.to_thread.run_sync(
                _make, self._app, there, lesson_id, waiting, loop, limiter=CapacityLimiter(1)
            )
        finally:
            for _, page in waiting:  # whatever happened, nobody waits for good
                _fail(page, RuntimeError("The page was not made."))

    def _note_wait(self, waited_s: float) -> None:
        """Have a second process begun, beside the pages, where they have to wait."""
        second = self._second
        if second is None or second.is_ready or waited_s < TOO_LONG_S:
            return
        if self._beginning is None or self._beginning.done():
            self._beginning = asyncio.create_task(_begin(second))


async def _begin(second: SecondProcess) -> None:
    await anyio.to_thread.run_sync(second.start, limiter=CapacityLimiter(1))


def _make(
    app: FastAPI,
    there: SecondProcess | None,
    lesson_id: int,
    waiting: tuple[_Wish, ...],
    loop: asyncio.AbstractEventLoop,
) -> None:
    """Make all pages of one turn, there or here, and give each as soon as it is there."""

    def given(places: list[int]) -> Callable[[int, PackedPage], object]:
        return lambda place, page: loop.call_soon_threadsafe(_give, waiting[places[place]][1], page)

    asked = tuple(one for one, _ in waiting)
    left = list(range(len(asked)))
    if there is not None:
        left = there.make(lesson_id, asked, given(left))
    if left:
        make_pages(
            app,
            lesson_id,
            tuple(asked[place] for place in left),
            give=given(left),
            fail=lambda place, error: loop.call_soon_threadsafe(
                _fail, waiting[left[place]][1], error
            ),
        )


def _give(waiting: asyncio.Future[PackedPage], page: PackedPage) -> None:
    if not waiting.done():
        waiting.set_result(page)


def _fail(waiting: asyncio.Future[PackedPage], error: Exception) -> None:
    if not waiting.done():
        waiting.set_exception(error)
        waiting.exception()  # seen, also where the browser that asked has gone


async def shared_page(request: Request, lesson_id: int, render: Render) -> Response:
    """The page of a lesson, made once for all browsers that ask for it in the same way."""
    visitor = visitor_of(request)
    pages: SharedPages = request.app.state.shared_pages
    sheet = await pages.sheet(lesson_id, asked_for(request, render, visitor, _STAND_IN))
    return sheet.response(visitor.key.encode(), request.headers.get("accept-encoding", ""))
