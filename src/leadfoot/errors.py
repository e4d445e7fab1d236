"""Every error that Leadfoot raises on purpose: what is wrong, and what to do next.

LeadfootError
├── InputError (also ValueError)   what was given can't be used
│   ├── OutOfRangeError            a number lies outside the model's range
│   ├── UnitError                  a unit is unknown or does not fit
│   └── MappingError               a column mapping does not fit the table
├── BookError                      the client book can't be opened or written
│   └── NotInBookError             the book has no such student, lesson, block, shot or file
└── ReportError                    a sheet could not be printed
"""


class LeadfootError(Exception):
    """Base of all errors raised on purpose.

    Parameters
    ----------
    what
        One sentence with the fact: name, value, unit, place.
    fix
        One sentence that says what to do next.

    Examples
    --------
    >>> error = LeadfootError("The file has no rows.", fix="Export it again.")
    >>> str(error)
    'The file has no rows. Export it again.'
    """

    def __init__(self, what: str, *, fix: str) -> None:
        super().__init__(f"{what} {fix}")
        self.what = what
        self.fix = fix


class InputError(LeadfootError, ValueError):
    """What was given can't be used."""


class OutOfRangeError(InputError):
    """A number lies outside the range in which the model holds."""


class UnitError(InputError):
    """A unit is unknown, missing, or of the wrong kind."""


class MappingError(InputError):
    """A column mapping does not fit the table or the glossary."""


class BookError(LeadfootError):
    """The client book can't be opened, read or written."""


class NotInBookError(BookError):
    """The book has no such student, lesson, block, shot or file.

    Examples
    --------
    >>> str(NotInBookError("lesson", 7)).startswith("The client book has no lesson 7.")
    True
    """

    def __init__(self, kind: str, number: int) -> None:
        super().__init__(
            f"The client book has no {kind} {number}.",
            fix="Go back to the list and choose again; the page may be older than the book.",
        )


class ReportError(LeadfootError):
    """A sheet could not be printed."""
