"""``leadfoot book``: backups, restores, exports and erasures from the command line."""

import sqlite3
from collections.abc import Iterator, Mapping
from contextlib import closing, contextmanager
from pathlib import Path

import typer

from leadfoot.book.backups import faults_in, folder_of, opened, path_of
from leadfoot.book.postgres import is_server
from leadfoot.book.restoring import restore
from leadfoot.book.server_file import ServerFile
from leadfoot.book.store import default_book_path
from leadfoot.bootstrap import local_clock, open_desk
from leadfoot.cli.account import note
from leadfoot.desk import keeping
from leadfoot.desk.desk import Desk
from leadfoot.desk.keeping_records import Backup
from leadfoot.desk.records import Student
from leadfoot.errors import BookError, InputError


def back_up(book: str | None) -> None:
    """Back the book up."""
    with _desk(book) as desk:
        made = desk.book.file.back_up()
        typer.echo(f"Backed up and checked: {desk.book.file.state().backups_place}/{made.name}")


def list_backups(book: str | None) -> None:
    """List the backups."""
    with _desk(book) as desk:
        state = desk.book.file.state()
    typer.echo(f"The book is {state.place} ({_size(state.size_bytes)}, schema {state.schema}).")
    for one in state.backups:
        typer.echo(_line(one))
    if not state.backups:
        typer.echo("There is no backup yet. Make one with: leadfoot book backup")


def put_back(backup: str, book: str | None) -> None:
    """Restore a backup, by name or by path."""
    if book is not None and is_server(book):
        _put_back_on_server(backup, book)
        return
    path = _path(book)
    source = Path(backup) if Path(backup).is_file() else path_of(path, backup)
    saved = restore(source, path, clock=local_clock)
    if saved is not None:
        typer.echo(f"What was there is in {folder_of(path) / saved.name}")
    typer.echo(f"Restored {source} to {path}")


def _put_back_on_server(backup: str, book: str) -> None:
    with _desk(book) as desk:
        file = _server_file(desk)
        saved = file.restore(backup)
        typer.echo(f"What was there is in {file.state().backups_place}/{saved.name}")
        typer.echo(f"Restored {backup} to {file.state().place}")


def export_book(file: Path, student: str | None, book: str | None) -> None:
    """Export one student or everything."""
    with _desk(book) as desk:
        student_id = None if student is None else _student(desk, student).id
        exported = keeping.export_to(desk, file, student_id=student_id)
    typer.echo(f"{file}: {_rows(exported.rows)}; files as they came: {exported.n_files}.")
    typer.echo("These are personal data. Keep the file as you keep the book.")


def import_book(file: Path, book: str | None) -> None:
    """Bring in an export."""
    with _desk(book, new=True) as desk:
        brought = keeping.import_from(desk, file)
    if brought.before:
        typer.echo("This very export was brought in before; nothing was added.")
        return
    typer.echo(f"Added: {_rows(brought.rows)}. There already: {brought.n_known} rows.")


def erase_student(
    student: str, confirm: str, in_backups: keeping.InBackups, book: str | None
) -> None:
    """Erase a student for good."""
    with _desk(book) as desk:
        number = _student(desk, student).id
        parting = keeping.erase(desk, number, typed_name=confirm, in_backups=in_backups)
        note(desk, "/students/{student_id}/erase", student_id=number)
    typer.echo(f"Erased from the book: {_rows(parting.erased.rows)}.")
    for what, found in (
        ("Written anew without the student", parting.rewritten),
        ("Deleted", parting.deleted),
        ("Still with the student", parting.still_in),
    ):
        for one in found:
            typer.echo(f"{what}: {one.name}")
    typer.echo("Exports and copies that you made by hand are not known here: erase them yourself.")


def check_all(book: str | None) -> None:
    """Look for damage.

    Raises
    ------
    BookError
        If there is any.
    """
    bad = _bad_on_server(book) if book is not None and is_server(book) else _bad_files(book)
    if bad:
        raise BookError(
            f"Damaged: {', '.join(bad)}.", fix="Restore a backup that is whole, or delete it."
        )


def _bad_files(book: str | None) -> list[str]:
    path = Path(_existing(book))
    bad = [] if _is_whole(path) else [str(path)]
    with _desk(str(path)) as desk:
        found = desk.book.file.state().backups
    return bad + [one.name for one in found if not _is_whole(path_of(path, one.name))]


def _bad_on_server(book: str) -> list[str]:
    """Every row is read once; whether its files are sound is for the server to say."""
    with _desk(book) as desk:
        file = _server_file(desk)
        state = file.state()
        looked = [(state.place, file.faults())]
        looked += [(one.name, file.faults_in_backup(one.name)) for one in state.backups]
    for name, faults in looked:
        for fault in faults[:5] or ("whole",):
            typer.echo(f"{name}: {fault}")
    return [name for name, faults in looked if faults]


def wipe_book(book: str | None) -> None:
    """Finish an erasure."""
    with _desk(book) as desk:
        desk.book.file.wipe()
    if book is not None and is_server(book):
        typer.echo("The server has written every table anew; its own log and copies it keeps.")
        return
    typer.echo("No byte of what was erased is left in the file.")


@contextmanager
def _desk(book: str | None, *, new: bool = False) -> Iterator[Desk]:
    desk = open_desk(book if new else _existing(book))
    try:
        yield desk
    finally:
        desk.book.close()


def _path(book: str | None) -> Path:
    return Path(book) if book is not None else default_book_path()


def _existing(book: str | None) -> str:
    """The book, which must be there; whether one is on a server shows when it is opened."""
    if book is not None and is_server(book):
        return book
    path = _path(book)
    if not path.exists():
        raise BookError(f"There is no client book {path}.", fix="Name another one with --book.")
    return str(path)


def _server_file(desk: Desk) -> ServerFile:
    file = desk.book.file
    if not isinstance(file, ServerFile):
        raise TypeError("The book is on no server.")
    return file


def _student(desk: Desk, words: str) -> Student:
    if words.isdecimal():
        return desk.book.student(int(words))
    found = [
        one for one in desk.book.students() if keeping.folded(one.name) == keeping.folded(words)
    ]
    if len(found) != 1:
        numbers = ", ".join(str(one.id) for one in found)
        raise InputError(
            f"The book has {len(found)} students named {words!r}{numbers and ': ' + numbers}.",
            fix="Give the number of the student; it stands in the address of the student's page.",
        )
    return found[0]


def _is_whole(path: Path) -> bool:
    faults = faults_in(path)
    for fault in faults[:5]:
        typer.echo(f"{path}: {fault}")
    if not faults:
        typer.echo(f"{path}: whole, {_count(path)} students")
    return not faults


def _count(path: Path) -> int:
    with closing(opened(path)) as connection:
        try:
            return int(connection.execute("SELECT count(*) FROM students").fetchone()[0])
        except sqlite3.OperationalError:
            return 0


def _rows(rows: Mapping[str, int]) -> str:
    return ", ".join(f"{n} {table}" for table, n in rows.items() if n) or "nothing"


def _line(one: Backup) -> str:
    made = one.made_at.astimezone().isoformat(sep=" ", timespec="minutes")
    return f"{one.name}  {made}  {one.kind.replace('_', ' ')}  {_size(one.size_bytes)}"


def _size(n_bytes: int) -> str:
    return f"{n_bytes / 1e6:.1f} MB"
