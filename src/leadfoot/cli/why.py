"""``leadfoot why``: what made the ball go longer or straighter, part by part."""

from pathlib import Path

from rich.console import Console
from rich.markup import escape
from rich.table import Table

from leadfoot.cli.files import bytes_of
from leadfoot.cli.giving import give
from leadfoot.cli.judge import Choice, question_of
from leadfoot.coaching.attribution import OutcomeName
from leadfoot.desk.why import Why, WhyShare, why_for
from leadfoot.desk.wording import amount
from leadfoot.errors import InputError


def run(
    file: Path,
    choice: Choice,
    *,
    mapping: Path | None,
    model_club: str | None,
    as_json: bool,
    plot: Path | None,
    outcome: OutcomeName,
) -> None:
    """Share out the change of a table; print it, and draw it where a picture is asked for."""
    why = why_for(
        question_of(bytes_of(file), file.name, choice, mapping),
        hand=choice.hand,
        club_key=model_club,
    )
    if plot is not None:
        _draw(why, plot, outcome)
    give(why, show, as_json=as_json, said=f"The picture is in {plot}." if plot else "")


def show(why: Why, console: Console) -> None:
    """Print the shares for a person."""
    console.print(f"[bold]{escape(why.sentence)}[/bold]", soft_wrap=True)
    for split in why.splits.values():
        table = Table(escape(split.name), "share", "holds it with 95 in 100", box=None)
        for share in split.shares:
            table.add_row(escape(share.name), *_cells(share, why.unit))
        table.add_row("[bold]the whole change in the model[/bold]", *_cells(split.change, why.unit))
        if split.unexplained is not None:
            table.add_row("not explained by the model", *_cells(split.unexplained, why.unit))
        console.print(table)
    if why.wide is not None:
        parts = ", ".join(
            f"{escape(each.part.replace('_', ' '))} {each.share:.0%}" for each in why.wide.shares
        )
        size = amount(why.wide.offline_sd, why.unit)
        console.print(f"What makes the pattern wide ({size} in the model): {parts}.")
    for note in why.notes:
        console.print(escape(note), soft_wrap=True)


def _cells(share: WhyShare, unit: str) -> tuple[str, str]:
    ends = " to ".join(amount(end, None, decimals=1) for end in (share.low, share.high))
    return amount(share.value, unit, decimals=1), ends


def _draw(why: Why, plot: Path, outcome: OutcomeName) -> None:
    from leadfoot.figures.why import why_picture

    picture = why_picture(why, outcome)
    try:
        plot.write_bytes(picture.png() if plot.suffix.lower() == ".png" else picture.svg())
    except OSError as error:
        raise InputError(
            f"Picture {str(plot)!r} can't be written: {error.strerror}.",
            fix="Choose another place.",
        ) from error
