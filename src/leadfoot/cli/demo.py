"""``leadfoot demo``: a book with the invented studio."""

from datetime import UTC
from pathlib import Path

import typer

from leadfoot.book.store import default_book_path
from leadfoot.bootstrap import local_clock, open_desk
from leadfoot.desk.demo import fill
from leadfoot.desk.lesson import judge_lesson
from leadfoot.errors import InputError


def run(book: Path | None, *, keep: bool) -> None:
    """Make the demo book; one that is there already is never written over."""
    path = book if book is not None else default_book_path().with_name("demo.book")
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
        now = local_clock()
        report = fill(desk.book, today=now.date(), zone=now.tzinfo or UTC)
        for lesson in desk.book.lessons():
            judge_lesson(desk, lesson.id)
    finally:
        desk.book.close()
    unfinished.rename(path)
    typer.echo(f"The demo book is in {path}: {report}")
    typer.echo(f"Open it with: leadfoot open --book {path}")
