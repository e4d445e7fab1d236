"""The commands, registered; each loads what it needs only when it runs."""

from pathlib import Path
from typing import Annotated, Literal

import typer

import leadfoot
from leadfoot.cli.options import (
    AltitudeOption,
    AttackOption,
    BookOption,
    ClubOption,
    ClubsOption,
    CrosswindOption,
    FaceOption,
    FileArgument,
    HandOption,
    HighOption,
    HumidityOption,
    JsonOption,
    LanguageOption,
    LoftOption,
    MappingOption,
    PathOption,
    PressureOption,
    TemperatureOption,
    ToeOption,
    WindOption,
)
from leadfoot.language.catalogue import ENGLISH

app = typer.Typer(
    name="leadfoot",
    help="Did the change make the ball go longer, straighter, both, or was it luck?",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
)


@app.callback(invoke_without_command=True)
def about(
    *, version: Annotated[bool, typer.Option("--version", help="Print the version.")] = False
) -> None:
    """Tell a real change from luck: longer, straighter, both."""
    if version:
        typer.echo(leadfoot.__version__)
        raise typer.Exit


@app.command()
def read(
    file: FileArgument,
    *,
    as_json: JsonOption = False,
    mapping: MappingOption = None,
    handed: HandOption = "right",
) -> None:
    """Say what is understood of a table: columns, blocks, shots, problems."""
    from leadfoot.cli.read import run

    run(file, as_json=as_json, mapping=mapping, hand=handed)


@app.command()
def judge(
    file: Annotated[
        Path | None, typer.Argument(help="A table of shots; - reads standard input.")
    ] = None,
    *,
    lesson: Annotated[
        int | None, typer.Option(help="Number of a lesson's page, in place of a table.")
    ] = None,
    book: BookOption = None,
    block: Annotated[str | None, typer.Option(help="Header of the column of blocks.")] = None,
    before: Annotated[str | None, typer.Option(help="Label of the block before.")] = None,
    after: Annotated[str | None, typer.Option(help="Label of the block with the change.")] = None,
    before_rows: Annotated[
        str | None, typer.Option(help="Rows before the change, as a spreadsheet counts: 2-9.")
    ] = None,
    after_rows: Annotated[str | None, typer.Option(help="Rows with the change: 10-21.")] = None,
    club: Annotated[str | None, typer.Option(help="The club to judge.")] = None,
    planned: Annotated[
        str | None,
        typer.Option(help="Blocks planned before the change, without it first: 10,15,15."),
    ] = None,
    handed: HandOption = "right",
    mapping: MappingOption = None,
    as_json: JsonOption = False,
    sheet: Annotated[
        Path | None, typer.Option(help="Print the student's sheet into this PDF file.")
    ] = None,
    paper: Annotated[Literal["a4", "letter"], typer.Option(help="Paper of the sheet.")] = "a4",
    language: LanguageOption = None,
) -> None:
    """Judge a change: longer, straighter, both, or cannot tell yet."""
    from leadfoot.cli.judge import Choice, blocks_of, run, run_lesson

    choice = Choice(
        block=block,
        before=before,
        after=after,
        before_rows=before_rows,
        after_rows=after_rows,
        club=club,
        hand=handed,
        planned=blocks_of(planned),
    )
    printed_on: Literal["a4", "us-letter"] = "us-letter" if paper == "letter" else "a4"
    if (file is None) == (lesson is None):
        raise typer.BadParameter("give a table of shots, or --lesson with its number; one of both")
    if file is not None:
        run(
            file,
            choice,
            mapping=mapping,
            as_json=as_json,
            sheet=sheet,
            paper=printed_on,
            language=language or ENGLISH,
        )
    elif lesson is not None:
        if choice.says_something or mapping is not None:
            raise typer.BadParameter(
                "blocks, rows, club and mapping belong to a table; a lesson has them in the book"
            )
        run_lesson(lesson, book, as_json=as_json, sheet=sheet, paper=printed_on, language=language)


@app.command()
def spread(
    file: FileArgument,
    *,
    block: Annotated[str | None, typer.Option(help="Header of the column of blocks.")] = None,
    corridor: Annotated[
        str | None, typer.Option(help="Full width about the target line, such as 30yd.")
    ] = None,
    handed: HandOption = "right",
    mapping: MappingOption = None,
    as_json: JsonOption = False,
) -> None:
    """Describe the pattern of each club and block: middle, spread, mishits, ellipses."""
    from leadfoot.cli.spread import run

    run(file, block=block, corridor=corridor, hand=handed, mapping=mapping, as_json=as_json)


