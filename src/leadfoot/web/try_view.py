"""A student's bench as its page and its script receive it: balls, rings, flights and words."""

from collections.abc import Mapping
from functools import lru_cache
from typing import Any

import numpy as np

from leadfoot.coaching.try_it import AS_IT_IS, Trial, Tried, tried
from leadfoot.desk.flight_bench import BenchFlight
from leadfoot.desk.try_it import (
    LEAST_SAVED,
    TryStudent,
    in_ten,
    lever_name,
    levers_sentence,
    middle_flight,
)
from leadfoot.desk.wording import amount
from leadfoot.errors import InputError
from leadfoot.figures.spread import ring
from leadfoot.units import si_into
from leadfoot.web.bench_fields import Field, Units
from leadfoot.web.flight_paths import drawn_path
from leadfoot.web.try_query import (
    INPUTS,
    SPREAD,
    TryAsked,
    TryTrouble,
    given_of_lever,
    query_of_given,
    spread_most,
    spread_shown,
    units_of_student,
)
from leadfoot.web.words import counted, signed

SCHEMA = "leadfoot.try_page/1"
_KNOWN = {"measured": "measured", "modelled": "computed", "assumed": "assumed"}


def try_view(student: TryStudent, asked: TryAsked) -> Mapping[str, Any] | TryTrouble:
    """Everything that changes with a slider, ready to be shown."""
    units = units_of_student(student)
    try:
        now = tried(student.swinger, asked.trial, fairway_m=asked.fairway_m)
        today = _today(student, asked.fairway_m)
    except InputError as error:
        return TryTrouble(key="", what=error.what, fix=error.fix)
    unit = units.length
    flights = [
        ("with_change", middle_flight(student, asked.trial)),
        ("before", middle_flight(student, AS_IT_IS)),
    ]
    return {
        "schema": SCHEMA,
        "basis": "computed",
        "sentence": sentence(today, now, asked, unit),
        "numbers": _numbers(today, now, unit),
        "unit": unit,
        "fairway": round(si_into(asked.fairway_m, unit), 2),
        "patterns": {"before": _pattern(today, unit), "with_change": _pattern(now, unit)},
        "flights": {"unit": unit, "flights": [_drawn(*each, unit) for each in flights if each[1]]},
        "ways": _ways(student, asked, units),
        "query": query_of_given(asked.given, student.model_club),
        "changed": not _is_today(asked.trial),
    }


@lru_cache(maxsize=64)
def _today(student: TryStudent, fairway_m: float) -> Tried:
    return tried(student.swinger, AS_IT_IS, fairway_m=fairway_m)


def _is_today(trial: Trial) -> bool:
    return not trial.moved and not trial.spread


def _pattern(found: Tried, unit: str) -> Mapping[str, Any]:
    """Balls as pairs of offline and carry, and the ring that holds two in three."""
    flown = np.isfinite(found.carry_m) & np.isfinite(found.offline_m)
    x, y = (
        np.asarray([si_into(float(value), unit) for value in values[flown]])
        for values in (found.offline_m, found.carry_m)
    )
    around = ring(x, y)
    return {
        "balls": np.column_stack([x, y]).round(2).tolist(),
        "ring": None if around is None else around.outline().round(2).tolist(),
        "unflown": int((~flown).sum()),
    }


def _drawn(role: str, found: BenchFlight | None, unit: str) -> Mapping[str, Any]:
    path = found.flight.path if found is not None else None
    ways = {"x": [], "y": [], "z": []} if path is None else drawn_path(path, unit)
    return {"role": role, "leftOut": path is None, **ways}


def sentence(today: Tried, now: Tried, asked: TryAsked, unit: str) -> str:
    """What the trial does, in one sentence; what it is today where nothing is changed."""
    wide = amount(si_into(asked.fairway_m, unit), unit)
    miss, miss_now = (si_into(each.miss_m, unit) for each in (today, now))
    words = in_ten(now.in_fairway)
    chance = (
        f"{words} stay in a fairway of {wide}"
        if words[0].isdigit()
        else (f"the ball {words} stays in a fairway of {wide}")
    )
    if _is_today(asked.trial):
        return f"As it is: an average miss of {amount(miss, unit)}, and {chance}."
    return (
        f"Tried: an average miss of {amount(miss_now, unit)} instead of {amount(miss, unit)}, and "
        f"{chance}."
    )


def _numbers(today: Tried, now: Tried, unit: str) -> list[Mapping[str, Any]]:
    def length(key: str, name: str, before_m: float, now_m: float) -> Mapping[str, Any]:
        was, here = si_into(before_m, unit), si_into(now_m, unit)
        sided = key == "offline"
        text = _sided if sided else (lambda value: f"{value:.1f}")
        return {
            "key": key,
            "name": name,
            "unit": unit,
            "before_text": text(was),
            "now_text": text(here),
            "moved_text": signed(here - was, "level", unit),
        }

    before, there = (100.0 * each.in_fairway for each in (today, now))
    return [
        {
            "key": "fairway",
            "name": "chance of the fairway",
            "unit": "in 100",
            "before_text": f"{before:.0f}",
            "now_text": f"{there:.0f}",
            "moved_text": f"{there - before:+.0f}".replace("-", "\u2212").replace("+0", "0"),
        },
        length("miss", "average miss", today.miss_m, now.miss_m),
        length("offline", "offline, on average", today.mean_offline_m, now.mean_offline_m),
        length("carry", "carry, on average", today.mean_carry_m, now.mean_carry_m),
    ]


