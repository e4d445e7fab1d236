"""Backs the book up every day on which the desk is open and something has changed."""

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final

import typer

from leadfoot.desk.keeping_port import BookFile
from leadfoot.errors import LeadfootError

LOOK_EVERY_S: Final = 900.0
"""Pause between two looks at the calendar (our own choice)."""


@contextmanager
def daily_backups(file: BookFile, *, every_s: float = LOOK_EVERY_S) -> Iterator[None]:
    """Look now and then whether a backup is due, for as long as the desk is open.

    A backup that can't be made is told on stderr, and tried again at the next look.
    """
    closed = threading.Event()
    worker = threading.Thread(target=_work, args=(file, closed, every_s), daemon=True)
    worker.start()
    try:
        yield
    finally:
        closed.set()
        worker.join(timeout=30.0)


def _work(file: BookFile, closed: threading.Event, every_s: float) -> None:
    told = ""
    while not closed.is_set():
        try:
            file.back_up_if_due()
        except (LeadfootError, OSError) as error:
            if str(error) != told:
                told = str(error)
                typer.echo(f"leadfoot: no backup was made: {told}", err=True)
        closed.wait(every_s)
