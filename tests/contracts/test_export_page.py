"""The page on the export names every field that an export has."""

from leadfoot.book.archive import FORMAT, FORMAT_VERSION
from tests.contracts.export_page import PAGE, page


def test_the_fields_on_the_page_are_those_of_the_tables() -> None:
    text = PAGE.read_text(encoding="utf-8")
    assert text == page(text), "run: python -m tests.contracts.export_page"


def test_the_page_names_the_format() -> None:
    text = PAGE.read_text(encoding="utf-8")
    assert f'"{FORMAT}"' in text
    assert f"`format_version` | {FORMAT_VERSION} " in text
