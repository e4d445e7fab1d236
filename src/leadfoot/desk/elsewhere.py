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
from leadfoot.desk.places import said_place, same_place
from leadfoot.desk.records import Lesson
from leadfoot.desk.wording import amount, in_100
from leadfoot.evidence.transfer import (
    PLACE_DAY_DOUBT,
    PLACE_DAY_SD,
    Carried,
    Club,
    Transfer,
    transfer,
)
from leadfoot.quantities import glossary
from leadfoot.units import si_into

Answer = Literal["carried_over", "not_seen", "cannot_tell", "nothing_to_keep", "no_baseline"]

HIT_A_BASELINE = (
    "Next time hit a block as usual with it before anything is changed: a later change can then be "
    "told with it."
)
HIT_A_BASELINE_THERE = (
    "Hit balls as usual there, without the cue and better on two days than on one, before the next "
    "change: that one can then be told there."
)
SAME_PLACE = (
    "Say on the page of that lesson where it was hit, or test with another club. Another target "
    "alone is not judged."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class ElsewhereQuantity:
    """One quantity elsewhere, in `unit`: how far the test lies above its own baseline."""

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
    club, place
        The club, empty where nobody named it, and the place.
    answer, sentence
        ``no_baseline`` where nothing of its own can be held against it.
    do_next
        What would make it tell; empty where it tells.
    quantities
        The first is the one to speak of; none where it has no baseline.
    """

    club: str
    place: str
    answer: Answer
    sentence: str
    do_next: str
    quantities: tuple[ElsewhereQuantity, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Where:
    """One club at one place, beside those of the change."""

    club: str
    place: str
    same_club: bool
    same_place: bool

    @property
    def words(self) -> str:
        """How a sentence names it, after "with" or "to"."""
        club = f"the {self.club}" if self.club else "that club"
        return club if self.same_place else f"{club} {said_place(self.place)}"


def elsewhere(desk: Desk, lesson: Lesson) -> tuple[Elsewhere, ...]:
    """Look for the gain of a lesson in its tests with other clubs and at other places.

    A level with another club or at another place is never held against this one's. A test of
    transfer with the same club at the same place differs in what the book does not know, and is not
    judged.
    """
    home = club_of_change(desk, lesson)
    of_retention = {one.id for one in lessons_of_tests(desk, lesson, "retention")}
    found: list[tuple[_Where, list[Lesson]]] = []
    for one in lessons_of_tests(desk, lesson):
        here = same_place(one.place, lesson.place)
        for club in clubs_hit(desk, one, "before"):
            at_home = club in {home, ""}
            if not (at_home and here and one.id in of_retention):
                where = _Where(
                    club=home if at_home else club,
                    place=one.place,
                    same_club=at_home,
                    same_place=here,
                )
                _tests_at(found, where).append(one)
    return tuple(
        _not_told(where)
        if where.same_club and where.same_place
        else _against_its_own(desk, lesson, home, where, tests)
        for where, tests in found
    )


def _tests_at(found: list[tuple[_Where, list[Lesson]]], where: _Where) -> list[Lesson]:
    for known, tests in found:
        if known.club == where.club and same_place(known.place, where.place):
            return tests
    found.append((where, []))
    return found[-1][1]


def _not_told(where: _Where) -> Elsewhere:
    with_it = f" with the {where.club}" if where.club else ""
    return Elsewhere(
        club=where.club,
        place=where.place,
        answer="no_baseline",
        sentence=f"Cannot tell elsewhere{with_it}: the book has this test "
        f"{said_place(where.place)}, where the change was made.",
        do_next=SAME_PLACE,
        quantities=(),
    )


def _no_baseline(where: _Where) -> Elsewhere:
    missing = (
        "no baseline with this club from before the change."
        if where.same_place
        else "no balls hit there as usual from before the change."
    )
    return Elsewhere(
        club=where.club,
        place=where.place,
        answer="no_baseline",
        sentence=f"Cannot tell with {where.words}: {missing}",
        do_next=HIT_A_BASELINE if where.same_place else HIT_A_BASELINE_THERE,
        quantities=(),
    )


def _against_its_own(
    desk: Desk, lesson: Lesson, home: str, where: _Where, tests: Sequence[Lesson]
) -> Elsewhere:
    earlier = [
        one
        for one in desk.book.lessons(lesson.student_id)
        if (one.held_on, one.id) < (lesson.held_on, lesson.id)
    ]
    before = [*earlier, lesson]
    at_home = [one for one in before if same_place(one.place, lesson.place)]
    away = [one for one in before if same_place(one.place, where.place)]
    at = len(away) - 1
    there = days_of(desk, away, tests, where.club, unnamed=where.same_club)
    if not any(_has_baseline(days, at) for days in there.values()):
        return _no_baseline(where)
    here = days_of(desk, at_home, (), home)
    units = units_of(desk, tests[0])
    found = tuple(
        _judged(key, (here[key], home), (there[key], where), at, units.get(key))
        for key in in_order(there)
        if _has_baseline(there[key], at)
        and _is_tested(there[key], at)
        and has_usual_spread(key)
        and key in here
        and _has_baseline(here[key], len(at_home) - 1)
        and len(here[key][-1].with_change)
    )
    if not found:
        both = "with both clubs" if where.same_place else "at both places"
        return Elsewhere(
            club=where.club,
            place=where.place,
            answer="no_baseline",
            sentence=f"Cannot tell with {where.words}: no quantity was measured {both}, before "
            "and after.",
            do_next=f"Measure the same quantities {both}.",
            quantities=(),
        )
    first = found[0]
    hint = "with it" if where.same_place else "there"
    more = f"Hit more tests {hint}, on other days." if first.answer == "cannot_tell" else ""
    return Elsewhere(
        club=where.club,
        place=where.place,
        answer=first.answer,
        sentence=first.sentence,
        do_next=more,
        quantities=found,
    )


def _has_baseline(days: Sequence[Day], at: int) -> bool:
    return any(len(day.before) for day in days[: at + 1])


def _is_tested(days: Sequence[Day], at: int) -> bool:
    return any(len(day.before) for day in days[at + 1 :])


def _judged(
    key: str,
    here: tuple[Sequence[Day], str],
    there: tuple[Sequence[Day], _Where],
    at: int,
    unit: str | None,
) -> ElsewhereQuantity:
    days, where = there
    home = _club(key, *here, at=len(here[0]) - 1)
    found = transfer(home, _club(key, days, where.club, at=at, away=not where.same_place))
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
        sentence=_sentence(key, where, found, amount(numbers["above"], unit), n_balls),
        odds_some=found.odds_some,
        n_baselines=sum(1 for day in days[: at + 1] if len(day.before)),
        n_tests=len(tests),
        n_test_balls=n_balls,
        **numbers,
    )


def _club(key: str, days: Sequence[Day], club: str, *, at: int, away: bool = False) -> Club:
    """The levels of one club at one place; away from the studio days are held to differ more."""
    memory = memory_of(key, days, club)
    more = glossary()[key].better == "more"
    blocks = levels(days, at, usual_sd=memory.usual.sd, more=more)
    day_sd, doubt = day_spread(memory)
    if away and day_sd is None:
        day_sd, doubt = PLACE_DAY_SD * memory.usual.sd, PLACE_DAY_DOUBT
    return Club(
        blocks=blocks,
        usual_sd=memory.usual.sd,
        day_sd=day_sd,
        day_doubt=doubt,
        more_is_better=more_is_better(key, blocks),
    )


def _sentence(key: str, where: _Where, found: Transfer, above: str, n_balls: int) -> str:
    name = glossary()[key].name
    size = f"about {above} {name} against its own baseline"
    if found.answer == "nothing_to_keep":
        return f"There was no gain shown that could carry over to {where.words} ({name})."
    if found.answer == "carried_over":
        return (
            f"It carried over to {where.words}: {size}; {in_100(found.odds_some)} that it is real."
        )
    if found.answer == "not_seen":
        return f"It is not seen with {where.words}: {size} after {n_balls} test balls."
    return (
        f"Cannot tell yet with {where.words}: {size} after {n_balls} test balls; days differ too "
        "much to be sure."
    )
