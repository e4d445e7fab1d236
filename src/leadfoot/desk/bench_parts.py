"""Which of the changes between two tries on the flight bench moved the ball."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from leadfoot.desk.flight_bench import (
    INPUTS,
    WEATHER_INPUTS,
    Bench,
    BenchFlight,
    bench_flight,
)
from leadfoot.errors import InputError

WITH_THE_CLUB = ("club_speed_mps", "attack_angle_rad", "dynamic_loft_rad")
"""What belongs to a club: it changes with the club, and is not counted by itself then."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """What one change does by itself to the ball before.

    Attributes
    ----------
    name
        One of `INPUTS`, or ``club`` (with its usual swing), or ``air`` (temperature, altitude and
        humidity together).
    carry_m, offline_m
        Change of carry, and of offline toward the right. [m]
    """

    name: str
    carry_m: float
    offline_m: float


def changed(before: Bench, now: Bench) -> tuple[str, ...]:
    """Names of what differs; see `Part`.

    Examples
    --------
    >>> from leadfoot.desk.flight_bench import usual_bench
    >>> usual = usual_bench("driver")
    >>> changed(usual, usual.having(face_angle_rad=0.02, altitude_m=500.0, humidity_frac=0.9))
    ('face_angle_rad', 'air')
    """
    names = [name for name in INPUTS if before.value(name) != now.value(name)]
    found = dict.fromkeys("air" if name in WEATHER_INPUTS else name for name in names)
    if before.club_key != now.club_key:
        rest = [name for name in found if name not in WITH_THE_CLUB]
        return ("club", *rest)
    return tuple(found)


def parts(before: Bench, now: Bench) -> tuple[Part, ...]:
    """What each change does by itself, the one that moves the ball most first.

    A change that by itself can't be struck or flown is left out. The parts need not add up to the
    whole: two changes together can do more, or less, than each by itself.

    Raises
    ------
    InputError
        If one of the two can't be struck or flown.

    Examples
    --------
    >>> from leadfoot.desk.flight_bench import usual_bench
    >>> usual = usual_bench("driver")
    >>> faster = usual.having(club_speed_mps=45.0)
    >>> [(part.name, round(part.carry_m)) for part in parts(usual, faster)]
    [('club_speed_mps', 19)]
    """
    names = changed(before, now)
    first = bench_flight(before)
    if len(names) == 1:  # the whole difference is its own
        found = [_part(names[0], first, *_landing(bench_flight(now)))]
    else:
        found = _by_themselves(first, {name: _with_one(before, now, name) for name in names})
    return tuple(sorted(found, key=lambda part: -math.hypot(part.carry_m, part.offline_m)))


def _with_one(before: Bench, now: Bench, name: str) -> Bench:
    """The try before with one change."""
    if name == "club":
        with_swing = {swung: now.value(swung) for swung in WITH_THE_CLUB}
        return replace(before, club_key=now.club_key).having(**with_swing)
    if name == "air":
        return before.having(**{kind: now.value(kind) for kind in WEATHER_INPUTS})
    return before.having(**{name: now.value(name)})


def _by_themselves(first: BenchFlight, tries: Mapping[str, Bench]) -> list[Part]:
    """Fly each change by itself; while one slider moves, the flights of the others are kept."""
    found = []
    for name, bench in tries.items():
        try:
            found.append(_part(name, first, *_landing(bench_flight(bench))))
        except InputError:
            continue
    return found


def _landing(found: BenchFlight) -> tuple[float, float]:
    return found.flight.carry_m, found.flight.offline_m


def _part(name: str, first: BenchFlight, carry_m: float, offline_m: float) -> Part:
    return Part(
        name=name,
        carry_m=carry_m - first.flight.carry_m,
        offline_m=offline_m - first.flight.offline_m,
    )
