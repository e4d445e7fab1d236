"""Did it last, from tables of shots alone: without a book."""

from collections.abc import Sequence

import numpy as np

from leadfoot.desk.club_days import Day
from leadfoot.desk.lasting import Lasted, lasted_over
from leadfoot.errors import InputError
from leadfoot.quantities import glossary
from leadfoot.shots.shot import ShotTable

DAYS_APART = 7.0
"""Tables have no dates: each is taken for a day of its own, a week after the one before."""


def lasted_from_tables(
    before: Sequence[ShotTable],
    with_change: ShotTable,
    tests: Sequence[ShotTable],
    *,
    change: str = "",
    club: str | None = None,
) -> Lasted:
    """Judge what lasted.

    Parameters
    ----------
    before
        Balls as usual, one table a day, the oldest first. The last was hit on the day of the
        change.
    with_change
        The balls with the change.
    tests
        Later tests without it, one table a day.
    change, club
        What was tried, with which club.

    Raises
    ------
    InputError
        If there is no table of one kind.
    """
    if not before or not tests:
        raise InputError(
            "There is nothing to compare.",
            fix="Give balls from before the change, with it, and from a later test.",
        )
    at = len(before) - 1
    tables = [*before, *tests]
    keys = [
        key
        for key in glossary()
        if glossary()[key].better != "none" and key in with_change.readings
    ]
    days_of = {
        key: (
            [
                Day(
                    number=place,
                    age_days=DAYS_APART * place,
                    before=_finite(table, key),
                    with_change=_finite(with_change, key) if place == at else np.zeros(0),
                    is_test=place > at,
                )
                for place, table in enumerate(tables)
            ],
            at,
        )
        for key in keys
    }
    units = {key: with_change.readings[key].unit for key in keys}
    return lasted_over(days_of, change=change, club=club, units=units)


def _finite(table: ShotTable, key: str) -> np.ndarray:
    values = table.si(key)
    return values[np.isfinite(values)]
