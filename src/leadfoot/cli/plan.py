"""``leadfoot plan``: which blocks and how many balls would show a change, before it is tried."""

from dataclasses import dataclass
from pathlib import Path

import typer
from rich.console import Console
from rich.table import Table

from leadfoot.cli.files import bytes_of, mapping_of
from leadfoot.cli.giving import give
from leadfoot.desk.planning import (
    PATTERN_WORDS,
    Planned,
    Wanted,
    plan_for_file,
    plan_for_player,
    plan_marks,
)
from leadfoot.desk.records import Hand
from leadfoot.desk.wording import amount, in_100
from leadfoot.errors import UnitError
from leadfoot.evidence.usual import Level
from leadfoot.quantities import glossary
from leadfoot.units import Dimension, parse_written, si_from, si_into


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """The options as typed; None where nothing was said."""

    file: Path | None
    club_speed: str | None
    ball_speed: str | None
    carry: str | None
    change: str | None
    balls: int
    club: str | None
    level: Level
    seed: int
    hand: Hand
    mapping: Path | None


def run(written: Written, *, as_json: bool) -> None:
    """Plan from a file or from the player's own level, and print the orders."""
    planned = _from_file(written) if written.file is not None else _from_player(written)
    give(planned, show, as_json=as_json)


def show(planned: Planned, console: Console) -> None:
    """Print the plan for a person: the sentence, the orders, where the spread came from."""
    unit = planned.wanted.unit
    console.print(f"[bold]{planned.sentence}[/bold]", soft_wrap=True)
    table = Table("", "order", "balls", "chance", "on average", "shown 8 in 10", box=None)
    for place, order in enumerate(planned.orders):
        table.add_row(
            "advised" if place == 0 else "",
            PATTERN_WORDS[order.pattern],
            plan_marks(order),
            in_100(order.chance),
            f"{order.expected_balls:.0f} balls",
            f"from {amount(planned.smallest(order), unit, decimals=1)}",
        )
    console.print(table)
    console.print(
        "balls: − without the change, + with it; shown 8 in 10: gains that are shown 8 times in 10"
    )
    name = glossary()[planned.wanted.quantity].name
    console.print(f"Usual spread of {name}: {amount(planned.usual_sd, unit, decimals=1)}.")
    console.print(planned.source, soft_wrap=True)
    seed = next((order.seed for order in planned.orders if order.seed is not None), None)
    if seed is not None:
        console.print(f"The order by lot was drawn with the seed {seed}.")


def _from_file(written: Written) -> Planned:
    if written.file is None or any((written.club_speed, written.ball_speed, written.carry)):
        raise typer.BadParameter("give a file or the player's own level, not both")
    change = unit = None
    if written.change is not None:
        change, unit = _gain(written.change)
    return plan_for_file(
        bytes_of(written.file),
        name=written.file.name,
        hand=written.hand,
        mapping=mapping_of(written.mapping),
        change=change,
        unit=unit,
        balls=written.balls,
        seed=written.seed,
        level=written.level,
    )


def _gain(text: str) -> tuple[float, str]:
    """A gain of speed or of length."""
    try:
        return parse_written(text, "speed")
    except UnitError:
        return _parsed(text, "length")


def _parsed(text: str, dimension: Dimension) -> tuple[float, str]:
    try:
        return parse_written(text, dimension)
    except UnitError as error:
        raise typer.BadParameter(str(error)) from error


def _from_player(written: Written) -> Planned:
    given = {
        key: text
        for key, text in (
            ("club_speed", written.club_speed),
            ("ball_speed", written.ball_speed),
            ("carry", written.carry),
        )
        if text is not None
    }
    if len(given) != 1 or written.change is None:
        raise typer.BadParameter(
            "give a file, or --change with one of --club-speed, --ball-speed and --carry"
        )
    ((key, text),) = given.items()
    dimension: Dimension = "length" if key == "carry" else "speed"
    typical, unit = _parsed(text, dimension)
    change, change_unit = _parsed(written.change, dimension)
    change = si_into(si_from(change, change_unit), unit)
    wanted = Wanted(
        quantity=key,
        change=change,
        unit=unit,
        balls=written.balls,
        seed=written.seed,
    )
    return plan_for_player(wanted, typical=typical, club=written.club, level=written.level)
