"""Try it: one lesson's student on a bench, and what would halve the miss for this student."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from leadfoot.coaching.attribution import Balls
from leadfoot.coaching.swings import Explainable, explainable
from leadfoot.coaching.try_it import NAMES, Lever, Levers, Swinger, Trial, levers, swinger
from leadfoot.desk.bench_start import generic_club
from leadfoot.desk.desk import Desk
from leadfoot.desk.flight_bench import Bench, BenchFlight, bench_flight
from leadfoot.desk.lesson import own_club_of, question_of, table_of
from leadfoot.desk.records import Block, Hand, Lesson, StoredShot
from leadfoot.desk.settings import studio_of
from leadfoot.desk.sides import choose_sides, clubs_by_shot
from leadfoot.desk.studio import Studio, UnitChoice
from leadfoot.desk.swing_readings import swing_readings
from leadfoot.desk.why import PART_NAMES, length_unit
from leadfoot.desk.wording import amount
from leadfoot.errors import InputError
from leadfoot.physics.delivery import DELIVERY_RANGES, Delivery
from leadfoot.shots.shot import ShotTable
from leadfoot.units import si_into

Floats = NDArray[np.float64]
Known = Literal["measured", "modelled", "assumed"]
"""How an input of the delivery is known: read, found by the impact model, or a usual swing's."""

LEAST_SAVED = 0.02
"""Share of the miss below which a lever is not worth a word. Our own choice."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TryStudent:
    """A student on the bench.

    Attributes
    ----------
    swinger
        Middle and spread of the delivery; the middle is that of the balls with the change, or of
        all balls where there is no change yet.
    levers
        What would make the miss smaller, the strongest first.
    club, model_club
        As the lesson calls it, and the generic club that stands for it.
    hand
        The student's.
    speed_unit, length_unit
        In which this coach speaks.
    known
        How each input is known, by its name.
    n_balls
        Balls of the lesson with this club.
    compared
        Whether there are two sides, so that today is the side with the change.
    studio
        Whose units, air and clubs it is in.
    """

    swinger: Swinger
    levers: Levers
    club: str | None
    model_club: str
    hand: Hand
    speed_unit: str
    length_unit: Literal["yd", "m"]
    known: Mapping[str, Known]
    n_balls: int
    compared: bool
    studio: Studio

    def middle(self, name: str) -> float:
        """Middle of one input today, SI."""
        return float(self.swinger.middle[NAMES.index(name)])

    def spread(self, name: str) -> float:
        """Standard deviation of one input today, the monitor's error taken off, SI."""
        place = NAMES.index(name)
        return float(np.sqrt(max(self.swinger.covariance[place, place], 0.0)))


