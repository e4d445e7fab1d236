"""Faster against straighter: what a faster swing costs a student, from all lessons with a club."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from leadfoot.coaching.speed_straightness import (
    FEWEST_BALLS,
    FEWEST_OF_BLOCK,
    SpeedAgainst,
    SpeedBlock,
    speed_against,
)
from leadfoot.desk.desk import Desk
from leadfoot.desk.lesson import table_of
from leadfoot.desk.places import STUDIO
from leadfoot.desk.same_air import landing
from leadfoot.desk.settings import studio_of
from leadfoot.desk.sides import clubs_by_shot
from leadfoot.desk.studio import Studio
from leadfoot.desk.why import length_unit
from leadfoot.desk.wording import amount, in_100
from leadfoot.errors import InputError
from leadfoot.shots.club import club_name
from leadfoot.shots.shot import ShotTable
from leadfoot.units import si_into

Floats = NDArray[np.float64]
Direction = Literal["face", "start", "offline", "low_point"]

NAMES: Mapping[Direction, str] = MappingProxyType(
    {
        "face": "face angle",
        "start": "start direction",
        "offline": "offline",
        "low_point": "low point",
    }
)
_KEYS: Mapping[Direction, str] = MappingProxyType(
    {"face": "face_angle", "start": "launch_direction", "low_point": "low_point"}
)
TOO_MANY = 1000
"""More balls than this are no honest promise. Our own choice."""
_SD = 1.645
"""Standard deviations from the middle to the end of a 90 % range."""
OVER_BLOCKS = (
    "Only balls of one block are compared with each other, so that neither a cue nor a good day "
    "passes for speed."
)
YARDS_NOTE = (
    "A faster ball flies farther, and with the same angle it lands farther off: offline grows with "
    "length alone; the face does not."
)
ONE_PLACE = (
    "Each club is taken from the place where most of its balls were hit: another place is another "
    "monitor, other balls, other ground."
)
LOW_POINT_NOTE = "The low point is counted from this student's own middle of each block."


@dataclass(frozen=True, slots=True, kw_only=True)
class SpeedLine:
    """One direction against speed.

    Attributes
    ----------
    direction, name, unit
        Which, as it is called, and in which unit its sizes are said.
    against
        What was found, in SI; None where too few balls have both numbers.
    n_balls
        Balls with both numbers, in blocks that are long enough.
    n_missing
        Balls that it would still take for an answer: known where there are too few, and about so
        many where the range is too wide; None where even a thousand would hardly tell.
    said
        A sentence.
    best
        A sentence on the speed at which the miss is least; empty for a direction without target.
    """

    direction: Direction
    name: str
    unit: str
    against: SpeedAgainst | None
    n_balls: int
    n_missing: int | None
    said: str
    best: str

    def shown(self, size_si: float) -> float:
        """A size in the unit of the line."""
        return si_into(size_si, self.unit)


@dataclass(frozen=True, slots=True, kw_only=True)
class ClubSpeed:
    """Faster against straighter with one club.

    Attributes
    ----------
    club
        Its name.
    speed_unit
        Unit of club speed.
    lines
        One for each direction that was read of any ball.
    n_lessons
        Lessons with this club and a club speed, at the place.
    computed
        Lessons whose offline was computed by the flight model.
    place
        Where these balls were hit: the place of most of them.
    elsewhere
        Other places with balls of this club that have both numbers, and how many: they stay out.
    """

    club: str
    speed_unit: str
    lines: tuple[SpeedLine, ...]
    n_lessons: int
    computed: int
    place: str = STUDIO
    elsewhere: tuple[tuple[str, int], ...] = ()


@dataclass(slots=True)
class _Gathered:
    place: str
    blocks: dict[Direction, list[SpeedBlock]]
    speed_unit: str = "mph"
    length_unit: str = "yd"
    low_unit: str = "in"
    n_lessons: int = 0
    computed: int = 0

    @property
    def n_balls(self) -> int:
        """Balls with both numbers, of the direction that has most of them."""
        return max((_n_balls(blocks) for blocks in self.blocks.values()), default=0)


def speed_lines(desk: Desk, student_id: int) -> tuple[ClubSpeed, ...]:
    """Say for each club whether a faster swing goes with a wider pattern in this student.

    Parameters
    ----------
    desk
        Where the lessons are.
    student_id
        Whose.

    Returns
    -------
    tuple
        One for each club with a club speed, that with the most balls first; each from the place
        where most of its balls were hit, since another monitor and other balls spread otherwise.
    """
    clubs: dict[str, dict[str, _Gathered]] = defaultdict(dict)
    studio = studio_of(desk)
    for lesson in desk.book.lessons(student_id):
        shots = studio.shown(desk.book.shots(lesson.id))
        if not shots:
            continue
        table = table_of(shots, desk.book.blocks(lesson.id))
        if "club_speed" not in table.readings:
            continue
        counts = np.array([shot.left_out_reason is None for shot in shots], dtype=bool)
        block_ids = np.array([shot.block_id for shot in shots])
        names = [name or lesson.club or "no club named" for name in clubs_by_shot(table)]
        for club in dict.fromkeys(club_name(name) for name in names):
            chosen = counts & np.array([club_name(name) == club for name in names], dtype=bool)
            if chosen.any():
                there = clubs[club].setdefault(
                    lesson.place.casefold(),
                    _Gathered(place=lesson.place, blocks=defaultdict(list)),
                )
                _gather(there, table, chosen, block_ids, studio)
    found = [
        _club(club, sorted(places.values(), key=lambda one: -one.n_balls))
        for club, places in clubs.items()
    ]
    return tuple(
        sorted(found, key=lambda one: -max((each.n_balls for each in one.lines), default=0))
    )


def _gather(
    into: _Gathered,
    table: ShotTable,
    chosen: NDArray[np.bool_],
    block_ids: NDArray[np.int64],
    studio: Studio,
) -> None:
    """Add one lesson's blocks of one club."""
    landed = landing(table, chosen, studio.air)
    speed = table.si("club_speed")
    values: dict[Direction, Floats] = {
        direction: table.si(key) for direction, key in _KEYS.items() if key in table.readings
    }
    if np.isfinite(landed.offline_m[chosen]).any():
        values["offline"] = landed.offline_m
        into.computed += landed.offline_basis == "modelled"
    number = np.arange(len(table), dtype=np.float64)
    for block_id in dict.fromkeys(block_ids[chosen].tolist()):
        mine = chosen & (block_ids == block_id)
        for direction, all_values in values.items():
            of_block = all_values[mine]
            if direction == "low_point" and np.isfinite(of_block).any():
                of_block = of_block - np.nanmedian(of_block)
            into.blocks[direction].append(
                SpeedBlock(club_speed_mps=speed[mine], direction=of_block, ball_number=number[mine])
            )
    into.speed_unit = table.readings["club_speed"].unit or into.speed_unit
    into.length_unit = length_unit(table, studio.units)
    if "low_point" in table.readings:
        into.low_unit = table.readings["low_point"].unit or into.low_unit
    into.n_lessons += 1


