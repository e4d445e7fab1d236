"""What practice at home looks like beside the lesson: levels told, nothing judged."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from leadfoot.desk.club_days import has_usual_spread, in_order, values_by_role
from leadfoot.desk.club_words import club_said
from leadfoot.desk.desk import Desk
from leadfoot.desk.home_shots import HomeShot, problems_in, shots_in
from leadfoot.desk.homework import HomeworkView
from leadfoot.desk.homework_records import HomeTable
from leadfoot.desk.places import said_place, same_place
from leadfoot.desk.records import Lesson, Role
from leadfoot.evidence.retention import block_level
from leadfoot.evidence.solid import mishit_odds
from leadfoot.evidence.usual import usual_spread
from leadfoot.language.say import noted, say, say_n
from leadfoot.quantities import glossary
from leadfoot.shots.club import club_class, club_name
from leadfoot.shots.form import problem_json
from leadfoot.units import si_into

Floats = NDArray[np.float64]

NO_TEST = noted(
    "Practice is not a test: another place, another monitor and other balls, and blocks with the "
    "cue in mind. It is told here and judged nowhere."
)
REACH = 1.645
"""Half the range of 90 in 100, in standard deviations."""
EIGHT_IN_TEN = (0.1, 0.9)


@dataclass(frozen=True, slots=True, kw_only=True)
class PracticeQuantity:
    """One quantity of practice with one club at one place, in `unit`, beside the lesson's.

    Attributes
    ----------
    n
        Balls that have it.
    level, level_low, level_high
        Where the balls lie, mishits weighed down, with its range of 90 in 100; no range for a
        single ball of a quantity without a usual spread.
    low, high
        Between these lie the middle eight of ten balls, mishits among them.
    lesson_before, lesson_with
        The lesson's level with the same club, as usual and with the change; None where it has none.
    """

    quantity: str
    name: str
    unit: str | None
    n: int
    level: float
    level_low: float | None
    level_high: float | None
    low: float
    high: float
    lesson_before: float | None
    lesson_with: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Practice:
    """What was hit at home with one club at one place.

    Attributes
    ----------
    club
        In its one spelling; empty where nobody named it.
    place, n_balls
        Where, and how many balls.
    n_mishits
        Balls that were clearly mishit; None where no length tells.
    quantities
        Every quantity that the tables declare, the one to speak of first.
    """

    club: str
    place: str
    n_balls: int
    n_mishits: int | None
    quantities: tuple[PracticeQuantity, ...]


def practice_of(desk: Desk, view: HomeworkView) -> tuple[Practice, ...]:
    """Practice of a plan, club by club and place by place, the most balls first.

    A ball whose table names no club counts as one of the lesson's club.
    """
    groups: list[tuple[str, str, list[HomeShot]]] = []
    for table in view.tables:
        if table.left_out_reason is None:
            for shot in shots_in(table):
                club = club_of_shot(shot, view.lesson)
                _group(groups, club, table.place).append(shot)
    beside = {club: values_by_role(desk, view.lesson, club) for club, _, _ in groups}
    found = [_practice(club, place, shots, beside[club]) for club, place, shots in groups]
    return tuple(sorted(found, key=lambda one: -one.n_balls))


def club_of_shot(shot: HomeShot, lesson: Lesson) -> str:
    """The club of a ball of practice: its own, else that of the lesson whose plan it is."""
    return club_name(shot.club or lesson.club or "")


def values_of(shots: Sequence[HomeShot]) -> dict[str, list[float]]:
    """The values of some balls by quantity, SI."""
    found: dict[str, list[float]] = {}
    for shot in shots:
        for key, reading in shot.values.items():
            found.setdefault(key, []).append(reading.si)
    return found


def table_json(table: HomeTable) -> dict[str, Any]:
    """One table of practice with all its balls, in the published form."""
    return {
        "session": table.session,
        "done_on": table.done_on.isoformat(),
        "place": table.place,
        "file": table.name,
        "sha256": table.digest,
        "given_by": table.given_by,
        "left_out_reason": table.left_out_reason,
        "shots": [
            {
                "row": one.row,
                "club": one.club,
                "values": {
                    key: {"value": reading.value, "unit": reading.unit}
                    for key, reading in one.values.items()
                },
            }
            for one in shots_in(table)
        ],
        "problems": [problem_json(one) for one in problems_in(table)],
    }


def homework_json(desk: Desk, view: HomeworkView) -> dict[str, Any]:
    """A plan with all that came of it, in the published form ``leadfoot.homework_done/1``."""
    return {
        "schema": "leadfoot.homework_done/1",
        "number": view.stored.id,
        "lesson": view.lesson.id,
        "given_on": view.lesson.held_on.isoformat(),
        "plan": view.plan.as_json(),
        "sessions_done": sorted(view.done_sessions),
        "balls_by_week": list(view.balls_by_week),
        "warnings": list(view.warnings),
        "logs": [
            {
                "session": log.session,
                "done_on": log.done_on.isoformat(),
                "balls": log.n_balls,
                "counted": log.n_counted,
                "met": log.n_met,
                "pain": log.pain,
                "notes": log.notes,
                "logged_by": log.logged_by,
            }
            for _, log in sorted(view.logs.items())
        ],
        "practice": [asdict(one) for one in practice_of(desk, view)],
        "practice_is": NO_TEST,
        "tables": [table_json(one) for one in view.tables],
    }


def practice_sentence(one: Practice) -> str:
    """What was hit, in a sentence.

    Examples
    --------
    >>> practice_sentence(
    ...     Practice(club="7 iron", place="range", n_balls=30, n_mishits=2, quantities=())
    ... )
    '30 balls with the 7 iron at the range, 2 of them clearly mishit.'
    """
    balls, place = say_n("{n} ball", "{n} balls", one.n_balls), said_place(one.place)
    hit = (
        say("{balls} with the {club} {place}", balls=balls, club=club_said(one.club), place=place)
        if one.club
        else say("{balls} {place}", balls=balls, place=place)
    )
    if one.n_mishits is None:
        return f"{hit}."
    if not one.n_mishits:
        return say("{hit}, none clearly mishit.", hit=hit)
    return say("{hit}, {n} of them clearly mishit.", hit=hit, n=one.n_mishits)


def _group(groups: list[tuple[str, str, list[HomeShot]]], club: str, place: str) -> list[HomeShot]:
    for named, where, shots in groups:
        if named == club and same_place(where, place):
            return shots
    groups.append((club, place, []))
    return groups[-1][2]


def _practice(
    club: str,
    place: str,
    shots: Sequence[HomeShot],
    beside: Mapping[tuple[str, Role], Sequence[float]],
) -> Practice:
    values = {key: found for key, found in values_of(shots).items() if key in glossary()}
    units: dict[str, str | None] = {}
    for shot in shots:
        for key, reading in shot.values.items():
            units.setdefault(key, reading.unit)
    return Practice(
        club=club,
        place=place,
        n_balls=len(shots),
        n_mishits=_mishits(values),
        quantities=tuple(
            _quantity(key, units[key], club, np.array(values[key]), beside)
            for key in in_order(values)
        ),
    )


def _mishits(values: Mapping[str, Sequence[float]]) -> int | None:
    """Balls that were more likely mishit than not, by the first length that is there."""
    for key in ("carry", "ball_speed"):
        if key in values:
            return int((mishit_odds(np.array(values[key])) > 0.5).sum())
    return None


def _quantity(
    key: str,
    unit: str | None,
    club: str,
    values: Floats,
    beside: Mapping[tuple[str, Role], Sequence[float]],
) -> PracticeQuantity:
    level, reach = level_of(key, club, values)
    ends = np.quantile(values, EIGHT_IN_TEN)

    def lesson(role: Role) -> float | None:
        there = beside.get((key, role))
        return si_into(level_of(key, club, np.array(there))[0], unit) if there else None

    return PracticeQuantity(
        quantity=key,
        name=glossary()[key].name,
        unit=unit,
        n=len(values),
        level=si_into(level, unit),
        level_low=None if reach is None else si_into(level - reach, unit),
        level_high=None if reach is None else si_into(level + reach, unit),
        low=si_into(float(ends[0]), unit),
        high=si_into(float(ends[1]), unit),
        lesson_before=lesson("before"),
        lesson_with=lesson("with_change"),
    )


def level_of(key: str, club: str, values: Floats) -> tuple[float, float | None]:
    """Where some balls lie and half its range of 90 in 100, SI; by the spread of a usual player.

    Parameters
    ----------
    key, club
        Quantity and club.
    values
        Shape (n,), n of 1 or more, SI, finite.
    """
    typical = None if key == "offline" else float(np.median(values))
    sd = usual_spread(key, club_class(club), typical).sd if has_usual_spread(key) else 0.0
    if sd > 0.0:
        more = glossary()[key].better == "more"
        found = block_level(values, kind="test", day=0, usual_sd=sd, either_way=not more)
        return found.mean, REACH * float(np.sqrt(found.variance))
    mean = float(values.mean())
    if len(values) < 2:
        return mean, None
    return mean, REACH * float(values.std(ddof=1)) / float(np.sqrt(len(values)))
