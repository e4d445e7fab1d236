"""The two sides of a comparison: which shots, of which club, before and with the change."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from leadfoot.desk.records import Role
from leadfoot.desk.studio import USUAL_STUDIO, Studio
from leadfoot.errors import InputError
from leadfoot.evidence.memory import PastLesson
from leadfoot.shots.club import club_name
from leadfoot.shots.shot import ShotTable
from leadfoot.tables.problem import Problem


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Question:
    """What is to be judged.

    Attributes
    ----------
    table
        Shots in hitting order.
    roles
        What each block label is.
    club
        The club to judge; None: the one with the most balls on both sides.
    left_out
        Index of a shot in the table to the reason why it stays out.
    earlier
        The student's earlier lessons with this club, by quantity: from them the usual spread is
        learnt.
    problems
        What reading the table already found.
    planned
        For every ball that was planned before the change, whether it would be hit with it; None
        where nothing was planned, or only once balls with the change were seen.
    studio
        In which units the answer is given, through which air balls fly, what the monitor may be
        off by, and which clubs there are.
    own_club
        Key of the studio's own club by whose name every ball was hit; None: not one of them.
    """

    table: ShotTable
    roles: Mapping[str, Role]
    club: str | None = None
    left_out: Mapping[int, str] = field(default_factory=lambda: MappingProxyType({}))
    earlier: Mapping[str, Sequence[PastLesson]] = field(
        default_factory=lambda: MappingProxyType({})
    )
    problems: tuple[Problem, ...] = ()
    planned: tuple[bool, ...] | None = None
    studio: Studio = USUAL_STUDIO
    own_club: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sides:
    """The shots of the comparison.

    Attributes
    ----------
    club
        The club that is judged; None where the table names none.
    clubs
        Club of every shot of the table.
    judged, with_change
        Shape (n,): which shots count, and which were hit with the change.
    other_clubs
        Balls of the compared blocks that were hit with another club.
    """

    club: str | None
    clubs: tuple[str | None, ...]
    judged: NDArray[np.bool_]
    with_change: NDArray[np.bool_]
    other_clubs: Mapping[str, int]


def choose_sides(question: Question) -> Sides:
    """Pick the shots of both sides, of one club.

    Raises
    ------
    InputError
        If no shot is "before" or none is "with the change", or the club asked for was not hit.
    """
    table, roles = question.table, question.roles
    role_of = [
        roles.get(label, "other") if label is not None else "other" for label in table.blocks
    ]
    compared = np.array([role != "other" for role in role_of], dtype=bool)
    changed = np.array([role == "with_change" for role in role_of], dtype=bool)
    kept = np.array([index not in question.left_out for index in range(len(table))], dtype=bool)
    if not np.any(compared & ~changed) or not np.any(changed):
        side = "with the change" if np.any(compared & ~changed) else "before the change"
        raise InputError(
            f"No shot is {side}.", fix="Say which block is before and which is with the change."
        )
    clubs = clubs_by_shot(table)
    counts = _by_club(clubs, compared, changed)
    club = _club_to_judge(question.club, counts)
    of_club = np.array([name == club for name in clubs], dtype=bool)
    others = {
        name or "no club": sum(n)
        for name, n in counts.items()
        if name != club and question.club is None
    }
    return Sides(
        club=club,
        clubs=clubs,
        judged=compared & of_club & kept,
        with_change=changed,
        other_clubs=others,
    )


def clubs_by_shot(table: ShotTable) -> tuple[str | None, ...]:
    """Club of each shot; where the table names just one, the unnamed balls were hit with it too.

    Two spellings of one club ("7i", "7 iron") are one club, called as it was called first.
    """
    first: dict[str, str] = {}
    for club in table.clubs:
        if club is not None:
            first.setdefault(club_name(club), club)
    if len(first) == 1:
        return tuple(first.values()) * len(table)
    return tuple(None if club is None else first[club_name(club)] for club in table.clubs)


def _by_club(
    clubs: tuple[str | None, ...], compared: NDArray[np.bool_], changed: NDArray[np.bool_]
) -> Mapping[str | None, tuple[int, int]]:
    before: Counter[str | None] = Counter()
    after: Counter[str | None] = Counter()
    for club, in_it, with_change in zip(clubs, compared, changed, strict=True):
        if in_it:
            (after if with_change else before)[club] += 1
    return {club: (before[club], after[club]) for club in dict.fromkeys((*before, *after))}


def _club_to_judge(asked: str | None, counts: Mapping[str | None, tuple[int, int]]) -> str | None:
    if asked is None:
        return max(counts, key=lambda club: (min(counts[club]), sum(counts[club])))
    for club in counts:
        if club is not None and club_name(club) == club_name(asked):
            return club
    names = ", ".join(repr(club) for club in counts if club is not None) or "none named"
    raise InputError(f"No ball was hit with {asked!r}.", fix=f"The clubs here are: {names}.")
