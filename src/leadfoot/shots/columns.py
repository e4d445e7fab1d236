"""What each column of a table is: its quantity, its unit, why we think so, and what we doubt."""

import json
from dataclasses import dataclass
from typing import Any, Literal, cast, get_args

from leadfoot.errors import MappingError
from leadfoot.quantities import glossary
from leadfoot.units import UNITS

Role = Literal["quantity", "club", "block", "ball", "time", "ignored"]
"""What a column is for."""

SCHEMA = "leadfoot.mapping/1"
"""Name and version of a mapping's JSON form."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column of a table as it was understood.

    Examples
    --------
    >>> Column(index=0, header="Carry [yd]", role="quantity", quantity="carry", unit="yd",
    ...        reason="the header says 'carry'", sure=True).quantity
    'carry'
    """

    index: int
    """Place from the left, counted from 0."""
    header: str
    """The header as it stands; ``column 3`` where the table has none."""
    role: Role
    quantity: str | None
    """Key in the glossary, for the role "quantity"."""
    unit: str | None
    """Symbol of the unit; None for a ratio and for every other role."""
    reason: str
    """Why it is taken so, and every doubt about it."""
    sure: bool
    """False while someone should look at it."""
    sign: Literal[1, -1] = 1
    """-1 where the table counts left (closed, heel, ...) as positive."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """A doubt that only the coach can settle; nothing is changed until they do."""

    column: str
    """Header of the column."""
    quantity: str | None
    unit: str | None
    """The unit in which the column is read now."""
    suggested_unit: str | None
    """The unit that would fit better, or None where none is known."""
    text: str
    """The doubt in words, with what speaks for it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ColumnRule:
    """What one header means, as confirmed by the coach."""

    header: str
    role: Role
    quantity: str | None = None
    unit: str | None = None
    sign: Literal[1, -1] = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class ColumnMapping:
    """What the headers of a table mean; matched by header text, so the order does not matter.

    Examples
    --------
    >>> rule = ColumnRule(header="Carry", role="quantity", quantity="carry", unit="m")
    >>> mapping = ColumnMapping(columns=(rule,))
    >>> ColumnMapping.from_json(mapping.to_json()) == mapping
    True
    """

    columns: tuple[ColumnRule, ...]

    def __post_init__(self) -> None:
        taken: dict[str, str] = {}
        for rule in self.columns:
            _check_rule(rule)
            if rule.quantity is None:
                continue
            if rule.quantity in taken:
                raise MappingError(
                    f"Columns {taken[rule.quantity]!r} and {rule.header!r} are both mapped to "
                    f"{rule.quantity}.",
                    fix="Keep one, and set the role of the other to ignored.",
                )
            taken[rule.quantity] = rule.header

    def to_json(self) -> str:
        """Write the mapping as JSON text.

        Examples
        --------
        >>> ColumnMapping(columns=()).to_json()
        '{"schema": "leadfoot.mapping/1", "columns": []}'
        """
        rows = [
            {
                "header": rule.header,
                "role": rule.role,
                "quantity": rule.quantity,
                "unit": rule.unit,
                "sign": rule.sign,
            }
            for rule in self.columns
        ]
        return json.dumps({"schema": SCHEMA, "columns": rows}, ensure_ascii=False)

    @classmethod
    def from_json(cls, text: str) -> "ColumnMapping":
        """Read a mapping from JSON text.

        Raises
        ------
        MappingError
            If the text is not a mapping, or a rule names an unknown role, quantity or unit.

        Examples
        --------
        >>> ColumnMapping.from_json('{"schema": "leadfoot.mapping/1", "columns": []}').columns
        ()
        """
        try:
            whole = json.loads(text)
        except (ValueError, RecursionError):
            raise MappingError(
                "The mapping is not JSON.", fix="Save it again from the page that confirms columns."
            ) from None
        if not isinstance(whole, dict) or whole.get("schema") != SCHEMA:
            raise MappingError(
                f"The mapping does not say that it is of the form {SCHEMA}.",
                fix="Save it again from the page that confirms columns.",
            )
        rows = whole.get("columns")
        if not isinstance(rows, list):
            raise MappingError(
                "The mapping has no list of columns.",
                fix="Save it again from the page that confirms columns.",
            )
        return cls(columns=tuple(_rule(row) for row in rows))


def _rule(row: object) -> ColumnRule:
    """Turn one JSON object into a rule; its words are checked by the mapping."""
    if not isinstance(row, dict) or not isinstance(row.get("header"), str):
        raise MappingError(
            f"The mapping has a column without a header: {str(row)[:60]}.",
            fix="Give each column the header as it stands in the table.",
        )
    given = cast("dict[str, Any]", row)
    return ColumnRule(
        header=given["header"],
        role=given.get("role", "quantity"),
        quantity=given.get("quantity"),
        unit=given.get("unit"),
        sign=given.get("sign", 1),
    )


def _check_rule(rule: ColumnRule) -> None:
    """Refuse a rule that the glossary cannot follow."""
    if rule.role not in get_args(Role):
        raise MappingError(
            f"Column {rule.header!r} has the role {rule.role!r}.",
            fix=f"Use one of: {' '.join(get_args(Role))}.",
        )
    if rule.sign not in (1, -1) or isinstance(rule.sign, bool):
        raise MappingError(
            f"Column {rule.header!r} has the sign {rule.sign!r}.",
            fix="Use 1, or -1 where the table counts left as positive.",
        )
    if rule.role == "quantity":
        _check_quantity(rule)
    elif rule.quantity is not None or rule.unit is not None:
        raise MappingError(
            f"Column {rule.header!r} has the role {rule.role} and a quantity or unit as well.",
            fix="Give a quantity and a unit only with the role quantity.",
        )


def _check_quantity(rule: ColumnRule) -> None:
    known = glossary().get(rule.quantity) if isinstance(rule.quantity, str) else None
    if known is None:
        raise MappingError(
            f"Column {rule.header!r} is mapped to {rule.quantity!r}, which is not in the glossary.",
            fix=f"Use one of: {' '.join(glossary())}.",
        )
    choices = units_of(known.key)
    if not choices and rule.unit is not None:
        raise MappingError(
            f"Column {rule.header!r} is {known.name}, a ratio, and has the unit {rule.unit!r}.",
            fix="Leave the unit away.",
        )
    if choices and rule.unit is None:
        raise MappingError(
            f"Column {rule.header!r} has no unit.",
            fix=f"Give one in the mapping: {' '.join(choices)}.",
        )
    if choices and rule.unit not in choices:
        raise MappingError(
            f"Column {rule.header!r} is {known.name} and has the unit {rule.unit!r}.",
            fix=f"Use one of: {' '.join(choices)}.",
        )


TABLE_UNITS = (
    *("mph", "km/h", "m/s", "ft/s"),
    *("yd", "m", "ft", "in", "cm", "mm"),
    *("deg", "rad", "rpm", "s"),
)
"""The units in which a table of shots may state its values."""


def units_of(quantity_key: str) -> tuple[str, ...]:
    """List the units that a quantity may be stated in; none for a ratio.

    Examples
    --------
    >>> units_of("club_speed")
    ('mph', 'km/h', 'm/s', 'ft/s')
    >>> units_of("smash_factor")
    ()
    """
    dimension = glossary()[quantity_key].dimension
    return tuple(symbol for symbol in TABLE_UNITS if UNITS[symbol].dimension == dimension)
