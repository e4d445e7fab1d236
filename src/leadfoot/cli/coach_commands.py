"""The commands of coaching, registered beside the others."""

from pathlib import Path
from typing import Annotated, Literal

import typer

from leadfoot.cli.options import (
    BookOption,
    FileArgument,
    HandOption,
    JsonOption,
    LanguageOption,
    MappingOption,
)
from leadfoot.cli.plan_commands import app
from leadfoot.language.catalogue import ENGLISH

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


@app.command()
def homework(
    student_id: Annotated[
        int | None, typer.Argument(help="Number of a student's page: what came of the plans.")
    ] = None,
    *,
    book: BookOption = None,
    cue: Annotated[str, typer.Option(help="The one thing to practise.")] = "",
    criterion: Annotated[
        str, typer.Option(help="A ball counts as met when: it starts between the posts.")
    ] = "",
    days: Annotated[str, typer.Option(help="Days there is time: mon,wed,sat.")] = "mon,wed,sat",
    minutes: Annotated[int, typer.Option(help="Minutes a session, 10 to 180.")] = 45,
    balls: Annotated[int, typer.Option(help="Balls a session, 8 to 200.")] = 40,
    place: Annotated[
        Literal["range", "net", "no_club"], typer.Option(help="Where it is practised.")
    ] = "range",
    weeks: Annotated[int, typer.Option(help="Weeks, 1 to 8.")] = 4,
    usual_balls: Annotated[
        int | None, typer.Option(help="Balls hit in a usual week anyway.")
    ] = None,
    cautions: Annotated[str, typer.Option(help="What the body must not do.")] = "",
    student: Annotated[str, typer.Option(help="Name on the sheet.")] = "",
    as_json: JsonOption = False,
    sheet: Annotated[Path | None, typer.Option(help="Print the sheet into this PDF.")] = None,
    paper: Annotated[Literal["a4", "us-letter"], typer.Option(help="Paper of the sheet.")] = "a4",
    language: LanguageOption = None,
) -> None:
    """Plan practice at home: days, blocks, balls, a test; or say what came of it."""
    from leadfoot.cli.homework import Written, run, run_book

    if student_id is not None:
        run_book(student_id, book, as_json=as_json)
        return
    run(
        Written(
            cue=cue,
            criterion=criterion,
            days=days,
            minutes=minutes,
            balls=balls,
            place=place,
            weeks=weeks,
            usual_balls=usual_balls,
            cautions=cautions,
            student=student,
        ),
        as_json=as_json,
        sheet=sheet,
        paper=paper,
        language=language or ENGLISH,
    )


@app.command()
def lasted(
    student_id: Annotated[int | None, typer.Argument(help="Number of a student's page.")] = None,
    *,
    book: BookOption = None,
    before: Annotated[
        list[Path] | None, typer.Option(help="A table as usual; one for each day, oldest first.")
    ] = None,
    with_: Annotated[Path | None, typer.Option("--with", help="The table with the change.")] = None,
    test: Annotated[
        list[Path] | None, typer.Option(help="A table of a later test; one for each day.")
    ] = None,
    club: JudgedClubOption = None,
    handed: HandOption = "right",
    mapping: MappingOption = None,
    as_json: JsonOption = False,
) -> None:
    """Say what of a gain is still there, weeks later and without the cue."""
    from leadfoot.cli.lasted import run_book, run_files
    from leadfoot.errors import InputError

    if student_id is not None:
        run_book(student_id, book, as_json=as_json)
    elif before and with_ and test:
        run_files(before, with_, test, club=club, hand=handed, mapping=mapping, as_json=as_json)
    else:
        raise InputError(
            "There is nothing to judge.",
            fix="Name a student of the book, or give --before, --with and --test tables.",
        )
