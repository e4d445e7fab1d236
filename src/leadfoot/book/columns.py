"""Column types of the client book: texts, times and values that come back as they went in."""

import json
import math
from collections.abc import Mapping
from datetime import UTC, datetime
from functools import lru_cache
from types import MappingProxyType

from sqlalchemy import BigInteger, DateTime, Dialect, Integer, Text
from sqlalchemy.types import TypeDecorator

from leadfoot.errors import InputError, UnitError
from leadfoot.shots.shot import Reading
from leadfoot.units import UNITS

NUMBER = BigInteger().with_variant(Integer, "sqlite")
"""Row numbers: 64 bits everywhere; SQLite counts up by itself only in a plain INTEGER."""


class Words(TypeDecorator[str]):
    """Text of any length in any script.

    Two things are no characters to a database and come back as U+FFFD, the mark that Unicode has
    for them: U+0000, and half of a surrogate pair (a file name with broken bytes, for example).
    """

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: str | None, dialect: Dialect) -> str | None:  # noqa: ARG002
        """Make the text storable."""
        return None if value is None else storable(value)


class Moment(TypeDecorator[datetime]):
    """A time with its zone; the book keeps UTC."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Turn the time into UTC, or refuse it where its zone is unknown."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise InputError(
                f"The time {value.isoformat()} has no zone.",
                fix="Give it with its zone, for example datetime.now(UTC).",
            )
        utc = value.astimezone(UTC)
        return utc.replace(tzinfo=None) if dialect.name == "sqlite" else utc

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Give the time back in UTC."""
        if value is None:
            return None
        return value.replace(tzinfo=UTC) if dialect.name == "sqlite" else value.astimezone(UTC)


class ShotValues(TypeDecorator[Mapping[str, Reading]]):
    """The values of one shot as JSON text, ``{quantity: [value, unit]}``, floats exact."""

    impl = Text
    cache_ok = True

    def process_bind_param(
        self,
        value: Mapping[str, Reading] | None,
        dialect: Dialect,  # noqa: ARG002
    ) -> str | None:
        """Write the values, each as its shortest text that reads back as the same float."""
        if value is None:
            return None
        pairs = {key: [_finite(key, one), _known_unit(key, one)] for key, one in value.items()}
        return json.dumps(pairs, allow_nan=False, separators=(",", ":"))

    def process_result_value(
        self,
        value: str | None,
        dialect: Dialect,  # noqa: ARG002
    ) -> Mapping[str, Reading] | None:
        """Read the values back."""
        return None if value is None else _values(value)


@lru_cache(maxsize=8192)  # a running lesson is read again with every ball
def _values(text: str) -> Mapping[str, Reading]:
    pairs = json.loads(text)
    return MappingProxyType(
        {key: Reading(value=number, unit=unit) for key, (number, unit) in pairs.items()}
    )


def storable(text: str) -> str:
    """Give the text as the book keeps it: see `Words`.

    Examples
    --------
    >>> storable("Zoë 7番")
    'Zoë 7番'
    >>> storable("a" + chr(0) + "b") == "a" + chr(0xFFFD) + "b"
    True
    """
    whole = text.replace("\0", "\ufffd")
    try:
        whole.encode()
    except UnicodeEncodeError:
        return whole.encode("utf-16-le", "surrogatepass").decode("utf-16-le", "replace")
    return whole


def _finite(quantity: str, reading: Reading) -> float:
    number = float(reading.value)
    if not math.isfinite(number):
        raise InputError(
            f"The value of {quantity} is {number}; the book keeps finite numbers only.",
            fix="Leave the value away where there is none.",
        )
    return number


def _known_unit(quantity: str, reading: Reading) -> str | None:
    if reading.unit is not None and reading.unit not in UNITS:
        raise UnitError(
            f"The unit of {quantity} is {reading.unit!r}, which is no unit of the glossary.",
            fix=f"Use one of: {', '.join(UNITS)}.",
        )
    return reading.unit
