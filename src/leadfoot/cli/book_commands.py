"""The commands for the client book, registered beside the others: ``leadfoot book ...``."""

from pathlib import Path
from typing import Annotated, Literal

import typer

from leadfoot.cli.bay_commands import app
from leadfoot.cli.options import BookOption

__all__ = ["app"]

StudentOption = Annotated[
    str | None, typer.Option(help="Number or name of one student; without it, everything.")
]

book_app = typer.Typer(no_args_is_help=True, help="Back up, restore, export, import, erase, check.")
app.add_typer(book_app, name="book")


@book_app.command()
def backup(*, book: BookOption = None) -> None:
    """Copy the book now, while it is in use, and check the copy."""
    from leadfoot.cli.book import back_up

    back_up(book)


@book_app.command()
def backups(*, book: BookOption = None) -> None:
    """List the backups, the newest first."""
    from leadfoot.cli.book import list_backups

    list_backups(book)


@book_app.command()
def restore(
    backup: Annotated[str, typer.Argument(help="Name of a backup, or the path of one.")],
    *,
    book: BookOption = None,
) -> None:
    """Put a backup in the place of the book; what is there is backed up first."""
    from leadfoot.cli.book import put_back

    put_back(backup, book)


@book_app.command()
def export(
    file: Annotated[Path, typer.Argument(help="The new ZIP file.")],
    *,
    student: StudentOption = None,
    book: BookOption = None,
) -> None:
    """Write one student or everything as JSON, CSV and the files as they came."""
    from leadfoot.cli.book import export_book

    export_book(file, student, book)


@book_app.command("import")
def import_(
    file: Annotated[Path, typer.Argument(help="The ZIP of an export.")],
    *,
    book: BookOption = None,
) -> None:
    """Bring in an export; what is there already is left as it is."""
    from leadfoot.cli.book import import_book

    import_book(file, book)


@book_app.command()
def erase(
    student: Annotated[str, typer.Argument(help="Number or name of the student.")],
    *,
    confirm: Annotated[str, typer.Option(help="The student's name once more.")],
    in_backups: Annotated[
        Literal["leave", "rewrite", "delete"],
        typer.Option(help="Backups with the student: leave, write anew without, or delete."),
    ] = "leave",
    book: BookOption = None,
) -> None:
    """Erase a student for good: every row, every file, and their bytes."""
    from leadfoot.cli.book import erase_student

    erase_student(student, confirm, in_backups, book)


@book_app.command()
def check(*, book: BookOption = None) -> None:
    """Look for damage in the book and in every backup."""
    from leadfoot.cli.book import check_all

    check_all(book)


@book_app.command()
def wipe(*, book: BookOption = None) -> None:
    """Finish an erasure that another program held up: no old byte stays in the file."""
    from leadfoot.cli.book import wipe_book

    wipe_book(book)
