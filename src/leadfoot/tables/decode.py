"""Bytes to text: which encoding a file is in, told by its marks, by strictness, by its words."""

import codecs
from collections.abc import Callable
from dataclasses import dataclass

from charset_normalizer import from_bytes

from leadfoot.errors import InputError

IsTerm = Callable[[str], bool]
"""Tells whether a piece of text is a word that is known."""

_MARKS = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF32_LE, "utf-32-le"),  # begins with the mark of UTF-16, so it comes first
    (codecs.BOM_UTF32_BE, "utf-32-be"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)
_CODE_PAGES = ["cp1252", "cp932", "euc_jp", "cp949", "cp1250", "mac_roman", "gb18030"]
"""Code pages of the languages that the terms file speaks, most common first."""
_LIKE_WESTERN = {"mac_roman", "cp1250"}
"""Pages that a few accented letters can't tell from the Western one, which is far more common."""
_SAMPLE_BYTES = 16_384
LARGEST_BYTES = 64 * 1024 * 1024
"""Largest file that is read: some twenty times a table of 100,000 shots. Our own choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Decoded:
    """Text, the encoding it was in, and how many characters could not be read."""

    text: str
    encoding: str
    n_unreadable: int


def decode(data: bytes, is_term: IsTerm) -> Decoded:
    """Turn the bytes of a text file into text.

    Parameters
    ----------
    data
        The whole file.
    is_term
        Tells whether a piece of text is a word that is known: the encoding that makes most wins.

    Raises
    ------
    InputError
        If the file is empty, too large, or not text.

    Examples
    --------
    >>> decode("Höhe;m".encode("cp1252"), lambda piece: piece == "Höhe").text
    'Höhe;m'
    """
    if not data.strip():
        raise InputError("The file is empty.", fix="Export or save the table again.")
    refuse_large(data)
    for mark, encoding in _MARKS:
        if data.startswith(mark):
            return _checked(_replacing(data[len(mark) :], encoding))
    return _checked(_unmarked(data, is_term))


def refuse_large(data: bytes) -> None:
    """Refuse a file beyond the size that the program reads.

    Raises
    ------
    InputError
        If the file is too large.
    """
    refuse_size(len(data))


def refuse_size(n_bytes: int) -> None:
    """Refuse a file by its size, before it is read.

    Raises
    ------
    InputError
        If it is too large.
    """
    if n_bytes > LARGEST_BYTES:
        raise InputError(
            f"The file has {n_bytes / 2**20:.1f} MB; the program reads up to "
            f"{LARGEST_BYTES / 2**20:.0f} MB.",
            fix="Split the table and read the parts.",
        )


def _unmarked(data: bytes, is_term: IsTerm) -> Decoded:
    wide = _wide(data[:_SAMPLE_BYTES])
    if wide:
        return _replacing(data, wide)
    try:
        return Decoded(text=data.decode("utf-8"), encoding="utf-8", n_unreadable=0)
    except UnicodeDecodeError:
        return _legacy(data, is_term)


def _wide(sample: bytes) -> str | None:
    """Tell UTF-16 without a mark by its zeros, which stand on one side of nearly every pair."""
    pairs = len(sample) // 2
    if pairs == 0:
        return None
    even, odd = sample[: 2 * pairs : 2].count(0), sample[1 : 2 * pairs : 2].count(0)
    if odd > 0.3 * pairs and odd > 4 * even:
        return "utf-16-le"
    if even > 0.3 * pairs and even > 4 * odd:
        return "utf-16-be"
    return None


def _replacing(data: bytes, encoding: str) -> Decoded:
    text = data.decode(encoding, errors="replace")
    return Decoded(text=text, encoding=encoding, n_unreadable=text.count("\ufffd"))


def _legacy(data: bytes, is_term: IsTerm) -> Decoded:
    """Choose among damaged UTF-8 and the code pages by the words of the trade and likelihood."""
    sample = _telling_sample(data)
    guesses = [match.encoding for match in from_bytes(sample, cp_isolation=_CODE_PAGES)]
    likely = ["cp1252" if guess in _LIKE_WESTERN else guess for guess in guesses]
    orders = ["utf-8", *likely, *guesses, *_CODE_PAGES]
    candidates = [_replacing(data, name) for name in dict.fromkeys(orders)]
    return max(candidates, key=lambda decoded: _rating(decoded, orders, is_term))


def _telling_sample(data: bytes) -> bytes:
    """Take the lines from the first byte beyond ASCII on."""
    first = next((place for place, byte in enumerate(data) if byte > 127), 0)
    return data[max(0, first - 200) : first + _SAMPLE_BYTES]


def _rating(decoded: Decoded, orders: list[str], is_term: IsTerm) -> tuple[float, float, int]:
    """Rate a decoding: words known, fewest characters unreadable, most likely first."""
    head = "\n".join(decoded.text.split("\n", 40)[:40])[:8000]
    foreign = {part for part in _parts(head) if not part.isascii()}
    known = sum(1 for part in foreign if is_term(part))
    damage = decoded.n_unreadable / max(1, len(decoded.text))
    return (known, -round(damage, 3), -orders.index(decoded.encoding))


def _parts(head: str) -> list[str]:
    for mark in ";,\t|()[]/\r":
        head = head.replace(mark, "\n")
    return [part for part in head.split("\n") if part and len(part) < 60]


def _checked(decoded: Decoded) -> Decoded:
    """Refuse what is not text: many control characters, or most of it unreadable."""
    head = decoded.text[:_SAMPLE_BYTES]
    odd = sum(1 for letter in head if letter < " " and letter not in "\t\n\r\f\x0b\x1a")
    odd += head.count("\ufffd")
    if odd > 0.1 * max(1, len(head)):
        raise InputError(
            "The file is not a table: its bytes are no text.",
            fix="Save the table as CSV or XLSX and give that file.",
        )
    if not decoded.text.strip("\ufeff\x00 \t\r\n\f\x1a"):
        raise InputError("The file is empty.", fix="Export or save the table again.")
    return decoded