@app.command()
def fly(
    *,
    ball_speed: Annotated[str, typer.Option(help="Such as 160mph.")],
    launch_angle: Annotated[str, typer.Option(help="Such as 11deg; up is positive.")],
    spin_rate: Annotated[str, typer.Option(help="Such as 2600rpm.")],
    launch_direction: Annotated[
        str, typer.Option(help="Right of the target is positive.")
    ] = "0deg",
    spin_axis: Annotated[str, typer.Option(help="Positive curves the ball right.")] = "0deg",
    temperature: TemperatureOption = None,
    altitude: AltitudeOption = None,
    pressure: PressureOption = None,
    humidity: HumidityOption = None,
    wind: WindOption = "0mph",
    crosswind: CrosswindOption = "0mph",
    as_json: JsonOption = False,
) -> None:
    """Fly one ball: carry, total, offline, apex, landing."""
    from leadfoot.cli.air_words import WrittenAir
    from leadfoot.cli.fly import Written, run

    run(
        Written(
            ball_speed=ball_speed,
            launch_angle=launch_angle,
            spin_rate=spin_rate,
            launch_direction=launch_direction,
            spin_axis=spin_axis,
            air=WrittenAir(
                temperature=temperature,
                altitude=altitude,
                pressure=pressure,
                humidity=humidity,
                wind=wind,
                crosswind=crosswind,
            ),
        ),
        as_json=as_json,
    )


@app.command()
def strike(
    *,
    club: ClubOption,
    clubs: ClubsOption = None,
    club_speed: Annotated[str | None, typer.Option(help="Such as 95mph.")] = None,
    attack_angle: AttackOption = None,
    club_path: PathOption = None,
    face_angle: FaceOption = None,
    dynamic_loft: LoftOption = None,
    strike_toe: ToeOption = None,
    strike_high: HighOption = None,
    ball_speed: Annotated[
        str | None, typer.Option(help="With a ball given, the delivery is what is looked for.")
    ] = None,
    launch_angle: Annotated[str | None, typer.Option(help="Such as 11deg.")] = None,
    spin_rate: Annotated[str | None, typer.Option(help="Such as 2600rpm.")] = None,
    launch_direction: Annotated[
        str | None, typer.Option(help="Right of the target is positive.")
    ] = None,
    spin_axis: Annotated[str | None, typer.Option(help="Positive curves the ball right.")] = None,
    handed: HandOption = "right",
    as_json: JsonOption = False,
) -> None:
    """Strike a ball; or, given a ball, say which delivery made it and how sure that is."""
    from leadfoot.cli.delivery_words import WrittenDelivery
    from leadfoot.cli.strike import WrittenBall, run

    run(
        WrittenDelivery(
            club=club,
            clubs=clubs,
            club_speed=club_speed,
            attack_angle=attack_angle,
            club_path=club_path,
            face_angle=face_angle,
            dynamic_loft=dynamic_loft,
            strike_toe=strike_toe,
            strike_high=strike_high,
            hand=handed,
        ),
        WrittenBall(
            ball_speed=ball_speed,
            launch_angle=launch_angle,
            spin_rate=spin_rate,
            launch_direction=launch_direction,
            spin_axis=spin_axis,
        ),
        as_json=as_json,
    )


@app.command()
def best(
    *,
    club: ClubOption,
    clubs: ClubsOption = None,
    club_speed: Annotated[str, typer.Option(help="Such as 95mph.")],
    attack_angle: AttackOption = None,
    club_path: PathOption = None,
    face_angle: FaceOption = None,
    dynamic_loft: LoftOption = None,
    strike_toe: ToeOption = None,
    strike_high: HighOption = None,
    goal: Annotated[
        Literal["carry", "total"], typer.Option("--for", help="What should be longest.")
    ] = "carry",
    temperature: TemperatureOption = None,
    altitude: AltitudeOption = None,
    pressure: PressureOption = None,
    humidity: HumidityOption = None,
    wind: WindOption = "0mph",
    crosswind: CrosswindOption = "0mph",
    handed: HandOption = "right",
    as_json: JsonOption = False,
) -> None:
    """Find the loft that goes farthest, and what a delivery leaves on the table."""
    from leadfoot.cli.air_words import WrittenAir
    from leadfoot.cli.best import run
    from leadfoot.cli.delivery_words import WrittenDelivery

    run(
        WrittenDelivery(
            club=club,
            clubs=clubs,
            club_speed=club_speed,
            attack_angle=attack_angle,
            club_path=club_path,
            face_angle=face_angle,
            dynamic_loft=dynamic_loft,
            strike_toe=strike_toe,
            strike_high=strike_high,
            hand=handed,
        ),
        WrittenAir(
            temperature=temperature,
            altitude=altitude,
            pressure=pressure,
            humidity=humidity,
            wind=wind,
            crosswind=crosswind,
        ),
        goal=goal,
        as_json=as_json,
    )


