"""The flight bench as its page and its script receive it: numbers, words and ways to draw."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from leadfoot.desk.bench_parts import parts
from leadfoot.desk.flight_bench import Bench, BenchFlight, bench_flight
from leadfoot.errors import InputError
from leadfoot.quantities import glossary
from leadfoot.units import si_into
from leadfoot.web.bench_fields import (
    AIR_FIELDS,
    DELIVERY_FIELDS,
    FIELDS,
    OF_THE_CLUB,
)
from leadfoot.web.bench_query import (
    BEFORE,
    Asked,
    FieldTrouble,
    club_keys,
    query_of,
    shown_text,
    usual_in,
)
from leadfoot.web.bench_words import START, flag_words, moved, number_words, sentence, why
from leadfoot.web.flight_paths import drawn_path
from leadfoot.web.words import SIDED, unit_shown

SCHEMA = "leadfoot.flight_page/1"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Tried:
    """Both tries as they flew; ``before`` is None where there is nothing to compare with."""

    now: tuple[Bench, BenchFlight]
    before: tuple[Bench, BenchFlight] | None


def tried(asked: Asked) -> Tried | FieldTrouble:
    """Fly what was asked for, or say what can't be struck or flown."""
    found = []
    for one, of, name in ((asked.now, "", "now"), (asked.before, BEFORE, "before")):
        if one is None:
            continue
        bench = one.bench(asked.hand, asked.studio)
        try:
            found.append((bench, bench_flight(bench)))
        except InputError as error:
            where = "" if not of else " (the flight before)"
            return FieldTrouble(key=f"{of}{name}", what=f"{error.what}{where}", fix=error.fix)
    return Tried(now=found[0], before=found[1] if len(found) > 1 else None)


def view_of(asked: Asked, found: Tried) -> Mapping[str, Any]:
    """Everything that changes with a slider, ready to be shown."""
    units, now, before = asked.units, found.now, found.before
    flights = [("with_change", now[1]), *([("before", before[1])] if before else [])]
    return {
        "schema": SCHEMA,
        "basis": "computed",
        "sentence": sentence(now[1], before[1] if before else None, units),
        "why": START if before is None else why(before[0], now[0], parts(before[0], now[0]), units),
        "numbers": _numbers(asked, found),
        "flags": flag_words(now[1].flags),
        "flags_before": flag_words(before[1].flags) if before else [],
        "ways": {
            key: known.way(now[0].value(known.name), asked.hand) for key, known in FIELDS.items()
        },
        "tries": {
            "now": try_words(asked, now[0]),
            "before": before and try_words(asked, before[0]),
        },
        "query": query_of(asked),
        "flights": {
            "unit": units.length,
            "flights": [
                {"role": role, "leftOut": False, **drawn_path(one.flight.path, units.length)}
                for role, one in flights
                if one.flight.path is not None
            ],
        },
    }


def _numbers(asked: Asked, found: Tried) -> list[Mapping[str, Any]]:
    """One row for each number: before, now, and now less before."""
    rows: list[Mapping[str, Any]] = []
    before = found.before[1].numbers if found.before else {}
    for key, now_si in found.now[1].numbers.items():
        unit = asked.units.of(glossary()[key].dimension)
        sided = key in SIDED
        now = si_into(now_si, unit)
        row: dict[str, Any] = {
            "key": key,
            "name": glossary()[key].name,
            "unit": unit_shown(unit),
            "now": round(now, 3) + 0.0,
            "now_text": number_words(now, unit, sided=sided),
        }
        if key in before:
            was = si_into(before[key], unit)
            row |= {
                "before": round(was, 3) + 0.0,
                "before_text": number_words(was, unit, sided=sided),
                "moved_text": moved(now - was, unit, sided=sided),
            }
        rows.append(row)
    return rows


def try_words(asked: Asked, bench: Bench) -> str:
    """A try in one line: club, and what differs from square, middle and the air of the studio."""
    usual = usual_in(asked.studio, bench.club_key, hand=asked.hand)
    said = [bench.club.name]
    for known in (*DELIVERY_FIELDS, *AIR_FIELDS):
        value = bench.value(known.name)
        if known.key not in OF_THE_CLUB and value == usual.value(known.name):
            continue
        unit = known.unit_words(asked.units)
        space = "" if unit in {"°", "°C", "°F", "%"} else " "
        number = known.shown(value, asked.units, decimals=1)
        way = known.way(value, asked.hand)
        size = f"{abs(number) if way else number:g}".replace("-", "−")
        said.append(
            f"{_SHORT.get(known.key, known.label.lower())} {size}{space}{unit} {way}".rstrip()
        )
    return ", ".join(said)


_SHORT = {
    "club_speed": "at",
    "attack_angle": "attack",
    "club_path": "path",
    "face_angle": "face",
    "dynamic_loft": "loft",
    "strike_heel_toe": "struck",
    "strike_high_low": "struck",
    "humidity": "humidity",
}


def fields_of(asked: Asked, typed: Mapping[str, str]) -> list[Mapping[str, Any]]:
    """Both groups of fields as the form shows them; a value in trouble stands as it was typed."""
    bench = asked.now.bench(asked.hand, asked.studio)
    wrong = {trouble.key for trouble in asked.troubles}
    return [
        {
            "title": title,
            "fields": [
                {
                    "key": known.key,
                    "label": known.label,
                    "unit": known.unit_words(asked.units),
                    "ends": known.ends_in(asked.units),
                    "text": typed.get(known.key, "")
                    if known.key in wrong
                    else shown_text(bench, known, asked.units, given=known.key in asked.now.given),
                    "way": known.way(bench.value(known.name), asked.hand),
                    "assumed": known.key not in asked.now.given and known.key not in wrong,
                    "wrong": known.key in wrong,
                }
                for known in group
            ],
        }
        for title, group in (("Delivery", DELIVERY_FIELDS), ("Air", AIR_FIELDS))
    ]


def club_choices(asked: Asked) -> list[Mapping[str, Any]]:
    """The generic clubs, each with its usual swing as the fields show it."""
    choices: list[Mapping[str, Any]] = []
    for key in club_keys(asked.studio):
        usual = usual_in(asked.studio, key)
        swing = {name: shown_text(usual, FIELDS[name], asked.units) for name in OF_THE_CLUB}
        choices.append({"key": key, "name": usual.club.name, "swing": swing})
    return choices
