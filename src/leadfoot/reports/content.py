"""What stands on the sheet: an answer turned into plain texts, in the order of reading."""

import math
import re
from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from leadfoot import __version__
from leadfoot.desk.answer import Answer, AnswerClaim
from leadfoot.desk.club_words import club_said
from leadfoot.desk.days import day_in_words
from leadfoot.desk.wording import odds_words
from leadfoot.evidence.judgement import Verdict
from leadfoot.language.catalogue import ENGLISH
from leadfoot.language.say import noted, say, say_n, spoken
from leadfoot.reports.advice import CAUTIONS, advice
from leadfoot.reports.letters import breakable, clean, every_text, shorten
from leadfoot.reports.numbers import odds, table_rows, tiles
from leadfoot.tables.problem import Problem

LONGEST_ON_PAGE_ONE = 150
"""Letters of the change and of names on page one; a longer text stands in full on page two."""

MOST_PROBLEMS = 24
"""Problems that are printed one by one; the lesson's page lists all."""

_SAID: Mapping[Verdict, str] = {
    "yes": noted("yes"),
    "no": noted("no"),
    "not_yet": noted("cannot tell yet"),
}
_CLAIMS = (noted("longer"), noted("straighter"), noted("both"))
_UNSURE = {
    ("longer",): noted("These shots cannot tell yet whether it is longer."),
    ("straighter",): noted("These shots cannot tell yet whether it is straighter."),
    ("longer", "straighter"): noted(
        "These shots cannot tell yet whether it is longer or straighter."
    ),
}
_UNMEASURED = {
    ("longer",): noted("Whether it is longer was not measured."),
    ("straighter",): noted("Whether it is straighter was not measured."),
    ("longer", "straighter"): noted("Whether it is longer or straighter was not measured."),
}
_COMPARED = {
    "before": noted("before"),
    "after": noted("with the change"),
    "other": noted("not compared"),
}

HOW_JUDGED = (
    noted("Every ball counts, mishits too, unless the teacher left it out with a reason."),
    noted(
        "The change is weighed against how much the balls of one swing differ anyway, so that a "
        "lucky run is not taken for a change. With few balls the estimate is held nearer to no "
        "change."
    ),
    noted(
        "A range holds the true change with nine chances in ten. Odds are the chance that the "
        "change is for the better."
    ),
    noted("“Not yet” is an answer: the shots fit a change for the better and none at all."),
)
"""The method in words that a student reads; the documentation has it in full."""


_BREAKABLE = re.compile(
    r"(?<=\d) (?=[a-zäöü°%])|(?<=\b(?:to|in)) (?=[\d\u2212])|(?<=\b(?:bis|von|auf)) (?=[\d\u2212])"
)
"""Blanks that hold a number to what belongs to it, in English and in German."""


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
    known = claim.odds is not None and math.isfinite(claim.odds)
    text, n = odds_words(claim.odds) if known and claim.odds is not None else ("{n}", 0)
    lead, _, of = say(text).partition("{n}")
    return {
        "name": say(name),
        "lead": lead.strip(),
        "number": str(n),
        "of": of.strip(),
        "verdict": say(_SAID[claim.verdict]) if known else say("not measured"),
        "known": known,
        "yes": claim.verdict == "yes",
    }


def _cannot_tell(answer: Answer) -> str:
    """What the shots leave open, in one sentence; empty where they leave nothing open."""
    claims = (("longer", answer.longer), ("straighter", answer.straighter))
    unmeasured = tuple(name for name, claim in claims if claim.odds is None)
    unsure = tuple(
        name for name, claim in claims if claim.odds is not None and claim.verdict == "not_yet"
    )
    parts = (_UNSURE.get(unsure, ""), _UNMEASURED.get(unmeasured, ""))
    return " ".join(say(part) for part in parts if part)


def _how_many_more(answer: Answer) -> str:
    if answer.decision != "hit_more":
        return ""
    if not answer.n_more:
        return say("More balls today are not likely to tell.")
    if answer.chance_more_tells is None:
        return say_n(
            "About {n} more ball with the change should tell.",
            "About {n} more balls with the change should tell.",
            answer.n_more,
        )
    return say_n(
        "About {n} more ball with the change should tell (chance: {odds}).",
        "About {n} more balls with the change should tell (chance: {odds}).",
        answer.n_more,
        odds=odds(answer.chance_more_tells),
    )


def _problems(problems: Sequence[Problem]) -> tuple[list[list[str]], str]:
    rows = [
        [
            "" if one.row is None else str(one.row),
            breakable(shorten(clean(one.column or ""), 40)),
            breakable(shorten(clean(one.text), 40)),
            breakable(shorten(clean(say(one.reason)), 200)),
            _language_of(one),
        ]
        for one in problems[:MOST_PROBLEMS]
    ]
    left = len(problems) - len(rows)
    more = say("And {n} more; the lesson’s page lists them all.", n=left) if left > 0 else ""
    return rows, more


def _language_of(problem: Problem) -> str:
    """What the reader of tables says of a cell is English, unless a catalogue has it."""
    is_said = problem.row is None or say(problem.reason) != problem.reason
    return spoken().code if is_said else ENGLISH


def _blocks(answer: Answer) -> list[list[str]]:
    return [
        [
            breakable(shorten(clean(say(block.label)), 120)),
            say(_COMPARED[block.role]),
            breakable(shorten(clean(club_said(block.club or "")), 40)),
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
    tried = clean(say(change)) if change else ""
    tried = tried or clean(say(answer.after_label))
    steps = advice(answer.decision, answer.n_more)
    problems, problems_left = _problems(answer.problems)
    who = clean(student or "")
    data: dict[str, Any] = {
        "paper": paper,
        "invented": invented,
        "student": breakable(shorten(who, 40)),
        "date": day_in_words(held_on) if held_on else "",
        "club": breakable(shorten(clean(club_said(answer.club or "")), 32)),
        "change": breakable(shorten(tried, LONGEST_ON_PAGE_ONE)),
        "change_in_full": breakable(tried) if len(tried) > LONGEST_ON_PAGE_ONE else "",
        "sentence": _held_together(breakable(clean(answer.sentence))),
        "sentence_size": sentence_size_pt(answer.sentence),
        "claims": [
            _claim(name, claim)
            for name, claim in zip(
                _CLAIMS, (answer.longer, answer.straighter, answer.both), strict=True
            )
        ],
        "cannot_tell": _cannot_tell(answer),
        "more": _how_many_more(answer),
        "tiles": tiles(answer),
        "computed": any(one.basis == "modelled" for one in answer.outcomes),
        "next": {"title": steps.title, "steps": list(steps.steps)},
        "cautions": [say(caution) for caution in CAUTIONS],
        "rows": table_rows(answer.outcomes),
        "blocks": _blocks(answer),
        "how": [say(one) for one in HOW_JUDGED],
        "notes": [breakable(clean(note)) for note in answer.notes],
        "problems": problems,
        "problems_left": problems_left,
        "version": f"Leadfoot {__version__}",
    }
    title = " · ".join(part for part in (say("The answer"), shorten(who, 60), data["date"]) if part)
    texts: dict[str, Any] = every_text({**data, "title": title}, clean)
    return texts
