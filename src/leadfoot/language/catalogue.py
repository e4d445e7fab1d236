"""Reads the catalogues of texts: one ``messages.po`` a language, beside this file."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from importlib.resources import files
from io import BytesIO
from types import MappingProxyType
from typing import Protocol

from babel import Locale
from babel.messages.catalog import Catalog
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po
from babel.support import NullTranslations, Translations

from leadfoot.errors import InputError

ENGLISH = "en"
"""The language in which the program is written, and the one that a new student has."""

_AREA = {"en": "en_GB", "de": "de_DE"}
"""Whose days and numbers a language has, where it has several. Our own choice."""


class Gettext(Protocol):
    """What says a text in another language, as the standard library's ``gettext`` has it."""

    def gettext(self, message: str) -> str:
        """Say a text."""
        ...

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        """Say a text that counts something."""
        ...

    def pgettext(self, context: str, message: str) -> str | object:
        """Say a text that means several things, by what it means here."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Language:
    """One language: its code (ISO 639-1), whose numbers and days it has, and its texts."""

    code: str
    locale: Locale
    texts: Gettext = field(default_factory=NullTranslations)

    @property
    def name(self) -> str:
        """What it calls itself.

        Examples
        --------
        >>> language("de").name
        'Deutsch'
        """
        return str(self.locale.languages[self.code]).capitalize()


@cache
def languages() -> Mapping[str, str]:
    """Every language that a student can be given, by code, with what it calls itself.

    Examples
    --------
    >>> languages()["en"]
    'English'
    """
    return MappingProxyType({code: language(code).name for code in (ENGLISH, *_translated())})


def _translated() -> list[str]:
    """Codes of the folders that hold a catalogue."""
    return sorted(
        folder.name
        for folder in files(__package__).iterdir()
        if folder.is_dir() and folder.joinpath("messages.po").is_file()
    )


@cache
def language(code: str) -> Language:
    """A language by its code; read once.

    Parameters
    ----------
    code
        As ISO 639-1 has it: ``de``.

    Raises
    ------
    InputError
        If there are no texts in it.

    Examples
    --------
    >>> language("xx")
    Traceback (most recent call last):
    ...
    leadfoot.errors.InputError: There are no texts in the language 'xx'. Choose one of: de, en.
    """
    if code == ENGLISH:
        return Language(code=ENGLISH, locale=Locale.parse(_AREA[ENGLISH]))
    if code not in _translated():
        raise InputError(
            f"There are no texts in the language {code[:20]!r}.",
            fix=f"Choose one of: {', '.join(sorted([ENGLISH, *_translated()]))}.",
        )
    compiled = BytesIO()
    write_mo(compiled, catalogue(code))
    compiled.seek(0)
    locale = Locale.parse(_AREA.get(code, code))
    return Language(code=code, locale=locale, texts=Translations(compiled))


def catalogue(code: str) -> Catalog:
    """The texts of a language as they stand in its file, with what is remarked of them."""
    source = files(__package__).joinpath(code, "messages.po").read_bytes()
    return read_po(BytesIO(source), locale=code)
