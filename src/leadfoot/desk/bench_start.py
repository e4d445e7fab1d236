"""Where the flight bench begins for a lesson: its median deliveries, before and with the change."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from leadfoot.desk.lesson import LessonView
from leadfoot.desk.records import Role, StoredShot
from leadfoot.physics.clubs import Club, clubs
from leadfoot.physics.delivery import DELIVERY_RANGES
from leadfoot.quantities import glossary
from leadfoot.shots.club import club_name

_DELIVERED = tuple(key for key in glossary() if glossary()[key].suffixed in DELIVERY_RANGES)


@dataclass(frozen=True, slots=True, kw_only=True)
class LessonStart:
    """The two median deliveries of a lesson.

    Attributes
    ----------
    club_key
        The generic club that stands for the one of the lesson.
    before, after
        Medians in SI by name in `Delivery`, the same names on both sides; what is not there was
        not measured on both.
    speed_unit
        The unit in which the lesson has its club speed.
    n_before, n_after
        Balls with a club speed.
    """

    club_key: str
    before: dict[str, float]
    after: dict[str, float]
    speed_unit: str
    n_before: int
    n_after: int


def lesson_start(
    view: LessonView, catalogue: Mapping[str, Club] | None = None
) -> LessonStart | None:
    """Take the medians of a lesson; None where it has no club that is known or no club speed.

    Only balls that count and were hit with the judged club are taken. A quantity that was not
    measured on both sides is left away: measured against assumed would pass for a change.
    """
    if view.answer is None:
        return None
    named = view.answer.club or view.lesson.club or ""
    club_key = view.studio.own_named(view.lesson.club) or generic_club(named, catalogue)
    before, after = _side(view, "before"), _side(view, "with_change")
    sides = [_medians(before), _medians(after)]
    if club_key is None or any("club_speed_mps" not in side for side in sides):
        return None
    both = [name for name in sides[0] if name in sides[1]]
    return LessonStart(
        club_key=club_key,
        before={name: sides[0][name] for name in both},
        after={name: sides[1][name] for name in both},
        speed_unit=next(shot.values["club_speed"].unit or "mph" for shot in _timed(before)),
        n_before=len(_timed(before)),
        n_after=len(_timed(after)),
    )


def generic_club(name: str, catalogue: Mapping[str, Club] | None = None) -> str | None:
    """Key of the club of a catalogue for a club's name; None where there is none.

    A wedge that is called by its loft becomes the one whose loft is nearest. Without a catalogue
    the generic clubs are looked through.

    Examples
    --------
    >>> [generic_club(name) for name in ("Driver", "7i", "56°", "4 hybrid", "the long one")]
    ['driver', 'iron7', 'sand_wedge', 'hybrid', None]
    """
    plain = club_name(name)
    known_clubs = clubs() if catalogue is None else catalogue
    for key, known in known_clubs.items():
        if known.name == plain:
            return key
    if plain.endswith("hybrid"):
        return "hybrid"
    by_loft = re.fullmatch(r"([0-9.]+)° wedge", plain)
    if by_loft is None:
        return None
    loft_rad = np.radians(float(by_loft[1]))
    wedges = [key for key, known in known_clubs.items() if known.club_class == "wedge"]
    return min(wedges, key=lambda key: abs(known_clubs[key].loft_rad - loft_rad))


def _side(view: LessonView, role: Role) -> list[StoredShot]:
    """Balls of one side that count, of the judged club."""
    role_of = {block.id: block.role for block in view.blocks}
    judged = view.answer.club if view.answer is not None else None
    return [
        shot
        for shot in view.shots
        if role_of[shot.block_id] == role
        and shot.left_out_reason is None
        and (shot.club is None or judged is None or club_name(shot.club) == club_name(judged))
    ]


def _timed(shots: Sequence[StoredShot]) -> list[StoredShot]:
    return [shot for shot in shots if "club_speed" in shot.values]


def _medians(shots: Sequence[StoredShot]) -> dict[str, float]:
    """Median of each quantity of the delivery that was measured, in SI, within its range."""
    medians = {}
    for key in _DELIVERED:
        name = glossary()[key].suffixed
        low, high = DELIVERY_RANGES[name]
        values = [shot.values[key].si for shot in shots if key in shot.values]
        kept = [value for value in values if low <= value <= high]
        if kept:
            medians[name] = float(np.median(kept))
    return medians
