"""The clubs of a student as a page, a figure and a card receive them."""

from collections import Counter
from dataclasses import dataclass
from datetime import date
from typing import Literal

from leadfoot.desk.answer import Basis
from leadfoot.desk.flight_bench import Weather
from leadfoot.desk.places import same_place
from leadfoot.desk.records import Student
from leadfoot.desk.studio import USUAL_STUDIO, Studio
from leadfoot.evidence.reach import Reach
from leadfoot.language.say import noted, say
from leadfoot.physics.air import STANDARD_AIR
from leadfoot.units import si_into


@dataclass(frozen=True, slots=True, kw_only=True)
class ClubYardage:
    """One club.

    Attributes
    ----------
    club
        Its name.
    basis
        Whether the lengths were measured or computed by the flight model.
    carry, total
        In the air of the studio, in metres; None for the total where it was not read.
    place_carry, place_total
        In the air of the place, always computed; None where no place was asked for, or nothing
        tells what the air does.
    n_flown
        Balls whose own flight tells what the air does; the others follow the ratio of these, or
        of the generic club.
    n_lessons, last
        Lessons behind it, and the day of the last one.
    place
        Where its balls were hit.
    """

    club: str
    basis: Basis
    carry: Reach
    total: Reach | None
    place_carry: Reach | None
    place_total: Reach | None
    n_flown: int
    n_lessons: int
    last: date
    place: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Between:
    """What lies between two neighbours, by carry.

    Attributes
    ----------
    longer, shorter
        Names.
    gap_m
        Difference of the middles. [m]
        None where the two were hit at different places: then they are not compared.
    farther_anyway
        Chance that the next ball of the shorter club goes farther than that of the longer one.
    empty_m
        Stretch that neither range reaches, from and to; None where the ranges meet. [m]
    said
        The same in words.
    """

    longer: str
    shorter: str
    gap_m: float | None
    farther_anyway: float | None
    empty_m: tuple[float, float] | None
    said: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Yardages:
    """The clubs of a student, the longest first.

    Attributes
    ----------
    student
        Whose.
    day
        The day of asking: the ages of the balls are counted from it.
    unit
        In which this coach speaks of lengths.
    clubs, between
        The clubs, and what lies between neighbours.
    half_life_days
        Age at which a ball counts half.
    weather
        Of the place; None where none was asked for.
    too_few
        Clubs with too few balls, and how many they have.
    n_unnamed
        Balls of no named club; they count nowhere.
    studio
        In whose air the balls were hit.
    place
        Where the balls were hit; a club with too few balls there stands with another place of its
        own, see `ClubYardage.place`.
    places
        All places with balls of a named club and a carry, that with the most first, and how many.
    elsewhere
        Sentences on the clubs that were hit at another place too: farther, shorter, or not told.
    """

    student: Student
    day: date
    unit: Literal["yd", "m"]
    clubs: tuple[ClubYardage, ...]
    between: tuple[Between, ...]
    half_life_days: float
    weather: Weather | None
    too_few: tuple[tuple[str, int], ...]
    n_unnamed: int
    place: str
    places: tuple[tuple[str, int], ...]
    elsewhere: tuple[str, ...]
    studio: Studio = USUAL_STUDIO

    @property
    def away(self) -> tuple[ClubYardage, ...]:
        """The clubs that stand with another place."""
        return tuple(one for one in self.clubs if not same_place(one.place, self.place))

    @property
    def left_away(self) -> tuple[tuple[str, int], ...]:
        """The other places, and how many balls there have no part in the table."""
        used = Counter({self.place.casefold(): 0})
        for one in self.away:
            used[one.place.casefold()] += one.carry.n
        rest = ((where, n - used[where.casefold()]) for where, n in self.places)
        return tuple((where, n) for where, n in rest if n and not same_place(where, self.place))

    @property
    def air_words(self) -> str:
        """The air that measured lengths are taken in."""
        words = self.studio.air_words
        plain = words == USUAL_STUDIO.air_words
        if not plain:
            return words
        return say("{air}: 20 °C, at the sea, half saturated", air=words)

    @property
    def air_name(self) -> str:
        """The same in short, for a figure; still to be said."""
        if self.studio.air == STANDARD_AIR:
            return noted("standard air")
        return noted("the air of the studio")

    def shown(self, length_m: float) -> float:
        """A length in the coach's unit."""
        return si_into(length_m, self.unit)
