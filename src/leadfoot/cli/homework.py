"""``leadfoot homework``: a plan for the student's real week, or what came of those in the book."""

import json
from collections.abc import Sequence
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
from leadfoot.desk.home_practice import (
    NO_TEST,
    Practice,
    homework_json,
    practice_of,
    practice_sentence,
)
from leadfoot.desk.homework import HomeworkView, home_cautions, homework_view
from leadfoot.desk.wording import amount
from leadfoot.errors import InputError
from leadfoot.language.catalogue import ENGLISH
from leadfoot.language.say import speaking

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
    written: Written,
    *,
    as_json: bool,
    sheet: Path | None,
    paper: Literal["a4", "us-letter"],
    language: str = ENGLISH,
) -> None:
    """Plan, print the plan, and the sheet where one is asked for, in the student's language."""
    for name, text in (("cue", written.cue), ("criterion", written.criterion)):
        if not text.strip() and (name, written.place) != ("criterion", "no_club"):
            raise InputError(
                f"The homework has no {name}.",
                fix=f"Give it with --{name}, or the number of a student of the book.",
            )
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
        with speaking(language):
            _print(plan, written.student, today, sheet, paper)
    if as_json:
        typer.echo(json.dumps(plan.as_json(), ensure_ascii=False, allow_nan=False))
    else:
        show(plan, Console())
        if sheet is not None:
            typer.echo(f"The sheet is in {sheet}.")


def run_book(student_id: int, book: str | None, *, as_json: bool) -> None:
    """Say what came of the plans of a student of the book, the oldest first."""
    from leadfoot.bootstrap import open_desk

    desk = open_desk(book)
    try:
        views = [homework_view(desk, one.id) for one in desk.book.homework_of(student_id)]
        forms = [homework_json(desk, view) for view in views] if as_json else []
        practice = [practice_of(desk, view) for view in views]
    finally:
        desk.book.close()
    if not views:
        raise InputError(
            f"Student {student_id} has no homework.", fix="Give some on the student's page."
        )
    if as_json:
        typer.echo(json.dumps(forms, ensure_ascii=False, allow_nan=False))
        return
    for view, found in zip(views, practice, strict=True):
        show_done(view, found, Console())


def show_done(view: HomeworkView, practice: Sequence[Practice], console: Console) -> None:
    """Print what came of a plan, for a person."""
    n = len(view.plan.sessions)
    done = f"{view.done} of {n} sessions done"
    console.print(f"[bold]{escape(view.plan.cue)}[/bold], {done}", soft_wrap=True)
    for warning in view.warnings:
        console.print(f"Warning: {escape(warning)}", soft_wrap=True)
    if practice:
        console.print(NO_TEST, soft_wrap=True)
    for one in practice:
        console.print(escape(practice_sentence(one)), soft_wrap=True)
        table = Table(
            "quantity", "lesson", "with the change", "practice", "eight balls in ten", box=None
        )
        for it in one.quantities:
            ends = f"{amount(it.low, None, decimals=1)} to {amount(it.high, None, decimals=1)}"
            sides = (
                "" if value is None else amount(value, it.unit, decimals=1)
                for value in (it.lesson_before, it.lesson_with)
            )
            table.add_row(it.name, *sides, amount(it.level, it.unit, decimals=1), ends)
        console.print(table)


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
    if plan.counts:
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
        console.print(escape(str(note)), soft_wrap=True)
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
