"""``leadfoot jump``: a countermovement jump from a force recording, or from its height alone."""

import json
from dataclasses import dataclass
from pathlib import Path

import typer
from rich.console import Console
from rich.markup import escape
from rich.table import Table

from leadfoot.cli.ground import Written, recording_of
from leadfoot.cli.ground_swing import write_picture
from leadfoot.errors import UnitError
from leadfoot.ground.jump import Jump, jump_in
from leadfoot.ground.screening import CAUTIONS, QUESTIONS, STOP_RULES
from leadfoot.ground.swing_form import jump_json
from leadfoot.units import parse_written, si_from

OF_A_SWING = ("target", "feet")
"""Remarks that do not matter to a jump."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """The options as typed; None where nothing was said."""

    weight: str | None
    weigh_from_s: float | None
    rate_hz: float | None
    without_offset: bool
    plot: Path | None


def run(file: Path, asked: Asked, *, as_json: bool) -> None:
    """Measure the jump and print it, or draw it."""
    recording = recording_of(
        file, Written(compare=False, rate_hz=asked.rate_hz, weight=asked.weight)
    )
    window_s = None if asked.weigh_from_s is None else (asked.weigh_from_s, 1.0)
    jump = jump_in(
        recording,
        window_s=window_s,
        entered_n=_weight_n(asked.weight),
        without_offset=asked.without_offset,
    )
    if asked.plot is not None:
        from leadfoot.figures.ground import jump_picture

        write_picture(jump_picture(recording.vertical_n, jump), asked.plot)
    if as_json:
        form = {**jump_json(jump), "cautions": list(CAUTIONS), "stop_rules": list(STOP_RULES)}
        typer.echo(json.dumps(form, ensure_ascii=False, allow_nan=False))
        return
    _show(jump, Console())
    if asked.plot is not None:
        typer.echo(f"The picture is in {asked.plot}.")


def _show(jump: Jump, console: Console) -> None:
    console.print(
        f"[bold]{jump.height_m * 100.0:.1f} cm[/bold] (± {jump.height_doubt_m * 100.0:.1f}) by "
        f"impulse; {jump.height_by_flight_m * 100.0:.1f} cm by flight"
    )
    table = Table(box=None, show_header=False)
    for key, number in jump_json(jump)["numbers"].items():
        table.add_row(key.replace("_", " "), f"{number['value']:g}", number["unit"])
    for foot in jump.feet:
        table.add_row(f"{foot.plate}, push", f"{foot.push_n:.0f}", "N")
        table.add_row(f"{foot.plate}, landing", f"{foot.landing_n:.0f}", "N")
    console.print(table)
    console.print(f"measured: {jump.method.said}", f"weight: it {jump.basis.words}", sep="\n")
    for remark in jump.remarks:
        if remark.weight != "note" and remark.kind not in OF_A_SWING:
            console.print(f"[bold]{remark.weight}:[/bold] {escape(remark.text)} {remark.fix}")
    console.print("A change between two tests is real beyond 9 % of height.")
    console.print("Before a maximal jump ask, and stop at a yes:")
    for question in QUESTIONS:
        console.print(f"  {question.text}")
    console.print(*STOP_RULES)


def _weight_n(text: str | None) -> float | None:
    if text is None:
        return None
    try:
        return si_from(*parse_written(text, "force"))
    except UnitError as error:
        raise typer.BadParameter(str(error), param_hint="--weight") from error
