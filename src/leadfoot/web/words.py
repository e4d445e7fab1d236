"""How numbers, odds and marks are written on a page: the filters of the templates."""

import math
import re
from collections.abc import Callable, Mapping
from datetime import date
from types import MappingProxyType
from typing import Any

from babel.dates import format_date
from markupsafe import Markup

from leadfoot.desk.days import MONTHS, WEEKDAYS, day_in_words, weekday_in_words
from leadfoot.desk.places import PLACES, said_place
from leadfoot.desk.planning import plan_words
from leadfoot.desk.records import Lesson
from leadfoot.desk.wording import amount, decimals_for, in_100, next_step_words
from leadfoot.evidence.judgement import Verdict
from leadfoot.language.catalogue import ENGLISH
from leadfoot.language.numbers import number
from leadfoot.language.say import spoken
from leadfoot.quantities import glossary
from leadfoot.units import UNITS

SIDED = frozenset(
    {
        "offline",
        "launch_direction",
        "face_angle",
        "face_to_path",
        "club_path",
        "swing_direction",
        "spin_axis",
    }
)
"""Quantities whose sign means left or right of something: the word stands beside the number."""

UNTITLED = "Lesson"
"""The title of a lesson that was given none."""

UNIT_SHOWN: Mapping[str, str] = MappingProxyType({"deg": "°", "degC": "°C", "degF": "°F"})

VERDICT_WORDS: Mapping[Verdict, str] = MappingProxyType(
    {"yes": "yes", "no": "no", "not_yet": "cannot tell yet"}
)


def place_words(place: str) -> str:
    """A place as a form has it: its words, or its name.

    Examples
    --------
    >>> place_words("range"), place_words("Hill Farm")
    ('at the range', 'Hill Farm')
    """
    return PLACES.get(place, place)


def unit_shown(unit: str | None) -> str:
    """A unit as it is printed after a number.

    Examples
    --------
    >>> unit_shown("deg"), unit_shown("yd"), unit_shown(None)
    ('°', 'yd', '')
    """
    return UNIT_SHOWN.get(unit, unit) if unit is not None else ""


def cell(value: float, quantity: str, unit: str | None) -> str:
    """One shot's value in a table: the unit stands in the header, a sign shows the side.

    Examples
    --------
    >>> cell(94.26, "carry", "yd"), cell(-3.04, "offline", "yd"), cell(2600, "spin_rate", "rpm")
    ('94.3', '−3.0', '2600')
    """
    if not math.isfinite(value):
        return "–"
    decimals = 0 if unit == "rpm" else 2 if unit is None else 1
    return number(value, decimals, sign=quantity in SIDED)


def level(value: float, kind: str, unit: str | None) -> str:
    """The level of an outcome before or with the change, as people say it.

    Examples
    --------
    >>> level(94.2, "level", "mph"), level(-4.1, "bias", "yd")
    ('94.2 mph', '4.1 yd left')
    >>> level(0.13, "mishits", None)
    '13 in 100'
    """
    if not math.isfinite(value):
        return "–"
    if kind == "mishits":
        return f"{value * 100:.0f} in 100"
    decimals = _level_decimals(unit)
    if kind == "bias":
        size = amount(abs(value), unit, decimals=decimals)
        if not f"{abs(value):.{decimals}f}".strip("0."):
            return "on the line"
        return f"{size} {'right' if value > 0 else 'left'}"
    return amount(value, unit, decimals=decimals)


def gain(value: float, unit: str | None) -> str:
    """The size of a gain or a spread, to a tenth.

    Examples
    --------
    >>> gain(2.14, "mph"), gain(math.inf, "yd")
    ('2.1 mph', '–')
    """
    return amount(value, unit, decimals=1) if math.isfinite(value) else "–"


def _level_decimals(unit: str | None) -> int:
    return 0 if unit == "rpm" else 2 if unit is None else 1


def signed(value: float, kind: str, unit: str | None) -> str:
    """A change with its sign.

    Examples
    --------
    >>> signed(5.12, "level", "mph"), signed(-0.034, "mishits", None)
    ('+5 mph', '−3 in 100')
    """
    if not math.isfinite(value):
        return "–"
    if kind == "mishits":
        return f"{round(value * 100):+d} in 100".replace("+0 ", "0 ").replace("-", "−")
    text = amount(value, unit, decimals=decimals_for(value, unit))
    return text if text.startswith("−") or not text.strip("0.° ") else f"+{text}"


def change_range(low: float, high: float, change: float, kind: str, unit: str | None) -> str:
    """The range that holds a change with 90 % probability.

    Examples
    --------
    >>> change_range(3.8, 6.7, 5.1, "level", "mph")
    '+4 to +7'
    """
    if kind == "mishits":
        ends = (signed(low, kind, unit), signed(high, kind, unit))
        return " to ".join(end.removesuffix(" in 100") for end in ends)
    decimals = decimals_for(change, unit)
    return " to ".join(_bare(end, decimals) for end in (low, high))


def _bare(value: float, decimals: int) -> str:
    text = f"{value:+.{decimals}f}"
    return (text.lstrip("+-") if not text.strip("+-0.") else text).replace("-", "−")


def odds_words(odds: float | None) -> str:
    """Odds in words, or that no shot speaks of it.

    Examples
    --------
    >>> odds_words(0.974), odds_words(None)
    ('97 in 100', 'no shot speaks of it')
    """
    return "no shot speaks of it" if odds is None else in_100(odds)


