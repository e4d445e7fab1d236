"""Every language is whole and of today: nothing missing, guessed, left over or mis-spelt."""

import ast
from string import Formatter

import pytest
from babel.messages.catalog import Message

from leadfoot.errors import InputError
from leadfoot.language.catalogue import ENGLISH, catalogue, language, languages
from leadfoot.reports.letters import printable_letters
from tests.language import texts

OTHERS = [code for code in languages() if code != ENGLISH]
ALIKE = frozenset({"Block", "Carry", "Text", "{n} m", "yd"})


def entries(code: str) -> list[Message]:
    return [one for one in catalogue(code) if one.id]


def said(message: Message) -> tuple[str, ...]:
    return message.string if isinstance(message.string, tuple) else (str(message.string),)


def asked(message: Message) -> tuple[str, ...]:
    return tuple(message.id) if isinstance(message.id, tuple | list) else (str(message.id),)


def gaps(text: str) -> set[str]:
    return {name for _, name, _, _ in Formatter().parse(text) if name is not None}


def test_there_is_a_second_language() -> None:
    assert languages() == {"en": "English", "de": "Deutsch"}


@pytest.mark.parametrize("code", OTHERS)
def test_the_file_holds_the_texts_of_today(code: str) -> None:
    there, wanted = texts.file_of(code).read_bytes(), texts.updated(code)
    assert there == wanted, "Run `make texts`, and say what is new in every language."


@pytest.mark.parametrize("code", OTHERS)
def test_no_text_is_missing_guessed_or_left_over(code: str) -> None:
    found = catalogue(code)
    assert [one.id for one in entries(code) if not all(said(one))] == []
    assert [one.id for one in entries(code) if one.fuzzy] == []
    assert dict(found.obsolete) == {}
    assert list(found.check()) == []


@pytest.mark.parametrize("code", OTHERS)
def test_what_goes_into_a_text_goes_into_its_translation(code: str) -> None:
    for one in entries(code):
        wanted = set().union(*map(gaps, asked(one)))
        for text in said(one):
            # A plural may leave the number out where it says it in a word; nothing else may.
            assert gaps(text) | ({"n"} if one.pluralizable else set()) == wanted | (
                {"n"} if one.pluralizable else set()
            ), one.id


@pytest.mark.parametrize("code", OTHERS)
def test_plurals_have_as_many_forms_as_the_language(code: str) -> None:
    wanted = catalogue(code).num_plurals
    assert {len(said(one)) for one in entries(code) if one.pluralizable} <= {wanted}


@pytest.mark.parametrize("code", OTHERS)
def test_the_marks_of_a_sentence_are_kept(code: str) -> None:
    for one in entries(code):
        for text, translation in zip(asked(one)[-1:], said(one)[-1:], strict=True):
            assert text == text.strip()
            assert translation == " ".join(translation.split())
            for mark in ".:?":
                assert text.endswith(mark) == translation.endswith(mark), text


@pytest.mark.parametrize("code", OTHERS)
def test_the_shipped_face_has_every_letter(code: str) -> None:
    letters = set().union(*(set(text) for one in entries(code) for text in said(one)))
    assert letters <= printable_letters() | {"\u00a0"}


def test_the_shipped_face_has_the_letters_of_german() -> None:
    assert set("äöüßÄÖÜẞ„“") <= printable_letters()


def test_a_language_without_texts_is_refused_by_name() -> None:
    with pytest.raises(InputError, match=r"no texts in the language 'xx'.*Choose one of: de, en"):
        language("xx")


@pytest.mark.parametrize("code", ["../de", "de/..", "", "__pycache__", "de\0"])
def test_a_code_is_no_way_into_the_folders(code: str) -> None:
    with pytest.raises(InputError, match="There are no texts in the language"):
        language(code)


def test_every_marked_text_is_found() -> None:
    """Babel reads no call within an f-string: such a text would never reach a catalogue."""
    there = set()
    for one in texts.extracted():
        there |= {one.id} if isinstance(one.id, str) else set(one.id)
    marked = {
        text.value
        for path in texts.SOURCE.rglob("*.py")
        for call in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(call, ast.Call) and isinstance(call.func, ast.Name)
        for text in call.args[: {"say": 1, "noted": 1, "say_n": 2}.get(call.func.id, 0)]
        if isinstance(text, ast.Constant)
    }
    assert len(marked) > 100
    assert marked - there == set()
