"""Finds the texts of a student where Babel does not look by itself: catalogues and sheets."""

import re
import tomllib
from collections.abc import Collection, Iterator, Mapping
from typing import IO, Any

Found = tuple[int, str | None, str, list[str]]
"""Line, function (None: the text stands for itself), text, remarks; as Babel wants it."""

_SAY = re.compile(r'\bsay\(\s*"((?:[^"\\]|\\.)*)"')

FIELDS: Mapping[str, tuple[str, ...]] = {
    "drills": ("name", "setup", "feel", "easier", "harder", "cautions"),
    "glossary": ("name",),
}
"""What a student reads of each catalogue."""


def sheet_texts(template: str) -> list[str]:
    r"""The texts of a sheet's template: what stands in its calls of ``say``.

    Examples
    --------
    >>> sheet_texts('#say("With care") #say("page {n}", n: 2)')
    ['With care', 'page {n}']
    """
    return [found.group(1).replace('\\"', '"') for found in _SAY.finditer(template)]


def from_sheets(
    file: IO[bytes], _keywords: Collection[str], _remarks: Collection[str], **_: object
) -> Iterator[Found]:
    """Babel's way into the templates of sheets."""
    for line, text in enumerate(file.read().decode().splitlines(), start=1):
        for found in sheet_texts(text):
            yield line, None, found, []


def from_catalogues(
    file: IO[bytes],
    _keywords: Collection[str],
    _remarks: Collection[str],
    options: Mapping[str, Any],
) -> Iterator[Found]:
    """Babel's way into a TOML catalogue; the option ``fields`` says which of `FIELDS` it has."""
    for row in tomllib.load(file).values():
        for name in FIELDS[options["fields"]]:
            value = row.get(name, [])
            for text in [value] if isinstance(value, str) else value:
                yield 1, None, text, []
