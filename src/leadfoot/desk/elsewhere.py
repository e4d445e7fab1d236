"""Tests with another club or at another place: each against its own baseline, or not judged."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

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
    units_of,
)
from leadfoot.desk.desk import Desk
from leadfoot.desk.follow_up import lessons_of_tests
from leadfoot.desk.records import Lesson
from leadfoot.desk.wording import amount, in_100
from leadfoot.evidence.transfer import Carried, Club, Transfer, transfer
from leadfoot.quantities import glossary
from leadfoot.units import si_into

Answer = Literal["carried_over", "not_seen", "cannot_tell", "nothing_to_keep", "no_baseline"]

HIT_A_BASELINE = (
    "Next time hit a block as usual with it before anything is changed: a later change can then be "
    "told with it."
)
OTHER_PLACE = (
    "Test with another club, one that has balls hit as usual from before the change: that can be "
    "told."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class ElsewhereQuantity:
    """One quantity with another club, in `unit`: how far the test lies above its own baseline."""

    quantity: str
    name: str
    unit: str | None
    answer: Carried
    sentence: str
    above: float
    above_low: float
    above_high: float
    odds_some: float
    n_baselines: int
    n_tests: int
    n_test_balls: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Elsewhere:
    """What the tests with one other club, or at another place, say.

    Attributes
    ----------
    club
        The club; empty where nobody named it.
    answer, sentence
        ``no_baseline`` where nothing of its own can be held against it.
    do_next
        What would make it tell; empty where it tells.
    quantities
        The first is the one to speak of; none where it has no baseline.
    """

    club: str
    answer: Answer
    sentence: str
    do_next: str
    quantities: tuple[ElsewhereQuantity, ...]


def elsewhere(desk: Desk, lesson: Lesson) -> tuple[Elsewhere, ...]:
    """Look for the gain of a lesson in its tests with other clubs and at other places.

    A level with another club is never held against this one's. The book knows no places, so that a
    test of transfer with the same club has no baseline and is not judged.
    """
    home = club_of_change(desk, lesson)
    of_retention = {one.id for one in lessons_of_tests(desk, lesson, "retention")}
    tests: dict[str, list[Lesson]] = {}
    for one in lessons_of_tests(desk, lesson):
        for club in clubs_hit(desk, one, "before"):
            at_home = club in {home, ""}
            if not (at_home and one.id in of_retention):
                tests.setdefault(home if at_home else club, []).append(one)
    return tuple(
        _other_place(club) if club == home else _with_club(desk, lesson, home, club, done)
        for club, done in tests.items()
    )


def _other_place(club: str) -> Elsewhere:
    with_it = f" with the {club}" if club else ""
    return Elsewhere(
        club=club,
        answer="no_baseline",
        sentence=f"Cannot tell elsewhere{with_it}: no baseline from there is in the book.",
        do_next=OTHER_PLACE,
        quantities=(),
    )


def _with_club(
    desk: Desk, lesson: Lesson, home: str, club: str, tests: Sequence[Lesson]
) -> Elsewhere:
    earlier = [
        one
        for one in desk.book.lessons(lesson.student_id)
        if (one.held_on, one.id) < (lesson.held_on, lesson.id)
    ]
    at = len(earlier)
    there = days_of(desk, [*earlier, lesson], tests, club, unnamed=False)
    if not any(_has_baseline(days, at) for days in there.values()):
        return Elsewhere(
            club=club,
            answer="no_baseline",
            sentence=f"Cannot tell with the {club}: no baseline with this club from before the "
            "change.",
            do_next=HIT_A_BASELINE,
            quantities=(),
        )
    here = days_of(desk, [*earlier, lesson], (), home)
    units = units_of(desk, tests[0])
    found = tuple(
        _judged(key, (here[key], home), (there[key], club), at, units.get(key))
        for key in in_order(there)
        if _has_baseline(there[key], at)
        and _is_tested(there[key], at)
        and has_usual_spread(key)
        and key in here
        and _has_baseline(here[key], at)
        and len(here[key][at].with_change)
    )
    if not found:
        return Elsewhere(
            club=club,
            answer="no_baseline",
            sentence=f"Cannot tell with the {club}: no quantity was measured with both clubs, "
            "before and after.",
            do_next="Measure the same quantities with both clubs.",
            quantities=(),
        )
    first = found[0]
    more = "Hit more tests with it, on other days." if first.answer == "cannot_tell" else ""
    return Elsewhere(
        club=club, answer=first.answer, sentence=first.sentence, do_next=more, quantities=found
    )


def _has_baseline(days: Sequence[Day], at: int) -> bool:
    return any(len(day.before) for day in days[: at + 1])


def _is_tested(days: Sequence[Day], at: int) -> bool:
    return any(len(day.before) for day in days[at + 1 :])


def _judged(
    key: str,
    here: tuple[Sequence[Day], str],
    there: tuple[Sequence[Day], str],
    at: int,
    unit: str | None,
) -> ElsewhereQuantity:
    found = transfer(_club(key, *here, at), _club(key, *there, at))
    days, club = there
    tests = [day for day in days[at + 1 :] if len(day.before)]
    numbers = {
        name: si_into(getattr(found, name), unit) - si_into(0.0, unit)
        for name in ("above", "above_low", "above_high")
    }
    n_balls = sum(len(day.before) for day in tests)
    return ElsewhereQuantity(
        quantity=key,
        name=glossary()[key].name,
        unit=unit,
        answer=found.answer,
        sentence=_sentence(key, club, found, amount(numbers["above"], unit), n_balls),
        odds_some=found.odds_some,
        n_baselines=sum(1 for day in days[: at + 1] if len(day.before)),
        n_tests=len(tests),
        n_test_balls=n_balls,
        **numbers,
    )


def _club(key: str, days: Sequence[Day], club: str, at: int) -> Club:
    memory = memory_of(key, days, club)
    more = glossary()[key].better == "more"
    blocks = levels(days, at, usual_sd=memory.usual.sd, more=more)
    day_sd, doubt = day_spread(memory)
    return Club(
        blocks=blocks,
        usual_sd=memory.usual.sd,
        day_sd=day_sd,
        day_doubt=doubt,
        more_is_better=more_is_better(key, blocks),
    )


def _sentence(key: str, club: str, found: Transfer, above: str, n_balls: int) -> str:
    name = glossary()[key].name
    size = f"about {above} {name} against its own baseline"
    if found.answer == "nothing_to_keep":
        return f"There was no gain shown that could carry over to the {club} ({name})."
    if found.answer == "carried_over":
        return f"It carried over to the {club}: {size}; {in_100(found.odds_some)} that it is real."
    if found.answer == "not_seen":
        return f"It is not seen with the {club}: {size} after {n_balls} test balls."
    return (
        f"Cannot tell yet with the {club}: {size} after {n_balls} test balls; days differ too much "
        "to be sure."
    )
