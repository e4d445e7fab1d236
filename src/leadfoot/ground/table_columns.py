"""Which column of a table of forces is which quantity of which plate, and how it is remembered."""

import hashlib
import json
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, cast

from leadfoot.errors import MappingError
from leadfoot.ground.table_terms import KIND, QUANTITIES, UNITS_OF, Quantity, plain, understand

SCHEMA = "leadfoot.forces/1"
"""Name and version of a mapping's JSON form."""
_MOST_PLATES = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class ForceRule:
    """What one header means, as confirmed by a person.

    Attributes
    ----------
    header
        Name of the column as the reading gave it.
    quantity
        ``time``, ``fx`` to ``fz``, ``mx`` to ``mz``, ``tz``, ``cx``, ``cy``, ``trigger``; None for
        a column that is not read.
    plate
        Number of the plate, counted from 1; None for time and trigger.
    unit
        Symbol of the unit; None where the quantity has none.

    Raises
    ------
    MappingError
        If quantity, unit or plate is not known.

    Examples
    --------
    >>> ForceRule(header="L", quantity="fz", plate=1, unit="N").plate
    1
    """

    header: str
    quantity: Quantity | None
    plate: int | None = None
    unit: str | None = None

    def __post_init__(self) -> None:
        if self.quantity is None:
            return
        if self.quantity not in QUANTITIES:
            raise MappingError(
                f"Column {self.header!r} is mapped to {self.quantity!r}.",
                fix=f"Use one of: {' '.join(QUANTITIES)}.",
            )
        kind = KIND.get(self.quantity)
        if self.unit is not None and (kind is None or self.unit not in UNITS_OF[kind]):
            raise MappingError(
                f"Column {self.header!r} is {self.quantity} and has the unit {self.unit!r}.",
                fix=f"Use one of: {' '.join(UNITS_OF[kind])}." if kind else "Leave the unit away.",
            )
        needs_plate = self.quantity not in ("time", "trigger")
        if needs_plate and not (self.plate is not None and 1 <= self.plate <= _MOST_PLATES):
            raise MappingError(
                f"Column {self.header!r} is {self.quantity} of plate {self.plate}.",
                fix=f"Give the number of its plate, 1 to {_MOST_PLATES}.",
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class ForceMapping:
    """What the headers of a table of forces mean; matched by name.

    Examples
    --------
    >>> rule = ForceRule(header="column 1", quantity="fz", plate=1, unit="N")
    >>> mapping = ForceMapping(columns=(rule,))
    >>> ForceMapping.from_json(mapping.to_json()) == mapping
    True
    """

    columns: tuple[ForceRule, ...]

    def to_json(self) -> str:
        """Write the mapping as JSON text."""
        rows = [
            {
                "header": rule.header,
                "quantity": rule.quantity,
                "plate": rule.plate,
                "unit": rule.unit,
            }
            for rule in self.columns
        ]
        return json.dumps({"schema": SCHEMA, "columns": rows}, ensure_ascii=False)

    @classmethod
    def from_json(cls, text: str) -> "ForceMapping":
        """Read a mapping from JSON text.

        Raises
        ------
        MappingError
            If the text is no mapping of forces.
        """
        try:
            whole = json.loads(text)
        except (ValueError, RecursionError):
            whole = None
        rows = whole.get("columns") if isinstance(whole, dict) else None
        if rows is None or whole.get("schema") != SCHEMA or not isinstance(rows, list):
            raise MappingError(
                f"The mapping is no JSON of the form {SCHEMA}.",
                fix="Save it again from where the columns were confirmed.",
            )
        return cls(columns=tuple(_rule(row) for row in rows))


def _rule(row: object) -> ForceRule:
    if not isinstance(row, dict) or not isinstance(row.get("header"), str):
        raise MappingError(
            f"The mapping has a column without a header: {str(row)[:60]}.",
            fix="Give each column the name that the reading gave it.",
        )
    given = cast("dict[str, Any]", row)
    plate = given.get("plate")
    return ForceRule(
        header=given["header"],
        quantity=given.get("quantity"),
        plate=plate if isinstance(plate, int) and not isinstance(plate, bool) else None,
        unit=given.get("unit"),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class ForceColumn:
    """One column of a table of forces as it was understood."""

    index: int
    """Place from the left, counted from 0."""
    header: str
    """Its name: what stands above it, with a number where that stands twice."""
    quantity: Quantity | None
    plate: int | None
    """Number of the plate, counted from 1; None for time, trigger, and what is not read."""
    words: str
    """Words that tell its plate apart."""
    unit: str | None
    reason: str
    sure: bool


def columns_of(
    headers: Sequence[str],
    groups: Sequence[str],
    units: Sequence[str | None],
    mapping: ForceMapping | None,
) -> tuple[ForceColumn, ...]:
    """Tell for each column of a table what it holds.

    Parameters
    ----------
    headers, groups, units
        What stands above each column, what stands over several of them, and its unit from a row
        of units.
    mapping
        What a person confirmed; other columns are guessed.

    Examples
    --------
    >>> names = ("Time", "Fz", "Fz")
    >>> [(c.quantity, c.plate) for c in columns_of(names, ("",) * 3, ("s", "N", "N"), None)]
    [('time', None), ('fz', 1), ('fz', 2)]
    """
    names = _names(headers, groups)
    rules = {plain(rule.header): rule for rule in mapping.columns} if mapping is not None else {}
    found = [
        _column(index, name, headers[index], groups[index], units[index])
        for index, name in enumerate(names)
    ]
    guessed = _with_plates(_without_sensors(found, headers))
    told = [_by_rule(column, rules.get(plain(column.header))) for column in guessed]
    if rules and not any(plain(name) in rules for name in names):
        raise MappingError(
            "The mapping fits no column of this table.",
            fix="Confirm the columns anew, or give the table that the mapping was made for.",
        )
    return tuple(_once(told))


def key_of(columns: Sequence[ForceColumn]) -> str:
    """Give the key by which a saved mapping is found again: it holds the names, in any order."""
    joined = "\x1f".join(sorted(plain(column.header) for column in columns))
    return hashlib.sha256(joined.encode()).hexdigest()[:32]


def _names(headers: Sequence[str], groups: Sequence[str]) -> list[str]:
    """Name each column so that no two names are the same."""
    names: list[str] = []
    for index, (header, group) in enumerate(zip(headers, groups, strict=True)):
        bare = f"{group} {header}".strip() or f"column {index + 1}"
        name, number = bare, 2
        while name in names:
            name, number = f"{bare} ({number})", number + 1
        names.append(name)
    return names


def _column(index: int, name: str, header: str, group: str, unit: str | None) -> ForceColumn:
    meaning = understand(header, group)
    quantity, reason, sure = meaning.quantity, meaning.reason, meaning.sure
    kind = KIND.get(quantity) if quantity is not None else None
    stated = unit or meaning.unit
    if kind is not None and stated is not None and stated not in UNITS_OF[kind]:
        quantity, reason, sure = None, f"{reason}, and {stated} is no unit of {kind}", False
    return ForceColumn(
        index=index,
        header=name,
        quantity=quantity,
        plate=None,
        words=meaning.plate,
        unit=stated,
        reason=reason,
        sure=sure,
    )


def _without_sensors(found: list[ForceColumn], headers: Sequence[str]) -> list[ForceColumn]:
    """Leave Fz1 to Fz4 aside where they are sensors of a plate: Fx12 stands beside them."""
    tight = ["".join(plain(header).split()) for header in headers]
    if not any(header in ("fx12", "fx34", "fy14", "fy23") for header in tight):
        return found
    return [
        replace(column, quantity=None, reason=f"{column.reason}, one sensor of a plate")
        if header in ("fz1", "fz2", "fz3", "fz4")
        else column
        for column, header in zip(found, tight, strict=True)
    ]


def _with_plates(found: list[ForceColumn]) -> list[ForceColumn]:
    """Number the plates: by the words over them, else where a quantity comes again."""
    by_words: dict[str, list[int]] = {}
    """Numbers of the plates that carry the same words, in order."""
    taken: dict[int, set[Quantity]] = {}
    done: list[ForceColumn] = []
    for column in found:
        if column.quantity is None or column.quantity in ("time", "trigger"):
            done.append(column)
            continue
        numbers = by_words.setdefault(column.words, [])
        number = next((k for k in numbers if column.quantity not in taken[k]), None)
        if number is None:
            number = len(taken) + 1
            taken[number] = set()
            numbers.append(number)
        taken[number].add(column.quantity)
        done.append(replace(column, plate=number))
    return done


def _by_rule(column: ForceColumn, rule: ForceRule | None) -> ForceColumn:
    if rule is None:
        return column
    return replace(
        column,
        quantity=rule.quantity,
        plate=rule.plate,
        unit=rule.unit or column.unit,
        reason="as confirmed",
        sure=True,
    )


def _once(columns: list[ForceColumn]) -> list[ForceColumn]:
    """Read each quantity of a plate, the time and the trigger from one column alone."""
    seen: set[tuple[Quantity, int | None]] = set()
    done: list[ForceColumn] = []
    for column in columns:
        key = (column.quantity, column.plate) if column.quantity is not None else None
        if key is None or key not in seen:
            done.append(column)
        else:
            reason = f"{column.reason}, which another column holds already"
            done.append(replace(column, quantity=None, plate=None, reason=reason, sure=False))
        if key is not None:
            seen.add(key)
    return done
