"""A season as a page, a figure and a sheet receive it."""

from dataclasses import dataclass
from datetime import date
from typing import Literal

from leadfoot.desk.homework_records import TestKind
from leadfoot.desk.records import Student

PointKind = Literal["before", "with_change", "test", "practice"]


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonPoint:
    """One level of one lesson, or of practice at home, with its 90 % range, in the season's unit.

    Attributes
    ----------
    lesson_id
        The lesson; of practice, the one after which it was given.
    place
        Where it was hit; empty for a lesson in the studio.
    """

    lesson_id: int
    day: date
    kind: PointKind
    level: float
    low: float
    high: float
    n_balls: int
    change: str
    decision: str
    """The last answer of that lesson; empty where there is none."""
    place: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Season:
    """All levels of one quantity with one club, the oldest first."""

    club: str | None
    quantity: str
    name: str
    unit: str | None
    points: tuple[SeasonPoint, ...]
    choices: tuple[str, ...]
    """Quantities that could be shown instead."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Followed:
    """A change that was tested: what lasted of it, in a sentence."""

    day: date
    change: str
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ToCome:
    """A test that is still to be hit."""

    change: str
    kind: TestKind
    due_from: date
    due_to: date
    overdue: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonSheet:
    """All that stands on the sheet.

    Attributes
    ----------
    student, day
        Whose, and the day of printing.
    season
        The levels of one quantity with one club.
    followed, to_come
        Of the lessons with that club, the oldest first.
    """

    student: Student
    day: date
    season: Season
    followed: tuple[Followed, ...]
    to_come: tuple[ToCome, ...]
