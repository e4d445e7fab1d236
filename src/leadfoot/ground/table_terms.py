"""What the header of a column of forces says: the quantity, the unit, and words for the plate."""

import re
import tomllib
import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib.resources import files
from types import MappingProxyType
from typing import Literal, get_args

Quantity = Literal["time", "fx", "fy", "fz", "mx", "my", "mz", "tz", "cx", "cy", "trigger"]
QUANTITIES: tuple[Quantity, ...] = get_args(Quantity)
Kind = Literal["time", "force", "moment", "length"]
KIND: Mapping[str, Kind] = MappingProxyType(
    {
        "time": "time",
        **dict.fromkeys(("fx", "fy", "fz"), "force"),
        **dict.fromkeys(("mx", "my", "mz", "tz"), "moment"),
        **dict.fromkeys(("cx", "cy"), "length"),
    }
)
"""What kind of unit a quantity has."""
UNITS_OF: Mapping[Kind, tuple[str, ...]] = MappingProxyType(
    {
        "time": ("s", "ms"),
        "force": ("N", "kN", "kgf", "lbf"),
        "moment": ("N·m", "N·cm", "N·mm"),
        "length": ("m", "cm", "mm", "in"),
    }
)

_BRACKETS = re.compile(r"[\[({]([^\[\](){}]*)[\])}]")
_SYMBOL = re.compile(r"(?:(\d+)[ _]?)?(f|m|c|cop|a|p|t)[ _]?(x|y|z)[ _]?(\d{1,2})?")
_SENSOR = re.compile(r"f\d?(?:x12|x34|y14|y23)")
_SYMBOL_OF: Mapping[tuple[str, str], Quantity] = MappingProxyType(
    {
        **{(name[0], name[1]): name for name in QUANTITIES if name[0] in "fm"},
        **{(letter, "x"): "cx" for letter in ("c", "cop", "a", "p")},
        **{(letter, "y"): "cy" for letter in ("c", "cop", "a", "p")},
        ("t", "z"): "tz",
    }
)
_ALONE: Mapping[str, Quantity] = MappingProxyType(
    {"time": "time", "trigger": "trigger", "vertical": "fz", "twist": "tz"}
)
_LETTERS = {"force": "f", "moment": "m", "place": "c"}
_LONGEST = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class Meaning:
    """What a header says.

    Attributes
    ----------
    quantity
        None where it names nothing that is read.
    unit
        Symbol of the unit that it states, or None.
    plate
        Words and numbers left over, which tell plates apart.
    reason
        Why it is taken so.
    sure
        False while someone should look at it.
    """

    quantity: Quantity | None
    unit: str | None
    plate: str
    reason: str
    sure: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class _Terms:
    families: Mapping[str, str]
    """Squeezed word to family."""
    all_plates: frozenset[str]
    idle: frozenset[str]
    rate: frozenset[str]
    units: Mapping[str, str]


@cache
def _terms() -> _Terms:
    text = files("leadfoot.ground").joinpath("terms.toml").read_text(encoding="utf-8")
    words = tomllib.loads(text)
    families = {
        plain(term): name
        for name, by_language in words["family"].items()
        for row in by_language.values()
        for term in row
    }
    units = {_tight(written): unit for unit, row in words["units"].items() for written in row}
    return _Terms(
        families=MappingProxyType(families),
        all_plates=_all(words["all_plates"]),
        idle=_all(words["idle"]),
        rate=_all(words["rate"]),
        units=MappingProxyType(units),
    )


def _all(by_language: Mapping[str, Iterable[str]]) -> frozenset[str]:
    return frozenset(plain(term) for row in by_language.values() for term in row)


@lru_cache(maxsize=4096)
def plain(text: str) -> str:
    """Reduce text to lower-case words without accents, numbers parted from letters.

    Examples
    --------
    >>> plain("BigPlate1 - Force"), plain("Höhe_X")
    ('bigplate 1 force', 'hohe x')
    """
    text = unicodedata.normalize("NFKC", text[:_LONGEST]).casefold()
    letters = unicodedata.normalize("NFD", text)
    text = "".join(letter for letter in letters if not "\u0300" <= letter <= "\u036f")
    text = unicodedata.normalize("NFC", text)
    text = re.sub(r"(?<=[^\W\d_])(?=\d)|(?<=\d)(?=[^\W\d_])", " ", text)
    return " ".join(re.sub(r"[\W_]+", " ", text).split())


def _tight(text: str) -> str:
    return "".join(unicodedata.normalize("NFKC", text).casefold().split()).strip("[](){}:;,")


def unit_in(text: str) -> str | None:
    """Find the unit that a piece of text names, or None.

    Examples
    --------
    >>> unit_in("N m"), unit_in("[mm]"), unit_in("hello")
    ('N·m', 'mm', None)
    """
    return _terms().units.get(_tight(text)) if text.strip() else None


def is_rate_word(text: str) -> bool:
    """Tell whether a cell names the rate.

    Examples
    --------
    >>> is_rate_word("Rate (Hz):"), is_rate_word("Rate of climb")
    (True, False)
    """
    words = plain(_BRACKETS.sub(" ", text))
    return words in _terms().rate or plain(text) in _terms().rate