def _club(club: str, places: Sequence[_Gathered]) -> ClubSpeed:
    """One club at the first of its places."""
    gathered = places[0]
    units = {
        "face": "deg",
        "start": "deg",
        "offline": gathered.length_unit,
        "low_point": gathered.low_unit,
    }
    return ClubSpeed(
        club=club,
        speed_unit=gathered.speed_unit,
        lines=tuple(
            speed_line(direction, gathered.blocks[direction], units[direction], gathered.speed_unit)
            for direction in NAMES
            if direction in gathered.blocks
        ),
        n_lessons=gathered.n_lessons,
        computed=gathered.computed,
        place=gathered.place,
        elsewhere=tuple((one.place, one.n_balls) for one in places[1:] if one.n_balls),
    )


def speed_line(
    direction: Direction, blocks: Sequence[SpeedBlock], unit: str, speed_unit: str
) -> SpeedLine:
    """One direction against speed, with its sentences.

    Parameters
    ----------
    direction
        Which.
    blocks
        The student's blocks.
    unit, speed_unit
        In which sizes and speeds are said.

    Examples
    --------
    >>> few = SpeedBlock(club_speed_mps=np.linspace(40.0, 42.0, 12),
    ...     direction=np.linspace(-0.02, 0.02, 12), ball_number=np.arange(12.0))
    >>> speed_line("face", [few], "deg", "mph").said
    'Face angle: cannot tell yet from 12 balls; 28 more would let us look.'
    """
    n = _n_balls(blocks)
    found: SpeedAgainst | None = None
    said = ""
    try:
        found = speed_against(blocks)
    except InputError as error:
        if n >= FEWEST_BALLS:
            said = f"{_head(direction)}: cannot tell. {error.what} {error.fix}"
    missing = max(FEWEST_BALLS - n, 0) if found is None else missing_balls(found)
    if found is None:
        more = f"{missing} more would let us look"
        balls = "1 ball" if n == 1 else f"{n} balls"
        said = said or f"{_head(direction)}: cannot tell yet from {balls}; {more}."
        best = ""
    else:
        said = _found_words(direction, found, missing, unit, speed_unit)
        best = "" if direction == "low_point" else _best_words(found, unit, speed_unit)
    return SpeedLine(
        direction=direction,
        name=NAMES[direction],
        unit=unit,
        against=found,
        n_balls=n if found is None else found.n_balls,
        n_missing=missing,
        said=said,
        best=best,
    )


