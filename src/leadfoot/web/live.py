"""Keeps open pages in step with the book: one WebSocket a page, one reader of the book for all."""

import asyncio
import logging
import time
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, suppress

from fastapi import APIRouter, WebSocket, WebSocketDisconnect
from starlette.concurrency import run_in_threadpool

from leadfoot.desk.desk import Desk
from leadfoot.desk.ports import Book
from leadfoot.desk.signing_in import sign_in_of
from leadfoot.errors import LeadfootError
from leadfoot.web.visitor import visitor_of

LOOK_EVERY_S = 0.25
"""Pause between two looks at the book: a shot must be on every page within 1 s."""

BEAT_EVERY_S = 10.0
"""A sign of life on a quiet socket; a page that hears none for 25 s connects anew."""

CHECK_EVERY_S = 5.0
"""An open page hears no more within this and a beat after it was signed out (our own choice)."""

_log = logging.getLogger(__name__)


class Feed:
    """Watches the book while pages are open, and wakes them when something changed.

    The book is the truth, also for what another process wrote: a page says which change it has
    seen, and hears of later ones. Nothing is kept here that a restart could lose.
    """

    def __init__(self, book: Book) -> None:
        self._book = book
        self._waiting: set[asyncio.Event] = set()
        self._seen = -1

    @asynccontextmanager
    async def running(self) -> AsyncIterator[None]:
        """Watch for as long as the application runs."""
        task = asyncio.create_task(self._watch())
        try:
            yield
        finally:
            task.cancel()
            with suppress(asyncio.CancelledError):
                await task

    async def _watch(self) -> None:
        while True:
            if self._waiting:
                await self.look()
            await asyncio.sleep(LOOK_EVERY_S)

    async def look(self) -> None:
        """Look at once, for who has just written: the pages need not wait for the next turn."""
        try:
            last = await run_in_threadpool(self._book.last_change)
        except LeadfootError as error:
            # The next look may succeed; pages say "live" on, and are right again when it does.
            _log.warning("The book could not be looked at: %s", error)
            return
        if last != self._seen:
            self._seen = last
            for event in self._waiting:
                event.set()

    async def follow(self, since: int, lesson_id: int | None) -> AsyncIterator[int | None]:
        """Yield the id of the latest change that a page has not seen, None as a sign of life.

        A page of a lesson hears of that lesson, and of what belongs to no lesson (its student).
        """
        event = asyncio.Event()
        self._waiting.add(event)
        try:
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
            self._waiting.discard(event)

    async def _newer(self, since: int, lesson_id: int | None) -> tuple[int, int | None]:
        """How far the book was read, and the latest change that concerns the page."""
        try:
            last = await run_in_threadpool(self._book.last_change)
            if last < since:  # another book lies under the same address: start over
                return last, last
            found = await run_in_threadpool(self._book.changes_since, since)
        except LeadfootError as error:
            _log.warning("The book could not be read: %s", error)
            return since, None
        concerned = [
            change
            for change, touched in found.items()
            if lesson_id is None or touched in {0, lesson_id}
        ]
        return max(found, default=since), max(concerned, default=None)


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
