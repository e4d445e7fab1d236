"""Writes the log of who saw and changed what, without making a page wait.

What was changed is in the log before the answer is sent. What was only seen is gathered and written
a moment later, once for every quarter of an hour: a page that follows a lesson is fetched anew with
each ball. A killed program may lose the last half second of what was seen.
"""

import asyncio
import logging
import threading
import time
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from datetime import datetime, timedelta

from starlette.concurrency import run_in_threadpool

from leadfoot.desk.access_records import NewLine, SignIn
from leadfoot.desk.desk import Desk
from leadfoot.errors import LeadfootError
from leadfoot.web.background import beside

WRITE_EVERY_S = 0.5
SAME_FOR_S = 900.0
"""Within this the same one seeing the same page is one line (our own choice). [s]"""
SEEN_AFTER = timedelta(minutes=5)
"""How exactly the book knows when a sign-in was last used (our own choice)."""
_MOST_KNOWN = 20_000
_MOST_WAITING = 10_000

_log = logging.getLogger(__name__)


class Noter:
    """Gathers lines for the log of one application."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._lock = threading.Lock()
        self._waiting: list[NewLine] = []
        self._used: dict[int, datetime] = {}
        self._turn = threading.Lock()
        self._last: dict[tuple[object, ...], float] = {}

    def saw(self, line: NewLine) -> None:
        """Write a line soon, if the same was not written a short while ago."""
        key = (line.who, line.deed, line.what, line.student_id, line.lesson_id, line.raw_file_id)
        now_s = time.monotonic()
        with self._lock:
            if now_s - self._last.get(key, -SAME_FOR_S) < SAME_FOR_S:
                return
            if len(self._last) >= _MOST_KNOWN:
                self._last.clear()
            self._last[key] = now_s
            if len(self._waiting) < _MOST_WAITING:
                self._waiting.append(line)

    def used(self, sign_in: SignIn) -> None:
        """Write soon that a sign-in is in use, if that is not known from a moment ago."""
        now = self._desk.clock()
        if now - sign_in.seen_at >= SEEN_AFTER:
            with self._lock:
                self._used[sign_in.id] = now

    def changed(self, line: NewLine) -> None:
        """Write a line at once."""
        self._write([line])

    def write(self) -> None:
        """Write what is waiting, and return when all that came before is written."""
        with self._turn:
            with self._lock:
                lines, self._waiting = self._waiting, []
                used, self._used = self._used, {}
            self._write(lines)
            for number, at in used.items():
                try:
                    self._desk.book.access.note_seen(number, at=at)
                except LeadfootError as error:
                    _log.warning("That a sign-in was used could not be written down: %s", error)

    def _write(self, lines: list[NewLine]) -> None:
        try:
            self._desk.book.access.note(lines)
        except LeadfootError as error:
            # The page itself is right; who saw it stands in the program's own log then.
            for line in lines:
                _log.warning("Not in the book's log (%s): %s %s", error, line.who, line.what)

    @asynccontextmanager
    async def running(self) -> AsyncIterator[None]:
        """Write for as long as the application runs, and the rest when it ends."""
        try:
            async with beside(self._keep_writing()):
                yield
        finally:
            await run_in_threadpool(self.write)

    async def _keep_writing(self) -> None:
        while True:
            await asyncio.sleep(WRITE_EVERY_S)
            if self._waiting or self._used:
                await run_in_threadpool(self.write)
