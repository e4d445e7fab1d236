"""The commands of coaching, registered beside the others."""

from pathlib import Path
from typing import Annotated, Literal

import typer

from leadfoot.cli.options import FileArgument, HandOption, JsonOption, MappingOption
from leadfoot.cli.plan_commands import app

__all__ = ["app"]

BlockOption = Annotated[str | None, typer.Option(help="Header of the column of blocks.")]
BeforeOption = Annotated[str | None, typer.Option(help="Label of the block before.")]
AfterOption = Annotated[str | None, typer.Option(help="Label of the block with the change.")]
BeforeRowsOption = Annotated[
    str | None, typer.Option(help="Rows before the change, as a spreadsheet counts: 2-9.")
]
AfterRowsOption = Annotated[str | None, typer.Option(help="Rows with the change: 10-21.")]
JudgedClubOption = Annotated[str | None, typer.Option(help="The club to look at.")]
ModelClubOption = Annotated[
    str | None, typer.Option(help="The generic club that stands for it: driver, iron7.")
]


@app.command()
def why(
    file: FileArgument,
    *,
    block: BlockOption = None,
    before: BeforeOption = None,
    after: AfterOption = None,
    before_rows: BeforeRowsOption = None,
    after_rows: AfterRowsOption = None,
    club: JudgedClubOption = None,
    model_club: ModelClubOption = None,
    handed: HandOption = "right",
    mapping: MappingOption = None,
    as_json: JsonOption = False,
    plot: Annotated[
        Path | None, typer.Option(help="Draw the shares into this file, SVG or PNG.")
    ] = None,
    outcome: Annotated[
        Literal["carry", "offline", "miss"], typer.Option(help="What the picture is of.")
    ] = "carry",
) -> None:
    """Say why it changed: club speed, strike, launch, path, face."""
    from leadfoot.cli.judge import Choice
    from leadfoot.cli.why import run

    run(
        file,
        Choice(
            block=block,
            before=before,
            after=after,
            before_rows=before_rows,
            after_rows=after_rows,
            club=club,
            hand=handed,
        ),
        mapping=mapping,
        model_club=model_club,
        as_json=as_json,
        plot=plot,
        outcome=outcome,
    )


@app.command()
def find(
    file: FileArgument,
    *,
    goal: Annotated[
        str | None, typer.Option(help="The club speed that the student wants, such as 100mph.")
    ] = None,
    block: BlockOption = None,
    before: Annotated[str | None, typer.Option(help="Label of the block hit as usual.")] = None,
    rows: Annotated[
        str | None, typer.Option(help="Rows hit as usual, as a spreadsheet counts: 2-17.")
    ] = None,
    club: JudgedClubOption = None,
    model_club: ModelClubOption = None,
    handed: HandOption = "right",
    mapping: MappingOption = None,
    drills: Annotated[Path | None, typer.Option(help="Your own drills, TOML.")] = None,
    outdoors: Annotated[bool, typer.Option("--outdoors", help="No net, no ceiling.")] = False,
    as_json: JsonOption = False,
    plot: Annotated[
        Path | None, typer.Option(help="Draw the findings into this file, SVG or PNG.")
    ] = None,
) -> None:
    """Say what limits the student most in the balls hit as usual, and what answers it."""
    from leadfoot.cli.find import run
    from leadfoot.cli.judge import Choice

    run(
        file,
        Choice(
            block=block,
            before=before,
            after=None,
            before_rows=rows,
            after_rows=None,
            club=club,
            hand=handed,
        ),
        mapping=mapping,
        model_club=model_club,
        goal=goal,
        drills=drills,
        outdoors=outdoors,
        as_json=as_json,
        plot=plot,
    )
