"""Shots as JSON, as a bay sends them: one or a list, each value with its unit."""

import sys
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Final

from leadfoot.errors import InputError, UnitError
from leadfoot.quantities import Quantity, glossary
from leadfoot.shots.columns import units_of
from leadfoot.shots.shot import Reading
from leadfoot.units import unit_named

MOST_SHOTS: Final = 1000
"""Most shots of one request (our own choice)."""
LONGEST_KEY: Final = 200
LONGEST_CLUB: Final = 60
_LARGEST: Final = sys.float_info.max
_FIELDS = ("key", "club", "values")


@dataclass(frozen=True, slots=True, kw_only=True)
class LiveShot:
    """A shot as it came; ``key`` is its sender's own name for it, the same on every try."""

    key: str
    club: str | None
    values: Mapping[str, Reading]

    def as_json(self) -> dict[str, Any]:
        """The shot in the form in which it is sent.

        Examples
        --------
        >>> carry = {"carry": Reading(value=165.0, unit="yd")}
        >>> LiveShot(key="a1", club=None, values=carry).as_json()
        {'key': 'a1', 'club': None, 'values': {'carry': {'value': 165.0, 'unit': 'yd'}}}
        """
        values = {key: {"value": one.value, "unit": one.unit} for key, one in self.values.items()}
        return {"key": self.key, "club": self.club, "values": values}


def read_shots(sent: object) -> tuple[LiveShot, ...]:
    """Read one shot or a list of shots; all or none.

    Parameters
    ----------
    sent
        What a JSON reader gave: an object, or a list of objects.

    Raises
    ------
    InputError
        If anything in it can't be used; it names the place, such as ``[2].values.carry``.

    Examples
    --------
    >>> shot, = read_shots({"key": "a1", "values": {"carry": {"value": 165, "unit": "yd"}}})
    >>> shot.values["carry"]
    Reading(value=165.0, unit='yd')
    """
    if isinstance(sent, Mapping):
        return (_shot(sent, ""),)
    if not isinstance(sent, Sequence) or isinstance(sent, str | bytes) or not sent:
        raise InputError(
            "The body holds no shot.", fix="Send one JSON object, or a list of at least one."
        )
    if len(sent) > MOST_SHOTS:
        raise InputError(
            f"The list has {len(sent)} shots; at most {MOST_SHOTS} are taken at once.",
            fix="Send them in several requests.",
        )
    return tuple(_shot(one, f"[{place}]") for place, one in enumerate(sent))


def _shot(sent: object, place: str) -> LiveShot:
    if not isinstance(sent, Mapping):
        raise InputError(f"{place or 'The body'} is no JSON object.", fix="Send {key, values}.")
    for name in sent:
        if name not in _FIELDS:
            raise InputError(
                f"{_at(place, str(name))} is not known.", fix=f"Use: {', '.join(_FIELDS)}."
            )
    key = _text(sent.get("key"), _at(place, "key"), LONGEST_KEY)
    if key is None:
        raise InputError(
            f"{_at(place, 'key')} is missing.",
            fix="Give each ball a key of its own, and the same key when it is sent again.",
        )
    values = sent.get("values")
    if not isinstance(values, Mapping) or not values:
        raise InputError(
            f"{_at(place, 'values')} holds no value.",
            fix='Send at least one, such as {"carry": {"value": 165, "unit": "yd"}}.',
        )
    read = {str(name): _reading(str(name), one, place) for name, one in values.items()}
    club = _text(sent.get("club"), _at(place, "club"), LONGEST_CLUB)
    return LiveShot(key=key, club=club, values=MappingProxyType(read))


def _text(sent: object, place: str, longest: int) -> str | None:
    if sent is None:
        return None
    if not isinstance(sent, str) or not sent.strip() or len(sent) > longest:
        raise InputError(
            f"{place} must be a text of 1 to {longest} characters.",
            fix="Correct it, send it again.",
        )
    return sent.strip()


def _reading(name: str, sent: object, place: str) -> Reading:
    where = _at(place, f"values.{name}")
    known = glossary().get(name)
    if known is None:
        raise InputError(
            f"{where} is no quantity of the glossary.", fix=f"Use one of: {' '.join(glossary())}."
        )
    if not isinstance(sent, Mapping) or set(sent) - {"value", "unit"}:
        raise InputError(
            f"{where} must be an object with value and unit.",
            fix=f'Send it as {{"value": 1.0, "unit": {_unit_example(known)}}}.',
        )
    reading = Reading(value=_number(sent.get("value"), where), unit=_unit(known, sent, where))
    low, high = known.plausible_si()
    if not low <= reading.si <= high:
        raise InputError(
            f"{where} is {reading.value:g} {reading.unit or ''}".rstrip() + "; that can't be.",
            fix="Check the number and the unit.",
        )
    return reading


def _number(sent: object, where: str) -> float:
    # A whole number of any length may stand in JSON; no float holds one of 400 digits.
    if (
        isinstance(sent, bool)
        or not isinstance(sent, int | float)
        or not -_LARGEST <= sent <= _LARGEST
    ):
        raise InputError(
            f"{where}.value must be a finite number.",
            fix="Leave the quantity away where there is no value.",
        )
    return float(sent)


def _unit(known: Quantity, sent: Mapping[str, object], where: str) -> str | None:
    allowed = units_of(known.key)
    said = sent.get("unit")
    if not allowed:
        if said is not None:
            raise UnitError(f"{where} has no unit, {said!r} was sent.", fix="Leave the unit away.")
        return None
    unit = None
    if isinstance(said, str):
        try:
            unit = unit_named(said).symbol
        except UnitError:
            unit = None
    if unit not in allowed:
        raise UnitError(
            f"{where}.unit is {said!r}.", fix=f"Use one of: {', '.join(sorted(allowed))}."
        )
    return unit


def _at(place: str, name: str) -> str:
    return f"{place}.{name}" if place else name


def _unit_example(known: Quantity) -> str:
    return f'"{known.unit}"' if known.unit else "null"


def shot_schema() -> dict[str, Any]:
    """A JSON Schema of one shot: every quantity of the glossary with the units it may have.

    Examples
    --------
    >>> schema = shot_schema()
    >>> schema["required"], sorted(schema["properties"])
    (['key', 'values'], ['club', 'key', 'values'])
    """
    return {
        "type": "object",
        "additionalProperties": False,
        "required": ["key", "values"],
        "properties": {
            "key": {
                "type": "string",
                "minLength": 1,
                "maxLength": LONGEST_KEY,
                "description": "The sender's own name for this ball, the same whenever it is sent "
                "again: it is in the book once.",
            },
            "club": {
                "type": ["string", "null"],
                "maxLength": LONGEST_CLUB,
                "description": "Left away: the club of the lesson.",
            },
            "values": {
                "type": "object",
                "minProperties": 1,
                "additionalProperties": False,
                "properties": {key: _value_schema(one) for key, one in glossary().items()},
            },
        },
    }


def _value_schema(known: Quantity) -> dict[str, Any]:
    units = sorted(units_of(known.key))
    unit: dict[str, Any] = {"type": "string", "enum": units} if units else {"type": "null"}
    return {
        "type": "object",
        "description": known.name,
        "additionalProperties": False,
        "required": ["value", "unit"] if units else ["value"],
        "properties": {"value": {"type": "number"}, "unit": unit},
    }
