"""The form of a coaching catalogue: TOML tables with known fields, and what is wrong with one."""

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from leadfoot.errors import InputError


@cache
def shipped(name: str) -> str:
    """The text of a catalogue of the program.

    Parameters
    ----------
    name
        Its file, such as ``findings.toml``.
    """
    folder = files("leadfoot.coaching").joinpath("catalogue")
    return folder.joinpath(name).read_text(encoding="utf-8")


def entries(text: str, what: str) -> Iterator["Entry"]:
    r"""The entries of a catalogue, in its order.

    Parameters
    ----------
    text
        TOML, one table an entry.
    what
        What an entry is called in errors: ``drill``.

    Raises
    ------
    InputError
        If the text is no TOML, or something stands outside every table.

    Examples
    --------
    >>> [entry.key for entry in entries('[a]\nname = "one"\n[b]\n', "drill")]
    ['a', 'b']
    """
    try:
        tables = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputError(
            f"The catalogue is not TOML: {error}.",
            fix=f"Write one table a {what}, as in the program's own catalogue.",
        ) from None
    for key, table in tables.items():
        if not isinstance(table, dict):
            raise InputError(
                f"{key!r} stands outside every {what}.",
                fix=f"Put a line such as [my_{what}] above it, or remove it.",
            )
        yield Entry(what=what, key=key, fields=table)


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One table of a catalogue; whatever is asked of it comes checked.

    Attributes
    ----------
    what, key
        What an entry is called, and its name in the catalogue.
    fields
        As they were read.
    """

    what: str
    key: str
    fields: Mapping[str, Any]

    def only(self, known: tuple[str, ...]) -> None:
        """Refuse a field that is not known.

        Raises
        ------
        InputError
            With the entry and the field.

        Examples
        --------
        >>> Entry(what="drill", key="a", fields={"title": "x"}).only(("name",))
        Traceback (most recent call last):
        ...
        leadfoot.errors.InputError: The drill 'a' has a field 'title' that is not known. Use: name.
        """
        for field in self.fields:
            if field not in known:
                raise InputError(
                    f"The {self.what} {self.key!r} has a field {field!r} that is not known.",
                    fix=f"Use: {' '.join(known)}.",
                )

    def text(self, field: str, default: str | None = None) -> str:
        """A text that says something.

        Examples
        --------
        >>> Entry(what="drill", key="a", fields={}).text("name")
        Traceback (most recent call last):
        ...
        leadfoot.errors.InputError: The drill 'a' has no name. Add name = "..." to it.
        """
        value = self._value(field, default, '"..."')
        return str(
            self._be(field, value, "a text", good=isinstance(value, str) and bool(value.strip()))
        )

    def one_of(self, field: str, choices: tuple[str, ...], default: str | None = None) -> str:
        """One of a few words."""
        value = self._value(field, default, f'"{choices[0]}"')
        return str(self._be(field, value, f"one of: {' '.join(choices)}", good=value in choices))

    def yes_or_no(self, field: str, *, default: bool | None = None) -> bool:
        """A yes or no."""
        value = self._value(field, default, "true")
        return bool(self._be(field, value, "true or false", good=isinstance(value, bool)))

    def number(self, field: str, default: float | None = None) -> float:
        """A number.

        Examples
        --------
        >>> Entry(what="rule", key="a", fields={"most": "3"}).number("most")
        Traceback (most recent call last):
        ...
        leadfoot.errors.InputError: most of the rule 'a' is '3'; it must be a number. Write it as in
        the program's own catalogue.
        """
        value = self._value(field, default, "1.0")
        good = isinstance(value, int | float) and not isinstance(value, bool)
        return float(self._be(field, value, "a number", good=good))

    def by_class(self, field: str) -> Mapping[str, float]:
        """A number for all, or a table of numbers by class of club."""
        value = self._value(field, None, "1.0")
        if not isinstance(value, dict):
            return {"other": self.number(field)}
        row = Entry(what=self.what, key=f"{self.key}.{field}", fields=value)
        return {name: row.number(name) for name in value}

    def texts(self, field: str, choices: tuple[str, ...] | None = None) -> tuple[str, ...]:
        """A list of texts, perhaps empty; each one of `choices` where they are given."""
        value = self.fields.get(field, [])
        good = isinstance(value, list) and all(isinstance(one, str) and one for one in value)
        self._be(field, value, "a list of texts", good=good)
        for one in value:
            if choices is not None and one not in choices:
                raise InputError(
                    f"{field} of the {self.what} {self.key!r} names {one!r}, which is not known.",
                    fix=f"Use: {' '.join(choices)}.",
                )
        return tuple(value)

    def _value(self, field: str, default: object, example: str) -> Any:
        value = self.fields.get(field, default)
        if value is None:
            raise InputError(
                f"The {self.what} {self.key!r} has no {field}.",
                fix=f"Add {field} = {example} to it.",
            )
        return value

    def _be(self, field: str, value: Any, what: str, *, good: bool) -> Any:
        if not good:
            raise InputError(
                f"{field} of the {self.what} {self.key!r} is {value!r}; it must be {what}.",
                fix="Write it as in the program's own catalogue.",
            )
        return value
