"""How far every club of a student goes, from all lessons, and what lies between the clubs."""

import math
from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import chain, pairwise
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from leadfoot.desk.answer import Basis
from leadfoot.desk.between_clubs import between, elsewhere_words
from leadfoot.desk.desk import Desk
from leadfoot.desk.flight_bench import Weather
from leadfoot.desk.lesson import table_of
from leadfoot.desk.other_air import flown_ratios, usual_ratio
from leadfoot.desk.places import STUDIO, said_place, same_place
from leadfoot.desk.records import Lesson
from leadfoot.desk.same_air import landing
from leadfoot.desk.settings import studio_of
from leadfoot.desk.sides import clubs_by_shot
from leadfoot.desk.why import length_unit
from leadfoot.desk.yardage import ClubYardage, Yardages
from leadfoot.errors import InputError, OutOfRangeError
from leadfoot.evidence.reach import Reach, reach, recency
from leadfoot.physics.air import Air
from leadfoot.shots.club import club_name
from leadfoot.shots.shot import ShotTable

Floats = NDArray[np.float64]

HALF_LIFE_DAYS = 90.0
"""A ball of a season ago counts half. Our own choice, no source."""
FEWEST = 5
"""Balls below which a club gets no yardage. Our own choice."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Balls:
    """Balls of one club in one lesson, at its place."""

    held_on: date
    place: str
    carry_m: Floats
    basis: Basis
    total_m: Floats
    air_on_carry: Floats
    air_on_total: Floats


def yardages(
    desk: Desk,
    student_id: int,
    *,
    half_life_days: float = HALF_LIFE_DAYS,
    weather: Weather | None = None,
    place: str | None = None,
) -> Yardages:
    """Gather all lessons of a student, club by club.

    Balls that were left out and those of blocks that are neither before nor with the change, such
    as warm-ups, stay out. Where a club has measured carries, only these count; computed ones stand
    in where it has none. Balls of two places are never put together: another place is another
    monitor, other balls, other ground.

    Parameters
    ----------
    desk
        Where the lessons are.
    student_id
        Whose.
    half_life_days
        Age at which a ball counts half, above 0.
    weather
        Air of a place; its wind plays no part.
    place
        Where the balls were hit; None: where most were. A club with too few there stands with the
        place where it was hit most.

    Raises
    ------
    OutOfRangeError
        If the half-life is not above 0.
    InputError
        If no ball with a carry was hit at the place.
    """
    if not half_life_days > 0.0:
        raise OutOfRangeError(
            f"The half-life is {half_life_days:g} days.", fix="Give more than 0, such as 90."
        )
    balls, unit, n_unnamed = _gathered(desk, student_id, weather)
    studio = studio_of(desk)
    today = desk.clock().date()
    airs = None if weather is None else (studio.weather, weather)
    places = places_of(balls)
    where = _chosen(place, places)
    found, too_few, elsewhere = [], [], []
    for club, runs in balls.items():
        there = _by_place(runs, where)
        told = [_club(club, of_place, today, half_life_days, airs) for of_place in there]
        stands = next((one for one in told if one is not None), None)
        if stands is None:
            too_few.append((club, max(_n_carries(of_place) for of_place in there)))
            continue
        found.append(stands)
        others = [one for one in told if one is not None and one is not stands]
        elsewhere += [elsewhere_words(stands, other, unit) for other in others]
    found.sort(key=lambda one: -one.carry.middle)
    return Yardages(
        student=desk.book.student(student_id),
        day=today,
        unit=unit,
        clubs=tuple(found),
        between=tuple(between(a, b, unit) for a, b in pairwise(found)),
        half_life_days=half_life_days,
        weather=weather,
        too_few=tuple(too_few),
        n_unnamed=n_unnamed,
        place=where,
        places=places,
        elsewhere=tuple(elsewhere),
        studio=studio,
    )


def _gathered(
    desk: Desk, student_id: int, weather: Weather | None
) -> tuple[dict[str, list[Balls]], Literal["yd", "m"], int]:
    """Balls by club, the unit of the latest lesson, and how many have no club's name."""
    balls: dict[str, list[Balls]] = defaultdict(list)
    studio = studio_of(desk)
    unit: Literal["yd", "m"] = "yd"
    n_unnamed = 0
    for lesson in desk.book.lessons(student_id):
        blocks, shots = desk.book.blocks(lesson.id), desk.book.shots(lesson.id)
        if not shots:
            continue
        role_of = {block.id: block.role for block in blocks}
        table = table_of(shots, blocks)
        unit = length_unit(table, studio.units)
        counts = np.array(
            [shot.left_out_reason is None and role_of[shot.block_id] != "other" for shot in shots],
            dtype=bool,
        )
        names = [name or lesson.club for name in clubs_by_shot(table)]
        n_unnamed += sum(counted and not name for counted, name in zip(counts, names, strict=True))
        for club in dict.fromkeys(club_name(name) for name in names if name):
            chosen = counts & np.array(
                [name is not None and club_name(name) == club for name in names], dtype=bool
            )
            if chosen.any():
                balls[club].append(_of_lesson(table, chosen, lesson, weather, studio.air))
    return balls, unit, n_unnamed


