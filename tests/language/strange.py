"""An invented language: every vowel has a bar, so that what was not said in it stands out.

What goes into a text stays as it is. A page in it that still has a word with a plain vowel has a
text that no translator would see.
"""

import re
from collections.abc import Iterable
from string import Formatter

from babel import Locale

from leadfoot.language.catalogue import Language

_BARRED = str.maketrans("aeiouAEIOU", "āēīōūĀĒĪŌŪ")
_WORD = re.compile(r"[^\W\d_]*[aeiouAEIOU][^\W\d_]*")


def strange(text: str) -> str:
    """A text in the invented language.

    >>> strange("Week {number}")
    'Wēēk {number}'
    """
    return "".join(
        literal.translate(_BARRED).replace("{", "{{").replace("}", "}}")
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


STRANGE = Language(code="fi", locale=Locale.parse("de"), texts=Strange())
"""Its numbers and days are German ones: a comma, and names that no catalogue has."""
_DAYS = {
    name
    for names in (STRANGE.locale.months, STRANGE.locale.days)
    for widths in names["format"].values()
    for name in widths.values()
    if len(name) > 1
}


def unsaid(text: str, given: Iterable[str]) -> list[str]:
    """Words of a page that nobody wrote, and that were not said in the invented language.

    >>> unsaid("Thē bāll of Ann", ["Ann"])
    ['of']
    """
    for known in sorted((*given, *_DAYS, "Leadfoot"), key=len, reverse=True):
        text = re.sub(rf"(?<!\w){re.escape(known)}(?!\w)", " ", text)
    return _WORD.findall(text)