@lru_cache(maxsize=4096)
def understand(header: str, group: str = "") -> Meaning:
    """Tell what a header means.

    Parameters
    ----------
    header
        As it stands, with its unit if it has one.
    group
        What stands in the row above it, for several columns together.

    Examples
    --------
    >>> understand("Fz1 [N]")
    Meaning(quantity='fz', unit='N', plate='1', reason="the header says 'Fz1'", sure=True)
    >>> understand("Left vertical force (N)").plate
    'left'
    >>> understand("Fz", "Combined Force").reason
    "the header says 'Combined Force Fz', all plates together"
    """
    stated = [unit for note in _BRACKETS.findall(header) if (unit := unit_in(note))]
    name = " ".join(_BRACKETS.sub(lambda found: _kept(found[1]), header).split())
    unit = stated[0] if stated else None
    if unit is None:
        name, unit = _ending(name)
    return _named(name, group, unit)


def _kept(note: str) -> str:
    """Keep what stands in brackets, unless it is a unit."""
    return " " if unit_in(note) else f" {note} "


def _ending(name: str) -> tuple[str, str | None]:
    """Part a unit from the end of a name: ``force N``, ``time/s``, ``force_N``."""
    found = re.fullmatch(r"(.+?)[\s/,_]+(?:in\s+)?(\S+(?: m)?)", name)
    unit = unit_in(found[2]) if found else None
    return (found[1], unit) if found and unit else (name, None)


def _named(name: str, group: str, unit: str | None) -> Meaning:
    said = f"{group} {name}".strip()
    group_words = _without_families(plain(group))
    if _SENSOR.fullmatch("".join(plain(name).split())):
        reason = f"the header says {said!r}, one sensor of a plate"
        return Meaning(quantity=None, unit=unit, plate="", reason=reason)
    symbol = _symbol(name)
    if symbol is not None:
        return _fitting(symbol[0], f"{group_words} {symbol[1]}".strip(), unit, said)
    family, rest = _family(plain(name))
    if family is None:  # the group may name the quantity, and the header its axis
        family, rest = _family(f"{plain(group)} {plain(name)}".strip())
        group_words = ""
    if family is None or family == "other":
        return Meaning(
            quantity=None, unit=unit, plate="", reason=f"the header {said!r} names nothing known"
        )
    quantity, rest = _with_axis(family, rest)
    if quantity is None:
        reason = f"the header says {said!r} and not along which axis"
        return Meaning(quantity=None, unit=unit, plate="", reason=reason, sure=False)
    return _fitting(quantity, f"{group_words} {rest}".strip(), unit, said)


def _symbol(name: str) -> tuple[Quantity, str] | None:
    """Read a symbol such as Fz, 1Fx, FX2, CoPx_1, with words before it."""
    words = re.sub(r"[\W_]+", " ", unicodedata.normalize("NFKC", name).casefold()).split()
    for size in (1, 2, 3):
        for first in range(len(words) - size + 1):
            found = _SYMBOL.fullmatch(" ".join(words[first : first + size]))
            quantity = _SYMBOL_OF.get((found[2], found[3])) if found else None
            if found and quantity is not None:
                others = " ".join([*words[:first], *words[first + size :]])
                number = found[1] or found[4] or ""
                return quantity, f"{_without_families(plain(others))} {number}".strip()
    return None


def _family(words: str) -> tuple[str | None, str]:
    """Find the longest term in words; give its family and the rest."""
    padded = f" {words} "
    best = max(
        (term for term in _terms().families if f" {term} " in padded or _inside(term, words)),
        key=len,
        default=None,
    )
    if best is None:
        return None, words
    rest = (
        padded.replace(f" {best} ", " ", 1) if f" {best} " in padded else words.replace(best, " ")
    )
    return _terms().families[best], " ".join(rest.split())


def _inside(term: str, words: str) -> bool:
    """Words of some languages stand without blanks between them."""
    return not term.isascii() and term in words


def _without_families(words: str) -> str:
    """Leave what tells plates apart: no quantity, no idle word."""
    family, rest = _family(words)
    while family is not None:
        words = rest
        family, rest = _family(words)
    return " ".join(word for word in words.split() if word not in _terms().idle)


def _with_axis(family: str, rest: str) -> tuple[Quantity | None, str]:
    words = rest.split()
    axis = next((word for word in words if word in ("x", "y", "z", "vertical")), None)
    left = " ".join(word for word in words if word != axis and word not in _terms().idle)
    alone = _ALONE.get(family)
    if alone is not None:
        return alone, left
    if axis == "vertical" or (axis is None and family == "force"):
        axis = "z"
    return _SYMBOL_OF.get((_LETTERS[family], axis or "")), left


def _fitting(quantity: Quantity, plate: str, unit: str | None, said: str) -> Meaning:
    """Put it together; a unit of another kind makes it something else."""
    kind = KIND.get(quantity)
    words = set(plate.split())
    if words & _terms().all_plates:
        reason = f"the header says {said!r}, all plates together"
        return Meaning(quantity=None, unit=unit, plate="", reason=reason)
    if unit is not None and kind is not None and unit not in UNITS_OF[kind]:
        return Meaning(
            quantity=None,
            unit=unit,
            plate="",
            reason=f"the header says {said!r}, and {unit} is no unit of {kind}",
            sure=False,
        )
    return Meaning(quantity=quantity, unit=unit, plate=plate, reason=f"the header says {said!r}")


def names_force_column(cell: object) -> bool:
    """Tell whether a cell is a header of a column of forces.

    Examples
    --------
    >>> names_force_column("Fz2"), names_force_column("hello"), names_force_column(3.0)
    (True, False, False)
    """
    if not isinstance(cell, str) or not cell.strip() or len(cell) > _LONGEST:
        return False
    return understand(cell.strip()).quantity is not None


def is_force_term(piece: str) -> bool:
    """Tell whether a piece of text is a known word.

    Examples
    --------
    >>> is_force_term("Zeit"), is_force_term("Kr�ft")
    (True, False)
    """
    return plain(piece) in _terms().families
