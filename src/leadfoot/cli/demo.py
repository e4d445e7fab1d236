"""``leadfoot demo``: a book with the invented studio."""

from datetime import UTC
from pathlib import Path

import typer

from leadfoot.book.postgres import is_server
from leadfoot.book.store import default_book_path
from leadfoot.bootstrap import local_clock, open_desk
from leadfoot.desk.demo import fill
from leadfoot.desk.desk import Desk
from leadfoot.desk.lesson import judge_lesson
from leadfoot.errors import InputError


def run(book: str | None, *, keep: bool) -> None:
    """Make the demo book; one that is there already is never written over."""
    if book is not None and is_server(book):
        _run_on_server(book, keep=keep)
        return
    path = Path(book) if book is not None else default_book_path().with_name("demo.book")
    if path.exists() and keep:
        typer.echo(f"The demo book is in {path}.")
        return
    if path.exists():
        raise InputError(
            f"A file {str(path)!r} is there already.",
            fix="Add --keep to leave it as it is, or choose another place with --book.",
        )
    path.parent.mkdir(parents=True, exist_ok=True)
    unfinished = path.with_name(path.name + ".part")
    unfinished.unlink(missing_ok=True)
    desk = open_desk(unfinished)
    try:
        report = _fill(desk)
    finally:
        desk.book.close()
    unfinished.rename(path)
    typer.echo(f"The demo book is in {path}: {report}")
    typer.echo(f"Open it with: leadfoot open --book {path}")


def _run_on_server(book: str, *, keep: bool) -> None:
    """Fill a book on a server, if nobody is in it."""
    desk = open_desk(book)
    try:
        place = desk.book.file.state().place
        if not desk.book.students():
            typer.echo(f"The demo book is in {place}: {_fill(desk)}")
        elif keep:
            typer.echo(f"The demo book is in {place}.")
        else:
            raise InputError(
                f"The book {place} has students already.",
                fix="Add --keep to leave it as it is, or choose another database with --book.",
            )
    finally:
        desk.book.close()


def _fill(desk: Desk) -> object:
    now = local_clock()
    report = fill(desk.book, today=now.date(), zone=now.tzinfo or UTC)
    for lesson in desk.book.lessons():
        judge_lesson(desk, lesson.id)
    return report
