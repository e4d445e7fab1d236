"""What a student's bench is asked: the address of the page, read and written."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from urllib.parse import urlencode

from leadfoot.coaching.try_it import USUAL_FAIRWAY_M, WIDEST_FACTOR, Lever, Trial
from leadfoot.desk.try_it import TryStudent
from leadfoot.units import si_from, si_into
from leadfoot.web.bench_fields import DELIVERY_FIELDS, Ends, Field, Units, system_of

SPREAD = "spread."
FAIRWAY = "fairway"
LEAST_FAIRWAY, WIDEST_FAIRWAY = 1.0, 120.0
"""Widths of a fairway that the page takes, in the coach's unit. Our own choice."""
INPUTS: Mapping[str, Field] = MappingProxyType({field.key: field for field in DELIVERY_FIELDS})
"""The inputs of the delivery, by their key in an address."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TryTrouble:
    """A number of the address that can't be taken."""

    key: str
    what: str
    fix: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TryAsked:
    """What is tried.

    Attributes
    ----------
    trial
        The change.
    given
        Values as they were typed, by key, only those that differ from today.
    fairway_m
        Width of the fairway. [m]
    troubles
        What could not be taken; the trial is without it.
    """

    trial: Trial
    given: Mapping[str, float]
    fairway_m: float
    troubles: tuple[TryTrouble, ...]


def units_of_student(student: TryStudent) -> Units:
    """The coach's units: speed and length as the lesson has them."""
    return system_of(student.studio.units, student.speed_unit, student.length_unit)


def spread_unit(field: Field, value_si: float, units: Units) -> float:
    """A spread in the coach's unit; those units have no offset, so it goes as a value does."""
    return si_into(value_si, field.unit(units))


def read_try(student: TryStudent, query: Mapping[str, str]) -> TryAsked:
    """Read the address of the page.

    Parameters
    ----------
    student
        Who is on the bench: a value that is today's changes nothing.
    query
        ``face_angle`` and the like are middles, ``spread.face_angle`` standard deviations, both in
        the coach's unit; ``fairway`` is a width.
    """
    units = units_of_student(student)
    moved: dict[str, float] = {}
    spread: dict[str, float] = {}
    given: dict[str, float] = {}
    troubles: list[TryTrouble] = []
    for key, field in INPUTS.items():
        middle = _number(query, key, field.ends_in(units), troubles, field.label)
        if middle is not None and middle != field.shown(student.middle(field.name), units):
            given[key] = middle
            moved[field.name] = field.si(middle, units) - student.middle(field.name)
        of_spread = f"{SPREAD}{key}"
        today = spread_shown(student, field, units)
        ends = Ends(low=0.0, high=spread_most(student, field, units), step=0.1)
        wide = _number(query, of_spread, ends, troubles, f"Spread of {field.label.lower()}")
        if wide is not None and wide != today and today > 0.0:
            given[of_spread] = wide
            exact = spread_unit(field, student.spread(field.name), units)
            spread[field.name] = min(wide / exact, WIDEST_FACTOR)
    fairway_ends = Ends(low=LEAST_FAIRWAY, high=WIDEST_FAIRWAY, step=1.0)
    wide = _number(query, FAIRWAY, fairway_ends, troubles, "The fairway")
    fairway_m = USUAL_FAIRWAY_M if wide is None else si_from(wide, units.length)
    if wide is not None:
        given[FAIRWAY] = wide
    return TryAsked(
        trial=Trial(moved=moved, spread=spread),
        given=MappingProxyType(given),
        fairway_m=fairway_m,
        troubles=tuple(troubles),
    )


def spread_shown(student: TryStudent, field: Field, units: Units) -> float:
    """Today's spread as its field shows it."""
    return round(spread_unit(field, student.spread(field.name), units), 2)


def spread_most(student: TryStudent, field: Field, units: Units) -> float:
    """The widest spread that is tried, a little rounded up so that the slider ends on a step."""
    widest = WIDEST_FACTOR * spread_unit(field, student.spread(field.name), units)
    return math.ceil(10.0 * widest - 1e-9) / 10.0


def _number(
    query: Mapping[str, str], key: str, ends: Ends, troubles: list[TryTrouble], label: str
) -> float | None:
    text = query.get(key, "").strip()
    if not text:
        return None
    try:
        value = float(text.replace("\u2212", "-").replace(",", "."))
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        fix = f"Type a number from {ends.low:g} to {ends.high:g}."
        troubles.append(TryTrouble(key=key, what=f"{label}: {text[:40]!r} is no number.", fix=fix))
        return None
    if not ends.low <= value <= ends.high:
        fix = f"Give {ends.low:g} to {ends.high:g}."
        troubles.append(TryTrouble(key=key, what=f"{label}: {value:g} can't be tried.", fix=fix))
        return None
    return round(value, 4)


def query_of_given(given: Mapping[str, float], model_club: str) -> str:
    """The address of a trial."""
    shown = {key: f"{value:.4g}" for key, value in given.items()}
    return urlencode({"club": model_club, **shown})


def given_of_lever(student: TryStudent, lever: Lever) -> Mapping[str, float]:
    """A lever as values of the page's fields."""
    units = units_of_student(student)
    given: dict[str, float] = {}
    for key, field in INPUTS.items():
        if field.name in lever.trial.moved:
            there = student.middle(field.name) + lever.trial.moved[field.name]
            given[key] = field.shown(there, units)
        factor = lever.trial.spread.get(field.name, 1.0)
        if factor != 1.0:
            wide = factor * spread_unit(field, student.spread(field.name), units)
            given[f"{SPREAD}{key}"] = round(wide, 2)
    return given
