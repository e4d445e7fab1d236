"""Names of clubs: one spelling for each club, and the class that tells what it can do."""

import re
from functools import lru_cache

from leadfoot.quantities import ClubClass
from leadfoot.shots.terms import plain, squeezed, terms

_DIGITS = re.compile(r"\d{1,2}(?:[.,]\d)?")
_WEDGES = {
    "pitching_wedge": "pitching wedge",
    "gap_wedge": "gap wedge",
    "sand_wedge": "sand wedge",
    "lob_wedge": "lob wedge",
}
_LOFTS = (40.0, 68.0)
"""Lofts by which a bare number of degrees is a wedge. [deg] Common practice, no source."""
_HIGHEST_NUMBER = {"wood": 15, "hybrid": 9, "iron": 10}
"""Highest number that a club of each class carries. Common practice, no source."""


@lru_cache(maxsize=4096)
def club_name(text: str) -> str:
    """Give the one spelling of a club's name; text that names no known club stays as it is.

    Parameters
    ----------
    text
        The club as typed, in any of the languages of the terms file.

    Examples
    --------
    >>> [club_name(text) for text in ("7i", "Eisen 7", "Dr", "3w", "hybrid 4", "56°", "PW")]
    ['7 iron', '7 iron', 'driver', '3 wood', '4 hybrid', '56° wedge', 'pitching wedge']
    >>> club_name("the long one")
    'the long one'
    """
    typed = text.strip()
    return _known(typed[:60]) or typed


def _known(text: str) -> str | None:
    whole = terms().clubs.get(squeezed(text))
    if whole is not None:
        return _WEDGES.get(whole, whole)
    numbers = _DIGITS.findall(text)
    if len(numbers) != 1:
        return _by_words(text) if not numbers else None
    word = squeezed(_DIGITS.sub(" ", text.replace("°", " ")))
    return _numbered(float(numbers[0].replace(",", ".")), word, text)


def _by_words(text: str) -> str | None:
    """Find a club word among other words: 'my driver', 'driver (new shaft)'."""
    kinds = {terms().clubs[word] for word in plain(text).split() if _telling(word)}
    if len(kinds) == 2 and "wedge" in kinds:
        kinds.discard("wedge")
    if len(kinds) != 1:
        return None
    kind = kinds.pop()
    return _WEDGES.get(kind, kind)


def _telling(word: str) -> bool:
    """Tell whether a word names a club even among others; a single letter does not."""
    return len(word) > 2 and word in terms().clubs


def _numbered(number: float, word: str, text: str) -> str | None:
    """Name a club by its number and the rest of its text."""
    kind = terms().clubs.get(word.removesuffix("deg").removesuffix("grad") or "?")
    if kind in _HIGHEST_NUMBER:
        return _of_class(kind, number)
    if kind == "driver":
        return "driver"
    is_loft = _LOFTS[0] <= number <= _LOFTS[1]
    bare = word in {"", "deg", "degree", "degrees", "grad", "度", "도"}
    if is_loft and (kind == "wedge" or kind in _WEDGES or (bare and ("°" in text or word))):
        return f"{number:g}° wedge"
    return None


def _of_class(kind: str, number: float) -> str | None:
    if number != int(number) or not 1 <= number <= _HIGHEST_NUMBER[kind]:
        return None
    return "driver" if kind == "wood" and number == 1 else f"{number:g} {kind}"


_CLASSES: dict[str, ClubClass] = {
    "driver": "driver",
    "wood": "wood",
    "hybrid": "hybrid",
    "iron": "iron",
    "wedge": "wedge",
}


@lru_cache(maxsize=4096)
def club_class(name: str | None) -> ClubClass | None:
    """Give the class of a club, or None where the name tells none.

    Parameters
    ----------
    name
        The club as typed, in any of the languages of the terms file.

    Examples
    --------
    >>> club_class("Eisen 7")
    'iron'
    >>> club_class("56°")
    'wedge'
    >>> club_class("putter") is None
    True
    """
    known = _known(name.strip()[:60]) if name else None
    return _CLASSES.get(known.rsplit(" ", 1)[-1]) if known else None
