"""Gives memory that pages needed for a moment back to the machine, where its C library can.

The C library of most Linux machines keeps a stock of freed memory for each thread, and a desk has
some forty threads: sheets and pictures left hundreds of megabytes in them that nobody used
(`benchmarks/desk_memory.py`). Two stocks are enough, for what Python does at the same time; and
what lies free in them is given back every half minute. Elsewhere nothing is done.
"""

import asyncio
import ctypes
import sys
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, suppress
from functools import cache

from starlette.concurrency import run_in_threadpool

N_STOCKS = 2
"""Stocks of free memory (our own choice)."""
GIVE_BACK_EVERY_S = 30.0
"""Pause between two times at which memory is given back (our own choice)."""

_M_ARENA_MAX = -8
"""The number of that setting in glibc's malloc.h."""


@asynccontextmanager
async def giving_back() -> AsyncIterator[None]:
    """Give memory back for as long as the application runs."""
    few_stocks()
    task = asyncio.create_task(_give_back_now_and_then())
    try:
        yield
    finally:
        task.cancel()
        with suppress(asyncio.CancelledError):
            await task


async def _give_back_now_and_then() -> None:
    while True:
        await asyncio.sleep(GIVE_BACK_EVERY_S)
        await run_in_threadpool(give_back)


def few_stocks() -> bool:
    """Let all threads share a few stocks of memory; say whether the machine can."""
    library = _glibc()
    return library is not None and library.mallopt(_M_ARENA_MAX, N_STOCKS) == 1


def give_back() -> bool:
    """Give free memory back to the machine; say whether there was some."""
    library = _glibc()
    return library is not None and library.malloc_trim(0) == 1


@cache
def _glibc() -> ctypes.CDLL | None:
    """The C library, if it is one that knows how."""
    if not sys.platform.startswith("linux"):
        return None
    library = ctypes.CDLL(None)
    known = hasattr(library, "gnu_get_libc_version") and hasattr(library, "malloc_trim")
    return library if known else None
