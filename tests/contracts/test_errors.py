"""Every error class: its place in the tree, its exact words, and a page and an exit code for it."""

import inspect

from leadfoot import errors
from leadfoot.errors import LeadfootError

TREE = {
    "LeadfootError": (Exception,),
    "InputError": (errors.LeadfootError, ValueError),
    "OutOfRangeError": (errors.InputError,),
    "UnitError": (errors.InputError,),
    "MappingError": (errors.InputError,),
    "BookError": (errors.LeadfootError,),
    "NotInBookError": (errors.BookError,),
    "ReportError": (errors.LeadfootError,),
}


def test_the_tree_is_the_one_drawn_on_top_of_the_file() -> None:
    classes = {
        name: kind.__bases__
        for name, kind in inspect.getmembers(errors, inspect.isclass)
        if issubclass(kind, LeadfootError)
    }
    assert classes == TREE
    drawn = inspect.getdoc(errors) or ""
    assert all(name in drawn for name in TREE)


def test_what_is_not_in_the_book_is_named() -> None:
    assert str(errors.NotInBookError("lesson", 7)) == (
        "The client book has no lesson 7. "
        "Go back to the list and choose again; the page may be older than the book."
    )


def test_every_error_says_what_is_wrong_and_what_to_do() -> None:
    for name in TREE.keys() - {"NotInBookError"}:
        error = getattr(errors, name)("The carry is 9,000 yd.", fix="Check the unit.")
        assert str(error) == "The carry is 9,000 yd. Check the unit."
        assert (error.what, error.fix) == ("The carry is 9,000 yd.", "Check the unit.")
