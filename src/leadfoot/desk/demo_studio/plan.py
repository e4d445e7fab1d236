"""The plan of the demo studio: who the invented students are and what is true of each lesson."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any, Literal

from leadfoot.desk.records import Hand, Role

Truth = Literal["nothing", "longer", "small", "wilder", "straighter", "tighter", "cleaner", "hurts"]
"""What a change really does: nothing; more speed, clearly or a little; more speed and more spread;
nearer the target on average; less spread; fewer mishits; less speed."""

Units = Literal["yards", "metres"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Swing:
    """The middle of a student's swing, in people's units and in the terms of the student's hand."""

    speed_mph: float
    attack_deg: float
    loft_deg: float
    path_deg: float
    face_deg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """How much the swing varies from ball to ball, as standard deviations; ``mishits`` a share."""

    speed_share: float
    attack_deg: float
    path_deg: float
    face_deg: float
    loft_deg: float
    strike_mm: float
    mishits: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Effect:
    """What a change does to the swing: added, or times the spread."""

    speed_mph: float = 0.0
    face_deg: float = 0.0
    path_deg: float = 0.0
    attack_deg: float = 0.0
    loft_deg: float = 0.0
    face_spread: float = 1.0
    path_spread: float = 1.0
    strike_spread: float = 1.0
    mishits: float = 0.0

    def on(self, swing: Swing, spread: Spread, share: float = 1.0) -> tuple[Swing, Spread]:
        """The swing with a share of this effect.

        Examples
        --------
        >>> swing = Swing(speed_mph=80, attack_deg=0, loft_deg=14, path_deg=0, face_deg=0)
        >>> Effect(speed_mph=4).on(swing, LEVEL_OF_AN_EXAMPLE, 0.5)[0].speed_mph
        82.0
        """
        moved = replace(
            swing,
            speed_mph=swing.speed_mph + share * self.speed_mph,
            attack_deg=swing.attack_deg + share * self.attack_deg,
            loft_deg=swing.loft_deg + share * self.loft_deg,
            path_deg=swing.path_deg + share * self.path_deg,
            face_deg=swing.face_deg + share * self.face_deg,
        )
        varied = replace(
            spread,
            path_deg=spread.path_deg * self.path_spread**share,
            face_deg=spread.face_deg * self.face_spread**share,
            strike_mm=spread.strike_mm * self.strike_spread**share,
            mishits=min(max(spread.mishits + share * self.mishits, 0.0), 0.9),
        )
        return moved, varied


LEVEL_OF_AN_EXAMPLE = Spread(
    speed_share=0.014,
    attack_deg=1.2,
    path_deg=1.6,
    face_deg=2.1,
    loft_deg=1.4,
    strike_mm=9.0,
    mishits=0.0,
)
"""A middling spread without mishits."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedLesson:
    """One lesson: its blocks and what the change in it really does."""

    days_ago: int
    title: str
    change: str
    notes: str
    blocks: tuple[tuple[Role, int], ...]
    """Role and number of balls, in hitting order."""
    effect: Effect
    kept: float
    truth: Truth
    typed: bool
    """Whether the balls were typed in one by one, instead of coming from a file."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Player:
    """One invented student."""

    name: str
    hand: Hand
    goals: str
    cautions: str
    units: Units
    club: str
    swing: Swing
    spread: Spread
    lessons: tuple[PlannedLesson, ...]

    def swing_at(self, number: int) -> tuple[Swing, Spread]:
        """The swing with which a lesson begins: what was kept of the lessons before it.

        Parameters
        ----------
        number
            Number of the lesson, from 0.

        Examples
        --------
        >>> studio()[0].swing_at(3)[0].speed_mph
        83.6
        """
        swing, spread = self.swing, self.spread
        for lesson in self.lessons[:number]:
            swing, spread = lesson.effect.on(swing, spread, lesson.kept)
        return swing, spread


def _blocks(balls: list[int]) -> tuple[tuple[Role, int], ...]:
    """Roles of the blocks: before and with the change in turn."""
    roles: tuple[Role, Role] = ("before", "with_change")
    return tuple((roles[place % 2], n) for place, n in enumerate(balls))


def _lesson(row: dict[str, Any]) -> PlannedLesson:
    return PlannedLesson(
        days_ago=row["days_ago"],
        title=row["title"],
        change=row["change"],
        notes=row.get("notes", ""),
        blocks=_blocks(row["balls"]),
        effect=Effect(**row.get("effect", {})),
        kept=row.get("kept", 0.0),
        truth=row["truth"],
        typed=row.get("typed", False),
    )


def _player(row: dict[str, Any], levels: Mapping[str, Spread]) -> Player:
    spread = levels[row["level"]]
    return Player(
        name=row["name"],
        hand=row["hand"],
        goals=row["goals"],
        cautions=row["cautions"],
        units=row["units"],
        club=row["club"],
        swing=Swing(**row["swing"]),
        spread=replace(spread, mishits=row.get("mishits", spread.mishits)),
        lessons=tuple(_lesson(lesson) for lesson in row["lessons"]),
    )


@cache
def levels() -> Mapping[str, Spread]:
    """Spread from ball to ball by level.

    Examples
    --------
    >>> list(levels())
    ['skilled', 'middle', 'beginner']
    """
    return MappingProxyType({name: Spread(**row) for name, row in _table()["levels"].items()})


@cache
def studio() -> tuple[Player, ...]:
    """All invented students with their lessons, the oldest lesson first.

    Examples
    --------
    >>> len(studio())
    8
    """
    return tuple(_player(row, levels()) for row in _table()["players"])


def _table() -> dict[str, Any]:
    source = files("leadfoot.desk.demo_studio").joinpath("studio.toml")
    return tomllib.loads(source.read_text(encoding="utf-8"))
