"""Tells, for as long as somebody listens, that something may have changed in the book.

A file is looked at several times a second. A server tells by itself (``LISTEN``); a connection that
breaks is made anew, and what came in between is told then, as the listener reads the log of changes
from where it stood. Whatever goes wrong, there is a look every few seconds.
"""

import asyncio
import logging
from collections.abc import AsyncIterator
from typing import Final

import psycopg
from sqlalchemy import URL

from leadfoot.book.postgres import CHANNEL, shown

LOOK_EVERY_S: Final = 0.25
"""Pause between two looks at a file: a shot must be on every page within 1 s."""
LOOK_ANYWAY_S: Final = 2.0
"""Longest silence of a server after which there is a look all the same (our own choice)."""
AGAIN_AFTER_S: Final = 0.5
"""Pause before a broken connection is made anew, with a look each time (our own choice)."""

_log = logging.getLogger(__name__)


async def looks(every_s: float = LOOK_EVERY_S) -> AsyncIterator[None]:
    """Say it again and again."""
    while True:
        yield
        await asyncio.sleep(every_s)


async def announced(url: URL) -> AsyncIterator[None]:
    """Say it whenever the server announces a change, and once after each time of deafness."""
    address = url.set(drivername="postgresql").render_as_string(hide_password=False)
    while True:
        try:
            async with await psycopg.AsyncConnection.connect(
                address,
                autocommit=True,
                application_name="leadfoot news",
                connect_timeout=5,
                keepalives_idle=5,
                keepalives_interval=2,
                keepalives_count=3,
            ) as connection:
                await connection.execute(f"LISTEN {CHANNEL}".encode())
                while True:
                    yield
                    async for _ in connection.notifies(timeout=LOOK_ANYWAY_S, stop_after=1):
                        pass
        except psycopg.Error as error:
            said = str(error).strip().partition("\n")[0]
            _log.warning("The news of %s broke off: %s", shown(url), said)
        yield
        await asyncio.sleep(AGAIN_AFTER_S)
