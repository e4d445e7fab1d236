"""Which way a value goes: the words beside a number or a header, and the sign that they mean."""

import re
from functools import lru_cache
from typing import Literal

from leadfoot.shots.terms import Side, plain, squeezed, terms

Hand = Literal["right", "left"]
"""The hand of the student: which way open and in-to-out point."""

_DIRECTION: dict[Side, Literal[1, -1]] = {
    "right": 1, "left": -1,
    "open": 1, "closed": -1, "in_to_out": 1, "out_to_in": -1,
    "toe": 1, "heel": -1, "high": 1, "low": -1, "up": 1, "down": -1, "ahead": 1, "behind": -1,
}  # fmt: skip
"""Signs of the glossary, for a right-hander."""
_TURNS_WITH_HAND: frozenset[Side] = frozenset({"open", "closed", "in_to_out", "out_to_in"})

_LATERAL: tuple[Side, ...] = ("right", "left")
_FACE: tuple[Side, ...] = ("right", "left", "open", "closed")
_PATH: tuple[Side, ...] = ("right", "left", "in_to_out", "out_to_in")
_VERTICAL: tuple[Side, ...] = ("up", "down")
_OF_QUANTITY: dict[str, tuple[Side, ...]] = {
    "club_path": _PATH,
    "swing_direction": _PATH,
    "face_angle": _FACE,
    "face_to_path": _FACE,
    "launch_direction": _LATERAL,
    "spin_axis": _LATERAL,
    "offline": _LATERAL,
    "attack_angle": _VERTICAL,
    "launch_angle": _VERTICAL,
    "low_point": ("ahead", "behind"),
    "strike_heel_toe": ("toe", "heel"),
    "strike_high_low": ("high", "low"),
}
_TOKENS = re.compile(r"[+\-]|[^\W\d_]+(?:[- ][^\W\d_]+)*")
_SIGN_WORDS = {"positive": "+", "plus": "+", "pos": "+", "negative": "-", "minus": "-", "neg": "-"}


def is_signed(quantity: str) -> bool:
    """Tell whether a quantity goes two ways.

    Examples
    --------
    >>> is_signed("offline"), is_signed("carry")
    (True, False)
    """
    return quantity in _OF_QUANTITY


@lru_cache(maxsize=8192)
def side_sign(word: str, quantity: str, hand: Hand) -> Literal[1, -1] | None:
    """Give the sign that a word beside a number means, or None where it means none.

    Parameters
    ----------
    word
        One of the words of the terms file: ``R``, ``links``, ``in-to-out``.
    quantity
        Key of the quantity: toe says nothing of a path.
    hand
        The student's hand; open and in-to-out turn with it, right and left do not.

    Examples
    --------
    >>> side_sign("open", "face_angle", "right"), side_sign("open", "face_angle", "left")
    (1, -1)
    >>> side_sign("toe", "club_path", "right") is None
    True
    """
    spelling = squeezed(word)
    if not spelling:
        return None
    for side in _OF_QUANTITY.get(quantity, ()):
        if spelling in terms().sides[side]:
            turned = hand == "left" and side in _TURNS_WITH_HAND
            return _flip(_DIRECTION[side]) if turned else _DIRECTION[side]
    return None


def _flip(sign: Literal[1, -1]) -> Literal[1, -1]:
    return -1 if sign == 1 else 1


def is_side_word(word: str) -> bool:
    """Tell whether a word says a direction at all.

    Examples
    --------
    >>> is_side_word("links"), is_side_word("carry")
    (True, False)
    """
    spelling = squeezed(word)
    return any(spelling in spellings for spellings in terms().sides.values())


def header_sign(text: str, quantity: str, hand: Hand) -> Literal[1, -1] | None:
    """Read a remark on signs from a header, such as ``R+``, ``+ left`` or ``right = +``.

    Returns
    -------
    int or None
        1 where the table's signs are those of the glossary, -1 where they are the opposite, None
        where the text is no such remark.

    Examples
    --------
    >>> header_sign("left +", "offline", "right"), header_sign("R+/L-", "offline", "right")
    (-1, 1)
    """
    tokens = [_SIGN_WORDS.get(plain(token), token) for token in _tokens(text)]
    if len(tokens) < 2 or len(tokens) % 2 or not {"+", "-"} & set(tokens):
        return None
    pairs = list(zip(tokens[::2], tokens[1::2], strict=True))
    found = {_meant(first, second, quantity, hand) for first, second in pairs}
    return found.pop() if len(found) == 1 else None


def _tokens(text: str) -> list[str]:
    bare = text[:60].replace("−", "-").replace("=", " ").replace(" is ", " ")
    parts: list[str] = []
    for token in _TOKENS.findall(bare):
        first, _, last = token.rpartition(" ")
        parts += [first, last] if first and plain(last) in _SIGN_WORDS else [token]
    return parts


def _meant(first: str, second: str, quantity: str, hand: Hand) -> Literal[1, -1] | None:
    mark, word = (first, second) if first in "+-" else (second, first)
    sign = side_sign(word, quantity, hand)
    if sign is None or mark not in "+-":
        return None
    return sign if mark == "+" else _flip(sign)
