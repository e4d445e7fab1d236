"""What an earlier design of "longer" and of "straighter" said of the same kinds of lessons.

Its figures as they were measured then, in percent of lessons, a look after every ball; without
balls to get warm, and without a drift of the direction.
"""

from collections.abc import Mapping
from types import MappingProxyType

EARLIER_N_ERRORS, EARLIER_N_POWER = 3000, 2000
"""Lessons a cell."""
EARLIER_DAYS: Mapping[str, tuple[float, ...]] = MappingProxyType(
    {
        "clean": (1.5, 1.5, 2.8, 2.4, 3.1),
        "reference": (3.4, 3.3, 5.1, 3.4, 4.4),
        "drift +.02 sd a ball": (6.3, 5.5, 6.6, 6.1, 5.0),
        "memory .3": (5.7, 5.3, 8.3, 8.0, 6.4),
        "spread 1.3 x usual": (5.3, 5.6, 7.5, 7.0, 7.4),
        "15 % mishits": (3.5, 3.3, 5.2, 5.2, 4.3),
    }
)
"""False "longer" by day, in the order of the designs."""
EARLIER_POWER: Mapping[str, tuple[float, ...]] = MappingProxyType(
    {
        "10, then 15 with": (35, 88, 100, 15, 45, 76, 94),
        "10, then 30 with": (38, 89, 100, 17, 46, 79, 96),
        "10, 15 with, 15": (63, 98, 100, 28, 73, 95, 99),
        "10, 10 with, 10, 10 with": (59, 99, 100, 27, 70, 94, 99),
        "fives by turns": (62, 99, 100, 29, 73, 95, 99),
    }
)
"""Real gains found: 1, 2, 4 mph; 4, 8, 12, 16 yd."""
EARLIER_STRAIGHTER: Mapping[str, tuple[float, ...]] = MappingProxyType(
    {
        "none, mean 5": (1.7, 5.0, 4.4, 4.0),
        "none, mean 10": (3.5, 4.6, 6.3, 4.8),
        "none, t3 tails": (3.9, 8.3, 7.3, 6.7),
        "spread 12 to 9": (11, 27, 32, 19),
        "spread 12 to 6": (50, 82, 84, 60),
        "mean 10 to 0": (12, 20, 28, 26),
        "12 to 9 and 10 to 4": (26, 47, 56, 44),
        "12 to 6 and 10 to 2": (73, 95, 97, 84),
        "spread 12 to 9 but mean 0 to 12": (1, 2, 4, 2),
    }
)
"""Straighter after 10 and 15, 10 and 30, 20 and 30 balls, and 10 and 30 of a new student."""


def earlier_errors(design: str) -> tuple[float, ...]:
    """False "longer" of one design by day, in the order of `EARLIER_DAYS`.

    Examples
    --------
    >>> earlier_errors("10, then 15 with")
    (1.5, 3.4, 6.3, 5.7, 5.3, 3.5)
    """
    place = list(EARLIER_POWER).index(design)
    return tuple(values[place] for values in EARLIER_DAYS.values())
