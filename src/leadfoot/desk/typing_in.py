"""One ball typed in between two swings: a line such as ``94 165 2R``."""

import math
import re
from collections.abc import Mapping, Sequence

from leadfoot.desk.records import Hand
from leadfoot.errors import InputError
from leadfoot.quantities import quantity
from leadfoot.shots.cell import CellRule, read_cell
from leadfoot.shots.shot import Reading
from leadfoot.tables.marks import Mark
from leadfoot.units import unit_named

DEFAULT_FIELDS = ("club_speed", "carry", "offline")
"""What a typed line holds unless the coach chose otherwise."""

_MISSING = {"-", "--", "–", "x"}
_SIDE_APART = re.compile(r"(?<=\d)\s+(?=[RLrl]\b)")


def read_line(line: str, fields: Sequence[str], *, hand: Hand) -> Mapping[str, Reading]:
    """Read the values of one ball.

    Parameters
    ----------
    line
        Values separated by blanks, in the order of `fields`; ``-`` for one that is not known.
    fields
        Quantity keys, with a unit after a colon where it is not the usual one: ``carry:m``.
    hand
        The student's hand, for words such as "open".

    Returns
    -------
    Mapping of quantity to reading
        Only the values that were given.

    Raises
    ------
    InputError
        If the line is empty, has more values than fields, or a value is no number or can't be.

    Examples
    --------
    >>> read_line("94 165 2R", ("club_speed", "carry", "offline"), hand="right")["offline"]
    Reading(value=2.0, unit='yd')
    """
    tokens = _SIDE_APART.sub("", line.strip()).split()
    if not tokens:
        raise InputError("The line is empty.", fix=f"Type {_expected(fields)}.")
    if len(tokens) > len(fields):
        raise InputError(
            f"The line has {len(tokens)} values, but {len(fields)} are expected.",
            fix=f"Type {_expected(fields)}.",
        )
    values = {}
    for token, field in zip(tokens, fields, strict=False):
        key, unit = _field(field)
        if token not in _MISSING:
            values[key] = _value(token, key, unit, hand)
    if not values:
        raise InputError("The line has no value.", fix=f"Type {_expected(fields)}.")
    return values


def _field(field: str) -> tuple[str, str | None]:
    key, _, unit = field.partition(":")
    return key, unit_named(unit).symbol if unit else quantity(key).unit


def _value(token: str, key: str, unit: str | None, hand: Hand) -> Reading:
    known = quantity(key)
    rule = CellRule(quantity=key, dimension=known.dimension, decimal=_decimal(token), hand=hand)
    cell = read_cell(token, rule)
    if cell.reason is not None or math.isnan(cell.value):
        raise InputError(
            f"{token!r} is not a value of {known.name}.",
            fix="Type a number, with R or L behind it for a side.",
        )
    reading = Reading(value=cell.value, unit=cell.unit or unit)
    low, high = known.plausible_si()
    if not low <= reading.si <= high:
        raise InputError(
            f"{known.name.capitalize()} {token} {unit or ''}".rstrip() + " can't be.",
            fix="Check the number, the order of the values and the unit.",
        )
    return reading


def _decimal(token: str) -> Mark:
    """A single comma is a decimal mark: nobody types thousands marks in a hurry."""
    return "," if "," in token else "."


def _expected(fields: Sequence[str]) -> str:
    parts = []
    for field in fields:
        key, unit = _field(field)
        parts.append(f"{quantity(key).name}{f' in {unit}' if unit else ''}")
    return ", ".join(parts) + ", with blanks between"
