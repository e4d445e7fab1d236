"""Work beside the pages: begun with the application, stopped with it."""

import asyncio
from collections.abc import AsyncIterator, Coroutine
from contextlib import asynccontextmanager, suppress


@asynccontextmanager
async def beside(work: Coroutine[None, None, None]) -> AsyncIterator[None]:
    """Let work that has no end of its own run for as long as the block does."""
    task = asyncio.create_task(work)
    try:
        yield
    finally:
        task.cancel()
        with suppress(asyncio.CancelledError):
            await task
