"""The form of a catalogue of clubs: which fields a table has, and what they may be."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, get_args

from leadfoot.errors import InputError, OutOfRangeError
from leadfoot.quantities import ClubClass

NUMBERS: Mapping[str, tuple[float, float]] = MappingProxyType(
    {
        "head_mass_kg": (0.1, 0.5),
        "shaft_mass_kg": (0.0, 0.05),
        "loft_deg": (0.0, 75.0),
        "restitution": (0.3, 0.95),
        "friction": (0.0, 1.0),
        "com_depth_mm": (-10.0, 80.0),
        "com_up_mm": (-30.0, 30.0),
        "com_toe_mm": (-30.0, 30.0),
        "bulge_mm": (0.0, 10_000.0),
        "roll_mm": (0.0, 10_000.0),
        "face_width_mm": (20.0, 150.0),
        "face_height_mm": (10.0, 100.0),
        "length_m": (0.5, 1.3),
        "lie_deg": (45.0, 80.0),
    }
)
"""Fields that hold one number, and the widest range of a real club (common practice, no source)."""

TRIPLES = ("inertia_gcm2", "products_gcm2")
"""Fields that hold three numbers; the ranges stand with the inertia itself."""

NOT_NEEDED: Mapping[str, Any] = MappingProxyType({"products_gcm2": (0.0, 0.0, 0.0)})
"""Fields that may be left away, and what they are then."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One club of a catalogue, every field there and of its kind, in the units of the file."""

    name: str
    club_class: ClubClass
    fields: Mapping[str, Any]

    def number(self, field: str) -> float:
        """A field that holds one number."""
        return float(self.fields[field])

    def triple(self, field: str) -> tuple[float, float, float]:
        """A field that holds three numbers."""
        first, second, third = self.fields[field]
        return float(first), float(second), float(third)


def club_rows(text: str, *, shipped: str) -> Mapping[str, Row]:
    r"""Read a catalogue into rows that are complete and plausible.

    Parameters
    ----------
    text
        TOML, one table a club.
    shipped
        The catalogue from which ``like`` takes.

    Raises
    ------
    InputError
        If the text is no TOML, or a field is unknown, missing, or not what it must be.
    OutOfRangeError
        If a number lies outside what a club can be.

    Examples
    --------
    >>> shipped = '[a]\nname = "one"\nclass = "iron"'
    >>> club_rows('[b]\nlike = "a"', shipped=shipped)
    Traceback (most recent call last):
    ...
    leadfoot.errors.InputError: Club 'b' has no head_mass_kg. Add it, or take it from a club of the
    program with like = "driver".
    """
    tables = _tables(text)
    known = tables if text is shipped else _tables(shipped)
    return MappingProxyType({key: _row(key, table, known) for key, table in tables.items()})


def _tables(text: str) -> dict[str, dict[str, Any]]:
    try:
        tables = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputError(
            f"The catalogue of clubs is not TOML: {error}.",
            fix="Write one table a club, as in the program's own clubs.toml.",
        ) from None
    for key, table in tables.items():
        if not isinstance(table, dict):
            raise InputError(
                f"Entry {key!r} of the catalogue stands outside every club.",
                fix=f"Put a line such as [my_driver] above it, or remove {key!r}.",
            )
    return tables


def _row(key: str, table: dict[str, Any], known: Mapping[str, dict[str, Any]]) -> Row:
    whole = {**NOT_NEEDED, **_model(key, table, known), **table}
    whole.pop("like", None)
    for field in ("name", "class", *NUMBERS, *TRIPLES):
        if field not in whole:
            raise InputError(
                f"Club {key!r} has no {field}.",
                fix='Add it, or take it from a club of the program with like = "driver".',
            )
    for field, value in whole.items():
        _check(key, field, value)
    return Row(name=whole["name"], club_class=whole["class"], fields=MappingProxyType(whole))


def _model(
    key: str, table: dict[str, Any], known: Mapping[str, dict[str, Any]]
) -> Mapping[str, Any]:
    """The fields of the club that this one is like."""
    like = table.get("like")
    if like is None:
        return {}
    if not isinstance(like, str) or like not in known:
        raise InputError(
            f"Club {key!r} is like {like!r}, which is not in the program's catalogue.",
            fix=f"Use one of: {' '.join(known)}.",
        )
    return known[like]


def _check(key: str, field: str, value: object) -> None:
    if field == "name":
        _be(isinstance(value, str) and value != "", key, field, value, "a text")
    elif field == "class":
        classes = get_args(ClubClass)
        _be(value in classes, key, field, value, f"one of {' '.join(classes)}")
    elif field in TRIPLES:
        good = isinstance(value, list | tuple) and len(value) == 3 and all(map(_is_number, value))
        _be(good, key, field, value, "three numbers")
    elif field in NUMBERS:
        _be(_is_number(value), key, field, value, "a number")
        _check_range(key, field, value)
    else:
        raise InputError(
            f"Club {key!r} has a field {field!r} that is not known.",
            fix=f"Use: name class like {' '.join((*NUMBERS, *TRIPLES))}.",
        )


def _check_range(key: str, field: str, value: Any) -> None:
    low, high = NUMBERS[field]
    if not low <= value <= high:
        raise OutOfRangeError(
            f"{field} of club {key!r} is {value:g}; it lies between {low:g} and {high:g}.",
            fix="Check the value and its unit.",
        )


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _be(good: bool, key: str, field: str, value: object, what: str) -> None:
    if not good:
        raise InputError(
            f"{field} of club {key!r} is {value!r}; it must be {what}.",
            fix="Write it as in the program's own clubs.toml.",
        )