@app.command()
def arc(
    *,
    attack_angle: Annotated[
        str | None, typer.Option(help="Such as -4deg; up is positive. Or give --low-point.")
    ] = None,
    low_point: Annotated[
        str | None, typer.Option(help="Such as 2in; ahead of the ball is positive.")
    ] = None,
    plane: Annotated[str | None, typer.Option(help="Tilt of the swing plane; none: 60deg.")] = None,
    radius: Annotated[str | None, typer.Option(help="Radius of the arc; none: 1.6m.")] = None,
    swing_direction: Annotated[
        str | None, typer.Option(help="Right of the target is positive; none: at the target.")
    ] = None,
    club_path: Annotated[
        str | None, typer.Option(help="Instead of the swing direction; both give the plane.")
    ] = None,
    depth: Annotated[
        str | None, typer.Option(help="Low point under the ground; negative: above it.")
    ] = None,
    dynamic_loft: Annotated[
        str | None, typer.Option(help="Of the face at the strike; none: 25deg.")
    ] = None,
    tee: Annotated[str, typer.Option(help="Height of the tee; 0mm: on turf.")] = "0mm",
    low_point_spread: Annotated[
        str | None, typer.Option(help="One standard deviation; for the chances of fat and thin.")
    ] = None,
    depth_spread: Annotated[str | None, typer.Option(help="One standard deviation.")] = None,
    handed: HandOption = "right",
    as_json: JsonOption = False,
) -> None:
    """Work out the arc: low point, attack angle, path, turf, chances of fat and thin."""
    from leadfoot.cli.arc import Written, run

    run(
        Written(
            attack_angle=attack_angle,
            low_point=low_point,
            plane=plane,
            radius=radius,
            swing_direction=swing_direction,
            club_path=club_path,
            depth=depth,
            dynamic_loft=dynamic_loft,
            tee=tee,
            low_point_spread=low_point_spread,
            depth_spread=depth_spread,
            hand=handed,
        ),
        as_json=as_json,
    )


@app.command()
def swing(
    *,
    club_speed: Annotated[
        str, typer.Option(help="Such as 95mph: without the lift; with it for --force and --body.")
    ],
    club: Annotated[str, typer.Option(help="A generic club, such as driver or iron7.")] = "iron7",
    lift: Annotated[
        str | None, typer.Option(help="How far the body rises in the downswing; none: 6cm.")
    ] = None,
    lift_time: Annotated[str, typer.Option(help="How long the lift takes.")] = "0.24s",
    lift_lead: Annotated[
        str, typer.Option(help="How long before the strike the lift is half done.")
    ] = "0.04s",
    body: Annotated[
        bool,
        typer.Option("--body", help="Take lift and turn of the trunk out, not the lift alone."),
    ] = False,
    force: Annotated[
        Path | None,
        typer.Option(
            help="A force recording, C3D or a table of time and vertical force, instead of --lift."
        ),
    ] = None,
    strike_at: Annotated[
        str | None, typer.Option(help="When the strike is, on the clock of --force.")
    ] = None,
    quiet_from: Annotated[str, typer.Option(help="Quiet stance in --force: its start.")] = "0s",
    quiet_to: Annotated[str, typer.Option(help="Quiet stance in --force: its end.")] = "1s",
    golfers: Annotated[int, typer.Option(help="How many golfers the range is taken over.")] = 32,
    seed: Annotated[int, typer.Option(min=0, help="The same seed tries the same golfers.")] = 1,
    as_json: JsonOption = False,
) -> None:
    """Say what a push is worth in club speed, as a model's estimate with its range."""
    from leadfoot.cli.swing import Written, run

    run(
        Written(
            club_speed=club_speed,
            club=club,
            lift=lift,
            lift_time=lift_time,
            lift_lead=lift_lead,
            body=body,
            force=force,
            strike_at=strike_at,
            quiet_from=quiet_from,
            quiet_to=quiet_to,
            golfers=golfers,
            seed=seed,
        ),
        as_json=as_json,
    )


@app.command("open")
def open_(
    *,
    book: BookOption = None,
    port: Annotated[
        int | None, typer.Option(min=1, max=65535, help="Port on this machine; none: a free one.")
    ] = None,
    browser: Annotated[bool, typer.Option(help="Open the browser as well.")] = True,
    host: Annotated[
        str | None,
        typer.Option(help="Where to listen: 0.0.0.0 is the whole network; none: as was set."),
    ] = None,
    name: Annotated[
        list[str] | None, typer.Option(help="A further name of this machine; may be repeated.")
    ] = None,
    certificate: Annotated[
        Path | None, typer.Option(help="Certificate for https, in PEM, with its chain.")
    ] = None,
    certificate_key: Annotated[
        Path | None, typer.Option(help="The private key of the certificate.")
    ] = None,
) -> None:
    """Open the desk in the browser."""
    from leadfoot.cli.open import Way, run

    way = Way(
        host=host, port=port, names=tuple(name or ()), certificate=certificate, key=certificate_key
    )
    run(book, way=way, browser=browser)


@app.command()
def demo(
    *,
    book: Annotated[
        str | None, typer.Option(help="Where to put the demo book; none: beside your own.")
    ] = None,
    keep: Annotated[
        bool, typer.Option("--keep", help="Leave a demo book that is there as it is.")
    ] = False,
) -> None:
    """Make a book with an invented studio: students, lessons and shots that never were."""
    from leadfoot.cli.demo import run

    run(book, keep=keep)
