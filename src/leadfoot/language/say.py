"""Says a text in the language of whoever reads it; in English where nobody said otherwise.

A text is written in English where it is used, and is its own key in the catalogue. What goes into
it has a name in braces, so that another language can put it elsewhere:
``say("{n} of {all} met it", n=3, all=5)``. A sentence is one text: never glue two.
"""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from typing import Any

from leadfoot.language.catalogue import ENGLISH, Language, language

_speaking: ContextVar[Language | None] = ContextVar("speaking", default=None)


def spoken() -> Language:
    """The language that is spoken here and now: English unless `speaking` says otherwise."""
    return _speaking.get() or language(ENGLISH)


@contextmanager
def speaking(chosen: str | Language) -> Iterator[None]:
    """Say every text inside in a language; of this thread and task alone.

    Parameters
    ----------
    chosen
        Its code, or the language itself.

    Raises
    ------
    InputError
        If there are no texts in it.

    Examples
    --------
    >>> with speaking("de"):
    ...     say("at the range")
    'auf der Driving Range'
    >>> say("at the range")
    'at the range'
    """
    token = _speaking.set(language(chosen) if isinstance(chosen, str) else chosen)
    try:
        yield
    finally:
        _speaking.reset(token)


def say(text: str, **values: object) -> str:
    """Say a text.

    A text that no catalogue holds, such as what a coach wrote, comes back as it is.

    Parameters
    ----------
    text
        In English, with the names of what goes into it in braces.
    values
        What goes into it.

    Examples
    --------
    >>> say("Week {number}", number=3)
    'Week 3'
    """
    found = spoken().texts.gettext(text) if text else ""
    return found.format_map(values) if values else found


def say_n(one: str, many: str, n: int, **values: object) -> str:
    """Say a text that counts something; `n` goes into it by this name.

    Examples
    --------
    >>> say_n("{n} ball", "{n} balls", 1), say_n("{n} ball", "{n} balls", 12)
    ('1 ball', '12 balls')
    """
    return spoken().texts.ngettext(one, many, n).format_map({"n": n, **values})


def say_as(meaning: str, text: str, **values: object) -> str:
    """Say a text that means several things, such as a word alone, by what it means here.

    Examples
    --------
    >>> say_as("column of a table", "met it")
    'met it'
    """
    found = str(spoken().texts.pgettext(meaning, text))
    return found.format_map(values) if values else found


def noted(text: str) -> str:
    """Mark a text for the catalogue where it is only written down, to be said later.

    Examples
    --------
    >>> noted("at the range")
    'at the range'
    """
    return text


@dataclass(frozen=True, slots=True)
class Message:
    """A text with what goes into it, kept to be said later, perhaps in another language.

    Attributes
    ----------
    text
        In English, marked by `noted`.
    values
        What goes into it: plain numbers and texts, so that it can be kept as JSON.

    Examples
    --------
    >>> note = Message("Week {number}", {"number": 3})
    >>> str(note)
    'Week 3'
    """

    text: str
    values: Mapping[str, Any] = field(default_factory=dict)

    def __str__(self) -> str:
        """Say it in the language that is spoken now."""
        return say(self.text, **self.values)

    @property
    def in_english(self) -> str:
        """The same in English, whatever is spoken."""
        with speaking(ENGLISH):
            return str(self)
