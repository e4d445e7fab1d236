"""Clubs as a reader calls them."""

import re

from leadfoot.language.catalogue import ENGLISH
from leadfoot.language.say import noted, say, spoken
from leadfoot.shots.club import club_name

_NUMBERED = {
    "wood": noted("{number} wood"),
    "hybrid": noted("{number} hybrid"),
    "iron": noted("{number} iron"),
    "wedge": noted("{number} wedge"),
}
_NAMED = (
    noted("driver"),
    noted("wood"),
    noted("hybrid"),
    noted("iron"),
    noted("wedge"),
    noted("putter"),
    noted("pitching wedge"),
    noted("gap wedge"),
    noted("sand wedge"),
    noted("lob wedge"),
)
_SPLIT = re.compile(r"(\d+°?) (\w+)")


def club_said(name: str) -> str:
    """A club in the language of the reader; in English it stays as it was typed.

    Examples
    --------
    >>> from leadfoot.language.say import speaking
    >>> club_said("7i"), club_said("")
    ('7i', '')
    >>> with speaking("de"):
    ...     club_said("7i"), club_said("56° wedge"), club_said("the long one")
    ('Eisen 7', 'Wedge 56°', 'the long one')
    """
    if spoken().code == ENGLISH:
        return name
    known = club_name(name)
    found = _SPLIT.fullmatch(known)
    if found and found[2] in _NUMBERED:
        return say(_NUMBERED[found[2]], number=found[1])
    return say(known) if known in _NAMED else name
