"""A second process that judges and renders pages of lessons, for a desk that has its hands full.

Python does one thing at a time, so a desk with many bays left the machine's other core idle while
its pages waited. The second process reads the same book. It is begun when pages first had to wait,
and ended when it was not needed for a while: a desk with one or two bays never has it. Whatever it
can't do, the first process does itself, and says for itself what is wrong.
"""

import asyncio
import logging
import signal
import threading
import time
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager, suppress
from multiprocessing import get_context
from multiprocessing.connection import Connection
from typing import TYPE_CHECKING, Any

from fastapi import FastAPI
from starlette.concurrency import run_in_threadpool

from leadfoot.web.background import beside
from leadfoot.web.memory import GIVE_BACK_EVERY_S, few_stocks, give_back
from leadfoot.web.packed import PackedPage
from leadfoot.web.page_asked import PageAsked, make_pages
from leadfoot.web.warming import settle

if TYPE_CHECKING:
    from multiprocessing.process import BaseProcess

NOT_NEEDED_S = 600.0
"""Unused for so long, it is ended (our own choice)."""
AGAIN_AFTER_S = 30.0
"""Pause before another one is begun where one has ended by itself (our own choice)."""
READY_WITHIN_S, ANSWER_WITHIN_S = 60.0, 30.0
"""One that says nothing for so long is ended, and its pages are made here (our own choice)."""
_END_WITHIN_S = 3.0
_REST_AFTER_S = 1.0
_LOOK_EVERY_S = 60.0

_log = logging.getLogger(__name__)

Begin = Callable[[], FastAPI]
"""Builds the application of the second process; a function of a module, or a part of one."""


class SecondProcess:
    """The second process of a desk, from the first one's side; any thread may call.

    Parameters
    ----------
    begin
        Builds its application, there.
    """

    def __init__(self, begin: Begin) -> None:
        self._begin = begin
        self._turn = threading.Lock()
        self._process: BaseProcess | None = None
        self._line: Connection | None = None
        self._is_ready = False
        self._used_s = -AGAIN_AFTER_S
        self._closed = False

    @property
    def is_ready(self) -> bool:
        """Whether it takes pages."""
        return self._is_ready

    @property
    def pid(self) -> int | None:
        """Its number on this machine, where it runs."""
        process = self._process
        return None if process is None else process.pid

    def start(self) -> None:
        """Begin it, if it does not run, and wait until it is ready."""
        with self._turn:
            too_soon = time.monotonic() - self._used_s < AGAIN_AFTER_S
            if self._closed or self._process is not None or too_soon:
                return
            try:
                self._spawn()
            except (EOFError, OSError) as error:
                _log.warning(
                    "The second process did not begin; pages are made by this one alone: %r", error
                )
                self._end()
            else:
                self._is_ready = True
            self._used_s = time.monotonic()

    def _spawn(self) -> None:
        spawning = get_context("spawn")  # a fork would share locks that other threads hold
        self._line, far_end = spawning.Pipe()
        process = spawning.Process(
            target=_serve, args=(far_end, self._begin), name="leadfoot pages", daemon=True
        )
        process.start()
        self._process = process
        far_end.close()  # so that the line ends with the process
        _said(self._line, READY_WITHIN_S)

    def make(
        self,
        lesson_id: int,
        asked: tuple[PageAsked, ...],
        give: Callable[[int, PackedPage], object],
    ) -> list[int]:
        """Have pages of one lesson made there; say which of them were not.

        Parameters
        ----------
        lesson_id, asked
            The pages.
        give
            Called for each page that was made, with its place in `asked`.
        """
        left = list(range(len(asked)))
        with self._turn:
            if self._line is None:
                return left
            try:
                self._line.send((lesson_id, asked))
                for place in list(left):
                    page: PackedPage | None = _said(self._line, ANSWER_WITHIN_S)
                    if page is not None:
                        left.remove(place)
                        give(place, page)
            except (EOFError, OSError) as error:
                _log.warning("The second process is ended; this one makes its pages: %r", error)
                self._end()
            self._used_s = time.monotonic()
        return left

    def end_if_not_needed(self) -> None:
        """End it, if nobody asked it for anything for a while."""
        with self._turn:
            if time.monotonic() - self._used_s > NOT_NEEDED_S:
                self._end()

    def close(self) -> None:
        """End it for good."""
        with self._turn:
            self._closed = True
            self._end()

    def _end(self) -> None:
        self._is_ready = False
        if self._line is not None:
            self._line.close()
        if self._process is not None:
            self._process.join(_END_WITHIN_S)
            if self._process.is_alive():
                self._process.kill()
                self._process.join()
        self._line = self._process = None


def _said(line: Connection, within_s: float) -> Any:
    """What the other end says.

    Raises
    ------
    EOFError, OSError
        If it has ended, or says nothing in time.
    """
    if not line.poll(within_s):
        raise TimeoutError(f"nothing was said for {within_s:.0f} s")
    return line.recv()


@asynccontextmanager
async def at_hand(second: SecondProcess | None) -> AsyncIterator[None]:
    """End it where it is not needed while the application runs, and for good when that ends."""
    if second is None:
        yield
        return
    try:
        async with beside(_end_where_not_needed(second)):
            yield
    finally:
        await run_in_threadpool(second.close)


async def _end_where_not_needed(second: SecondProcess) -> None:
    while True:
        await asyncio.sleep(_LOOK_EVERY_S)
        await run_in_threadpool(second.end_if_not_needed)


def _serve(line: Connection, begin: Begin) -> None:
    """Make pages until the line is closed, as it also is when the first process is killed."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is for the first one, which ends this
    few_stocks()
    app = begin()
    try:
        settle()
        with suppress(EOFError, OSError):
            line.send("ready")
            _make_until_closed(line, app)
    finally:
        app.state.desk.book.close()


def _make_until_closed(line: Connection, app: FastAPI) -> None:
    gave_back_s = time.monotonic()
    while True:
        if not line.poll(_REST_AFTER_S):
            app.state.desk.book.rest()  # who erases a student wants the file for itself
            line.poll(None)
        _make(line, app, *line.recv())
        if time.monotonic() - gave_back_s > GIVE_BACK_EVERY_S:
            give_back()
            gave_back_s = time.monotonic()


def _make(line: Connection, app: FastAPI, lesson_id: int, asked: tuple[PageAsked, ...]) -> None:
    def fail(place: int, error: Exception) -> None:
        _log.info("%s is for the first process to make: %s", asked[place].path, error)
        line.send(None)

    make_pages(app, lesson_id, asked, give=lambda _, page: line.send(page), fail=fail)