def try_student(desk: Desk, lesson_id: int, *, club_key: str | None = None) -> TryStudent:
    """Put the student of a lesson on the bench; takes a moment, so keep what comes of it.

    Parameters
    ----------
    desk
        Where the lesson is.
    lesson_id
        Which lesson.
    club_key
        The generic club that stands for the student's; None: by the name of the club.

    Raises
    ------
    InputError
        If there are no balls, no generic club stands for the one hit, the swing was not read, or
        fewer than eight balls can be explained.
    """
    lesson = desk.book.lesson(lesson_id)
    blocks, shots = desk.book.blocks(lesson_id), desk.book.shots(lesson_id)
    studio = studio_of(desk)
    shots = studio.shown(shots)
    table, sides = table_of(shots, blocks), _sides(desk, lesson, blocks, shots)
    own = own_club_of(studio, lesson, shots)
    key = club_key or own or generic_club(sides.club or lesson.club or "", studio.clubs)
    if key is None or key not in studio.clubs:
        raise InputError(
            f"No generic club stands for {sides.club or 'a club without a name'!r}.",
            fix=f"Say which: one of {', '.join(studio.clubs)}.",
        )
    hand = desk.book.student(lesson.student_id).hand
    read = [swing_readings(table, side) for side in (sides.before, sides.after)]
    told = explainable(
        read[0], read[1], studio.clubs[key], hand=hand, around=studio.around, errors=studio.errors
    )
    both = [told.before, told.after] if sides.compared else [told.after]
    on_bench = swinger(told, both)
    return TryStudent(
        swinger=on_bench,
        levers=levers(on_bench, _in_hitting_order(told, sides)),
        club=sides.club,
        model_club=key,
        hand=hand,
        speed_unit=_speed_unit(table, studio.units),
        length_unit=length_unit(table, studio.units),
        studio=studio,
        known=MappingProxyType({name: _known(told, name) for name in NAMES}),
        n_balls=sum(len(side) for side in both),
        compared=sides.compared,
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Sides:
    before: NDArray[np.bool_]
    after: NDArray[np.bool_]
    club: str | None
    compared: bool


def _sides(
    desk: Desk, lesson: Lesson, blocks: tuple[Block, ...], shots: tuple[StoredShot, ...]
) -> _Sides:
    """The two sides of the comparison; all balls that count as both where there is only one."""
    try:
        question = question_of(desk, lesson, blocks, shots)
    except InputError:
        return _one_side(blocks, shots)
    found = choose_sides(question)
    return _Sides(
        before=found.judged & ~found.with_change,
        after=found.judged & found.with_change,
        club=found.club,
        compared=True,
    )


def _one_side(blocks: tuple[Block, ...], shots: tuple[StoredShot, ...]) -> _Sides:
    role_of = {block.id: block.role for block in blocks}
    counts = np.array(
        [shot.left_out_reason is None and role_of[shot.block_id] != "other" for shot in shots],
        dtype=bool,
    )
    if not counts.any():
        raise InputError("There is no ball to try with.", fix="Hit some balls first.")
    names = clubs_by_shot(table_of(shots, blocks))
    hit = [name for name, counted in zip(names, counts, strict=True) if counted]
    club = max(dict.fromkeys(hit), key=hit.count)
    chosen = counts & np.array([name == club for name in names], dtype=bool)
    return _Sides(before=chosen, after=chosen, club=club, compared=False)


def _in_hitting_order(told: Explainable, sides: _Sides) -> Balls:
    if not sides.compared:
        return told.after
    places = np.concatenate([np.flatnonzero(sides.before), np.flatnonzero(sides.after)])
    order = np.argsort(places, kind="stable")
    pair = (told.before, told.after)
    return Balls(
        rows=np.concatenate([side.rows for side in pair], axis=1)[:, order],
        carry_m=np.concatenate([side.carry_m for side in pair])[order],
        offline_m=np.concatenate([side.offline_m for side in pair])[order],
    )


def _known(told: Explainable, name: str) -> Known:
    if name in told.assumed:
        return "assumed"
    return "modelled" if name in told.modelled else "measured"


def _speed_unit(table: ShotTable, chosen: UnitChoice) -> str:
    if chosen.speed is not None:
        return chosen.speed
    for key in ("club_speed", "ball_speed"):
        if key in table.readings and table.readings[key].unit:
            return table.readings[key].unit or "mph"
    return "mph"


def middle_flight(student: TryStudent, trial: Trial) -> BenchFlight | None:
    """The flight of the swing in the middle of a trial; None where it can't be struck or flown."""
    numbers = {name: student.middle(name) + trial.moved.get(name, 0.0) for name in DELIVERY_RANGES}
    try:
        return bench_flight(
            Bench(
                club_key=student.model_club,
                delivery=Delivery(**numbers),
                weather=student.studio.weather,
                hand=student.hand,
                own_club=student.studio.own_clubs.get(student.model_club),
            )
        )
    except InputError:
        return None


def lever_name(lever: Lever) -> str:
    """A lever as a coach calls it.

    Examples
    --------
    >>> lever_name(Lever(part="face", kind="spread", trial=Trial(), miss_m=9.0, carry_m=180.0,
    ...     miss_saved_share=0.4))
    'steadier face angle'
    """
    name = PART_NAMES.get(lever.part, lever.part)
    return f"steadier {name}" if lever.kind == "spread" else f"{name} as in the best tenth"


def levers_sentence(found: Levers, unit: str) -> str:
    """What would halve the miss, in a sentence.

    Parameters
    ----------
    found
        The levers.
    unit
        Unit of the miss.

    Examples
    --------
    >>> face = Lever(part="face", kind="spread", trial=Trial(), miss_m=9.0, carry_m=180.0,
    ...     miss_saved_share=0.55)
    >>> levers_sentence(Levers(today_m=20.0, levers=(face,), halved_by=(face,), all_m=9.0), "m")
    'One thing would halve the average miss of 20 m: steadier face angle.'
    >>> levers_sentence(Levers(today_m=20.0, levers=(face,), halved_by=(), all_m=14.0), "m")
    'Nothing shown so far halves the average miss of 20 m: all that helps together leaves 14 m.'
    """
    today, rest = (amount(si_into(size, unit), unit) for size in (found.today_m, found.all_m))
    if not found.halved_by:
        if found.all_m > (1.0 - LEAST_SAVED) * found.today_m:
            return f"Nothing shown so far makes the average miss of {today} smaller."
        return (
            f"Nothing shown so far halves the average miss of {today}: all that helps together "
            f"leaves {rest}."
        )
    names = [lever_name(lever) for lever in found.halved_by]
    if len(names) == 1:
        return f"One thing would halve the average miss of {today}: {names[0]}."
    listed = f"{', '.join(names[:-1])} and {names[-1]}"
    return f"Together these would halve the average miss of {today}: {listed}."


def in_ten(share: float) -> str:
    """A chance as a student hears it.

    Examples
    --------
    >>> in_ten(0.62), in_ten(0.004), in_ten(0.999)
    ('6 in 10', 'hardly ever', 'nearly always')
    """
    if share < 0.05:
        return "hardly ever"
    return "nearly always" if share > 0.95 else f"{round(10 * share)} in 10"
