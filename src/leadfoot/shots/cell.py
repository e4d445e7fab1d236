"""One cell to one number: its sign, its marks, its unit, the word beside it."""

import re
import unicodedata
from dataclasses import dataclass
from typing import Literal

from leadfoot.language.say import noted
from leadfoot.shots.sides import Hand, is_side_word, side_sign
from leadfoot.shots.terms import find_table_unit, terms
from leadfoot.tables.marks import Mark
from leadfoot.units import UNITS

_LONGEST = 60
_NUMBER = re.compile(r"\d{1,3}(?:[ '’]\d{3})+(?:[.,]\d+)?(?!\d)|\d+(?:[.,]\d+)*|[.,]\d+")
_GROUPS = {".": re.compile(r"\d{1,3}(?:\.\d{3})+\Z"), ",": re.compile(r"\d{1,3}(?:,\d{3})+\Z")}
_MINUS = str.maketrans(dict.fromkeys("−‐‑‒–—﹣－", "-"))
_ABOUT = {"~", "≈", "ca", "ca.", "about", "="}
_DATE = re.compile(r"\d{1,4}[-/.:]\d{1,2}[-/.:]\d{1,4}|\d{1,2}:\d{2}|\d{1,2}[-/.][A-Za-z]{3}")
_ENDS = "*! "
_RAISED = re.compile("[\u00b2\u00b3\u00b9\u2070-\u2089\u00bc-\u00be\u2150-\u215f]")
"""Raised and lowered digits, and fractions, which would otherwise become plain digits."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CellRule:
    """What is known of a column when one of its cells is read."""

    quantity: str
    dimension: str
    decimal: Mark
    hand: Hand
    brackets_negative: bool = False
    """True where a number in brackets is a negative one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CellValue:
    """What a cell says: a value as written, its own unit, or what is wrong with it."""

    value: float = float("nan")
    """NaN where the cell is empty or wrong."""
    unit: str | None = None
    reason: str | None = None
    """What is wrong; None for a good or an empty cell."""


MISSING = CellValue()


def is_missing(text: str) -> bool:
    """Tell whether a cell says that nothing was measured.

    Examples
    --------
    >>> [is_missing(text) for text in ("--", " N/A ", "", "0")]
    [True, True, True, False]
    """
    return text.strip().casefold() in terms().missing


def read_cell(text: str, rule: CellRule) -> CellValue:
    """Read one cell of a column.

    Examples
    --------
    >>> rule = CellRule(quantity="offline", dimension="length", decimal=".", hand="right")
    >>> read_cell("4.1 yd left", rule)
    CellValue(value=-4.1, unit='yd', reason=None)
    >>> read_cell("4-5", rule).reason
    'This holds more than one number; write one.'
    """
    if is_missing(text):
        return MISSING
    if len(text) > _LONGEST:
        return CellValue(reason=noted("This is too long for a number; write the number alone."))
    if _RAISED.search(text):
        return CellValue(reason=noted("Raised digits and fractions are not read; write 1234.5."))
    bare = unicodedata.normalize("NFKC", text).translate(_MINUS).strip()
    if bare.startswith("(") and bare.endswith(")"):
        return _in_brackets(bare[1:-1].strip(), rule)
    return _read(bare, rule)


def _in_brackets(bare: str, rule: CellRule) -> CellValue:
    if not rule.brackets_negative:
        return CellValue(
            reason=noted(
                "A number in brackets may mean minus, or a doubtful reading; write -2.3 or 2.3."
            )
        )
    return _read(f"-{bare}", rule)


def _read(bare: str, rule: CellRule) -> CellValue:
    found = _NUMBER.search(bare)
    if found is None:
        return CellValue(
            reason=noted("This is no number; write a number, or - where there is none.")
        )
    before, after = bare[: found.start()].strip(), bare[found.end() :].strip(_ENDS)
    if any(letter.isdigit() for letter in after):
        return CellValue(reason=_two_numbers(bare))
    value = _number(found[0], rule.decimal)
    if value is None:
        return CellValue(
            reason=noted("The marks in this number stand in no known order; write 1234.5.")
        )
    before, mark = _split_sign(before)
    return _with_words(value, mark, before, after, rule)


