"""The commands for bays, registered beside the others."""

from pathlib import Path
from typing import Annotated, Literal

import typer

from leadfoot.cli.coach_commands import app
from leadfoot.cli.options import BookOption, HandOption, JsonOption

__all__ = ["app"]

bay = typer.Typer(no_args_is_help=True, help="Balls that arrive while they are hit.")
app.add_typer(bay, name="bay")

NameArgument = Annotated[str, typer.Argument(help="Name of the bay, such as bay-1.")]
BayOption = Annotated[str, typer.Option("--bay", help="Name of the bay.")]


@bay.command()
def add(
    name: NameArgument,
    *,
    lesson: Annotated[int | None, typer.Option(help="Number of the lesson it hits for.")] = None,
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Let a new bay send balls; its token is shown this once."""
    from leadfoot.cli.bay import add as run

    run(name, lesson=lesson, book=book, as_json=as_json)


@bay.command("list")
def list_bays(*, book: BookOption = None, as_json: JsonOption = False) -> None:
    """List the bays and the lessons that they hit for."""
    from leadfoot.cli.bay import list_all as run

    run(book=book, as_json=as_json)


@bay.command()
def point(
    name: NameArgument,
    *,
    lesson: Annotated[
        int | None, typer.Option(help="Number of the lesson; left away: no lesson.")
    ] = None,
    book: BookOption = None,
) -> None:
    """Say for which lesson a bay hits."""
    from leadfoot.cli.bay import point as run

    run(name, lesson=lesson, book=book)


@bay.command()
def withdraw(name: NameArgument, *, book: BookOption = None) -> None:
    """Let a bay send nothing more; what it sent stays."""
    from leadfoot.cli.bay import withdraw as run

    run(name, book=book)


@bay.command("watch")
def watch_files(
    path: Annotated[Path, typer.Argument(help="A file that grows, or a folder of such files.")],
    *,
    name: BayOption,
    take_past: Annotated[
        bool, typer.Option("--all", help="Take the balls that are in there already, too.")
    ] = False,
    book: BookOption = None,
) -> None:
    """Take balls from a file or a folder while another program writes them."""
    from leadfoot.cli.bay import watch_path as run

    run(path, name=name, take_past=take_past, book=book)


@bay.command()
def simulate(
    *,
    name: Annotated[
        str | None, typer.Option("--bay", help="The bay; none: print the balls as JSON.")
    ] = None,
    fault: Annotated[
        Literal["none", "slice", "hook", "push", "mishits", "scattered", "slow"],
        typer.Option(help="What the invented student does wrong."),
    ] = "slice",
    change: Annotated[
        Literal["nothing", "faster", "squarer", "steadier", "cleaner", "wilder", "hurts"],
        typer.Option(help="What the change does."),
    ] = "squarer",
    pace: Annotated[str, typer.Option(help="Time between two balls.")] = "8s",
    balls: Annotated[int, typer.Option(help="How many, 1 to 500.")] = 20,
    switch_after: Annotated[
        int | None,
        typer.Option(help="Hit with the change after so many balls; none: as the lesson says."),
    ] = None,
    seed: Annotated[int, typer.Option(min=0, help="The same seed hits the same balls.")] = 1,
    club: Annotated[
        Literal["driver", "hybrid", "5 iron", "7 iron"], typer.Option(help="The club.")
    ] = "driver",
    level: Annotated[
        Literal["skilled", "middle", "beginner"], typer.Option(help="How steady the student is.")
    ] = "middle",
    handed: HandOption = "right",
    units: Annotated[Literal["yards", "metres"], typer.Option(help="Units of the balls.")] = (
        "yards"
    ),
    to: Annotated[
        str | None, typer.Option(help="Address of an open desk; none: straight into the book.")
    ] = None,
    token: Annotated[
        str | None, typer.Option(help="Token of the bay, with --to.", envvar="LEADFOOT_BAY_TOKEN")
    ] = None,
    book: BookOption = None,
) -> None:
    """Let an invented student hit: try everything without a monitor."""
    from leadfoot.bay.simulated import InventedStudent
    from leadfoot.cli.bay_simulate import Run, run

    student = InventedStudent(
        fault=fault, change=change, seed=seed, club=club, hand=handed, level=level, units=units
    )
    run(
        student,
        Run(name=name, pace=pace, balls=balls, switch_after=switch_after, to=to, token=token),
        book=book,
    )
