"""The examples on the page for sports scientists run, and the page of second opinions is whole."""

import doctest
from pathlib import Path

import leadfoot.evidence
from leadfoot.evidence import second

DOCS = Path(__file__).parents[2] / "docs"


def test_the_examples_of_the_page_run() -> None:
    page = DOCS / "guide" / "evidence-api.md"
    done = doctest.testfile(str(page), module_relative=False, encoding="utf-8")
    assert done.attempted > 30
    assert done.failed == 0


def test_every_name_that_is_offered_is_there_and_explained() -> None:
    for package in (leadfoot.evidence, second):
        for name in package.__all__:
            assert getattr(package, name).__doc__, name


def test_the_page_of_second_opinions_names_every_function() -> None:
    text = (DOCS / "explain" / "second_opinions.md").read_text(encoding="utf-8")
    for name in second.__all__:
        if name[0].islower():
            assert f"`{name}`" in text, name
