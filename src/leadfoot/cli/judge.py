"""``leadfoot judge``: longer, straighter, both, or cannot tell yet."""

import re
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

import typer
from rich.console import Console
from rich.markup import escape
from rich.table import Table

from leadfoot.cli.files import bytes_of, mapping_of
from leadfoot.cli.giving import give
from leadfoot.desk.answer import Answer, AnswerOutcome
from leadfoot.desk.file_question import question_for_file
from leadfoot.desk.judging import answer_for
from leadfoot.desk.lesson import lesson_view
from leadfoot.desk.lesson import sheet as lesson_sheet
from leadfoot.desk.records import Hand
from leadfoot.desk.sides import Question
from leadfoot.desk.wording import amount, in_100, shown_range
from leadfoot.errors import InputError
from leadfoot.language.catalogue import ENGLISH
from leadfoot.language.say import speaking
from leadfoot.shots.read import RowBlock


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """How the coach said which shots are before and which are with the change."""

    block: str | None
    before: str | None
    after: str | None
    before_rows: str | None
    after_rows: str | None
    club: str | None
    hand: Hand
    planned: tuple[int, ...] = ()

    @property
    def says_something(self) -> bool:
        """Whether anything was chosen but the hand."""
        chosen = (self.block, self.before, self.after, self.before_rows, self.after_rows, self.club)
        return any(one is not None for one in chosen) or bool(self.planned)


def run(
    file: Path,
    choice: Choice,
    *,
    mapping: Path | None,
    as_json: bool,
    sheet: Path | None,
    paper: Literal["a4", "us-letter"],
    language: str = ENGLISH,
) -> None:
    """Judge a table; print the answer, and the sheet where one is asked for."""
    data = bytes_of(file)
    answer = answer_for(question_of(data, file.name, choice, mapping))
    if sheet is not None:
        from leadfoot.reports.sheet import print_sheet

        with speaking(language):
            # The sheet says its sentences in the student's language, the screen in English.
            told = answer
            if language != ENGLISH:
                told = answer_for(question_of(data, file.name, choice, mapping))
            pdf = print_sheet(
                told, student=None, held_on=None, change=None, invented=False, paper=paper
            )
        _write(pdf, sheet)
    give(answer, show, as_json=as_json, said=_where(sheet))


def run_lesson(
    lesson_id: int,
    book: str | None,
    *,
    as_json: bool,
    sheet: Path | None,
    paper: Literal["a4", "us-letter"],
    language: str | None = None,
) -> None:
    """Judge a lesson of the book as its page does, together with its earlier lessons."""
    from leadfoot.bootstrap import open_desk

    desk = open_desk(book)
    try:
        view = lesson_view(desk, lesson_id)
        pdf = b""
        if sheet is not None and view.answer is not None:
            pdf = lesson_sheet(desk, lesson_id, paper, language=language)
    finally:
        desk.book.close()
    if view.answer is None:
        raise InputError(f"Lesson {lesson_id} has no answer yet.", fix=view.waiting_for)
    if sheet is not None:
        _write(pdf, sheet)
    give(view.answer, show, as_json=as_json, said=_where(sheet))


def question_of(data: bytes, name: str, choice: Choice, mapping: Path | None) -> Question:
    """What is asked of a table, with the coach's choice of its blocks."""
    row_blocks = row_blocks_of(choice)
    return question_for_file(
        data,
        name=name,
        hand=choice.hand,
        mapping=mapping_of(mapping),
        block_column=choice.block,
        row_blocks=row_blocks,
        before=row_blocks[0].label if row_blocks else choice.before,
        after=row_blocks[-1].label if row_blocks else choice.after,
        club=choice.club,
        planned=choice.planned,
    )


def show(answer: Answer, console: Console) -> None:
    """Print the answer for a person: the sentence, the claims, the numbers, what was left out."""
    console.print(f"[bold]{escape(answer.sentence)}[/bold]", soft_wrap=True)
    for name, claim in (
        ("longer", answer.longer),
        ("straighter", answer.straighter),
        ("both", answer.both),
    ):
        odds = "" if claim.odds is None else f"  ({in_100(claim.odds)})"
        console.print(f"  {name:<11}{claim.verdict.replace('_', ' ')}{odds}")
    table = Table("", "before", "with it", "change", "range", "odds better", box=None)
    for outcome in answer.outcomes:
        table.add_row(*_cells(outcome))
    console.print(table)
    for block in answer.blocks:
        left_out = f", {block.n_left_out} left out" if block.n_left_out else ""
        club = f" with {escape(block.club)}" if block.club else ""
        console.print(f"{escape(block.label)}{club}: {block.n_shots} shots{left_out}")
    for note in answer.notes:
        console.print(escape(note), soft_wrap=True)
    for problem in answer.problems:
        place = f"row {problem.row}: " if problem.row is not None else ""
        console.print(f"problem: {place}{escape(problem.reason)}", soft_wrap=True)


def _cells(outcome: AnswerOutcome) -> tuple[str, ...]:
    unit = outcome.unit
    return (
        outcome.name + (" (computed)" if outcome.basis == "modelled" else ""),
        amount(outcome.before, unit, decimals=2 if unit is None else 1),
        amount(outcome.after, unit, decimals=2 if unit is None else 1),
        amount(outcome.change, unit),
        shown_range(outcome),
        in_100(outcome.odds_better),
    )


def _where(sheet: Path | None) -> str:
    return f"The sheet is in {sheet}." if sheet else ""


def _write(pdf: bytes, sheet: Path) -> None:
    try:
        sheet.write_bytes(pdf)
    except OSError as error:
        raise InputError(
            f"Sheet {str(sheet)!r} can't be written: {error.strerror}.", fix="Choose another place."
        ) from error


def row_blocks_of(choice: Choice) -> tuple[RowBlock, ...]:
    """Blocks by row ranges; both sides or neither."""
    if (choice.before_rows is None) != (choice.after_rows is None):
        raise typer.BadParameter("give both --before-rows and --after-rows, or neither")
    if choice.before_rows is None or choice.after_rows is None:
        return ()
    return (
        *row_ranges(choice.before_rows, choice.before or "before", "--before-rows"),
        *row_ranges(choice.after_rows, choice.after or "after", "--after-rows"),
    )


def blocks_of(text: str | None) -> tuple[int, ...]:
    """Balls of each planned block, such as ``10,15,15``."""
    if text is None:
        return ()
    parts = [part.strip() for part in text.split(",")]
    if not all(re.fullmatch(r"[0-9]{1,4}", part) for part in parts):
        raise typer.BadParameter(
            f"{text!r} is no plan; write the balls of each block: 10,15,15", param_hint="--planned"
        )
    return tuple(int(part) for part in parts)


def row_ranges(text: str, label: str, option: str) -> tuple[RowBlock, ...]:
    """Ranges such as ``2-9`` or ``2-6,12-16``."""
    blocks = []
    for part in text.split(","):
        found = re.fullmatch(r"\s*(\d{1,9})\s*(?:[-–:]\s*(\d{1,9}))?\s*", part)
        first, last = (int(found[1]), int(found[2] or found[1])) if found else (0, 0)
        if not 1 <= first <= last:
            raise typer.BadParameter(
                f"{part.strip()!r} is no range of rows; write 2-9", param_hint=option
            )
        blocks.append(RowBlock(label=label, first_row=first, last_row=last))
    return tuple(blocks)
