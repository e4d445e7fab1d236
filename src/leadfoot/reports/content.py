"""What stands on the sheet: an answer turned into plain texts, in the order of reading."""

import re
from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from leadfoot import __version__
from leadfoot.desk.answer import Answer, AnswerClaim
from leadfoot.desk.days import day_in_words
from leadfoot.evidence.judgement import Verdict
from leadfoot.reports.advice import CAUTIONS, advice
from leadfoot.reports.letters import breakable, clean, every_text, shorten
from leadfoot.reports.numbers import odds, table_rows, tiles
from leadfoot.tables.problem import Problem

LONGEST_ON_PAGE_ONE = 150
"""Letters of the change and of names on page one; a longer text stands in full on page two."""

MOST_PROBLEMS = 24
"""Problems that are printed one by one; the lesson's page lists all."""

_SAID: Mapping[Verdict, str] = {"yes": "yes", "no": "no", "not_yet": "cannot tell yet"}

HOW_JUDGED = (
    "Every ball counts, mishits too, unless the teacher left it out with a reason.",
    "The change is weighed against how much the balls of one swing differ anyway, so that a lucky"
    " run is not taken for a change. With few balls the estimate is held nearer to no change.",
    "A range holds the true change with nine chances in ten. Odds are the chance that the change"
    " is for the better.",
    "“Not yet” is an answer: the shots fit a change for the better and none at all.",
)
"""The method in words that a student reads; the documentation has it in full."""


_BREAKABLE = re.compile(r"(?<=\d) (?=[a-z°%])|(?<=\b(?:to|in)) (?=[\d\u2212])")
"""Blanks that hold a number to what belongs to it."""


def sentence_size_pt(sentence: str) -> float:
    """Size of the sentence on page one, in points: as large as its length allows."""
    for most, size in ((60, 34.0), (95, 29.0), (140, 26.0), (220, 20.0), (420, 14.0)):
        if len(sentence) <= most:
            return size
    return 11.0


def _held_together(sentence: str) -> str:
    """The sentence with no line break inside brackets or between a number and its unit."""
    return _BREAKABLE.sub("\u00a0", sentence)


def _claim(name: str, claim: AnswerClaim) -> dict[str, Any]:
    told = odds(claim.odds)
    before, _, after = told.rpartition(" in ")
    lead, _, number = before.rpartition(" ")
    return {
        "name": name,
        "lead": lead,
        "number": number,
        "of": f"in {after}" if before else "",
        "verdict": _SAID[claim.verdict] if claim.odds is not None else "not measured",
        "known": claim.odds is not None,
        "yes": claim.verdict == "yes",
    }


def _cannot_tell(answer: Answer) -> str:
    """What the shots leave open, in one sentence; empty where they leave nothing open."""
    claims = (("longer", answer.longer), ("straighter", answer.straighter))
    unmeasured = [name for name, claim in claims if claim.odds is None]
    unsure = [
        name for name, claim in claims if claim.odds is not None and claim.verdict == "not_yet"
    ]
    parts = []
    if unsure:
        parts.append(f"These shots cannot tell yet whether it is {' or '.join(unsure)}.")
    if unmeasured:
        parts.append(f"Whether it is {' or '.join(unmeasured)} was not measured.")
    return " ".join(parts)


def _how_many_more(answer: Answer) -> str:
    if answer.decision != "hit_more":
        return ""
    if answer.n_more:
        word = "ball" if answer.n_more == 1 else "balls"
        chance = answer.chance_more_tells
        likely = f" (chance: {odds(chance)})" if chance is not None else ""
        return f"About {answer.n_more} more {word} with the change should tell{likely}."
    return "More balls today are not likely to tell."


def _problems(problems: Sequence[Problem]) -> tuple[list[list[str]], str]:
    rows = [
        [
            "" if one.row is None else str(one.row),
            breakable(shorten(clean(one.column or ""), 40)),
            breakable(shorten(clean(one.text), 40)),
            breakable(shorten(clean(one.reason), 200)),
        ]
        for one in problems[:MOST_PROBLEMS]
    ]
    left = len(problems) - len(rows)
    return rows, f"And {left} more; the lesson’s page lists them all." if left > 0 else ""


def _blocks(answer: Answer) -> list[list[str]]:
    compared = {"before": "before", "after": "with the change", "other": "not compared"}
    return [
        [
            breakable(shorten(clean(block.label), 120)),
            compared[block.role],
            breakable(shorten(clean(block.club or ""), 40)),
            str(block.n_shots),
            str(block.n_left_out),
        ]
        for block in answer.blocks
    ]


def content(
    answer: Answer,
    *,
    student: str | None,
    held_on: date | None,
    change: str | None,
    invented: bool,
    paper: str,
) -> dict[str, Any]:
    """All texts of the sheet, as data for the template.

    Parameters
    ----------
    answer
        The answer to print.
    student, held_on, change
        Name, date and what was tried, as far as known.
    invented
        True for a student of the demo studio.
    paper
        ``a4`` or ``us-letter``.
    """
    tried = clean(change or "") or clean(answer.after_label)
    todo = advice(answer.decision, answer.n_more)
    problems, problems_left = _problems(answer.problems)
    who = clean(student or "")
    data: dict[str, Any] = {
        "paper": paper,
        "invented": invented,
        "student": breakable(shorten(who, 40)),
        "date": day_in_words(held_on) if held_on else "",
        "club": breakable(shorten(clean(answer.club or ""), 32)),
        "change": breakable(shorten(tried, LONGEST_ON_PAGE_ONE)),
        "change_in_full": breakable(tried) if len(tried) > LONGEST_ON_PAGE_ONE else "",
        "sentence": _held_together(breakable(clean(answer.sentence))),
        "sentence_size": sentence_size_pt(answer.sentence),
        "claims": [
            _claim("longer", answer.longer),
            _claim("straighter", answer.straighter),
            _claim("both", answer.both),
        ],
        "cannot_tell": _cannot_tell(answer),
        "more": _how_many_more(answer),
        "tiles": tiles(answer),
        "computed": any(one.basis == "modelled" for one in answer.outcomes),
        "next": {"title": todo.title, "steps": list(todo.steps)},
        "cautions": list(CAUTIONS),
        "rows": table_rows(answer.outcomes),
        "blocks": _blocks(answer),
        "how": list(HOW_JUDGED),
        "notes": [breakable(clean(note)) for note in answer.notes],
        "problems": problems,
        "problems_left": problems_left,
        "version": f"Leadfoot {__version__}",
    }
    title = " · ".join(part for part in ("The answer", shorten(who, 60), data["date"]) if part)
    texts: dict[str, Any] = every_text({**data, "title": title}, clean)
    return texts
