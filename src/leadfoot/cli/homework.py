"""``leadfoot homework``: a plan for the student's real week, each rule with its label."""

import json
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Literal

import typer
from rich.console import Console
from rich.markup import escape
from rich.table import Table

from leadfoot.coaching.homework import PLACE_WORDS, HomePlan, Place, Week, plan_homework
from leadfoot.desk.days import WEEKDAYS
from leadfoot.desk.homework import home_cautions
from leadfoot.errors import InputError

_DAYS = {name[:3].casefold(): place for place, name in enumerate(WEEKDAYS)}


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """What was typed."""

    cue: str
    criterion: str
    days: str
    minutes: int
    balls: int
    place: Place
    weeks: int
    usual_balls: int | None
    cautions: str
    student: str


def run(
    written: Written, *, as_json: bool, sheet: Path | None, paper: Literal["a4", "us-letter"]
) -> None:
    """Plan, print the plan, and the sheet where one is asked for."""
    week = Week(
        days=days_of(written.days),
        minutes=written.minutes,
        balls=written.balls if written.place != "no_club" else 0,
        place=written.place,
        usual_balls=written.usual_balls,
    )
    today = date.today()  # noqa: DTZ011  (the day on this machine)
    plan = plan_homework(
        week,
        cue=written.cue,
        criterion=written.criterion,
        n_weeks=written.weeks,
        first_day=(today.weekday() + 1) % 7,
        cautions=home_cautions(week, written.cautions, written.cue),
    )
    if sheet is not None:
        _print(plan, written.student, today, sheet, paper)
    if as_json:
        typer.echo(json.dumps(plan.as_json(), ensure_ascii=False, allow_nan=False))
    else:
        show(plan, Console())
        if sheet is not None:
            typer.echo(f"The sheet is in {sheet}.")


def days_of(text: str) -> tuple[int, ...]:
    """Days as typed, ``mon,wed,sat``.

    Examples
    --------
    >>> days_of("mon, Wed,saturday")
    (0, 2, 5)
    """
    named = [part.strip().casefold()[:3] for part in text.split(",") if part.strip()]
    unknown = [part for part in named if part not in _DAYS]
    if unknown:
        raise InputError(f"There is no day {unknown[0]!r}.", fix=f"Use: {', '.join(_DAYS)}.")
    return tuple(sorted({_DAYS[part] for part in named}))


def show(plan: HomePlan, console: Console) -> None:
    """Print the plan for a person."""
    console.print(f"[bold]{escape(plan.cue)}[/bold], {PLACE_WORDS[plan.place]}", soft_wrap=True)
    console.print(f"A ball counts as met when: {escape(plan.criterion)}", soft_wrap=True)
    table = Table("week", "days", "balls", "blocks", box=None)
    for place in range(plan.n_weeks):
        those = [one for one in plan.sessions if one.week == place + 1]
        days = ", ".join(WEEKDAYS[one.day][:3] for one in those)
        blocks = " · ".join(
            f"{f'{times} × ' if times > 1 else ''}{block.n} {block.kind.replace('_', '-')}"
            for times, block in those[0].runs()
        )
        table.add_row(str(place + 1), days, f"{len(those)} × {those[0].n_balls}", blocks)
    console.print(table)
    for note in plan.notes:
        console.print(escape(note), soft_wrap=True)
    console.print("What it rests on:")
    for rule in plan.rules:
        console.print(f"  {rule.label}: {escape(rule.text)}", soft_wrap=True)
    for caution in plan.cautions:
        console.print(f"Caution: {escape(caution)}", soft_wrap=True)


def _print(
    plan: HomePlan, student: str, today: date, sheet: Path, paper: Literal["a4", "us-letter"]
) -> None:
    from leadfoot.reports.homework_sheet import print_homework

    pdf = print_homework(
        plan, student=student, held_on=today, invented=False, link=None, paper=paper
    )
    try:
        sheet.write_bytes(pdf)
    except OSError as error:
        raise InputError(
            f"Sheet {str(sheet)!r} can't be written: {error.strerror}.", fix="Choose another place."
        ) from error
