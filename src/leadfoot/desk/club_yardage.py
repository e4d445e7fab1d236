"""How far every club of a student goes, from all lessons, and what lies between the clubs."""

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from leadfoot.desk.answer import Basis
from leadfoot.desk.club_words import club_said
from leadfoot.desk.desk import Desk
from leadfoot.desk.flight_bench import Weather
from leadfoot.desk.lesson import table_of
from leadfoot.desk.other_air import flown_ratios, usual_ratio
from leadfoot.desk.same_air import landing
from leadfoot.desk.settings import studio_of
from leadfoot.desk.sides import clubs_by_shot
from leadfoot.desk.why import length_unit
from leadfoot.desk.wording import amount
from leadfoot.desk.yardage import Between, ClubYardage, Yardages
from leadfoot.errors import OutOfRangeError
from leadfoot.evidence.reach import Reach, reach, recency
from leadfoot.language.say import say, say_n
from leadfoot.physics.air import Air
from leadfoot.shots.club import club_name
from leadfoot.shots.shot import ShotTable
from leadfoot.units import si_into

Floats = NDArray[np.float64]

HALF_LIFE_DAYS = 90.0
"""A ball of a season ago counts half. Our own choice, no source."""
FEWEST = 5
"""Balls below which a club gets no yardage. Our own choice."""
NEARLY_ONE = 0.35
"""Chance that the shorter club goes farther from which two are nearly one. Our own choice."""
_SURE = 1.645


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Balls:
    """Balls of one club in one lesson."""

    held_on: date
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
) -> Yardages:
    """Gather all lessons of a student, club by club.

    Balls that were left out and those of blocks that are neither before nor with the change, such
    as warm-ups, stay out. Where a club has measured carries, only these count; computed ones stand
    in where it has none.

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

    Raises
    ------
    OutOfRangeError
        If the half-life is not above 0.
    """
    if not half_life_days > 0.0:
        raise OutOfRangeError(
            f"The half-life is {half_life_days:g} days.", fix="Give more than 0, such as 90."
        )
    balls, unit, n_unnamed = _gathered(desk, student_id, weather)
    studio = studio_of(desk)
    today = desk.clock().date()
    airs = None if weather is None else (studio.weather, weather)
    found, too_few = [], []
    for club, runs in balls.items():
        one = _club(club, runs, today, half_life_days, airs)
        if one is None:
            too_few.append((club, sum(int(np.isfinite(run.carry_m).sum()) for run in runs)))
        else:
            found.append(one)
    found.sort(key=lambda one: -one.carry.middle)
    between = [_between(a, b, unit) for a, b in pairwise(found)]
    return Yardages(
        student=desk.book.student(student_id),
        day=today,
        unit=unit,
        clubs=tuple(found),
        between=tuple(between),
        half_life_days=half_life_days,
        weather=weather,
        too_few=tuple(too_few),
        n_unnamed=n_unnamed,
        studio=studio,
    )


def _gathered(
    desk: Desk, student_id: int, weather: Weather | None
) -> tuple[dict[str, list[_Balls]], Literal["yd", "m"], int]:
    """Balls by club, the unit of the latest lesson, and how many have no club's name."""
    balls: dict[str, list[_Balls]] = defaultdict(list)
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
                balls[club].append(_of_lesson(table, chosen, lesson.held_on, weather, studio.air))
    return balls, unit, n_unnamed


def _of_lesson(
    table: ShotTable,
    chosen: NDArray[np.bool_],
    held_on: date,
    weather: Weather | None,
    air: Air,
) -> _Balls:
    landed = landing(table, chosen, air)
    nothing = np.full(int(chosen.sum()), np.nan)
    ratios = None if weather is None else flown_ratios(table, weather, air)
    return _Balls(
        held_on=held_on,
        carry_m=landed.carry_m[chosen],
        basis=landed.carry_basis,
        total_m=table.si("total")[chosen],
        air_on_carry=nothing if ratios is None else ratios.carry[chosen],
        air_on_total=nothing if ratios is None else ratios.total[chosen],
    )


