"""Which letters the shipped face can print, and what becomes of the others."""

import unicodedata
from collections.abc import Callable, Mapping, Sequence
from functools import cache
from importlib.resources import as_file, files
from typing import Any

from matplotlib.ft2font import FT2Font

from leadfoot.language.catalogue import ENGLISH
from leadfoot.language.say import spoken

STAND_IN = "☐"
"""Printed for a letter that no font on this machine has: one sees that something stood there."""


@cache
def printable_letters() -> frozenset[str]:
    """All letters of the shipped word face.

    Examples
    --------
    >>> {"ü", "ő", "ł", STAND_IN} <= printable_letters(), "語" in printable_letters()
    (True, False)
    """
    font = files("leadfoot").joinpath("reports/fonts/SourceSerif4-Regular.ttf")
    with as_file(font) as path:
        return frozenset(map(chr, FT2Font(path).get_charmap()))


def clean(text: str) -> str:
    r"""A text fit for one line of print: no control characters, single blanks, composed letters.

    Examples
    --------
    >>> clean("Mu\u0308ller\n\x00 Ann ")
    'Müller Ann'
    """
    spaced = "".join(
        letter if letter == "\u00a0" else " " if letter.isspace() else letter
        for letter in unicodedata.normalize("NFC", text)
        if letter.isspace() or unicodedata.category(letter) not in {"Cc", "Cs", "Co"}
    )
    return " ".join(part for part in spaced.split(" ") if part)


_KNOWN_SIGNS = frozenset("\u200b\n")
"""Signs that have no shape and need no letter."""


def foreign(text: str) -> bool:
    """True if the shipped face lacks a letter of the text.

    Examples
    --------
    >>> foreign("Ångström #1"), foreign("山田")
    (False, True)
    """
    return not _KNOWN_SIGNS.union(printable_letters()).issuperset(text)


def shorten(text: str, most: int) -> str:
    """The text, or its beginning up to a whole word and three dots.

    Examples
    --------
    >>> shorten("press into the lead foot", 12)
    'press …'
    """
    if len(text) <= most:
        return text
    cut = text[: most - 2]
    head, _, tail = cut.rpartition(" ")
    return f"{head if head and len(tail) < most // 2 else cut} …"


_LONGEST_WORD = 14
"""Letters after which a word may break: longer ones are mostly file names or rows of signs."""


_LONGEST_REAL_WORD = 40
_MARKS = ".,;:!?()„“”‘’»«"


def breakable(text: str) -> str:
    """The text with places to break in words that are too long for a narrow column.

    In a language whose words are broken by its own rules (every one but English on our sheets),
    only what is no word of letters is cut.

    Examples
    --------
    >>> breakable("short x") == "short x", len(breakable("x" * 28))
    (True, 29)
    """
    hyphenated = spoken().code != ENGLISH
    return " ".join(
        word
        if hyphenated and len(word) <= _LONGEST_REAL_WORD and word.strip(_MARKS).isalpha()
        else "\u200b".join(
            word[start : start + _LONGEST_WORD] for start in range(0, len(word), _LONGEST_WORD)
        )
        for word in text.split(" ")
    )


def every_text(data: Any, change: Callable[[str], str]) -> Any:
    """The same data with every text changed; keys and other values stay.

    Examples
    --------
    >>> every_text({"a": ["x", 1]}, str.upper)
    {'a': ['X', 1]}
    """
    if isinstance(data, str):
        return change(data)
    if isinstance(data, Mapping):
        return {key: every_text(value, change) for key, value in data.items()}
    if isinstance(data, Sequence):
        return [every_text(value, change) for value in data]
    return data


def stand_in(text: str) -> str:
    """The text with the stand-in for each letter that the shipped face lacks.

    Examples
    --------
    >>> stand_in("山田 Ann")
    '☐☐ Ann'
    """
    known = printable_letters()
    return "".join(letter if letter in known else STAND_IN for letter in text)