def _sided(value: float) -> str:
    if not f"{abs(value):.1f}".strip("0."):
        return "0.0"
    return f"{abs(value):.1f} {'right' if value > 0 else 'left'}"


def _ways(student: TryStudent, asked: TryAsked, units: Units) -> Mapping[str, str]:
    """The words beside each number, by its key."""
    said = {}
    for key, field in INPUTS.items():
        value = student.middle(field.name) + asked.trial.moved.get(field.name, 0.0)
        shown = asked.given.get(key, field.shown(value, units))
        said[key] = field.way(field.si(shown, units) if shown else 0.0, student.hand)
        said[f"{SPREAD}{key}"] = _spread_words(student, field, asked)
    return said


def _spread_words(student: TryStudent, field: Field, asked: TryAsked) -> str:
    if student.spread(field.name) <= 0.0:
        return "not told apart from the monitor's error"
    factor = asked.trial.spread.get(field.name, 1.0)
    return "as today" if factor == 1.0 else f"{100.0 * factor:.0f} % of today"


def try_fields(
    student: TryStudent, asked: TryAsked, typed: Mapping[str, str]
) -> list[Mapping[str, Any]]:
    """The inputs as the form shows them, each with its middle and its spread."""
    units = units_of_student(student)
    wrong = {trouble.key for trouble in asked.troubles}
    ways = _ways(student, asked, units)

    def one(key: str, label: str, unit: str, today: float, ends: tuple[float, float, float]) -> Any:
        value = asked.given.get(key, today)
        low, high, step = ends
        return {
            "key": key,
            "label": label,
            "unit": unit,
            "low": low,
            "high": high,
            "step": step,
            "today": f"{today:g}",
            "text": typed.get(key, "") if key in wrong else f"{value:g}",
            "way": ways[key],
            "wrong": key in wrong,
            "moved": key in asked.given,
            "fixed": high <= 0.0,
        }

    groups: list[Mapping[str, Any]] = []
    for key, field in INPUTS.items():
        ends, unit = field.ends_in(units), field.unit_words(units)
        middle = field.shown(student.middle(field.name), units)
        most = spread_most(student, field, units)
        near = _near(ends.low, ends.high, middle, spread_shown(student, field, units))
        groups.append(
            {
                "label": field.label,
                "known": _KNOWN[student.known[field.name]],
                "middle": one(key, "middle", unit, middle, (*near, _step(near[1] - near[0]))),
                "spread": one(
                    f"{SPREAD}{key}",
                    "spread",
                    f"\u00b1{unit}" if unit == "\u00b0" else f"\u00b1 {unit}",
                    spread_shown(student, field, units),
                    (0.0, most, _step(most)),
                ),
            }
        )
    return groups


def _near(low: float, high: float, middle: float, spread: float) -> tuple[float, float]:
    """Ends of a slider about today: four spreads to either side, and always the square one."""
    reach = max(4.0 * spread, 0.12 * (high - low))
    left, right = middle - reach, middle + reach
    if low < 0.0 < high:
        left, right = min(left, -1.0), max(right, 1.0)
    return max(low, float(np.floor(left))), min(high, float(np.ceil(right)))


def _step(width: float) -> float:
    return 0.1 if width <= 40.0 else 0.5


def lever_rows(student: TryStudent) -> list[Mapping[str, Any]]:
    """What would make the miss smaller, the strongest first, each ready to be tried."""
    units = units_of_student(student)
    today = student.levers.today_m
    rows: list[Mapping[str, Any]] = []
    for lever in student.levers.levers:
        given = given_of_lever(student, lever)
        if lever.miss_saved_share < LEAST_SAVED or not given:
            continue
        rows.append(
            {
                "name": lever_name(lever),
                "miss": amount(si_into(lever.miss_m, units.length), units.length, decimals=1),
                "saved": f"{100.0 * lever.miss_saved_share:.0f} %",
                "carry": amount(si_into(lever.carry_m, units.length), units.length),
                "how": [_how(key, value, student) for key, value in given.items()],
                "given": given,
                "query": query_of_given(given, student.model_club),
                "today": amount(si_into(today, units.length), units.length, decimals=1),
            }
        )
    return rows


def _how(key: str, value: float, student: TryStudent) -> str:
    """A value of a field as it would be: 'face angle to 1.2° right, open'."""
    units = units_of_student(student)
    plain = key.removeprefix(SPREAD)
    field = INPUTS[plain]
    unit = field.unit_words(units)
    space = "" if unit == "\u00b0" else " "
    if key != plain:
        today = spread_shown(student, field, units)
        return f"spread of {field.label.lower()} from {today:g} to {value:g}{space}{unit}"
    way = field.way(field.si(value, units) if value else 0.0, student.hand)
    size = abs(value) if way else value
    return f"{field.label.lower()} to {size:g}{space}{unit} {way}".rstrip()


def levers_words(student: TryStudent) -> str:
    """What would halve the miss, and on what that rests."""
    return levers_sentence(student.levers, units_of_student(student).length)


def rests_words(student: TryStudent) -> str:
    """What the bench rests on."""
    side = (
        "Today is the middle of the balls with the change, with the spread within both blocks"
        if student.compared
        else "Today is the middle and the spread of all balls that count"
    )
    return f"{side}: {counted(student.n_balls, 'ball')}, the monitor's error taken off."
