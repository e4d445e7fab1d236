"""Print a student's season: the levels over its days, what was tried, and what lasted."""

from typing import Any, Literal

import typst

from leadfoot import __version__
from leadfoot.desk.club_words import club_said
from leadfoot.desk.days import day_in_words, day_with_year
from leadfoot.desk.places import said_place
from leadfoot.desk.season_records import SeasonPoint, SeasonSheet
from leadfoot.errors import ReportError
from leadfoot.figures.season import KINDS, season_picture, season_title
from leadfoot.language.numbers import number
from leadfoot.language.say import noted, say, say_n
from leadfoot.reports.letters import breakable, clean, every_text, shorten
from leadfoot.reports.typesetting import figure, typeset

FIGURE_MM = 150.0
MOST_ROWS = 60
"""Levels on the sheet: the latest; the page of the student has all. Our own choice."""
_DECIDED = {
    "keep": noted("judged real"),
    "drop": noted("let go"),
    "hit_more": noted("cannot tell yet"),
}
_TESTS = {
    "retention": noted("without the cue, as in the lesson"),
    "transfer": noted("without the cue, with another target or club, or on the course"),
}
CAUTIONS = (
    noted("A test is hit after a warm-up, without the cue and without numbers."),
    noted("Stop if anything hurts. Pain that stays: a doctor or a physiotherapist first."),
)
HOW = (
    noted(
        "Each level has the range that holds it with nine chances in ten: few balls make it wide."
    ),
    noted(
        "A test later and without the cue tells what was learnt from what was a good day. It "
        "counts the same club alone."
    ),
)
_PRACTICE = noted(
    "Practice is told by its own marks and has no part in what is judged: another place, another "
    "monitor and other balls."
)


def _level(point: SeasonPoint, unit: str) -> list[str]:
    low, high = number(point.low, 1), number(point.high, 1)
    return [f"{number(point.level, 1)}{unit}", say("{low} to {high}", low=low, high=high)]


def _row(point: SeasonPoint, unit: str) -> list[str]:
    what = say(KINDS[point.kind])
    is_change = point.kind == "with_change"
    if point.kind == "practice":
        what = say("practice, {place}", place=said_place(point.place))
    elif is_change and point.change:
        change = shorten(clean(say(point.change)), 90).rstrip(".")
        what = say("with the change: {change}", change=change)
    return [
        day_with_year(point.day),
        breakable(clean(what)),
        *_level(point, unit),
        str(point.n_balls),
        say(_DECIDED[point.decision]) if is_change and point.decision in _DECIDED else "",
    ]


def _in_short(found: SeasonSheet) -> str:
    """What the season came to, in one sentence."""
    points = found.season.points
    changed = [point for point in points if point.kind == "with_change"]
    n_kept = sum(point.decision == "keep" for point in changed)
    n_tests = sum(point.kind == "test" for point in points)
    tried = say_n("{n} change tried", "{n} changes tried", len(changed))
    real = say_n("{n} judged real", "{n} judged real", n_kept)
    tests = say_n("{n} test hit", "{n} tests hit", n_tests)
    return say("{tried}, {real}, {tests}.", tried=tried, real=real, tests=tests)


def season_content(found: SeasonSheet, *, paper: str) -> dict[str, Any]:
    """All texts of the sheet, as data for the template."""
    who, shown = clean(found.student.name), found.season
    unit = {"deg": "°", None: ""}.get(shown.unit, f" {shown.unit}")
    points = shown.points[-MOST_ROWS:]
    left = len(shown.points) - len(points)
    first, last = (day_in_words(shown.points[place].day) for place in (0, -1))
    notes = [say(one) for one in HOW]
    if any(point.kind == "practice" for point in points):
        notes.append(say(_PRACTICE))
    if left:
        notes.append(say("The latest {n} levels are listed; the picture has all.", n=len(points)))
    data: dict[str, Any] = {
        "paper": paper,
        "invented": found.student.invented,
        "title": " · ".join((say("The season"), shorten(who, 60), day_in_words(found.day))),
        "student": breakable(shorten(who, 40)),
        "date": day_in_words(found.day),
        "club": breakable(shorten(clean(club_said(shown.club or "")), 32)),
        "heading": breakable(clean(season_title(shown))),
        "between": say("{first} to {last}", first=first, last=last),
        "short": _in_short(found),
        "rows": [_row(point, unit) for point in points],
        "followed": [
            {
                "change": breakable(shorten(clean(say(one.change)), 120)),
                "day": day_in_words(one.day),
                "sentence": breakable(clean(one.sentence)),
            }
            for one in found.followed
        ],
        "to_come": [
            {
                "change": breakable(shorten(clean(say(one.change)), 120)),
                "when": say(
                    "{first} to {last}",
                    first=day_in_words(one.due_from),
                    last=day_in_words(one.due_to),
                ),
                "how": say(_TESTS[one.kind]),
                "overdue": say("overdue") if one.overdue else "",
            }
            for one in found.to_come
        ],
        "cautions": [say(one) for one in CAUTIONS],
        "notes": notes,
        "version": f"Leadfoot {__version__}",
    }
    texts: dict[str, Any] = every_text(data, clean)
    return texts


def print_season(found: SeasonSheet, *, paper: Literal["a4", "us-letter"]) -> bytes:
    """Print a season as PDF, in the language that is spoken.

    The same input gives the same bytes; the file is tagged for screen readers (PDF/UA-1) and holds
    its fonts.

    Parameters
    ----------
    found
        The season, and what follows from it.
    paper
        ``a4`` or ``us-letter``.

    Raises
    ------
    ReportError
        If the sheet could not be set.
    """
    picture = figure(season_picture(found.season, width_mm=FIGURE_MM))
    try:
        return typeset("season.typ", season_content(found, paper=paper), {"figure": picture})
    except typst.TypstError as error:
        raise ReportError(
            f"The season could not be set: {error.message}.",
            fix="Print the page of the student from the browser instead.",
        ) from error