def places_of(balls: Mapping[str, Sequence[Balls]]) -> tuple[tuple[str, int], ...]:
    """The places of some balls, that with the most first, and how many have a carry there."""
    n: Counter[str] = Counter()
    spelt: dict[str, str] = {}
    for run in chain.from_iterable(balls.values()):
        n[run.place.casefold()] += _n_carries([run])
        spelt.setdefault(run.place.casefold(), run.place)
    return tuple((spelt[where], count) for where, count in n.most_common() if count)


def _n_carries(runs: Sequence[Balls]) -> int:
    return sum(int(np.isfinite(run.carry_m).sum()) for run in runs)


def _chosen(place: str | None, places: Sequence[tuple[str, int]]) -> str:
    """The place that was asked for, as the book spells it; else that of most balls."""
    if place is None:
        return places[0][0] if places else STUDIO
    for where, _ in places:
        if same_place(where, place):
            return where
    known = ", ".join(where for where, _ in places)
    raise InputError(
        f"No ball with a carry was hit {said_place(place)}.",
        fix=f"Choose one of: {known}." if known else "Hit some balls there first.",
    )


def _by_place(runs: Sequence[Balls], first: str) -> list[list[Balls]]:
    """The runs of each place: first those of one, then the place of most balls, and so on."""
    found: dict[str, list[Balls]] = defaultdict(list)
    for run in runs:
        found[run.place.casefold()].append(run)
    return sorted(
        found.values(), key=lambda one: (not same_place(one[0].place, first), -_n_carries(one))
    )


def _of_lesson(
    table: ShotTable,
    chosen: NDArray[np.bool_],
    lesson: Lesson,
    weather: Weather | None,
    air: Air,
) -> Balls:
    landed = landing(table, chosen, air)
    nothing = np.full(int(chosen.sum()), np.nan)
    ratios = None if weather is None else flown_ratios(table, weather, air)
    return Balls(
        held_on=lesson.held_on,
        place=lesson.place,
        carry_m=landed.carry_m[chosen],
        basis=landed.carry_basis,
        total_m=table.si("total")[chosen],
        air_on_carry=nothing if ratios is None else ratios.carry[chosen],
        air_on_total=nothing if ratios is None else ratios.total[chosen],
    )


def _club(
    club: str,
    runs: Sequence[Balls],
    today: date,
    half_life_days: float,
    airs: tuple[Weather, Weather] | None,
) -> ClubYardage | None:
    measured = [run for run in runs if run.basis == "measured" and np.isfinite(run.carry_m).any()]
    basis: Basis = "measured" if measured else "modelled"
    kept = [run for run in (measured or runs) if np.isfinite(run.carry_m).any()]
    if _n_carries(kept) < FEWEST:
        return None
    ages = [np.full(len(run.carry_m), float((today - run.held_on).days)) for run in kept]
    counts = recency(np.concatenate(ages), half_life_days)
    carry_m = np.concatenate([run.carry_m for run in kept])
    total_m = np.concatenate([run.total_m for run in kept])
    carry = _reach(carry_m, counts)
    if carry is None:
        return None
    usual = None if airs is None else usual_ratio(club, airs[1], airs[0])
    ratios = [
        _filled(np.concatenate([getattr(run, name) for run in kept]), usual and usual[place])
        for place, name in enumerate(("air_on_carry", "air_on_total"))
    ]
    return ClubYardage(
        club=club,
        basis=basis,
        carry=carry,
        total=_reach(total_m, counts),
        place_carry=_reach(carry_m * ratios[0], counts) if airs else None,
        place_total=_reach(total_m * ratios[1], counts) if airs else None,
        n_flown=sum(int(np.isfinite(run.air_on_carry).sum()) for run in kept),
        n_lessons=len(kept),
        last=max(run.held_on for run in kept),
        place=runs[0].place,
    )


def _filled(ratios: Floats, usual: float | None) -> Floats:
    """Ratios of balls that were not flown: the median of the club's others, else the usual one."""
    known = ratios[np.isfinite(ratios)]
    instead = float(np.median(known)) if known.size else usual
    return np.where(np.isfinite(ratios), ratios, math.nan if instead is None else instead)


def _reach(values_m: Floats, counts: Floats) -> Reach | None:
    known = np.isfinite(values_m)
    if int(known.sum()) < FEWEST:
        return None
    return reach(values_m[known], counts[known])
