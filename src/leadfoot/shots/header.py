"""One header to its meaning: the quantity or role it names, the unit it states, and how surely."""

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass, replace
from difflib import get_close_matches
from functools import lru_cache
from typing import Literal, cast

from leadfoot.quantities import glossary
from leadfoot.shots.columns import Role
from leadfoot.shots.sides import Hand, header_sign, is_side_word, is_signed
from leadfoot.shots.terms import find_table_unit, plain, squeezed, terms
from leadfoot.units import UNITS

_BRACKETS = re.compile(r"[\[({<〔【「]([^\[\](){}<>〔〕【】「」]*)[\])}>〕】」]")
_LINKS = {"in", "en", "i", "i am", "を"}
"""Words that join a quantity and its unit: carry in m."""
_CLOSE = 0.86
"""Likeness from which a header counts as a misspelt term. Our own choice."""
_LONGEST = 120

EXACT, WORDED, LOOSE = 3, 2, 1
"""How strongly a header names its quantity: as a term, with idle words, only nearly."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Meaning:
    """What a header says, before any value is looked at."""

    role: Role = "ignored"
    quantity: str | None = None
    unit: str | None = None
    sign: Literal[1, -1] | None = None
    """None where the header says nothing of signs."""
    strength: int = 0
    choices: tuple[str, ...] = ()
    """Quantities that the header may mean, where it may mean several."""
    reason: str = "the header names nothing that is known"


def header_key_part(header: str) -> str:
    r"""Reduce a header to what stays the same between two exports of the same table.

    Examples
    --------
    >>> header_key_part("  Carry\n [Yd] ")
    'carry [yd]'
    """
    return " ".join(unicodedata.normalize("NFKC", header).casefold().split())


@lru_cache(maxsize=4096)
def understand(header: str, hand: Hand = "right") -> Meaning:
    """Tell what a header means.

    Parameters
    ----------
    header
        The header as it stands, with its unit if it has one.
    hand
        The student's hand, for remarks such as ``open +``.

    Examples
    --------
    >>> meaning = understand("Ballgeschwindigkeit [km/h]")
    >>> meaning.quantity, meaning.unit, meaning.strength
    ('ball_speed', 'km/h', 3)
    >>> understand("side spin").reason
    "the header says 'side spin', which is something else"
    """
    text = " ".join(unicodedata.normalize("NFKC", header).replace("_", " ").split())[:_LONGEST]
    if not text:
        return Meaning(reason="it has no header")
    readings = [_reading(name, unit, notes, hand) for name, unit, notes in _parts(text)]
    return max(readings, key=lambda meaning: (meaning.strength, meaning.unit is not None))


def _parts(text: str) -> Iterator[tuple[str, str | None, tuple[str, ...]]]:
    """Part a header into name, unit and remarks, in every way that is possible."""
    notes = [note.strip() for note in _BRACKETS.findall(text)]
    name = " ".join(_BRACKETS.sub(" ", text).split())
    pieces = [piece.strip() for note in notes for piece in re.split(r"[,;]", note)]
    stated = next((unit for piece in pieces if (unit := find_table_unit(piece))), None)
    rest = tuple(piece for piece in pieces if piece and not find_table_unit(piece))
    if not name and len(pieces) == 1:
        yield text.strip("[](){}<> "), None, ()
    yield name, stated, rest
    if stated is None:
        for shorter, unit in _ends(name):
            yield shorter, unit, rest


def _ends(name: str) -> Iterator[tuple[str, str]]:
    """Find a unit at the end of a header: after a slash, a comma, a blank, a dot or a hump."""
    for place in range(1, len(name)):
        if name[place - 1].isalpha() and name[place].islower() and name[place].isascii():
            continue
        unit = find_table_unit(name[place:].lstrip("/,.:- "))
        before = name[:place].rstrip("/,.:- ")
        if unit and before:
            first, _, last = before.rpartition(" ")
            yield (first if first and last.casefold() in _LINKS else before), unit


def _reading(name: str, unit: str | None, notes: tuple[str, ...], hand: Hand) -> Meaning:
    """Give the meaning of a name with its unit and remarks."""
    words, sign_text = _without_sign(name)
    idle = [note for note in notes if not _says_nothing(note)]
    told = [note for note in notes if any(mark in note for mark in "+-−") or "posit" in note]
    extra = " ".join(note for note in idle if note not in told)
    meaning = _name(f"{words} {extra}".strip())
    if meaning.role != "quantity" and extra:
        meaning = max(meaning, _name(words), key=lambda found: found.strength)
    meaning = _fitting(meaning, unit)
    return _signed(meaning, [*told, *sign_text], hand)


def _without_sign(name: str) -> tuple[str, list[str]]:
    """Part a remark such as ``R+`` from the end of a name."""
    words = name.split(" ")
    for n_words in (1, 2, 3):
        tail = " ".join(words[-n_words:])
        if n_words < len(words) and "+" in tail:
            return " ".join(words[:-n_words]), [tail]
    return name, []


def _says_nothing(note: str) -> bool:
    """Tell whether a remark only lists sides: (L/R), (left or right)."""
    parts = [part for part in re.split(r"[^\w]+| or | and ", note) if part]
    return bool(parts) and all(is_side_word(part) for part in parts)


def _signed(meaning: Meaning, remarks: list[str], hand: Hand) -> Meaning:
    if meaning.quantity is None or not is_signed(meaning.quantity):
        return meaning
    for remark in remarks:
        sign = header_sign(remark, meaning.quantity, hand)
        if sign is not None:
            return replace(meaning, sign=sign, reason=f"{meaning.reason}; signs as in {remark!r}")
    return meaning


def _fitting(meaning: Meaning, unit: str | None) -> Meaning:
    """Add a unit to a meaning, if it measures that kind of thing; else the reading is no good."""
    if unit is None:
        return meaning
    if meaning.role == "time" and unit == "s":
        return meaning
    if meaning.quantity is None:
        return replace(meaning, strength=0) if meaning.role != "ignored" else meaning
    choices = meaning.choices or (meaning.quantity,)
    fitting = tuple(key for key in choices if glossary()[key].dimension == UNITS[unit].dimension)
    if not fitting:
        return Meaning(reason=f"{unit} is no unit of {glossary()[meaning.quantity].name}")
    few = fitting if meaning.choices else ()
    return replace(meaning, quantity=fitting[0], unit=unit, choices=few)


def _name(name: str) -> Meaning:
    """Give the meaning of a name alone."""
    spelling = squeezed(name) or name.strip()
    words = terms()
    if spelling in words.quantities:
        key = words.quantities[spelling]
        return _of(key, EXACT, f"the header says {name!r}, a term for {glossary()[key].name}")
    if spelling in words.roles:
        role = cast("Role", words.roles[spelling])
        return Meaning(role=role, strength=EXACT, reason=f"the header says {name!r}")
    if spelling in words.doubtful:
        return _doubtful(name, words.doubtful[spelling])
    return _with_others(name, spelling)


def _of(key: str, strength: int, reason: str) -> Meaning:
    return Meaning(role="quantity", quantity=key, strength=strength, reason=reason)


def _doubtful(name: str, choices: tuple[str, ...]) -> Meaning:
    names = " or ".join(glossary()[key].name for key in choices)
    return Meaning(
        role="quantity",
        quantity=choices[0],
        strength=LOOSE,
        choices=choices,
        reason=f"the header says {name!r}, which may mean {names}",
    )


def _with_others(name: str, spelling: str) -> Meaning:
    """Find a term among other words, or one that is nearly spelt so."""
    bare = f" {plain(name)} "
    for other in terms().other_meaning:
        if f" {other} " in bare or (not other.isascii() and other.replace(" ", "") in spelling):
            return Meaning(reason=f"the header says {name!r}, which is something else")
    found = _contained(name, bare, spelling)
    return found if found is not None else _misspelt(name, spelling)


def _contained(name: str, bare: str, spelling: str) -> Meaning | None:
    hits = [
        (len(term), key, term)
        for key, rows in terms().quantity_words.items()
        for term in rows
        if f" {term} " in bare or (not term.isascii() and term.replace(" ", "") in spelling)
    ]
    if not hits:
        return _role_contained(name, bare)
    _, key, term = max(hits)
    rest = f" {bare.replace(f' {term} ', ' ', 1).strip()} "
    if term.replace(" ", "") in spelling and f" {term} " not in bare:
        rest = f" {spelling.replace(term.replace(' ', ''), ' ', 1).strip()} "
    idle = all(word in terms().harmless for word in rest.split())
    said = glossary()[key].name
    if idle:
        return _of(key, WORDED, f"the header says {name!r}, with a term for {said} in it")
    return _of(key, LOOSE, f"the header says {name!r}, which holds a term for {said} among others")


def _role_contained(name: str, bare: str) -> Meaning | None:
    """Find a role whose words stand among idle ones: 'club used', 'my club'."""
    roles = terms().roles
    words = [word for word in bare.split() if word in roles or word not in terms().harmless]
    role = roles.get("".join(words))
    if role is None or not words:
        return None
    return Meaning(role=cast("Role", role), strength=WORDED, reason=f"the header says {name!r}")


def _misspelt(name: str, spelling: str) -> Meaning:
    if len(spelling) >= 5:
        near = get_close_matches(spelling, terms().quantities, n=1, cutoff=_CLOSE)
        if near:
            key = terms().quantities[near[0]]
            said = glossary()[key].name
            return _of(key, LOOSE, f"the header {name!r} is nearly a term for {said}")
    return Meaning(reason=f"the header {name!r} names nothing that is known")
