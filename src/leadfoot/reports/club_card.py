"""Print the student's card of clubs: how far each goes, large enough to be read on the course."""

from typing import Any, Literal

import typst

from leadfoot import __version__
from leadfoot.desk.club_words import club_said
from leadfoot.desk.days import day_in_words
from leadfoot.desk.place_words import place_words
from leadfoot.desk.places import said_place
from leadfoot.desk.yardage import ClubYardage, Yardages
from leadfoot.errors import ReportError
from leadfoot.evidence.reach import Reach
from leadfoot.figures.clubs import clubs_picture
from leadfoot.language.numbers import number, plain_number
from leadfoot.language.say import noted, say
from leadfoot.reports.letters import breakable, clean, every_text, shorten
from leadfoot.reports.typesetting import figure, typeset

FIGURE_MM = 150.0
HOW = (
    noted(
        "Carry is the middle of the solid balls; the range beside it holds eight of them in ten. "
        "Mishits are counted apart: on the course they come on top."
    ),
)


def _length(found: Yardages, reached: Reach | None) -> tuple[str, str]:
    if reached is None:
        return "", ""
    low, middle, high = (
        number(found.shown(length)) for length in (reached.low, reached.middle, reached.high)
    )
    return middle, say("{low} to {high}", low=low, high=high)


def _row(found: Yardages, one: ClubYardage) -> dict[str, Any]:
    carry, carry_range = _length(found, one.carry)
    place, place_range = _length(found, one.place_carry)
    total, _ = _length(found, one.total)
    mishits = one.carry.mishits
    return {
        "club": breakable(shorten(clean(club_said(one.club)), 24)),
        "carry": carry,
        "range": carry_range,
        "total": total,
        "place": place,
        "place_range": place_range,
        "balls": str(one.carry.n),
        "mishits": say("{n} of {all}", n=mishits.k, all=mishits.n),
        "computed": one.basis == "modelled",
    }


def _notes(found: Yardages) -> list[str]:
    notes = [
        say(
            "From all lessons up to {day}; a ball counts half after {days} days.",
            day=day_in_words(found.day),
            days=plain_number(found.half_life_days),
        ),
        say("Measured lengths are taken as hit in {air}.", air=found.air_words),
        say("The balls were hit {place}.", place=clean(said_place(found.place))),
    ]
    notes += [
        say(
            "{club}: hit {place}.",
            club=clean(club_said(one.club)),
            place=clean(said_place(one.place)),
        )
        for one in found.away
    ]
    notes += [clean(each) for each in found.elsewhere]
    if found.weather is not None:
        flown = sum(one.n_flown for one in found.clubs)
        every = sum(one.carry.n for one in found.clubs)
        notes.append(
            say(
                "The air of the place is computed: {flown} of {every} balls by their own flight, "
                "the others by the ratio of these, or of the usual swing of a generic club. In "
                "still air; wind, slope and lie are not in it.",
                flown=flown,
                every=every,
            )
        )
    if found.too_few:
        names = ", ".join(f"{clean(club_said(club))} ({n})" for club, n in found.too_few)
        notes.append(say("Too few balls for a yardage: {clubs}.", clubs=names))
    return [breakable(note) for note in notes]


def card_content(found: Yardages, *, paper: str) -> dict[str, Any]:
    """All texts of the card, as data for the template."""
    who = clean(found.student.name)
    place = (
        "" if found.weather is None else place_words(found.weather, found.unit, found.studio.units)
    )
    data: dict[str, Any] = {
        "paper": paper,
        "invented": found.student.invented,
        "title": " · ".join((say("Clubs"), shorten(who, 60), day_in_words(found.day))),
        "student": breakable(shorten(who, 40)),
        "date": day_in_words(found.day),
        "unit": found.unit,
        "place": place,
        "rows": [_row(found, one) for one in found.clubs],
        "totals": any(one.total is not None for one in found.clubs),
        "between": [breakable(clean(each.said)) for each in found.between],
        "how": [say(one) for one in HOW],
        "notes": _notes(found),
        "version": f"Leadfoot {__version__}",
    }
    texts: dict[str, Any] = every_text(data, clean)
    return texts


def print_club_card(found: Yardages, *, paper: Literal["a4", "us-letter"]) -> bytes:
    """Print the card of clubs as PDF.

    The same input gives the same bytes; the file is tagged for screen readers (PDF/UA-1) and holds
    its fonts.

    Parameters
    ----------
    found
        The clubs of a student.
    paper
        ``a4`` or ``us-letter``.

    Returns
    -------
    bytes
        The PDF.

    Raises
    ------
    ReportError
        If no club has enough balls, or the card could not be set.
    """
    if not found.clubs:
        raise ReportError(
            "No club has enough balls for a card yet.", fix="Hit five balls or more with a club."
        )
    picture = figure(clubs_picture(found, width_mm=FIGURE_MM))
    try:
        return typeset("club_card.typ", card_content(found, paper=paper), {"figure": picture})
    except typst.TypstError as error:
        raise ReportError(
            f"The card could not be set: {error.message}.",
            fix="Print the page of the clubs from the browser instead.",
        ) from error
