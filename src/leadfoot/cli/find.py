"""``leadfoot find``: what limits the student most, what it costs, and what answers it."""

from collections.abc import Mapping
from pathlib import Path

from rich.console import Console
from rich.markup import escape
from rich.table import Table

from leadfoot.cli.delivery_words import si_option
from leadfoot.cli.files import bytes_of, mapping_of
from leadfoot.cli.giving import give
from leadfoot.cli.judge import Choice, row_ranges
from leadfoot.coaching.safety import Situation
from leadfoot.desk.baseline import baseline_for_file
from leadfoot.desk.care import Care
from leadfoot.desk.finding import Found, ShownFinding, find_for
from leadfoot.desk.wording import amount, in_100
from leadfoot.errors import InputError

MOST_DRILLS = 3
"""Drills printed for each finding; the page has all."""


def run(
    file: Path,
    choice: Choice,
    *,
    mapping: Path | None,
    model_club: str | None,
    goal: str | None,
    drills: Path | None,
    outdoors: bool,
    as_json: bool,
    plot: Path | None,
) -> None:
    """Look for what limits a student; print it, and draw it where a picture is asked for."""
    rows = choice.before_rows
    row_blocks = () if rows is None else row_ranges(rows, "as usual", "--rows")
    question = baseline_for_file(
        bytes_of(file),
        name=file.name,
        hand=choice.hand,
        mapping=mapping_of(mapping),
        block_column=choice.block,
        row_blocks=row_blocks,
        before=choice.before,
        club=choice.club,
    )
    found = find_for(
        question,
        hand=choice.hand,
        club_key=model_club,
        goal_speed_mps=None if goal is None else si_option("--goal", goal, "speed"),
        care=Care(situation=Situation(indoors=not outdoors)),
        own_drills="" if drills is None else _own(drills),
    )
    if plot is not None:
        _draw(found, plot)
    give(found, show, as_json=as_json, said=f"The picture is in {plot}." if plot else "")


def show(found: Found, console: Console) -> None:
    """Print the findings for a person, with the first drills for each and the cautions."""
    console.print(f"[bold]{escape(found.sentence)}[/bold]", soft_wrap=True)
    if found.findings:
        table = Table("", f"carry ({found.unit})", f"miss ({found.unit})", "odds", box=None)
        for one in found.findings:
            costs = (
                f"{amount(cost.value, None, decimals=0)} "
                f"({amount(cost.low, None, decimals=0)} to {amount(cost.high, None, decimals=0)})"
                for cost in (one.carry, one.miss)
            )
            table.add_row(escape(one.name), *costs, in_100(one.odds))
        console.print(table)
    console.print(escape(found.miss_said), soft_wrap=True)
    for one in found.findings:
        _show_one(one, found.held_back, console)
    if found.not_told:
        console.print(
            escape(f"\nNot read, so not told: {'; '.join(found.not_told)}."), soft_wrap=True
        )
    console.print("\n[bold]Cautions[/bold]")
    for caution in found.cautions:
        console.print(escape(f"{caution.title}. {caution.text}"), soft_wrap=True)
    for note in found.notes:
        console.print(escape(note), soft_wrap=True)


def _show_one(one: ShownFinding, held: Mapping[str, str], console: Console) -> None:
    """Print one finding with the first drills that answer it."""
    console.print(f"\n[bold]{escape(one.name)}[/bold]: {escape(one.why)}", soft_wrap=True)
    console.print(escape(f"Confirms it: {one.confirm}"), soft_wrap=True)
    console.print(escape(f"Refutes it: {one.refute}"), soft_wrap=True)
    for drill in one.drills[:MOST_DRILLS]:
        if drill.key in held:
            console.print(f"  {escape(drill.name)}: {escape(held[drill.key])}", soft_wrap=True)
            continue
        console.print(f"  {escape(drill.name)}: {escape(drill.setup)}", soft_wrap=True)
        for caution in drill.cautions:
            console.print(escape(f"    Caution: {caution}"), soft_wrap=True)


def _own(drills: Path) -> str:
    return bytes_of(drills).decode("utf-8", errors="replace")


def _draw(found: Found, plot: Path) -> None:
    from leadfoot.figures.finding import finding_picture

    picture = finding_picture(found)
    try:
        plot.write_bytes(picture.png() if plot.suffix.lower() == ".png" else picture.svg())
    except OSError as error:
        raise InputError(
            f"Picture {str(plot)!r} can't be written: {error.strerror}.",
            fix="Choose another place.",
        ) from error