def _n_balls(blocks: Sequence[SpeedBlock]) -> int:
    """Balls with both numbers, in blocks that are long enough."""
    n = [
        int((np.isfinite(block.club_speed_mps) & np.isfinite(block.direction)).sum())
        for block in blocks
    ]
    return sum(size for size in n if size >= FEWEST_OF_BLOCK)


def missing_balls(found: SpeedAgainst) -> int | None:
    """About how many balls it would still take, if the widening stays as it looks now.

    Returns
    -------
    int or None
        0 where it can be told; None where even a thousand more would hardly tell.

    Notes
    -----
    The range of a slope narrows with the root of the number of balls (a normal approximation of
    the posterior). It takes the range to leave zero out at one end, which is odds of 95 in 100.
    """
    if found.says != "cannot tell yet":
        return 0
    slope = np.log(found.widening)
    sd = (np.log(found.widening_high) - np.log(found.widening_low)) / (2.0 * _SD)
    if abs(slope) < 1e-6:
        return None
    needed = found.n_balls * (_SD * sd / abs(slope)) ** 2
    more = int(np.ceil((needed - found.n_balls) / 10.0)) * 10
    return max(more, 10) if more <= TOO_MANY else None


def _head(direction: Direction) -> str:
    name = NAMES[direction]
    return f"{name[0].upper()}{name[1:]}"


def _percent(factor: float) -> str:
    return f"{100.0 * (factor - 1.0):+.0f}".replace("-", "−").replace("+0", "0").replace("−0", "0")


def _found_words(
    direction: Direction,
    found: SpeedAgainst,
    missing: int | None,
    unit: str,
    speed_unit: str,
) -> str:
    faster = amount(si_into(found.usual_difference_mps, speed_unit), speed_unit, decimals=1)
    here, there = (
        amount(si_into(size, unit), unit, decimals=1)
        for size in (found.spread, found.spread * found.widening)
    )
    ends = f"{_percent(found.widening_low)} to {_percent(found.widening_high)} %"
    if found.says == "cannot tell yet":
        more = (
            "even 1000 more balls would hardly tell: if there is a price, it is small"
            if missing is None
            else f"about {missing} more balls would tell, if it stays as it looks"
        )
        return (
            f"{_head(direction)}: cannot tell whether a faster swing is wider ({ends} for {faster} "
            f"more, from {found.n_balls} balls); {more}."
        )
    return (
        f"{_head(direction)}: a swing {faster} faster is {found.says}: the spread goes from {here} "
        f"to {there} ({ends}), odds {in_100(max(found.odds_wider, 1.0 - found.odds_wider))}."
    )


def _best_words(found: SpeedAgainst, unit: str, speed_unit: str) -> str:
    here = amount(si_into(found.miss_here, unit), unit, decimals=1)
    if found.best_speed_mps is None:
        return f"No speed is clearly better than the usual one, where the expected miss is {here}."
    at = amount(si_into(found.best_speed_mps, speed_unit), speed_unit, decimals=0)
    there = amount(si_into(found.miss_there, unit), unit, decimals=1)
    return (
        f"Best at about {at}: an expected miss of {there} instead of {here} at the usual speed, "
        f"odds {in_100(found.odds_best)}."
    )
