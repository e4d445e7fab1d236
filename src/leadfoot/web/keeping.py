"""Keeps answers of lessons whose bays have gone quiet, and deletes exports whose time is up."""

import asyncio
import logging
import time
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from starlette.concurrency import run_in_threadpool

from leadfoot.desk.bays import AnswerKeeper, lessons_behind
from leadfoot.desk.desk import Desk
from leadfoot.desk.exports import sweep
from leadfoot.errors import LeadfootError
from leadfoot.web.background import beside

_LOOK_EVERY_S = 1.0
_SWEEP_EVERY_S = 600.0
_log = logging.getLogger(__name__)


@asynccontextmanager
async def keeping(keeper: AnswerKeeper, desk: Desk) -> AsyncIterator[None]:
    """Keep what is due while the application runs, and the rest when it ends.

    What a desk that was killed has left to be kept is due first.
    """
    try:
        async with beside(_keep(keeper, desk)):
            yield
    finally:
        await _keep_due(keeper, float("inf"))


async def _keep(keeper: AnswerKeeper, desk: Desk) -> None:
    await _note_left(keeper, desk)
    while True:
        await asyncio.sleep(_LOOK_EVERY_S)
        await _keep_due(keeper, time.monotonic())


async def _note_left(keeper: AnswerKeeper, desk: Desk) -> None:
    try:
        keeper.note(await run_in_threadpool(lessons_behind, desk), time.monotonic())
    except LeadfootError as error:
        _log.warning("It could not be looked up which answers are not kept yet: %s", error)


@asynccontextmanager
async def sweeping(desk: Desk) -> AsyncIterator[None]:
    """Delete exports whose time is up, while the application runs."""
    async with beside(_sweep(desk)):
        yield


async def _sweep(desk: Desk) -> None:
    while True:
        try:
            await run_in_threadpool(sweep, desk)
        except (LeadfootError, OSError) as error:
            _log.warning("Old exports could not be deleted: %s", error)
        await asyncio.sleep(_SWEEP_EVERY_S)


async def _keep_due(keeper: AnswerKeeper, now_s: float) -> None:
    try:
        await run_in_threadpool(keeper.keep_due, now_s)
    except LeadfootError as error:
        # The balls are in the book; it is tried again.
        _log.warning("An answer could not be kept: %s", error)
