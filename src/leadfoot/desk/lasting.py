"""Did it last: the change of a lesson against its tests, judged quantity by quantity."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from typing import Any

from leadfoot.desk.club_days import (
    Day,
    club_of_change,
    clubs_hit,
    day_spread,
    days_of,
    has_usual_spread,
    in_order,
    levels,
    memory_of,
    more_is_better,
    same_club,
    units_of,
)
from leadfoot.desk.desk import Desk
from leadfoot.desk.elsewhere import Elsewhere, elsewhere
from leadfoot.desk.follow_up import lessons_of_tests
from leadfoot.desk.places import same_place
from leadfoot.desk.records import Lesson
from leadfoot.desk.wording import amount, in_100
from leadfoot.evidence.retention import Lasting, Retention, retention
from leadfoot.language.numbers import number
from leadfoot.language.say import noted, say, say_n
from leadfoot.quantities import glossary
from leadfoot.units import si_into

SAID: Mapping[Lasting, str] = {
    "lasted": noted("It lasted"),
    "partly": noted("Part of it lasted"),
    "gone": noted("It is gone"),
    "cannot_tell": noted("Cannot tell yet whether it lasted"),
    "nothing_to_keep": noted("There was no gain shown that could last"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class LastedQuantity:
    """What stayed of one quantity, in `unit`; see `leadfoot.evidence.retention.Retention`."""

    quantity: str
    name: str
    unit: str | None
    answer: Lasting
    sentence: str
    gain: float
    gain_low: float
    gain_high: float
    left: float
    left_low: float
    left_high: float
    kept: float | None
    kept_low: float | None
    kept_high: float | None
    odds_some: float
    n_baselines: int
    n_tests: int
    n_test_balls: int
    day_learnt: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Lasted:
    """What stayed of the change of one lesson; the first quantity is the one to speak of."""

    change: str
    club: str | None
    quantities: tuple[LastedQuantity, ...]
    waiting_for: str
    """What is missing for an answer; empty once there is one."""
    elsewhere: tuple[Elsewhere, ...] = ()
    """Tests with another club or at another place, each against its own baseline."""

    @property
    def sentence(self) -> str:
        """The answer in one sentence, or what it waits for."""
        return self.quantities[0].sentence if self.quantities else self.waiting_for

    def as_json(self) -> dict[str, Any]:
        """The published form, ``leadfoot.lasted/1``."""
        return {
            "schema": "leadfoot.lasted/1",
            "change": self.change,
            "club": self.club,
            "sentence": self.sentence,
            "waiting_for": self.waiting_for,
            "quantities": [asdict(one) for one in self.quantities],
            "elsewhere": [asdict(one) for one in self.elsewhere],
        }


def lasted(desk: Desk, lesson_id: int) -> Lasted:
    """Judge what stayed of the change of a lesson.

    Retention is judged by every test of it with the club and at the place of the change; a test
    with another club or at another place stands beside it, held against its own baseline.
    """
    lesson = desk.book.lesson(lesson_id)
    club = club_of_change(desk, lesson)
    tests = [
        one
        for one in lessons_of_tests(desk, lesson, "retention")
        if same_place(one.place, lesson.place) and {club, ""} & set(clubs_hit(desk, one, "before"))
    ]
    carried = elsewhere(desk, lesson)
    earlier = [
        one
        for one in desk.book.lessons(lesson.student_id)
        if same_club(one, lesson)
        and same_place(one.place, lesson.place)
        and (one.held_on, one.id) < (lesson.held_on, lesson.id)
    ]
    if not tests:
        missing = say("No test without the cue was hit yet with this club.")
        return replace(_waiting(lesson, missing), elsewhere=carried)
    found = lasted_over(
        {
            key: (days, len(earlier))
            for key, days in days_of(desk, [*earlier, lesson], tests, club).items()
            if len(days[len(earlier)].with_change)
        },
        change=lesson.change,
        club=lesson.club,
        units=units_of(desk, lesson),
    )
    return replace(found, elsewhere=carried)


def lasted_over(
    days_by_quantity: Mapping[str, tuple[Sequence[Day], int]],
    *,
    change: str,
    club: str | None,
    units: Mapping[str, str | None],
) -> Lasted:
    """The same over days of any source.

    Parameters
    ----------
    days_by_quantity
        Quantity to its days in order, and the index of the one on which the change was made.
    change, club
        What was tried, with which club.
    units
        Unit in which each quantity is told.
    """
    found = []
    for key in in_order(days_by_quantity):
        days, at = days_by_quantity[key]
        if _enough(days, at) and has_usual_spread(key):
            found.append(_judged(key, days, at, club, units.get(key, glossary()[key].unit)))
    waiting = (
        ""
        if found
        else say(
            "No quantity was measured before, with the change and in the test: it can't be told."
        )
    )
    return Lasted(change=change, club=club, quantities=tuple(found), waiting_for=waiting)


def _enough(days: Sequence[Day], at: int) -> bool:
    has_before = any(len(day.before) for day in days[: at + 1])
    has_test = any(day.is_test and len(day.before) for day in days[at + 1 :])
    return has_before and has_test and len(days[at].with_change) > 0


def _judged(
    key: str, days: Sequence[Day], at: int, club: str | None, unit: str | None
) -> LastedQuantity:
    more = glossary()[key].better == "more"
    memory = memory_of(key, days, club)
    sd = memory.usual.sd
    blocks = levels(days, at, usual_sd=sd, more=more)
    day_sd, doubt = day_spread(memory)
    found = retention(
        blocks,
        usual_sd=sd,
        day_sd=day_sd,
        day_doubt=doubt,
        more_is_better=more_is_better(key, blocks),
    )
    tests = [day for day in days[at + 1 :] if day.is_test and len(day.before)]
    n_baselines = sum(1 for block in blocks if block.kind == "before")
    return _told(key, unit, found, (n_baselines, tests, day_sd is not None))


def _told(
    key: str, unit: str | None, found: Retention, counts: tuple[int, Sequence[Day], bool]
) -> LastedQuantity:
    def people(value: float) -> float:
        return si_into(value, unit) - si_into(0.0, unit)

    n_baselines, tests, learnt = counts
    numbers = {
        name: people(getattr(found, name))
        for name in ("gain", "gain_low", "gain_high", "left", "left_low", "left_high")
    }
    return LastedQuantity(
        quantity=key,
        name=glossary()[key].name,
        unit=unit,
        answer=found.answer,
        sentence=_sentence(key, unit, found, numbers, sum(len(day.before) for day in tests)),
        kept=found.kept,
        kept_low=found.kept_low,
        kept_high=found.kept_high,
        odds_some=found.odds_some,
        n_baselines=n_baselines,
        n_tests=len(tests),
        n_test_balls=sum(len(day.before) for day in tests),
        day_learnt=learnt,
        **numbers,
    )


def _sentence(
    key: str, unit: str | None, found: Retention, numbers: Mapping[str, float], n_balls: int
) -> str:
    said = {
        "verdict": say(SAID[found.answer]),
        "quantity": say(glossary()[key].name),
        "left": amount(abs(numbers["left"]), unit),
        "gain": amount(abs(numbers["gain"]), unit),
        "odds": in_100(found.odds_some),
    }
    if found.answer == "nothing_to_keep":
        return say("{verdict} ({quantity}).", **said)
    if found.answer == "cannot_tell":
        return say_n(
            "{verdict}: about {left} of {gain} {quantity} after {n} test ball; days differ too "
            "much to be sure.",
            "{verdict}: about {left} of {gain} {quantity} after {n} test balls; days differ too "
            "much to be sure.",
            n_balls,
            **said,
        )
    if found.kept is None:
        return say(
            "{verdict}: about {left} of {gain} {quantity} is left; {odds} that some of it is.",
            **said,
        )
    return say(
        "{verdict}: about {left} of {gain} {quantity} is left, about {share} of the gain; {odds} "
        "that some of it is.",
        **said,
        share=_percent(found.kept),
    )


def _percent(share: float) -> str:
    return f"{number(100.0 * min(max(share, 0.0), 1.5))} %"


def _waiting(lesson: Lesson, missing: str) -> Lasted:
    return Lasted(change=lesson.change, club=lesson.club, quantities=(), waiting_for=missing)
