"""The queue of a book on a server: any of the desks does a job, and one that dies is stood in for.

The queue is that of Procrastinate (https://procrastinate.readthedocs.io), in a schema of its own
beside the book's tables. A desk at work shows a sign of life; a job whose desk shows none any more
is given out again.
"""

import asyncio
import hashlib
import logging
import socket
import threading
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Any, Final

import procrastinate
import psycopg
from procrastinate.exceptions import AlreadyEnqueued, ConnectorException
from procrastinate.schema import SchemaManager
from sqlalchemy import URL

SCHEMA: Final = "leadfoot_jobs"
BEAT_S: Final = 2.0
"""Between two signs of life of a desk (our own choice)."""
DEAD_AFTER_S: Final = 8.0
"""Silence after which a desk is taken for dead (our own choice)."""
_AGAIN_AFTER_S: Final = 1.0
_TASK: Final = "do"
_OF_ALL: Final = "default"
_LOCK: Final = 0x1EADF009  # number of the advisory lock of who makes the schema

_log = logging.getLogger(__name__)


def own_queue(backups: Path) -> str:
    """Name of the queue of one machine and folder: what makes a file there is done there."""
    place = f"{socket.gethostname()} {backups.absolute()}"
    return f"desk {hashlib.sha256(place.encode()).hexdigest()[:16]}"


class ServerQueue:
    """See `leadfoot.desk.job_port.JobQueue` for the promises."""

    def __init__(self, url: URL, do: Callable[[int], None], *, own: str = "") -> None:
        self._own = own
        self._address = url.set(drivername="postgresql").render_as_string(hide_password=False)
        self._do = do
        self._turn = threading.Lock()
        self._thread: threading.Thread | None = None
        self._loop: asyncio.AbstractEventLoop | None = None
        self._main: asyncio.Task[None] | None = None

    def start(self) -> None:
        """Begin to work, also on what is left from before."""
        with self._turn:
            if self._thread is None:
                self._make_schema()
                begun = threading.Event()
                self._thread = threading.Thread(target=self._run, args=(begun,), daemon=True)
                self._thread.start()
                begun.wait(10.0)

    def put(self, job_id: int, *, here: bool = False) -> None:
        """Have a job done by whichever desk is free; with `here`, by one of this machine."""
        self.start()
        app = self._app(procrastinate.SyncPsycopgConnector)
        with app.open(), suppress(AlreadyEnqueued):
            task = app.configure_task(
                _TASK,
                queueing_lock=f"job {job_id}",
                queue=self._own if here and self._own else _OF_ALL,
                allow_unknown=True,
            )
            task.defer(job_id=job_id)

    def stop(self) -> None:
        """Take on no more."""
        with self._turn:
            if self._thread is not None and self._loop is not None and self._main is not None:
                self._loop.call_soon_threadsafe(self._main.cancel)
                self._thread.join(timeout=5.0)
                self._thread = None

    def _app(self, connector: Callable[..., Any]) -> procrastinate.App:
        words = {"options": f"-c search_path={SCHEMA}", "application_name": "leadfoot jobs"}
        return procrastinate.App(
            connector=connector(conninfo=self._address, kwargs=words, min_size=1, max_size=4)
        )

    def _make_schema(self) -> None:
        with psycopg.connect(self._address) as connection:
            connection.execute("SELECT pg_advisory_xact_lock(%s)", [_LOCK])
            there = connection.execute("SELECT to_regclass(%s)", [f"{SCHEMA}.procrastinate_jobs"])
            if there.fetchone() == (None,):
                connection.execute(f"CREATE SCHEMA IF NOT EXISTS {SCHEMA}".encode())
                connection.execute(f"SET LOCAL search_path TO {SCHEMA}".encode())
                connection.execute(SchemaManager.get_schema())

    def _run(self, begun: threading.Event) -> None:
        with suppress(asyncio.CancelledError):
            asyncio.run(self._work_on(begun))

    async def _work_on(self, begun: threading.Event) -> None:
        self._loop, self._main = asyncio.get_running_loop(), asyncio.current_task()
        begun.set()
        while True:
            try:
                await self._work()
            except (ConnectorException, psycopg.Error, ExceptionGroup) as error:
                _log.warning("The queue of jobs broke off: %s", error)
            await asyncio.sleep(_AGAIN_AFTER_S)

    async def _work(self) -> None:
        app = self._app(procrastinate.PsycopgConnector)

        @app.task(name=_TASK)
        def do(job_id: int) -> None:
            self._do(job_id)

        async with app.open_async(), asyncio.TaskGroup() as group:
            group.create_task(self._stand_in(app))
            await app.run_worker_async(
                queues=[_OF_ALL, self._own] if self._own else [_OF_ALL],
                install_signal_handlers=False,
                update_heartbeat_interval=BEAT_S,
                stalled_worker_timeout=DEAD_AFTER_S,
                shutdown_graceful_timeout=1.0,
                delete_jobs="always",
            )

    async def _stand_in(self, app: procrastinate.App) -> None:
        """Give out again what a desk left that shows no more sign of life."""
        while True:
            for job in await app.job_manager.get_stalled_jobs(seconds_since_heartbeat=DEAD_AFTER_S):
                await app.job_manager.retry_job(job)
            await asyncio.sleep(BEAT_S)
