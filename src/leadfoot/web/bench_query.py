"""The state of the flight bench in an address: read with every doubt named, written plainly.

``units``, ``hand``, ``club`` and the fields say what is tried now, the same names after ``before.``
what it is compared with; a field that is not there is the usual of the club, and marked assumed.
``lesson`` is the lesson that it began with. What only a form sends: ``assumed`` (fields that it
showed as assumed), ``from_club`` and ``written`` (club and units in which it was shown), ``keep``
and ``drop``.
"""

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from urllib.parse import urlencode

from leadfoot.desk.flight_bench import Bench, usual_bench
from leadfoot.desk.records import Hand
from leadfoot.desk.studio import USUAL_STUDIO, Studio
from leadfoot.web.bench_fields import (
    FIELDS,
    OF_THE_CLUB,
    SYSTEMS,
    Field,
    Units,
    system_named,
    system_of,
)

BEFORE = "before."
FORM_ONLY = frozenset({"assumed", "from_club", "written", "keep", "drop"})
_HANDS: tuple[Hand, ...] = ("right", "left")
_NUMBER = re.compile(r"[+-]?[0-9]{1,9}(\.[0-9]{0,20})?|[+-]?\.[0-9]{1,20}")
_LONGEST_SHOWN = 40  # letters of a wrong value that are said again
_HIGHEST_LESSON = 2**63 - 1  # what a row of the book can be numbered


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldTrouble:
    """A value that can't be used: whose it is, what is wrong, what is allowed."""

    key: str
    what: str
    fix: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Try:
    """A club, and the fields that were given, in SI by their key; the others are its usual."""

    club_key: str
    given: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))

    def bench(self, hand: Hand, studio: Studio = USUAL_STUDIO) -> Bench:
        """What the desk flies."""
        usual = usual_in(studio, self.club_key, hand=hand)
        return usual.having(**{FIELDS[key].name: value for key, value in self.given.items()})


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """The whole state of the bench; with troubles, what can't be used is left at the usual."""

    units: Units
    hand: Hand
    now: Try
    before: Try | None = None
    lesson_id: int | None = None
    troubles: tuple[FieldTrouble, ...] = ()
    studio: Studio = USUAL_STUDIO
    """Whose units and air stand where nothing was said, and whose clubs there are."""


def usual_in(studio: Studio, club_key: str, *, hand: Hand = "right") -> Bench:
    """The usual swing of a club, in the air of a studio."""
    return usual_bench(
        club_key, hand=hand, weather=studio.weather, own_club=studio.own_clubs.get(club_key)
    )


def read_asked(params: Mapping[str, str], studio: Studio = USUAL_STUDIO) -> Asked:
    """Read an address or a form; nothing in it can make this fail.

    Examples
    --------
    >>> asked = read_asked({"club": "iron7", "face_angle": "2", "units": "mph"})
    >>> asked.now.club_key, round(asked.now.given["face_angle"], 4), asked.troubles
    ('iron7', 0.0349, ())
    >>> read_asked({"face_angle": "much"}).troubles[0].what
    "Face angle 'much' is no number."
    """
    troubles: list[FieldTrouble] = []
    units = system_named(params.get("units", ""))
    if units is None:
        own = system_of(studio.units)
        choices = tuple(dict.fromkeys((own.key, *SYSTEMS)))
        units = system_named(_choice(params, "units", choices, troubles)) or own
    written = system_named(params.get("written", "")) or units
    hand: Hand = "left" if _choice(params, "hand", _HANDS, troubles) == "left" else "right"
    now = _try(_without_assumed(params, written, studio), written, troubles, studio)
    before = None
    kept = {
        key.removeprefix(BEFORE): text for key, text in params.items() if key.startswith(BEFORE)
    }
    if kept:
        before = _try(kept, written, troubles, studio, of=BEFORE)
    if "keep" in params:
        before = now
    if "drop" in params:
        before = None
    return Asked(
        units=units,
        hand=hand,
        now=now,
        before=before,
        lesson_id=_lesson(params, troubles),
        troubles=tuple(troubles),
        studio=studio,
    )


def query_of(asked: Asked) -> str:
    """Write a state as the query of an address.

    Examples
    --------
    >>> query_of(read_asked({"face_angle": "2.0", "hand": "left"}))
    'units=mph&hand=left&club=driver&face_angle=2'
    """
    pairs: list[tuple[str, str]] = [("units", asked.units.key), ("hand", asked.hand)]
    pairs += _pairs(asked.now, asked.units, "")
    if asked.before is not None:
        pairs += _pairs(asked.before, asked.units, BEFORE)
    if asked.lesson_id is not None:
        pairs.append(("lesson", str(asked.lesson_id)))
    return urlencode(pairs, safe="/")


