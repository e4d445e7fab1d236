"""Print the homework sheet: what to do, when, how to count it, and what it rests on."""

import json
from datetime import date
from importlib.resources import files
from typing import Any, Literal

import typst

from leadfoot import __version__
from leadfoot.coaching.homework import PLACE_WORDS, HomePlan, HomeSession
from leadfoot.desk.days import MONTHS, WEEKDAYS, day_in_words
from leadfoot.desk.homework import session_day
from leadfoot.errors import ReportError
from leadfoot.reports.letters import (
    STAND_IN,
    breakable,
    clean,
    every_text,
    foreign,
    shorten,
    stand_in,
)
from leadfoot.reports.typesetting import shipped_fonts

BLOCK_NAMES = {
    "warm_up": "warm-up",
    "cue": "with the cue",
    "mixed": "mixed",
    "test": "test, no cue",
    "swings": "swings",
}


def homework_content(
    plan: HomePlan, *, student: str, held_on: date, invented: bool, link: str | None, paper: str
) -> dict[str, Any]:
    """All texts of the sheet, as data for the template."""
    day = day_in_words(held_on)
    data: dict[str, Any] = {
        "paper": paper,
        "invented": invented,
        "student": breakable(shorten(clean(student), 40)),
        "date": day,
        "place": PLACE_WORDS[plan.place],
        "cue": breakable(shorten(clean(plan.cue), 150)),
        "criterion": breakable(shorten(clean(plan.criterion), 150)),
        "counts": plan.place != "no_club",
        "weeks": _kinds_of_week(plan),
        "rows": [_row(held_on, session) for session in plan.sessions],
        "cautions": [breakable(clean(one)) for one in plan.cautions],
        "notes": [breakable(clean(one)) for one in plan.notes],
        "rules": [
            {"label": rule.label, "text": rule.text, "source": rule.source} for rule in plan.rules
        ],
        "link": link or "",
        "version": f"Leadfoot {__version__}",
    }
    title = " · ".join(("Homework", shorten(clean(student), 60), day))
    texts: dict[str, Any] = every_text({**data, "title": title}, clean)
    return texts


def _kinds_of_week(plan: HomePlan) -> list[dict[str, Any]]:
    """The session of each stage once: weeks with the same blocks are told together."""
    found: list[dict[str, Any]] = []
    last = None
    for session in plan.sessions:
        if last is not None and session.blocks == last:
            found[-1]["to"] = session.week
            continue
        last = session.blocks
        found.append({"from": session.week, "to": session.week, "blocks": _runs(session)})
    return [
        {
            "name": f"Week {one['from']}"
            if one["from"] == one["to"]
            else f"Weeks {one['from']} to {one['to']}",
            "blocks": one["blocks"],
        }
        for one in found
    ]


def _runs(session: HomeSession) -> list[dict[str, str]]:
    """Equal blocks in a row are told once, as "4 × 5"."""
    return [
        {
            "n": f"{times} × {block.n}" if times > 1 else str(block.n),
            "name": BLOCK_NAMES[block.kind],
            "words": block.words,
        }
        for times, block in session.runs()
    ]


def _row(held_on: date, session: HomeSession) -> list[str]:
    day = session_day(held_on, session)
    return [
        str(session.number),
        f"{WEEKDAYS[session.day][:3]} {day.day} {MONTHS[day.month - 1][:3]}",
    ]


def print_homework(
    plan: HomePlan,
    *,
    student: str,
    held_on: date,
    invented: bool,
    link: str | None,
    paper: Literal["a4", "us-letter"],
) -> bytes:
    """Print a plan for home as PDF, tagged for screen readers (PDF/UA-1).

    Parameters
    ----------
    plan
        The plan.
    student, held_on
        Whose it is, and the day of the lesson; its weeks begin on the next day.
    invented
        True for a student of the demo studio.
    link
        Address of the private page, printed where it is given.
    paper
        ``a4`` or ``us-letter``.

    Raises
    ------
    ReportError
        If the sheet could not be set.
    """
    texts = homework_content(
        plan, student=student, held_on=held_on, invented=invented, link=link, paper=paper
    )
    machine = foreign(json.dumps(texts, ensure_ascii=False))
    try:
        return _compile(texts, of_machine=machine)
    except typst.TypstError as error:
        if not machine:
            raise ReportError(
                f"The sheet could not be set: {error.message}.",
                fix="Print the page of the homework from the browser instead.",
            ) from error
    plain = every_text(texts, stand_in)
    note = f"Some letters are printed as {STAND_IN}: this machine has no font with them."
    plain["notes"] = [*plain["notes"], note]
    return _compile(plain, of_machine=False)


def _compile(texts: dict[str, Any], *, of_machine: bool) -> bytes:
    template = files("leadfoot").joinpath("reports/templates/homework.typ").read_bytes()
    pdf = typst.compile(
        template,
        format="pdf",
        sys_inputs={"data": json.dumps(texts)},
        font_paths=shipped_fonts(of_machine=of_machine),
        ignore_system_fonts=not of_machine,
        pdf_standards=["ua-1"],
    )
    if not isinstance(pdf, bytes):
        raise ReportError(
            "The sheet came out as no single file.",
            fix="Install typst again (pip install --force-reinstall typst).",
        )
    return pdf
