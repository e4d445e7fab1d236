"""Rows of any table of the book as JSON has them, and back, without loss.

Text is text, a number is a number (floats as the shortest text that reads back as the same float),
a yes or no is true or false, a day is ``2026-03-01``, a moment is ``2026-03-01T09:15:00.000000Z``,
bytes are ``{"file": "files/..."}``. What is JSON inside the book is the text that stands there.
"""

import importlib
import math
import pkgutil
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, date, datetime
from functools import cache
from typing import Any

from sqlalchemy import (
    Boolean,
    Column,
    Date,
    DateTime,
    Float,
    Integer,
    LargeBinary,
    MetaData,
    String,
    Table,
)
from sqlalchemy.types import TypeDecorator, TypeEngine

import leadfoot.book
from leadfoot.book.tables import Base

MOMENT = "%Y-%m-%dT%H:%M:%S.%fZ"
_LARGEST = 2**63
_ENDLESS = {"Infinity": math.inf, "-Infinity": -math.inf}  # JSON has no such numbers


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of column: what it is called, how it goes into JSON, and how it comes back."""

    name: str
    out: Callable[[Any], Any]
    back: Callable[[Any], Any]


class WrongValueError(ValueError):
    """A value of an export is not of its column's kind."""


@cache
def exported_tables() -> tuple[Table, ...]:
    """The tables that an export holds, each after those to which it points.

    They are read from the modules of this package whose names end in ``tables``, so that none has
    to be named here.
    """
    for module in pkgutil.iter_modules(leadfoot.book.__path__):
        if module.name.endswith("tables"):
            importlib.import_module(f"leadfoot.book.{module.name}")
    return tuple(table for table in Base.metadata.sorted_tables if table.info.get("exported", True))


def plain_table(table: Table) -> Table:
    """A table with the types of SQL alone, so that values pass as they are stored."""
    return Table(
        table.name,
        MetaData(),
        *(Column(one.name, _below(one.type), primary_key=one.primary_key) for one in table.columns),
    )


def in_utc(row: dict[str, Any]) -> dict[str, Any]:
    """A plain row with its moments in UTC, whether the database keeps zones (or not, as SQLite).

    Examples
    --------
    >>> in_utc({"id": 1, "at": datetime(2026, 3, 1, 9)})["at"].tzinfo
    datetime.timezone.utc
    """
    return {
        name: _utc(value) if isinstance(value, datetime) else value for name, value in row.items()
    }


def kind_of(type_: TypeEngine[Any]) -> Kind:
    """The kind of a column.

    Examples
    --------
    >>> kind_of(Date()).out(date(2026, 3, 1))
    '2026-03-01'
    >>> kind_of(Integer()).back("1")
    Traceback (most recent call last):
    leadfoot.book.plain_rows.WrongValueError: '1' is no whole number of 64 bits
    """
    below = _below(type_)
    for sql_type, kind in _KINDS:
        if isinstance(below, sql_type):
            return kind
    raise TypeError(f"No export is known for columns of type {below!r}.")


def _below(type_: TypeEngine[Any]) -> TypeEngine[Any]:
    return type_.impl_instance if isinstance(type_, TypeDecorator) else type_


def _number_out(value: float) -> float | str:
    return value if math.isfinite(value) else ("Infinity" if value > 0 else "-Infinity")


def _utc(value: datetime) -> datetime:
    return value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)


def _moment_out(value: datetime) -> str:
    return f"{_utc(value).replace(tzinfo=None).isoformat(timespec='microseconds')}Z"


def _text_back(value: Any) -> str:
    if not isinstance(value, str):
        raise WrongValueError(f"{value!r} is no text")
    return value


def _whole_back(value: Any) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or abs(value) >= _LARGEST:
        raise WrongValueError(f"{value!r} is no whole number of 64 bits")
    return value


def _number_back(value: Any) -> float:
    if isinstance(value, str) and value in _ENDLESS:
        return _ENDLESS[value]
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise WrongValueError(f"{value!r} is no number")
    return float(value)


def _truth_back(value: Any) -> bool:
    if not isinstance(value, bool):
        raise WrongValueError(f"{value!r} is neither true nor false")
    return value


def _day_back(value: Any) -> date:
    try:
        return date.fromisoformat(_text_back(value))
    except ValueError as error:
        raise WrongValueError(f"{value!r} is no day such as 2026-03-01") from error


def _moment_back(value: Any) -> datetime:
    try:
        return datetime.strptime(_text_back(value), MOMENT).replace(tzinfo=UTC)
    except ValueError as error:
        raise WrongValueError(
            f"{value!r} is no moment such as 2026-03-01T09:15:00.000000Z"
        ) from error


def _same(value: Any) -> Any:
    return value


_KINDS: tuple[tuple[type[TypeEngine[Any]], Kind], ...] = (
    (Boolean, Kind("yes or no", bool, _truth_back)),
    (Integer, Kind("whole number", int, _whole_back)),
    (Float, Kind("number", _number_out, _number_back)),
    (DateTime, Kind("moment", _moment_out, _moment_back)),
    (Date, Kind("day", date.isoformat, _day_back)),
    (LargeBinary, Kind("bytes", _same, _same)),
    (String, Kind("text", _same, _text_back)),
)