def quantity_name(key: str) -> str:
    """A quantity's name on a page."""
    return glossary()[key].name if key in glossary() else key.replace("_", " ")


def long_day(day: date) -> str:
    """A day as it heads a page, the same on every machine.

    Examples
    --------
    >>> long_day(date(2026, 3, 2))
    'Monday 2 March 2026'
    """
    return f"{WEEKDAYS[day.weekday()]} {day_in_words(day)}"


def short_day(day: date) -> str:
    """A day in a list.

    Examples
    --------
    >>> short_day(date(2026, 3, 2))
    '2 Mar 2026'
    """
    if spoken().code != ENGLISH:
        return format_date(day, "medium", locale=spoken().locale)
    return f"{day.day} {MONTHS[day.month - 1][:3]} {day.year}"


def lesson_name(lesson: Lesson) -> str:
    """What a lesson is called: its title, else its change.

    Examples
    --------
    >>> lesson_name(Lesson(id=1, student_id=1, held_on=date(2026, 3, 2), title="Lesson",
    ...     change="Feet together.", club=None, notes=""))
    'Feet together'
    """
    named = lesson.title and lesson.title != UNTITLED
    return (lesson.title if named else lesson.change or lesson.title).rstrip(".")


def kept_together(sentence: str) -> Markup:
    """A sentence whose brackets never break over two lines.

    Examples
    --------
    >>> kept_together("about 5 mph faster (4 to 7)")
    Markup('about 5 mph faster <span class="together">(4 to 7)</span>')
    """
    parts = re.split(r"(\([^()]{1,24}\))", sentence)
    return Markup("").join(
        Markup('<span class="together">{}</span>').format(part) if k % 2 else part
        for k, part in enumerate(parts)
    )


def size_words(n_bytes: int) -> str:
    """The size of a file.

    Examples
    --------
    >>> size_words(812), size_words(45_000), size_words(3_200_000)
    ('812 bytes', '45 kB', '3.2 MB')
    """
    if n_bytes < 1000:
        return f"{n_bytes} bytes"
    return f"{n_bytes / 1000:.0f} kB" if n_bytes < 1_000_000 else f"{n_bytes / 1e6:.1f} MB"


def counted(n: int, one: str, many: str | None = None) -> str:
    """A number with its noun.

    Examples
    --------
    >>> counted(1, "ball"), counted(12, "ball")
    ('1 ball', '12 balls')
    """
    return f"{n} {one if n == 1 else many or one + 's'}"


def units_for(dimension: str) -> list[str]:
    """Symbols of the units that measure one kind of quantity.

    Examples
    --------
    >>> units_for("spin")
    ['rpm', 'rad/s']
    """
    return [unit.symbol for unit in UNITS.values() if unit.dimension == dimension]


def force(value: float, unit: str, *, signed: bool = False, bare: bool = False) -> str:
    """A number of a swing on force plates, with as many places as it bears.

    Examples
    --------
    >>> force(680.42, "N"), force(0.1234, "m"), force(-5.2, "%", signed=True)
    ('680 N', '12.3 cm', '−5.2 %')
    """
    if not math.isfinite(value):
        return "–"
    value, unit = (100.0 * value, "cm") if unit == "m" else (value, unit)
    decimals = 2 if abs(value) < 1.0 else 1 if abs(value) < 100.0 and unit != "ms" else 0
    text = f"{value:{'+' if signed else ''}.{decimals}f}"
    if not text.strip("+-0."):
        text = text.lstrip("+-")
    return text.replace("-", "−") if bare else f"{text.replace('-', '−')} {unit}"


def outcome(value: float, quantity: str, chosen: str | None = None) -> str:
    """A difference of a speed or a length, in a unit or in the usual one of its quantity.

    Examples
    --------
    >>> outcome(1.0, "club_speed")
    '+2.2 mph'
    """
    unit = chosen or glossary()[quantity].unit or ""
    size = value / UNITS[unit].si_per_unit
    return f"{size:+.1f} {unit}".replace("-", "−")


def push_name(key: str) -> str:
    """A measure of the push on a page.

    Examples
    --------
    >>> push_name("lead_peak_share")
    'how hard: peak of the lead foot'
    """
    return PUSH_NAMES.get(key, key)


PUSH_NAMES: Mapping[str, str] = MappingProxyType(
    {
        "lead_peak_share": "how hard: peak of the lead foot",
        "lead_peak_before_impact": "how early: peak before the strike",
        "lead_impulse": "how much: impulse of the lead foot",
    }
)

FILTERS: Mapping[str, Callable[..., Any]] = MappingProxyType(
    {
        "cell": cell,
        "in_100": in_100,
        "level": level,
        "signed": signed,
        "odds": odds_words,
        "quantity_name": quantity_name,
        "unit": unit_shown,
        "long_day": long_day,
        "weekday": weekday_in_words,
        "short_day": short_day,
        "size": size_words,
        "counted": counted,
        "together": kept_together,
        "lesson_name": lesson_name,
        "plan_words": plan_words,
        "next_step_words": next_step_words,
        "gain": gain,
        "force": force,
        "outcome": outcome,
        "push_name": push_name,
        "at_place": said_place,
        "place_words": place_words,
    }
)
