"""Settings and remembered columns of a studio in both kinds of book: kept, exported, forgotten."""

from datetime import timedelta
from pathlib import Path

import pytest

from leadfoot.book.store import SqlBook, open_book
from leadfoot.errors import NotInBookError
from tests.book.samples import AT

LATER = AT + timedelta(minutes=1)


def values(book: SqlBook) -> dict[str, str]:
    return {key: one.value_json for key, one in book.settings().items()}


def test_the_latest_of_a_setting_holds(book: SqlBook) -> None:
    assert book.settings() == {}
    book.save_setting("units", '{"speed":"mph"}', by="Olga Owner", at=AT)
    seen = book.last_change()
    book.save_setting("units", '{"speed":"km/h"}', by="Carl Coach", at=LATER)
    book.save_setting("air", "{}", by="Olga Owner", at=AT)
    assert values(book) == {"units": '{"speed":"km/h"}', "air": "{}"}
    held = book.settings()["units"]
    assert (held.saved_by, held.saved_at) == ("Carl Coach", LATER)
    assert set(book.changes_since(seen).values()) == {0}  # every open page hears of it
    book.save_setting("units", None, by="Olga Owner", at=LATER)
    assert values(book) == {"air": "{}"}


def test_columns_are_listed_and_forgotten(book: SqlBook) -> None:
    book.save_mapping("a|b", "{}", at=AT)
    book.save_mapping("c", "[]", at=LATER)
    book.save_mapping("a|b", '{"n":2}', at=LATER)
    first, second = book.mappings()
    assert (first.header_key, first.mapping_json, first.saved_at) == ("a|b", '{"n":2}', LATER)
    assert second.header_key == "c"
    book.forget_mapping(first.id)
    assert (book.mapping("a|b"), book.mapping("c")) == (None, "[]")
    assert book.mappings() == (second,)
    with pytest.raises(NotInBookError, match="column mapping"):
        book.forget_mapping(first.id)


def test_settings_go_through_an_export_and_do_not_overrule(book: SqlBook, tmp_path: Path) -> None:
    book.save_setting("units", '{"speed":"km/h"}', by="Olga Owner", at=AT)
    book.save_setting("air", '{"altitude_m":600.0}', by="Olga Owner", at=AT)
    book.file.export_to(tmp_path / "all.zip", student_id=None, version="0.0.test")
    with open_book(tmp_path / "empty.book") as empty:
        empty.file.import_from(tmp_path / "all.zip")
        assert empty.settings() == book.settings()
    with open_book(tmp_path / "own.book") as own:
        own.save_setting("units", '{"speed":"m/s"}', by="Otto Owner", at=AT)
        own.file.import_from(tmp_path / "all.zip")
        assert values(own) == {"units": '{"speed":"m/s"}', "air": '{"altitude_m":600.0}'}
