"""Keeps open pages in step with the book: one WebSocket a page, one reader of the book for all."""

import asyncio
import logging
import time
from bisect import bisect_right
from collections.abc import AsyncIterator, Iterable
from contextlib import asynccontextmanager, suppress
from itertools import islice

from fastapi import APIRouter, WebSocket, WebSocketDisconnect
from starlette.concurrency import run_in_threadpool

from leadfoot.desk.desk import Desk
from leadfoot.desk.ports import Book
from leadfoot.desk.signing_in import sign_in_of
from leadfoot.errors import LeadfootError
from leadfoot.web.background import beside
from leadfoot.web.visitor import visitor_of

BEAT_EVERY_S = 10.0
"""A sign of life on a quiet socket; a page that hears none for 25 s connects anew."""

CHECK_EVERY_S = 5.0
"""An open page hears no more within this and a beat after it was signed out (our own choice)."""

MOST_KEPT = 5000
"""Changes kept at hand; who has slept longer has the book read for it (our own choice)."""

_log = logging.getLogger(__name__)


class Feed:
    """Follows the book while pages are open, and wakes those that a change concerns.

    The book is the truth, also for what another process wrote: a page says which change it has
    seen, and hears of later ones. The last changes are at hand, so that a ball costs the book one
    read, however many pages are open; nothing is kept that a restart could lose.
    """

    def __init__(self, book: Book) -> None:
        self._book = book
        self._waiting: dict[asyncio.Event, int | None] = {}
        self._turn = asyncio.Lock()
        self._seen = -1
        self._from = -1
        """The changes after this one, and up to the last seen, are at hand."""
        self._changes: list[int] = []
        self._touched: list[int] = []

    @asynccontextmanager
    async def running(self) -> AsyncIterator[None]:
        """Follow the book for as long as the application runs."""
        async with beside(self._watch()):
            yield

    async def _watch(self) -> None:
        async for _ in self._book.news():
            if self._waiting:
                await self.look()

    async def look(self) -> None:
        """Look at once, for who has just written: the pages need not wait for the news."""
        async with self._turn:
            try:
                last, found = await run_in_threadpool(self._read)
            except LeadfootError as error:
                # The next look may succeed; pages say "live" on, and are right again when it does.
                _log.warning("The book could not be looked at: %s", error)
                return
            if self._seen < 0 or last < self._seen:  # the first look, or another book lies there
                self._seen = self._from = last
                self._changes, self._touched = [], []
                self._wake(None)
            elif found:
                self._changes += found
                self._touched += found.values()
                self._seen = self._changes[-1]
                self._forget()
                self._wake(set(found.values()))

    def _read(self) -> tuple[int, dict[int, int]]:
        with self._book.at_once():
            last = self._book.last_change()
            if self._seen < 0 or last <= self._seen:
                return last, {}
            return last, dict(self._book.changes_since(self._seen))

    def _forget(self) -> None:
        more = len(self._changes) - MOST_KEPT
        if more > 0:
            self._from = self._changes[more - 1]
            del self._changes[:more], self._touched[:more]

    def _wake(self, touched: set[int] | None) -> None:
        for event, lesson_id in self._waiting.items():
            if touched is None or lesson_id is None or touched & {0, lesson_id}:
                event.set()

    async def follow(self, since: int, lesson_id: int | None) -> AsyncIterator[int | None]:
        """Yield the id of the latest change that a page has not seen, None as a sign of life.

        A page of a lesson hears of that lesson, and of what belongs to no lesson (its student).
        """
        event = asyncio.Event()
        self._waiting[event] = lesson_id
        try:
            if self._seen < since or len(self._waiting) == 1:  # nobody looked while none was open
                await self.look()
            while True:
                event.clear()
                looked_to, newer = await self._newer(since, lesson_id)
                since = looked_to
                if newer is not None:
                    yield newer
                try:
                    await asyncio.wait_for(event.wait(), BEAT_EVERY_S)
                except TimeoutError:
                    yield None
        finally:
            del self._waiting[event]

    async def _newer(self, since: int, lesson_id: int | None) -> tuple[int, int | None]:
        """How far the book was read, and the latest change that concerns the page."""
        if self._seen < 0:  # it could not be looked at yet
            return since, None
        if self._seen < since:  # another book lies under the same address: start over
            return self._seen, self._seen
        if since >= self._from:
            seen, at = self._seen, bisect_right(self._changes, since)
            later = zip(
                islice(self._changes, at, None), islice(self._touched, at, None), strict=True
            )
            return seen, _latest(later, lesson_id)
        try:
            found = await run_in_threadpool(self._book.changes_since, since)
        except LeadfootError as error:
            _log.warning("The book could not be read: %s", error)
            return since, None
        return max(found, default=since), _latest(found.items(), lesson_id)


def _latest(changes: Iterable[tuple[int, int]], lesson_id: int | None) -> int | None:
    """The last of the changes that concerns a page."""
    concerned = (
        change for change, touched in changes if lesson_id is None or touched in {0, lesson_id}
    )
    return max(concerned, default=None)


def live_routes(feed: Feed, desk: Desk) -> APIRouter:
    """The socket that every page opens: ``/live?since=CHANGE&lesson=ID``."""
    router = APIRouter()

    @router.websocket("/live")
    async def live(socket: WebSocket, since: int = 0, lesson: int | None = None) -> None:
        await socket.accept()
        task = asyncio.create_task(_pump(socket, feed, desk, since, lesson))
        try:
            while True:
                await socket.receive_text()
        except WebSocketDisconnect:
            pass
        finally:
            task.cancel()
            with suppress(asyncio.CancelledError, WebSocketDisconnect, RuntimeError):
                await task

    return router


async def _pump(socket: WebSocket, feed: Feed, desk: Desk, since: int, lesson: int | None) -> None:
    await socket.send_json({"hello": True})
    looked_s = time.monotonic()
    async for change in feed.follow(since, lesson):
        if time.monotonic() - looked_s >= CHECK_EVERY_S:
            looked_s = time.monotonic()
            if not await run_in_threadpool(_is_still_in, desk, socket):
                await socket.close(code=1008, reason="Sign in again.")
                return
        await socket.send_json({"beat": True} if change is None else {"change": change})


def _is_still_in(desk: Desk, socket: WebSocket) -> bool:
    """Whether the one who opened the socket is still signed in, where that is needed."""
    token = visitor_of(socket).token
    try:
        return token is None or sign_in_of(desk, token) is not None
    except LeadfootError as error:
        # The channel tells numbers alone; a book that is busy for a moment cuts nobody off.
        _log.warning("It could not be looked up who is signed in: %s", error)
        return True
