"""Print the homework sheet: what to do, when, how to count it, and what it rests on."""

from datetime import date
from typing import Any, Literal

import typst

from leadfoot import __version__
from leadfoot.coaching.drills import drill_named, in_practice
from leadfoot.coaching.homework import PLACE_WORDS, HomePlan, HomeSession
from leadfoot.desk.days import day_in_short, day_in_words
from leadfoot.desk.homework import session_day
from leadfoot.errors import ReportError
from leadfoot.language.say import noted, say
from leadfoot.reports.letters import breakable, clean, every_text, shorten
from leadfoot.reports.typesetting import typeset

BLOCK_NAMES = {
    "warm_up": noted("warm-up"),
    "cue": noted("with the cue"),
    "mixed": noted("mixed"),
    "test": noted("test, no cue"),
    "swings": noted("swings"),
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
        "heading": say("Homework, {place}", place=say(PLACE_WORDS[plan.place])),
        "cue": breakable(shorten(clean(_cue(plan)), 150)),
        "met": say("A ball counts as met when: {criterion}", criterion="{criterion}")
        if plan.counts
        else "",
        "criterion": breakable(shorten(clean(plan.criterion), 150)),
        "drill": _drill(plan),
        "counts": plan.counts,
        "weeks": _kinds_of_week(plan),
        "rows": [_row(held_on, session) for session in plan.sessions],
        "cautions": [breakable(clean(say(one))) for one in plan.cautions],
        "notes": [breakable(clean(str(one))) for one in plan.notes],
        "rules": [
            {"label": say(rule.label), "text": say(rule.text), "source": say(rule.source)}
            for rule in plan.rules
        ],
        "link": link or "",
        "version": f"Leadfoot {__version__}",
    }
    title = " · ".join((say("Homework"), shorten(clean(student), 60), day))
    texts: dict[str, Any] = every_text({**data, "title": title}, clean)
    return texts


def _cue(plan: HomePlan) -> str:
    """The cue; that of the program's own drills in the language of the reader."""
    known = drill_named(plan.cue)
    return say(known.name if known else plan.cue)


def _drill(plan: HomePlan) -> list[dict[str, str]]:
    """How to do it, where the cue is one of the program's own drills."""
    known = drill_named(plan.cue)
    return [{"name": name, "text": text} for name, text in in_practice(known)] if known else []


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
            "name": say("Week {number}", number=one["from"])
            if one["from"] == one["to"]
            else say("Weeks {first} to {last}", first=one["from"], last=one["to"]),
            "blocks": one["blocks"],
        }
        for one in found
    ]


def _runs(session: HomeSession) -> list[dict[str, str]]:
    """Equal blocks in a row are told once, as "4 × 5"."""
    return [
        {
            "n": f"{times} × {block.n}" if times > 1 else str(block.n),
            "name": say(BLOCK_NAMES[block.kind]),
            "words": say(block.words),
        }
        for times, block in session.runs()
    ]


def _row(held_on: date, session: HomeSession) -> list[str]:
    return [str(session.number), day_in_short(session_day(held_on, session))]


def print_homework(
    plan: HomePlan,
    *,
    student: str,
    held_on: date,
    invented: bool,
    link: str | None,
    paper: Literal["a4", "us-letter"],
) -> bytes:
    """Print a plan for home as PDF, tagged for screen readers (PDF/UA-1), in the language spoken.

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
    try:
        return typeset("homework.typ", texts)
    except typst.TypstError as error:
        raise ReportError(
            f"The sheet could not be set: {error.message}.",
            fix="Print the page of the homework from the browser instead.",
        ) from error