def _club(
    club: str,
    runs: Sequence[_Balls],
    today: date,
    half_life_days: float,
    airs: tuple[Weather, Weather] | None,
) -> ClubYardage | None:
    measured = [run for run in runs if run.basis == "measured" and np.isfinite(run.carry_m).any()]
    basis: Basis = "measured" if measured else "modelled"
    kept = [run for run in (measured or runs) if np.isfinite(run.carry_m).any()]
    if sum(int(np.isfinite(run.carry_m).sum()) for run in kept) < FEWEST:
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


def _between(longer: ClubYardage, shorter: ClubYardage, unit: str) -> Between:
    """What lies between two neighbours; in the air of the place where there is one."""
    one, other = longer.carry, shorter.carry
    if longer.place_carry is not None and shorter.place_carry is not None:
        one, other = longer.place_carry, shorter.place_carry
    gap = one.middle - other.middle
    farther = float(ndtr(-gap / math.hypot(one.sd, other.sd)))
    empty = (other.high, one.low) if one.low > other.high else None
    doubt = math.hypot(one.middle_high - one.middle_low, other.middle_high - other.middle_low) / (
        2.0 * _SURE
    )
    return Between(
        longer=longer.club,
        shorter=shorter.club,
        gap_m=gap,
        farther_anyway=farther,
        empty_m=empty,
        said=between_words(
            longer.club,
            shorter.club,
            gap_m=gap,
            farther_anyway=farther,
            empty_m=empty,
            told=gap > _SURE * doubt,
            unit=unit,
        ),
    )


def between_words(
    longer: str,
    shorter: str,
    *,
    gap_m: float,
    farther_anyway: float,
    empty_m: tuple[float, float] | None,
    told: bool,
    unit: str,
) -> str:
    """What lies between two clubs, in a sentence.

    Parameters
    ----------
    longer, shorter
        Names.
    gap_m, farther_anyway, empty_m
        As in `Between`.
    told
        Whether the balls tell which of them goes farther.
    unit
        Unit of the lengths.

    Examples
    --------
    >>> between_words("5 iron", "7 iron", gap_m=24.0, farther_anyway=0.04, empty_m=(141.0, 149.0),
    ...     told=True, unit="m")
    '5 iron and 7 iron: 24 m apart; no usual ball of either for 141 to 149 m.'
    >>> between_words("6 iron", "7 iron", gap_m=3.0, farther_anyway=0.41, empty_m=None, told=True,
    ...     unit="m")
    '6 iron and 7 iron: 3 m apart, nearly one club: the 7 iron goes farther 4 times in 10.'
    """
    said = {
        "longer": club_said(longer),
        "shorter": club_said(shorter),
        "gap": amount(si_into(gap_m, unit), unit, decimals=0),
    }
    often = max(round(10.0 * farther_anyway), 1)
    if not told:
        return say(
            "{longer} and {shorter}: these balls cannot tell which goes farther ({gap} apart).",
            **said,
        )
    if farther_anyway >= NEARLY_ONE:
        return say_n(
            "{longer} and {shorter}: {gap} apart, nearly one club: the {shorter} goes farther {n} "
            "time in 10.",
            "{longer} and {shorter}: {gap} apart, nearly one club: the {shorter} goes farther {n} "
            "times in 10.",
            often,
            **said,
        )
    if empty_m is not None:
        low, high = (amount(si_into(end, unit), None, decimals=0) for end in empty_m)
        return say(
            "{longer} and {shorter}: {gap} apart; no usual ball of either for {low} to {high} "
            "{unit}.",
            **said,
            low=low,
            high=high,
            unit=unit,
        )
    if farther_anyway < 0.05:
        return say("{longer} and {shorter}: {gap} apart; they hardly ever cross.", **said)
    return say_n(
        "{longer} and {shorter}: {gap} apart; the {shorter} goes farther {n} time in 10.",
        "{longer} and {shorter}: {gap} apart; the {shorter} goes farther {n} times in 10.",
        often,
        **said,
    )
