"""``leadfoot read``: what is understood of a table."""

import json
from pathlib import Path

import typer
from rich.console import Console
from rich.markup import escape
from rich.table import Table

from leadfoot.cli.files import bytes_of, exit_code, mapping_of
from leadfoot.desk.records import Hand
from leadfoot.shots.form import read_json
from leadfoot.shots.read import TableReading, read_table


def run(file: Path, *, as_json: bool, mapping: Path | None, hand: Hand) -> None:
    """Read a table and print what is understood of it."""
    reading = read_table(bytes_of(file), name=file.name, mapping=mapping_of(mapping), hand=hand)
    if as_json:
        typer.echo(json.dumps(read_json(reading), ensure_ascii=False, allow_nan=False))
    else:
        show(reading, Console())
    raise typer.Exit(exit_code(reading.problems))


def show(reading: TableReading, console: Console) -> None:
    """Print columns, blocks, questions and problems for a person."""
    columns = Table("column", "holds", "unit", "", "because", box=None, title_justify="left")
    for column in reading.columns:
        columns.add_row(
            escape(column.header),
            column.quantity or column.role,
            column.unit or "",
            "" if column.sure else "doubt",
            escape(column.reason),
        )
    console.print(columns)
    console.print()
    for block in reading.blocks:
        console.print(
            f"block {escape(block.label)}: {block.n_shots} shots, "
            f"rows {block.first_row} to {block.last_row}"
        )
    console.print(f"{len(reading.shots)} shots")
    for question in reading.questions:
        console.print(f"[bold]?[/bold] {escape(question.text)}")
    show_problems(reading, console)


def show_problems(reading: TableReading, console: Console) -> None:
    """Print what could not be used, each with its place."""
    for problem in reading.problems:
        place = [f"row {problem.row}"] if problem.row is not None else []
        place += [f"column {problem.column}"] if problem.column else []
        console.print(f"left out: {escape(', '.join(place))}: {escape(problem.reason)}")
