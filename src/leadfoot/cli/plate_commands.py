"""The commands for force recordings, registered beside the others."""

from pathlib import Path
from typing import Annotated, Literal

import typer

from leadfoot.cli.commands import app
from leadfoot.cli.options import HandOption, JsonOption

__all__ = ["app"]

PlotOption = Annotated[Path | None, typer.Option(help="Draw it into this file, SVG or PNG.")]


@app.command()
def ground(
    file: Annotated[
        Path, typer.Argument(help="A force recording: C3D, or a table; - reads standard input.")
    ],
    *,
    handed: HandOption = "right",
    target: Annotated[
        str | None, typer.Option(help="Where the target lies in the laboratory, such as +y.")
    ] = None,
    feet: Annotated[
        str | None, typer.Option(help="The foot on each plate: lead,trail; also both, none.")
    ] = None,
    sign: Annotated[
        Literal["ground", "person"] | None,
        typer.Option(help="Whose force the file holds: of the ground, or of the person."),
    ] = None,
    rate: Annotated[float | None, typer.Option(help="Samples a second.")] = None,
    force_unit: Annotated[str | None, typer.Option(help="N, kN, kgf or lbf.")] = None,
    length_unit: Annotated[str | None, typer.Option(help="m, cm, mm or in.")] = None,
    moment_unit: Annotated[str | None, typer.Option(help="N·m, N·cm or N·mm.")] = None,
    mat: Annotated[
        str | None, typer.Option(help="Thickness of a board on the plates, such as 30mm.")
    ] = None,
    depth: Annotated[
        str | None, typer.Option(help="Depth of the sensors, instead of the file's: 52mm.")
    ] = None,
    z_down: Annotated[
        bool, typer.Option("--z-down", help="The axes of the table have z down.")
    ] = False,
    weight: Annotated[
        str | None, typer.Option(help="The person on a scale, such as 78kg, to compare with.")
    ] = None,
    weight_about: Annotated[
        str | None,
        typer.Option(help="The weight that was found and looked right to you, such as 78kg."),
    ] = None,
    mapping: Annotated[
        Path | None, typer.Option(help="What the columns mean, in JSON, instead of the guess.")
    ] = None,
    save_mapping: Annotated[
        Path | None, typer.Option(help="Write what the columns were taken for into this file.")
    ] = None,
    compare: Annotated[
        bool, typer.Option(help="Let an independent program read a C3D file too.")
    ] = True,
    strike: Annotated[
        float | None, typer.Option(help="The strike in s on the recording's clock, set by hand.")
    ] = None,
    turn: Annotated[
        float | None, typer.Option(help="Start of the downswing in s, set by hand.")
    ] = None,
    stature: Annotated[
        str | None, typer.Option(help="Height of the golfer, such as 1.80m: for moments.")
    ] = None,
    plot: PlotOption = None,
    as_json: JsonOption = False,
) -> None:
    """Say what is found in a force recording: plates, feet, weight, what is odd, and the swing."""
    from leadfoot.cli.ground import Written, run

    run(
        file,
        Written(
            hand=handed,
            target=target,
            feet=feet,
            sign=sign,
            rate_hz=rate,
            force_unit=force_unit,
            length_unit=length_unit,
            moment_unit=moment_unit,
            mat=mat,
            depth=depth,
            z_down=z_down,
            weight=weight,
            weight_about=weight_about,
            mapping=mapping,
            save_mapping=save_mapping,
            compare=compare,
            strike_s=strike,
            turn_s=turn,
            stature=stature,
            plot=plot,
        ),
        as_json=as_json,
    )


@app.command()
def jump(
    file: Annotated[
        Path, typer.Argument(help="A force recording: C3D, or a table; - reads standard input.")
    ],
    *,
    weight: Annotated[
        str | None, typer.Option(help="The person on a scale, such as 78kg; 3 % off is refused.")
    ] = None,
    weigh_from: Annotated[
        float | None, typer.Option(help="Weigh in the second from here, instead of the quietest.")
    ] = None,
    rate: Annotated[float | None, typer.Option(help="Samples a second.")] = None,
    without_offset: Annotated[
        bool,
        typer.Option("--without-offset", help="Take off what the empty plates read in flight."),
    ] = False,
    plot: PlotOption = None,
    as_json: JsonOption = False,
) -> None:
    """Measure a countermovement jump: height, impulse, force, power, and what is doubtful."""
    from leadfoot.cli.jump import Asked, run

    run(
        file,
        Asked(
            weight=weight,
            weigh_from_s=weigh_from,
            rate_hz=rate,
            without_offset=without_offset,
            plot=plot,
        ),
        as_json=as_json,
    )
