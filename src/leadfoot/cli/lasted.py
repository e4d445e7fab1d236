"""``leadfoot lasted``: what of a gain is still there, from the book or from tables."""

import json
from pathlib import Path

import typer
from rich.console import Console
from rich.markup import escape
from rich.table import Table

from leadfoot.cli.files import bytes_of, mapping_of
from leadfoot.desk.file_lasting import lasted_from_tables
from leadfoot.desk.lasting import Lasted, LastedQuantity, lasted
from leadfoot.desk.records import Hand
from leadfoot.desk.wording import amount
from leadfoot.errors import InputError
from leadfoot.shots.read import read_table
from leadfoot.shots.shot import ShotTable

WORDS = {
    "lasted": "lasted",
    "partly": "partly",
    "gone": "gone",
    "cannot_tell": "cannot tell yet",
    "nothing_to_keep": "no gain shown",
}


def run_files(
    before: list[Path],
    with_change: Path,
    tests: list[Path],
    *,
    club: str | None,
    hand: Hand,
    mapping: Path | None,
    as_json: bool,
) -> None:
    """Judge from tables."""

    def table(file: Path) -> ShotTable:
        found = read_table(bytes_of(file), name=file.name, hand=hand, mapping=mapping_of(mapping))
        return found.shots

    found = lasted_from_tables(
        [table(file) for file in before],
        table(with_change),
        [table(file) for file in tests],
        club=club,
    )
    _give([found], as_json=as_json)


def run_book(student_id: int, book: str | None, *, as_json: bool) -> None:
    """Judge every change of a student that has planned tests."""
    from leadfoot.bootstrap import open_desk

    desk = open_desk(book)
    try:
        tested = {one.lesson_id for one in desk.book.tests_of(student_id)}
        lessons = desk.book.lessons(student_id)
        found = [lasted(desk, one.id) for one in lessons if one.id in tested]
    finally:
        desk.book.close()
    if not found:
        raise InputError(
            f"Student {student_id} has no planned test.",
            fix="Plan one on the page of a lesson: After the lesson.",
        )
    _give(found, as_json=as_json)


def _give(found: list[Lasted], *, as_json: bool) -> None:
    if as_json:
        forms = [one.as_json() for one in found]
        typer.echo(json.dumps(forms if len(forms) > 1 else forms[0], allow_nan=False))
        return
    for one in found:
        show(one, Console())


def show(found: Lasted, console: Console) -> None:
    """Print what lasted, for a person."""
    if found.change:
        console.print(escape(found.change), soft_wrap=True)
    console.print(f"[bold]{escape(found.sentence)}[/bold]", soft_wrap=True)
    if found.quantities:
        table = Table("quantity", "answer", "gain", "left", "left, 95 in 100", "kept", box=None)
        for one in found.quantities:
            table.add_row(one.name, WORDS[one.answer], *_numbers(one))
        console.print(table)
    for other in found.elsewhere:
        console.print(escape(f"{other.sentence} {other.do_next}".strip()), soft_wrap=True)


def _numbers(one: LastedQuantity) -> tuple[str, str, str, str]:
    ends = f"{amount(one.left_low, None, decimals=1)} to {amount(one.left_high, None, decimals=1)}"
    kept = "not told" if one.kept is None else f"{100.0 * one.kept:.0f} %"
    return (
        amount(one.gain, one.unit, decimals=1),
        amount(one.left, one.unit, decimals=1),
        ends,
        kept,
    )
