"""The plan before a change, in people's units: which blocks, how many balls, what chance."""

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from leadfoot.desk.blocks import with_named_blocks
from leadfoot.desk.desk import Desk
from leadfoot.desk.history import past_lessons
from leadfoot.desk.lesson import table_of
from leadfoot.desk.records import Hand
from leadfoot.desk.roles import guess_roles
from leadfoot.desk.settings import studio_of
from leadfoot.desk.studio import UnitChoice
from leadfoot.desk.wording import amount, in_100, known_from
from leadfoot.errors import InputError
from leadfoot.evidence.judgement import UsualSpread
from leadfoot.evidence.memory import Memory, PastLesson, remember
from leadfoot.evidence.plan import LessonPlan, PlannedOrder, plan_lesson
from leadfoot.evidence.usual import Level, usual_spread
from leadfoot.quantities import glossary
from leadfoot.shots.club import club_class, club_name
from leadfoot.shots.columns import ColumnMapping
from leadfoot.shots.read import read_table
from leadfoot.shots.shot import ShotTable
from leadfoot.tables.problem import Problem
from leadfoot.units import si_from, si_into, unit_named

PLANNED = ("carry", "ball_speed", "club_speed")
"""Quantities that a plan is made for; the first that a lesson measures, as it will be judged."""
USUAL_BALLS = 30
"""Balls that a plan is made for unless the coach says otherwise. A choice."""
WORTH_FINDING = {"carry": (8.0, "yd"), "ball_speed": (3.0, "mph"), "club_speed": (2.0, "mph")}
"""The gain that is looked for unless the coach says otherwise: about what a cue can give in one
lesson. A choice, no source."""