def with_lesson_trouble(asked: Asked) -> Asked:
    """The same state where the book has no such lesson."""
    trouble = FieldTrouble(
        key="lesson",
        what=f"The client book has no lesson {asked.lesson_id}.",
        fix="Open the flight bench from a lesson's own page.",
    )
    return replace(asked, troubles=(*asked.troubles, trouble))


def number_text(value: float) -> str:
    """A number of a field as it is typed.

    Examples
    --------
    >>> number_text(94.0), number_text(-1.25)
    ('94', '-1.25')
    """
    return f"{value:.2f}".rstrip("0").rstrip(".")


def _pairs(tried: Try, units: Units, of: str) -> list[tuple[str, str]]:
    fields = [
        (f"{of}{key}", number_text(FIELDS[key].shown(value, units)))
        for key, value in tried.given.items()
    ]
    return [(f"{of}club", tried.club_key), *fields]


def _try(
    params: Mapping[str, str],
    units: Units,
    troubles: list[FieldTrouble],
    studio: Studio,
    *,
    of: str = "",
) -> Try:
    """Read one try; every value that can't be used is named."""
    club_key = _choice(params, "club", club_keys(studio), troubles, of=of)
    given = {}
    for key, known in FIELDS.items():
        text = params.get(key, "").strip()
        if not text:
            continue
        value = _value(known, text, units)
        if isinstance(value, FieldTrouble):
            troubles.append(replace(value, key=f"{of}{key}"))
        else:
            given[key] = known.si(value, units)
    return Try(club_key=club_key, given=MappingProxyType(given))


def club_keys(studio: Studio) -> tuple[str, ...]:
    """The clubs to choose from: the generic ones, then the studio's own."""
    return (*(key for key in studio.clubs if key not in studio.own_clubs), *studio.own_clubs)


def _value(known: Field, text: str, units: Units) -> float | FieldTrouble:
    ends, unit = known.ends_in(units), known.unit_words(units)
    space = "" if unit.startswith(("°", "%")) else " "
    allowed = f"from {ends.low:g} to {ends.high:g}{space}{unit}".replace("-", "−")
    plain = text.replace("−", "-").replace(",", ".")
    if not _NUMBER.fullmatch(plain):
        return FieldTrouble(
            key=known.key,
            what=f"{known.label} {_said(text)} is no number.",
            fix=f"Type a number {allowed}.",
        )
    value = float(plain)
    if not (math.isfinite(value) and ends.low <= value <= ends.high):
        shown = f"{value:g}".replace("-", "−")
        return FieldTrouble(
            key=known.key,
            what=f"{known.label} is {shown}{space}{unit}, more than this page can try."
            if value > ends.high
            else f"{known.label} is {shown}{space}{unit}, less than this page can try.",
            fix=f"Choose a value {allowed}.",
        )
    return value


def _choice(
    params: Mapping[str, str],
    key: str,
    choices: tuple[str, ...],
    troubles: list[FieldTrouble],
    *,
    of: str = "",
) -> str:
    """One of a few values; the first where nothing is said, or where it can't be used."""
    text = params.get(key, "")
    if text in choices:
        return text
    if text:
        troubles.append(
            FieldTrouble(
                key=f"{of}{key}",
                what=f"{key.capitalize()} {_said(text)} is not known here.",
                fix=f"Use one of: {', '.join(choices)}.",
            )
        )
    return choices[0]


def _lesson(params: Mapping[str, str], troubles: list[FieldTrouble]) -> int | None:
    text = params.get("lesson", "")
    if not text:
        return None
    if re.fullmatch(r"[0-9]{1,19}", text) and int(text) <= _HIGHEST_LESSON:
        return int(text)
    troubles.append(
        FieldTrouble(
            key="lesson",
            what=f"Lesson {_said(text)} is no number of a lesson.",
            fix="Open the flight bench from a lesson's own page.",
        )
    )
    return None


def _without_assumed(params: Mapping[str, str], units: Units, studio: Studio) -> Mapping[str, str]:
    """A form sends every field: those that were shown as assumed, and left so, stay assumed."""
    from_club = params.get("from_club", "")
    if from_club not in studio.clubs:
        return params
    usual = usual_in(studio, from_club)
    untouched = {
        key
        for key in params.get("assumed", "").split(".")
        if key in FIELDS and params.get(key) == shown_text(usual, FIELDS[key], units)
    }
    if params.get("club", from_club) != from_club:
        untouched.update(OF_THE_CLUB)
    return {key: text for key, text in params.items() if key not in untouched}


def shown_text(bench: Bench, known: Field, units: Units, *, given: bool = False) -> str:
    """What a field shows of a try; an assumed value needs no more than one decimal."""
    decimals = 2 if given else 1
    return number_text(known.shown(bench.value(known.name), units, decimals=decimals))


def _said(text: str) -> str:
    return repr(text if len(text) <= _LONGEST_SHOWN else f"{text[:_LONGEST_SHOWN]}…")