def _two_numbers(bare: str) -> str:
    if _DATE.search(bare):
        return "This is a date or a time; a spreadsheet may have made it from a number."
    return "This holds more than one number; write one."


def _split_sign(before: str) -> tuple[str, str]:
    """Part the text before a number into words and sign."""
    for place in (-1, 0):
        if before and before[place] in "+-":
            words = before[:-1] if place == -1 else before[1:]
            return words.strip(), before[place]
    return before, ""


def _number(digits: str, decimal: Mark) -> float | None:
    """Read digits with decimal and thousands marks; None where the marks make no sense."""
    bare = digits.replace(" ", "").replace("'", "").replace("’", "")
    grouped = len(bare) < len(digits)
    last = max(bare.rfind("."), bare.rfind(","))
    if last < 0:
        return float(bare)
    mark: Mark = "." if bare[last] == "." else ","
    other: Mark = "," if mark == "." else "."
    if other in bare:
        return _two_marks(bare, last, other) if not grouped else None
    if bare.count(mark) > 1:
        return float(bare.replace(mark, "")) if _GROUPS[mark].match(bare) else None
    if mark != decimal and not grouped and _GROUPS[mark].match(bare) and bare[0] != "0":
        return float(bare.replace(mark, ""))
    return float(bare.replace(",", "."))


def _two_marks(bare: str, last: int, other: Mark) -> float | None:
    """Read a number that has both marks: the last one is the decimal mark."""
    whole, part = bare[:last], bare[last + 1 :]
    return float(f"{whole.replace(other, '')}.{part}") if _GROUPS[other].match(whole) else None


def _with_words(value: float, mark: str, before: str, after: str, rule: CellRule) -> CellValue:
    """Put together the number, its sign, and the words before and after it."""
    side, unit, rest = _words(after, rule)
    if before and before.casefold() not in _ABOUT:
        ahead = side_sign(before, rule.quantity, rule.hand)
        if ahead is None or (side is not None and side != ahead):
            return CellValue(reason=_strange(before, rule))
        side = ahead
    if rest:
        return CellValue(reason=_strange(rest, rule))
    if unit is not None and UNITS[unit].dimension != rule.dimension:
        return CellValue(reason=f"{unit} is no unit of {rule.dimension}.")
    if side is not None and mark and (mark == "+") != (side == 1):
        return CellValue(
            reason=noted("The sign and the word contradict each other; keep one of them.")
        )
    return CellValue(value=_signed(value, mark, side), unit=unit)


def _signed(value: float, mark: str, side: Literal[1, -1] | None) -> float:
    negative = side == -1 if side is not None else mark == "-"
    return -value if negative and value else value


def _strange(words: str, rule: CellRule) -> str:
    name = rule.quantity.replace("_", " ")
    if is_side_word(words):
        return f"{words!r} says no direction of {name}."
    return f"{words!r} beside a number of {name} is not understood; write the number alone."


def _words(after: str, rule: CellRule) -> tuple[Literal[1, -1] | None, str | None, str]:
    """Part the text after a number into a direction, a unit, and what is left."""
    if not after:
        return None, None, ""
    side = side_sign(after, rule.quantity, rule.hand)
    if side is not None:
        return side, None, ""
    unit = find_table_unit(after)
    if unit is not None:
        return None, unit, ""
    return _side_and_unit(after, rule)


def _side_and_unit(after: str, rule: CellRule) -> tuple[Literal[1, -1] | None, str | None, str]:
    """Part text such as ``yd left`` or ``left yd``."""
    for place, letter in enumerate(after):
        if letter.isalpha() and place and after[place - 1].isalpha():
            continue
        first, last = after[:place].strip(" ,"), after[place:].strip(" ,")
        for unit_text, side_text in ((first, last), (last, first)):
            unit = find_table_unit(unit_text)
            side = side_sign(side_text, rule.quantity, rule.hand)
            if unit and side is not None:
                return side, unit, ""
    return None, None, after
