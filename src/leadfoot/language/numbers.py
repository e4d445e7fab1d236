"""Numbers as a language writes them, by the Unicode CLDR data that Babel brings."""

from decimal import Decimal
from functools import lru_cache

from babel import Locale
from babel.numbers import format_decimal

from leadfoot.language.say import say, spoken

MINUS = "\u2212"


def number(value: float, decimals: int = 0, *, sign: bool = False) -> str:
    """A number with so many decimals, never grouped, with a real minus; nought has no sign.

    Parameters
    ----------
    value
        The number; must be finite.
    decimals
        Digits after the comma, 0 or more.
    sign
        Whether a gain has its plus.

    Examples
    --------
    >>> from leadfoot.language.say import speaking
    >>> number(-1234.56, 1), number(5.13, sign=True), number(-0.01, 1, sign=True)
    ('−1234.6', '+5', '0.0')
    >>> with speaking("de"):
    ...     number(2.5, 1)
    '2,5'
    """
    return _written(value, decimals, sign, spoken().locale)


@lru_cache(maxsize=16_384)  # a page of 300 balls has some thousand numbers, and few are new
def _written(value: float, decimals: int, sign: bool, locale: Locale) -> str:
    rounded = Decimal(f"{value:.{decimals}f}")
    size = format_decimal(
        abs(rounded),
        format=f"0.{'0' * decimals}" if decimals else "0",
        locale=locale,
        decimal_quantization=False,
        group_separator=False,
    )
    if rounded == 0:
        return size
    return f"{MINUS if rounded < 0 else '+' if sign else ''}{size}"


def plain_number(value: float) -> str:
    """A number with no more decimals than it has, at most six digits.

    Examples
    --------
    >>> plain_number(90.0), plain_number(45.5)
    ('90', '45.5')
    """
    decimals = f"{value:.6g}".partition(".")[2]
    return number(value, len(decimals) if decimals.isdecimal() else 0)


def joined(parts: list[str]) -> str:
    """Parts of a sentence in a row, the last after an "and".

    Examples
    --------
    >>> joined(["a", "b", "c"]), joined(["a", "b"]), joined([])
    ('a, b, and c', 'a, and b', '')
    """
    if len(parts) < 2:
        return "".join(parts)
    return say("{parts}, and {last}", parts=", ".join(parts[:-1]), last=parts[-1])