PATTERN_WORDS = {
    "once": "Once",
    "and_back": "And back",
    "twice": "Twice over",
    "fives": "By fives",
    "drawn": "By lot",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What the coach wants to find: a gain of one quantity, with so many balls.

    ``change`` is in ``unit``.
    """

    quantity: str
    change: float
    unit: str
    balls: int = USUAL_BALLS
    seed: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """A plan as a page, a command and a script receive it.

    Attributes
    ----------
    wanted
        What was asked.
    usual_sd
        The usual spread in the unit of `wanted`.
    memory
        Where the usual spread came from.
    plan
        The orders with their chances, in SI.
    sentence
        What to do, in one sentence.
    source
        Where the usual spread came from, in words.
    problems
        What could not be read of the file.
    """

    wanted: Wanted
    usual_sd: float
    memory: Memory
    plan: LessonPlan
    sentence: str
    source: str
    problems: tuple[Problem, ...] = ()

    @property
    def orders(self) -> tuple[PlannedOrder, ...]:
        """All orders, the advised one first."""
        return (self.plan.advised, *self.plan.others)

    def smallest(self, order: PlannedOrder) -> float:
        """The smallest gain that an order shows with a chance of 0.8, in the unit asked for."""
        return si_into(order.smallest_likely_si, self.wanted.unit)

    def as_json(self) -> dict[str, Any]:
        """The plan in the published form ``leadfoot.plan/1``."""
        return {
            "schema": "leadfoot.plan/1",
            "quantity": self.wanted.quantity,
            "unit": self.wanted.unit,
            "change": self.wanted.change,
            "usual_spread": {
                "value": round(self.usual_sd, 6),
                "basis": self.memory.source,
                "lessons": self.memory.n_lessons,
                "balls": self.memory.n_balls,
            },
            "orders": [
                {
                    "pattern": order.pattern,
                    "blocks": [
                        {"with_change": block.with_change, "balls": block.balls}
                        for block in order.blocks
                    ],
                    "balls": order.balls,
                    "chance": round(order.chance, 3),
                    "expected_balls": round(order.expected_balls, 1),
                    "likely_balls": order.likely_balls,
                    "smallest_likely": round(self.smallest(order), 3),
                    "seed": order.seed,
                }
                for order in self.orders
            ],
            "sentence": self.sentence,
            "source": self.source,
            "problems": len(self.problems),
        }


def plan_for_player(
    wanted: Wanted, *, typical: float, club: str | None = None, level: Level = "middle"
) -> Planned:
    """Plan for a player of whom only the level of the quantity is known.

    Parameters
    ----------
    wanted
        The gain that would be worth having.
    typical
        The player's typical value, in the unit of `wanted`.
    club
        The club, as a coach writes it.
    level
        ``skilled``, ``middle`` or ``beginner``: from it the usual spread is assumed.

    Raises
    ------
    InputError
        If the quantity is not one that can be planned, or the typical value is not above 0.
    OutOfRangeError
        If the gain or the number of balls can't be planned.

    Examples
    --------
    >>> wanted = Wanted(quantity="club_speed", change=3.0, unit="mph", balls=40)
    >>> plan_for_player(wanted, typical=95.0, club="driver").sentence
    'Hit 20 without and 20 with: 98 in 100 to show 3 mph more club speed.'
    """
    if not 0 < typical < np.inf:
        raise InputError(
            f"A typical {glossary()[wanted.quantity].name} of {typical:g} can't be.",
            fix="Give a number above 0.",
        )
    start = _start(wanted, si_from(typical, wanted.unit), club, level)
    return _planned(wanted, remember((), start=start, aim="more"))


def plan_for_file(
    data: bytes,
    *,
    name: str = "",
    hand: Hand = "right",
    mapping: ColumnMapping | None = None,
    change: float | None = None,
    unit: str | None = None,
    balls: int = USUAL_BALLS,
    seed: int = 0,
    level: Level = "middle",
) -> Planned:
    r"""Plan from the baseline in a table of shots.

    The balls before the change (all balls where the table names no blocks) tell the typical ball
    and how far this student strays today.

    Parameters
    ----------
    data, name, hand, mapping
        As in `leadfoot.desk.file_answer.answer_for_file`.
    change, unit
        The gain that would be worth having, and its unit, which also says whether a speed or a
        length is meant; None: 2 mph of club speed, 8 yd of carry.
    balls, seed, level
        As in `Wanted` and `plan_for_player`.

    Raises
    ------
    InputError
        If the file is no table of shots, or has no length or speed before the change.

    Examples
    --------
    >>> rows = "\n".join(str(94 + k % 4) for k in range(10))
    >>> found = plan_for_file(f"club speed (mph)\n{rows}\n".encode(), change=2.0, unit="mph")
    >>> found.memory.n_balls, found.plan.advised.pattern
    (10, 'once')
    """
    reading = read_table(data, name=name, mapping=mapping, hand=hand)
    shots = with_named_blocks(reading.shots)
    baseline = _baseline(shots)
    wanted = _wanted(_measured(shots, baseline), change, unit, balls, seed)
    club = next((club for club in shots.clubs if club is not None), None)
    values = shots.si(wanted.quantity)[baseline]
    return replace(_from_balls(wanted, values, (), club, level), problems=tuple(reading.problems))


def plan_for_lesson(
    desk: Desk,
    lesson_id: int,
    *,
    change: float | None = None,
    unit: str | None = None,
    balls: int = USUAL_BALLS,
) -> Planned:
    """Plan a lesson of the book from its balls before the change and the lessons before it.

    The seed of the drawn order is the number of the lesson, so that it can be drawn again.

    Raises
    ------
    InputError
        If no length or speed was measured, today or earlier.
    """
    lesson = desk.book.lesson(lesson_id)
    blocks = desk.book.blocks(lesson_id)
    before = {block.id for block in blocks if block.role == "before"}
    shots = [
        shot
        for shot in desk.book.shots(lesson_id)
        if shot.block_id in before and shot.left_out_reason is None
    ]
    table = table_of(shots, blocks)
    everything = np.ones(len(shots), dtype=np.bool_)
    past = past_lessons(desk, lesson)
    known = _measured(table, everything) or [key for key in PLANNED if key in past]
    wanted = _wanted(known, change, unit, balls, lesson_id)
    if unit is None:
        wanted = in_units_of(studio_of(desk).units, wanted, change)
    earlier = tuple(past.get(wanted.quantity, ()))
    return _from_balls(wanted, table.si(wanted.quantity), earlier, lesson.club, "middle")


def plan_words(order: PlannedOrder) -> str:
    """The blocks of an order, such as ``10 without, 10 with and 10 without``."""
    said = [f"{one.balls} {'with' if one.with_change else 'without'}" for one in order.blocks]
    return f"{', '.join(said[:-1])} and {said[-1]}"


def plan_marks(order: PlannedOrder) -> str:
    """The blocks in short, such as ``−10 +10 −10``: plus is with the change.

    Examples
    --------
    >>> wanted = Wanted(quantity="club_speed", change=2.0, unit="mph", balls=20)
    >>> plan_marks(plan_for_player(wanted, typical=95.0).plan.advised)
    '−10 +10'
    """
    return " ".join(f"{'+' if one.with_change else '−'}{one.balls}" for one in order.blocks)


def _baseline(shots: ShotTable) -> NDArray[np.bool_]:
    """The balls hit as usual: those before the change, or all where there is one block."""
    labels = [label for label in shots.blocks if label is not None]
    if len(set(labels)) < 2:
        return np.ones(len(shots), dtype=np.bool_)
    roles = guess_roles(labels)
    return np.array(
        [label is not None and roles.get(label) == "before" for label in shots.blocks],
        dtype=np.bool_,
    )


def _measured(table: ShotTable, chosen: NDArray[np.bool_]) -> list[str]:
    return [key for key in PLANNED if np.isfinite(table.si(key)[chosen]).any()]


def _wanted(
    known: list[str], change: float | None, unit: str | None, balls: int, seed: int
) -> Wanted:
    """The quantity that is planned for, with the gain asked for or the usual one."""
    if unit is not None:
        dimension = unit_named(unit).dimension
        # A gain of speed is meant of the club where it was measured.
        known = [key for key in reversed(known) if glossary()[key].dimension == dimension]
    if not known:
        wanted = "a length or a speed" if unit is None else f"anything measured in {unit}"
        raise InputError(
            f"No ball before the change has {wanted}.",
            fix="Give a table with carry, ball speed or club speed, or the player's own level.",
        )
    usual_change, usual_unit = WORTH_FINDING[known[0]]
    return Wanted(
        quantity=known[0],
        change=usual_change if change is None else change,
        unit=unit or usual_unit,
        balls=balls,
        seed=seed,
    )


def in_units_of(chosen: UnitChoice, wanted: Wanted, change: float | None) -> Wanted:
    """What is wanted, in the unit that a studio chose; a gain nobody named stays a round number.

    Examples
    --------
    >>> usual = Wanted(quantity="carry", change=8.0, unit="yd")
    >>> in_units_of(UnitChoice(distance="m"), usual, None).change
    7.0
    """
    own = chosen.of(wanted.quantity)
    if own is None or own == wanted.unit:
        return wanted
    if change is not None:
        return replace(wanted, unit=own)
    gain = si_into(si_from(wanted.change, wanted.unit), own)
    return replace(wanted, change=float(round(gain)), unit=own)


def _from_balls(
    wanted: Wanted,
    today: NDArray[np.float64],
    earlier: tuple[PastLesson, ...],
    club: str | None,
    level: Level,
) -> Planned:
    """Plan from today's balls as usual and from earlier lessons."""
    finite = today[np.isfinite(today)]
    said = [finite] if finite.size else [lesson.blocks[-1] for lesson in earlier[-1:]]
    typical_si = float(np.median(np.concatenate(said))) if said else None
    now = PastLesson(age_days=0.0, blocks=(finite,), baseline=finite)
    start = _start(wanted, typical_si, club, level)
    planned = _planned(wanted, remember((*earlier, now), start=start, aim="more"))
    if not finite.size:
        return planned
    known = (
        known_from(remember(earlier, start=start, aim="more"))
        if earlier
        else ("Before today's balls, the usual spread was that of players in general.")
    )
    return replace(planned, source=f"{known} Today's {finite.size} balls as usual are added.")


def _start(wanted: Wanted, typical_si: float | None, club: str | None, level: Level) -> UsualSpread:
    if wanted.quantity not in PLANNED:
        raise InputError(
            f"A change of {wanted.quantity!r} can't be planned.",
            fix=f"Plan for one of: {', '.join(PLANNED)}.",
        )
    named = club_class(club_name(club)) if club else None
    return usual_spread(wanted.quantity, named, typical_si, level)


def _planned(wanted: Wanted, memory: Memory) -> Planned:
    si_per_unit = si_from(1.0, wanted.unit) - si_from(0.0, wanted.unit)
    plan = plan_lesson(
        wanted.change * si_per_unit,
        memory.usual,
        n_balls=wanted.balls,
        seed=wanted.seed,
        beside_speed=wanted.quantity != "club_speed",
    )
    gain = f"{amount(wanted.change, wanted.unit)} more {glossary()[wanted.quantity].name}"
    chance = in_100(plan.advised.chance)
    return Planned(
        wanted=wanted,
        usual_sd=memory.usual.sd / si_per_unit,
        memory=memory,
        plan=plan,
        sentence=f"Hit {plan_words(plan.advised)}: {chance} to show {gain}.",
        source=known_from(memory),
    )
