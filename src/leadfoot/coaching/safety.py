"""Cautions that stand beside what is advised: always, and where the drill, the room or age ask.

The questions before maximal efforts, who may go on and when to stop are those of
`leadfoot.ground.screening`; this file says which of them belong beside a drill.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Literal, cast, get_args

from leadfoot.coaching.drills import Drill
from leadfoot.coaching.form import Entry, entries, shipped
from leadfoot.ground.screening import (
    JUNIOR_BELOW_YEARS,
    JUNIOR_QUESTIONS,
    QUESTIONS,
    Question,
    Screening,
    permit,
    sudden_increase,
)

When = Literal["always", "maximal", "indoors", "junior", "load"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """One caution: where it is shown, what it says, and where it comes from."""

    key: str
    when: When
    title: str
    text: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Situation:
    """What is known of the student and the place.

    Attributes
    ----------
    indoors
        Whether balls are hit into a net or at a screen.
    age_years
        None where it is not known.
    known_junior
        Whether the student is noted as below 18, where the age itself is not known.
    balls_by_week
        Full balls by week, the oldest first.
    screening
        The answers of today; None where nobody asked.
    """

    indoors: bool = True
    age_years: float | None = None
    balls_by_week: tuple[float, ...] = ()
    screening: Screening | None = None
    known_junior: bool = False

    @property
    def junior(self) -> bool:
        """Whether the student is a junior."""
        if self.age_years is not None:
            return self.age_years < JUNIOR_BELOW_YEARS
        return self.known_junior or (self.screening is not None and self.screening.junior)


def cautions_from(text: str) -> Mapping[str, Caution]:
    """Read a catalogue of cautions.

    Parameters
    ----------
    text
        TOML, one table a caution.

    Raises
    ------
    InputError
        With the caution and the field that is not as it must be.
    """
    return MappingProxyType({one.key: _caution(one) for one in entries(text, "caution")})


@cache
def cautions() -> Mapping[str, Caution]:
    """The cautions of the program, by key.

    Examples
    --------
    >>> cautions()["warm_up"].when
    'always'
    """
    return cautions_from(shipped("safety.toml"))


def cautions_for(where: Situation, advised: Sequence[Drill] = ()) -> tuple[Caution, ...]:
    """The cautions that belong to a situation and what is advised in it.

    Parameters
    ----------
    where
        The student and the place.
    advised
        What is about to be done.

    Examples
    --------
    >>> outside = Situation(indoors=False)
    >>> {one.when for one in cautions_for(outside)}
    {'always'}
    """
    shown = {"always"}
    shown |= {"maximal"} if any(drill.maximal for drill in advised) else set()
    shown |= {"indoors"} if where.indoors else set()
    shown |= {"junior"} if where.junior else set()
    shown |= {"load"} if sudden_increase(where.balls_by_week) else set()
    return tuple(one for one in cautions().values() if one.when in shown)


def questions_for(where: Situation) -> tuple[Question, ...]:
    """What is asked before a maximal effort.

    Examples
    --------
    >>> len(questions_for(Situation(age_years=12.0))) - len(questions_for(Situation()))
    1
    """
    return QUESTIONS + (JUNIOR_QUESTIONS if where.junior else ())


def allowed(drill: Drill, where: Situation) -> bool:
    """Whether a drill may be done today: maximal efforts only with a permit.

    Parameters
    ----------
    drill
        What is about to be done.
    where
        The student and the place; without answers to the questions no maximal effort is allowed.

    Examples
    --------
    >>> from leadfoot.coaching.drills import drills
    >>> fast, soft = drills()["three_fast"], drills()["half_nine"]
    >>> allowed(fast, Situation()), allowed(soft, Situation())
    (False, True)
    """
    if not drill.maximal:
        return True
    return where.screening is not None and permit(where.screening).allowed


def _caution(entry: Entry) -> Caution:
    entry.only(("when", "title", "text", "source"))
    return Caution(
        key=entry.key,
        when=cast("When", entry.one_of("when", get_args(When))),
        title=entry.text("title"),
        text=entry.text("text"),
        source=entry.text("source"),
    )
