"""The command for a lesson to come, registered beside the others."""

from pathlib import Path
from typing import Annotated, Literal

import typer

from leadfoot.cli.options import HandOption, JsonOption, MappingOption
from leadfoot.cli.plate_commands import app

__all__ = ["app"]


@app.command()
def plan(
    file: Annotated[
        Path | None, typer.Argument(help="A table with the balls before the change; - reads it.")
    ] = None,
    *,
    club_speed: Annotated[str | None, typer.Option(help="Without a file: such as 95mph.")] = None,
    ball_speed: Annotated[str | None, typer.Option(help="Or this, such as 137mph.")] = None,
    carry: Annotated[str | None, typer.Option(help="Or this, such as 215yd.")] = None,
    change: Annotated[
        str | None, typer.Option(help="The gain that would be worth having, such as 2mph.")
    ] = None,
    balls: Annotated[int, typer.Option(help="Balls there is time for, 10 to 60.")] = 30,
    club: Annotated[str | None, typer.Option(help="The club, such as driver or 7 iron.")] = None,
    level: Annotated[
        Literal["skilled", "middle", "beginner"], typer.Option(help="How good the player is.")
    ] = "middle",
    seed: Annotated[int, typer.Option(min=0, help="The same seed draws the same order.")] = 1,
    handed: HandOption = "right",
    mapping: MappingOption = None,
    as_json: JsonOption = False,
) -> None:
    """Plan a change: which blocks, how many balls, and the chance that they show it."""
    from leadfoot.cli.plan import Written, run

    run(
        Written(
            file=file,
            club_speed=club_speed,
            ball_speed=ball_speed,
            carry=carry,
            change=change,
            balls=balls,
            club=club,
            level=level,
            seed=seed,
            hand=handed,
            mapping=mapping,
        ),
        as_json=as_json,
    )
