"""Days as English pages and sheets write them, whatever the language of the machine."""

from datetime import date

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
    >>> day_in_words(date(2026, 3, 2))
    '2 March 2026'
    """
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"
