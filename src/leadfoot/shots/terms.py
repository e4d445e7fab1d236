"""The words that people put into tables, in the languages of the terms file, ready to look up."""

import re
import tomllib
import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib.resources import files
from types import MappingProxyType
from typing import Literal, cast

from leadfoot.quantities import glossary
from leadfoot.shots.columns import TABLE_UNITS
from leadfoot.units import UNITS

Side = Literal[
    "right", "left", "open", "closed", "in_to_out", "out_to_in",
    "toe", "heel", "high", "low", "up", "down", "ahead", "behind",
]  # fmt: skip
"""A word that says which way a value goes."""

_CAMEL = re.compile(r"(?<=[a-z])(?=[A-Z])")
_GAPS = re.compile(r"[\W_]+")
_UMLAUTS = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue", "Ä": "Ae", "Ö": "Oe", "Ü": "Ue"})


@lru_cache(maxsize=20_000)
def plain(text: str) -> str:
    """Reduce text to lower-case words with single blanks, without accents on Latin letters.

    Examples
    --------
    >>> plain("Ball_Speed ")
    'ball speed'
    >>> plain("Vitesse tête de club")
    'vitesse tete de club'
    """
    text = unicodedata.normalize("NFKC", text[:400])
    text = _CAMEL.sub(" ", text).casefold()
    letters = unicodedata.normalize("NFD", text)
    bare = "".join(letter for letter in letters if not "\u0300" <= letter <= "\u036f")
    return _GAPS.sub(" ", unicodedata.normalize("NFC", bare)).strip()


def squeezed(text: str) -> str:
    """Reduce text to its letters and digits alone, so that 'club speed' meets 'Clubspeed'.

    Examples
    --------
    >>> squeezed("Low-Point") == squeezed("lowpoint")
    True
    """
    return plain(text).replace(" ", "")


def spellings(term: str) -> set[str]:
    """List the squeezed spellings of a term: with umlauts dropped, and written with an e.

    Examples
    --------
    >>> sorted(spellings("Höhe"))
    ['hoehe', 'hohe']
    """
    return {squeezed(term), squeezed(term.translate(_UMLAUTS))} - {""}


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """All words, by their squeezed spelling."""

    quantities: Mapping[str, str]
    """Spelling to quantity."""
    quantity_words: Mapping[str, tuple[str, ...]]
    """The terms as plain words, by quantity, the longest first."""
    doubtful: Mapping[str, tuple[str, ...]]
    roles: Mapping[str, str]
    always_summary: frozenset[str]
    often_summary: frozenset[str]
    sides: Mapping[Side, frozenset[str]]
    clubs: Mapping[str, str]
    """Spelling to kind of club."""
    units: Mapping[str, str]
    """Spelling, lower case and without blanks, to the symbol of the unit."""
    harmless: frozenset[str]
    other_meaning: tuple[str, ...]
    """Plain words, each once."""
    missing: frozenset[str]
    """Lower-case cells."""
    block_words: frozenset[str]
    block_values: frozenset[str]
    remarks: frozenset[str]


@cache
def terms() -> Terms:
    """All words of the terms file and of the glossary.

    Examples
    --------
    >>> terms().quantities["ballgeschwindigkeit"]
    'ball_speed'
    """
    text = files("leadfoot.shots").joinpath("terms.toml").read_text(encoding="utf-8")
    words = tomllib.loads(text)
    return Terms(
        quantities=MappingProxyType(_quantities()),
        quantity_words=MappingProxyType(_quantity_words()),
        doubtful=MappingProxyType(_doubtful(words["doubtful"])),
        roles=MappingProxyType(_named(words["roles"])),
        always_summary=_all(words["summary"]["always"]),
        often_summary=_all(words["summary"]["often"]),
        sides=MappingProxyType({cast("Side", k): _all(v) for k, v in words["sides"].items()}),
        clubs=MappingProxyType(_named(words["clubs"])),
        units=MappingProxyType(_units(words["units"])),
        harmless=frozenset(plain(word) for word in words["harmless"]["all"]),
        other_meaning=tuple(plain(word) for word in words["other_meaning"]["all"]),
        missing=frozenset(word.casefold() for word in words["missing"]["all"]),
        block_words=_all(words["block_words"]),
        block_values=_all(words["block_values"]),
        remarks=_all(words["remarks"]),
    )


def _all(by_language: Mapping[str, Iterable[str]]) -> frozenset[str]:
    rows = by_language.values()
    return frozenset(spelling for row in rows for term in row for spelling in _loose(term))


def _loose(term: str) -> set[str]:
    """Spellings, or the sign itself for words that have no letter, such as #."""
    return spellings(term) or {term}


def _named(groups: Mapping[str, Mapping[str, Iterable[str]]]) -> dict[str, str]:
    """Spelling to the name of its group; the first group to name it keeps it."""
    found: dict[str, str] = {}
    for name, by_language in groups.items():
        for spelling in _all(by_language):
            found.setdefault(spelling, name)
    return found


def _quantities() -> dict[str, str]:
    return {
        spelling: key
        for key, quantity in glossary().items()
        for row in (*quantity.terms.values(), (quantity.name, key))
        for term in row
        for spelling in spellings(term)
    }


def _quantity_words() -> dict[str, tuple[str, ...]]:
    return {
        key: tuple(
            sorted(
                {
                    plain(term)
                    for row in (*quantity.terms.values(), (quantity.name,))
                    for term in row
                },
                key=len,
                reverse=True,
            )
        )
        for key, quantity in glossary().items()
    }


def _doubtful(rows: Mapping[str, list[str]]) -> dict[str, tuple[str, ...]]:
    return {spelling: tuple(row) for term, row in rows.items() for spelling in spellings(term)}


def unit_spelling(text: str) -> str:
    """Reduce a unit as written to lower case without blanks.

    Examples
    --------
    >>> unit_spelling(" Km / h")
    'km/h'
    """
    folded = unicodedata.normalize("NFKC", text).casefold()
    return "".join(folded.split()).strip("[](){}.,;:")


def _units(rows: Mapping[str, list[str]]) -> dict[str, str]:
    """Spelling to symbol, for the units that a table may state."""
    found: dict[str, str] = {}
    for symbol in TABLE_UNITS:
        for written in (symbol, *UNITS[symbol].spellings, *rows.get(symbol, ())):
            found.setdefault(unit_spelling(written) or written, symbol)
    return found


def find_table_unit(text: str) -> str | None:
    """Find the unit that a piece of text names, among those that a table may state.

    Parameters
    ----------
    text
        The unit alone, as written, in any of the languages.

    Examples
    --------
    >>> find_table_unit("Yards")
    'yd'
    >>> find_table_unit("U/min")
    'rpm'
    >>> find_table_unit("stone") is None
    True
    """
    return terms().units.get(unit_spelling(text[:40])) if text else None
