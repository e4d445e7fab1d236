"""``leadfoot bay``: bays added, listed, pointed, withdrawn; files watched."""

import json
import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

import typer

from leadfoot.bay.watch import Watcher, watch
from leadfoot.bootstrap import open_desk
from leadfoot.desk import bays
from leadfoot.desk.bay_records import Bay
from leadfoot.desk.desk import Desk
from leadfoot.errors import InputError


@contextmanager
def opened(book: str | None) -> Iterator[Desk]:
    """A desk on the book, closed at the end."""
    desk = open_desk(book)
    try:
        yield desk
    finally:
        desk.book.close()


def add(name: str, *, lesson: int | None, book: str | None, as_json: bool) -> None:
    """Add a bay and show its token."""
    with opened(book) as desk:
        new = bays.add_bay(desk, name, lesson_id=lesson)
    if as_json:
        typer.echo(json.dumps({**_as_json(new.bay), "token": new.token}))
        return
    typer.echo(f"Bay {name} is ready; it {_hits(new.bay)}.")
    typer.echo(f"Its token, shown this once: {new.token}")


def list_all(*, book: str | None, as_json: bool) -> None:
    """List the bays."""
    with opened(book) as desk:
        found = desk.book.bays()
    if as_json:
        typer.echo(json.dumps({"bays": [_as_json(bay) for bay in found]}))
        return
    if not found:
        typer.echo("There is no bay yet. Add one with: leadfoot bay add bay-1")
    for bay in found:
        typer.echo(f"{bay.name}: {_hits(bay)}")


def point(name: str, *, lesson: int | None, book: str | None) -> None:
    """Say for which lesson a bay hits."""
    with opened(book) as desk:
        bay = bays.point_bay(desk, name, lesson)
    typer.echo(f"Bay {name} {_hits(bay)}.")


def withdraw(name: str, *, book: str | None) -> None:
    """Withdraw a bay."""
    with opened(book) as desk:
        bays.withdraw_bay(desk, name)
    typer.echo(f"Bay {name} is withdrawn; what it sent stays.")


def watch_path(path: Path, *, name: str, take_past: bool, book: str | None) -> None:
    """Watch until it is stopped with Ctrl-C."""
    if not path.exists() and not path.parent.is_dir():
        raise InputError(
            f"There is no {str(path)!r}, and no folder in which it could come to be.",
            fix="Give a file or a folder that is there, or the name of a file to come.",
        )
    with opened(book) as desk:
        bay = bays.bay_named(desk, name)
        says = f"Watching {path} for bay {name}, which {_hits(bay)}  (Ctrl-C ends it)"
        watcher = Watcher(
            desk=desk,
            bay=bay,
            path=path,
            take_past=take_past,
            tell=lambda words: typer.echo(words, err=True),
        )
        with stopped_by_ctrl_c() as stop:
            watch(
                watcher,
                keeper=bays.AnswerKeeper(desk),
                on_balls=_say_balls,
                on_ready=lambda: typer.echo(says),
                stop=stop,
            )


@contextmanager
def stopped_by_ctrl_c() -> Iterator[threading.Event]:
    """Give an event that the first Ctrl-C sets; a second one interrupts whatever is being done.

    As an exception the first one could come in the middle of a deed, or where a library drops it;
    and a program that a script has begun in the background would not hear it at all.
    """
    stop = threading.Event()

    def hear(*_: object) -> None:
        stop.set()
        signal.signal(signal.SIGINT, signal.default_int_handler)

    before = signal.signal(signal.SIGINT, hear)
    try:
        with suppress(KeyboardInterrupt):
            yield stop
    finally:
        signal.signal(signal.SIGINT, before)


def _say_balls(n_balls: int) -> None:
    typer.echo(f"{n_balls} {'ball' if n_balls == 1 else 'balls'}")


def _hits(bay: Bay) -> str:
    if bay.withdrawn_at is not None:
        return "withdrawn"
    return "hits for no lesson" if bay.lesson_id is None else f"hits for lesson {bay.lesson_id}"


def _as_json(bay: Bay) -> dict[str, Any]:
    return {
        "name": bay.name,
        "lesson": bay.lesson_id,
        "withdrawn_at": None if bay.withdrawn_at is None else bay.withdrawn_at.isoformat(),
    }
