"""Brings the catalogues of texts up to date: ``python -m tests.language.texts`` (``make texts``).

New texts come in empty, unused ones go, and nothing is guessed from a text that is alike: a
translation is of this text, or it is none. Name a code to begin a new language.
"""

import sys
from io import BytesIO
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.extract import extract_from_dir
from babel.messages.frontend import parse_mapping_cfg
from babel.messages.pofile import write_po

from leadfoot.language.catalogue import ENGLISH, catalogue, languages

ROOT = Path(__file__).parents[2]
SOURCE = ROOT / "src" / "leadfoot"
KEYWORDS = {"say": None, "say_n": (1, 2), "say_as": ((1, "c"), 2), "noted": None}
HEAD = """# What a student of Leadfoot reads, text by text: the English one is the key.
# `make texts` keeps this file in step with the program."""


def extracted() -> Catalog:
    """Every text that is marked in the program today."""
    with (ROOT / "babel.cfg").open(encoding="utf-8") as file:
        methods, options = parse_mapping_cfg(  # type: ignore[no-untyped-call]
            file, filename="babel.cfg"
        )
    found = Catalog(charset="utf-8")
    for name, _, message, _, context in extract_from_dir(
        SOURCE, method_map=methods, options_map=options, keywords=KEYWORDS
    ):
        found.add(message, locations=[(f"src/leadfoot/{name}", 0)], context=context)
    return found


def file_of(code: str) -> Path:
    return SOURCE / "language" / code / "messages.po"


def updated(code: str, *, new: bool = False) -> bytes:
    """The catalogue of a language with the texts of today, as it stands in its file."""
    known = Catalog(locale=code) if new else catalogue(code)
    known.header_comment = HEAD
    known.project, known.version = "Leadfoot", "1"
    known.update(extracted(), no_fuzzy_matching=True)
    known.obsolete.clear()
    out = BytesIO()
    write_po(out, known, width=100, sort_by_file=True, include_lineno=False, omit_header=True)
    plural = f'"Plural-Forms: {known.plural_forms}\\n"\n'
    head = (
        f'{known.header_comment}\nmsgid ""\nmsgstr ""\n"Language: {code}\\n"\n'
        f'"MIME-Version: 1.0\\n"\n"Content-Type: text/plain; charset=utf-8\\n"\n'
        f'"Content-Transfer-Encoding: 8bit\\n"\n{plural}\n'
    )
    return head.encode() + out.getvalue()


def main(new: list[str]) -> None:
    for code in new:
        file_of(code).parent.mkdir(exist_ok=True)
        file_of(code).write_bytes(updated(code, new=True))
    for code in languages():
        if code != ENGLISH:
            file_of(code).write_bytes(updated(code))


if __name__ == "__main__":
    main(sys.argv[1:])
