"""An invented language with other letters, so that what was not said in it stands out.

Latin letters become Cyrillic ones, what goes into a text stays as it is. A page in it that still
has Latin words has texts that no translator would see.
"""

import re
from collections.abc import Iterable
from string import Formatter, ascii_lowercase, ascii_uppercase

from babel import Locale

from leadfoot.language.catalogue import Language

_CYRILLIC = "абвгдежзийклмнопрстуфхцчшщ"
_OTHER = str.maketrans(ascii_lowercase + ascii_uppercase, _CYRILLIC + _CYRILLIC.upper())
_WORD = re.compile(r"[A-Za-z]{2,}")


def strange(text: str) -> str:
    """A text in the invented language.

    >>> strange("Week {number}")
    'Цддк {number}'
    """
    return "".join(
        literal.translate(_OTHER).replace("{", "{{").replace("}", "}}")
        + ("" if name is None else f"{{{name}{f'!{how}' if how else ''}}}")
        for literal, name, _, how in Formatter().parse(text)
    )


class Strange:
    """The texts of the invented language."""

    def gettext(self, message: str) -> str:
        return strange(message)

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        return strange(msgid1 if n == 1 else msgid2)

    def pgettext(self, context: str, message: str) -> str:  # noqa: ARG002
        return strange(message)


STRANGE = Language(code="ru", locale=Locale.parse("ru"), texts=Strange())
"""Its numbers and days are Russian ones: a comma, and no Latin letter."""


def unsaid(text: str, given: Iterable[str]) -> list[str]:
    """Latin words of a page that nobody wrote and that no unit has."""
    for known in sorted((*given, *UNITS), key=len, reverse=True):
        text = re.sub(rf"(?<![A-Za-z]){re.escape(known)}(?![A-Za-z])", " ", text)
    return _WORD.findall(text)


UNITS = ("mph", "yd", "rpm", "ft", "m/s", "km/h", "°C", "°F", "Leadfoot")
