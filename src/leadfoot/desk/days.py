"""Days as pages and sheets write them: in the reader's language, not in the machine's."""

from datetime import date

from babel.dates import format_date, format_skeleton

from leadfoot.language.say import spoken

WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)


def day_in_words(day: date) -> str:
    """A day with its month in full.

    Examples
    --------
    >>> from leadfoot.language.say import speaking
    >>> day_in_words(date(2026, 3, 2))
    '2 March 2026'
    >>> with speaking("de"):
    ...     day_in_words(date(2026, 3, 2))
    '2. März 2026'
    """
    return format_date(day, "long", locale=spoken().locale)


def day_in_short(day: date) -> str:
    """A day of this season, with its weekday.

    Examples
    --------
    >>> day_in_short(date(2026, 3, 2))
    'Mon 2 Mar'
    """
    return format_skeleton("MMMEd", day, locale=spoken().locale)


def day_and_month(day: date) -> str:
    """A day of this season.

    Examples
    --------
    >>> day_and_month(date(2026, 3, 2))
    '2 Mar'
    """
    return format_skeleton("MMMd", day, locale=spoken().locale)


def day_with_year(day: date) -> str:
    """A day in a table.

    Examples
    --------
    >>> day_with_year(date(2026, 3, 2))
    '2 Mar 2026'
    """
    return format_skeleton("yMMMd", day, locale=spoken().locale)


def weekday_in_words(day: int) -> str:
    """A day of the week, 0 for Monday.

    Examples
    --------
    >>> weekday_in_words(0)
    'Monday'
    """
    return str(spoken().locale.days["format"]["wide"][day])
