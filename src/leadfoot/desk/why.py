"""Why it changed: the change of a lesson shared out, in people's units and in words."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Literal

from leadfoot.coaching.attribution import OUTCOMES, Attribution, OutcomeName, Share, attribute
from leadfoot.coaching.change_inputs import changed_inputs
from leadfoot.coaching.swings import Depth, Explainable
from leadfoot.coaching.wideness import FEWEST, SpreadShare, wideness
from leadfoot.desk.bench_start import generic_club
from leadfoot.desk.records import Hand
from leadfoot.desk.sides import Question, Sides, choose_sides
from leadfoot.desk.studio import UnitChoice
from leadfoot.desk.swing_readings import swing_readings
from leadfoot.desk.wording import amount
from leadfoot.errors import InputError
from leadfoot.shots.shot import ShotTable
from leadfoot.tables.problem import Problem
from leadfoot.units import si_into

PART_NAMES: Mapping[str, str] = MappingProxyType(
    {
        "club_speed": "club speed",
        "strike": "strike on the face",
        "launch": "loft and attack angle",
        "launch_or_strike": "loft and attack angle, or strike low to high",
        "path": "club path",
        "face": "face angle",
        "face_or_strike": "face angle, or strike heel to toe",
        "ball_speed": "ball speed",
        "smash_launch_spin": "smash factor, launch angle and spin",
        "launch_and_spin": "launch angle and spin",
        "curve": "start direction and spin axis",
    }
)
OUTCOME_NAMES: Mapping[OutcomeName, str] = MappingProxyType(
    {"carry": "carry", "offline": "offline", "miss": "average miss"}
)
_NOT_TOLD: Mapping[str, str] = MappingProxyType(
    {
        "face_or_strike": "Where on the face the ball was met was not read: a strike toward heel "
        "or toe and a turned face can make the same ball, so they stay together.",
        "launch_or_strike": "A strike low or high on the face and another loft can make the same "
        "ball, so they stay together.",
    }
)
_DEPTH_NOTES: Mapping[Depth, str] = MappingProxyType(
    {
        "explained": "Each ball was explained by the swing that makes it in the impact model of a "
        "generic {club}.",
        "delivered": "The ball was not read: the swing as read was sent through the impact model "
        "of a generic {club}.",
        "struck": "Too little was read to tell strike, loft, path and face apart: the ball itself "
        "is shared out. What the strike makes of club speed is the smash factor.",
        "ball": "Club speed was not read: only the parts of the ball can be told.",
        "speed": "Only club speed was read: what it is worth with a usual swing and a generic "
        "{club}. The rest cannot be told.",
    }
)
STRAIGHT_SAID = (
    "Why it went straighter or wider cannot be told: start direction and spin axis of the ball, or "
    "path and face of the club, were not all read."
)
STRAIGHT_NOTE = "The ball is taken as straight."
WITHIN_THE_MODEL = (
    "This is why in the model of impact and flight, in {air}; it says nothing of the body."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class WhyShare:
    """What one part does, in the unit of its split; the range holds it with 95 % probability."""

    part: str
    name: str
    value: float
    low: float
    high: float

    @property
    def clear(self) -> bool:
        """Whether the range leaves no doubt of the direction."""
        return self.low > 0.0 or self.high < 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class WhySplit:
    """One outcome shared out; the shares add up to the change."""

    outcome: OutcomeName
    name: str
    before: float
    after: float
    change: WhyShare
    shares: tuple[WhyShare, ...]
    unexplained: WhyShare | None
    """Measured less modelled change; None where the outcome was not measured for every ball."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WhyWide:
    """What makes the pattern wide, before and with the change taken together."""

    offline_sd: float
    shares: tuple[SpreadShare, ...]
    n_balls: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Why:
    """Why it changed."""

    unit: str
    club: str | None
    model_club: str
    depth: Depth
    splits: Mapping[OutcomeName, WhySplit]
    """Carry alone where nothing tells where to the side the ball went."""
    wide: WhyWide | None
    n_before: int
    n_after: int
    said: Mapping[OutcomeName, str]
    """A sentence on carry, and one on the average miss."""
    notes: tuple[str, ...]
    problems: tuple[Problem, ...]

    @property
    def sentence(self) -> str:
        """All that is said, in one line."""
        return " ".join(self.said.values())

    def as_json(self) -> dict[str, Any]:
        """The answer in the published form ``leadfoot.why/1``."""
        return {
            "schema": "leadfoot.why/1",
            "sentence": self.sentence,
            "unit": self.unit,
            "club": self.club,
            "model_club": self.model_club,
            "depth": self.depth,
            "n_before": self.n_before,
            "n_after": self.n_after,
            "outcomes": {name: _split_json(split) for name, split in self.splits.items()},
            "spread": None
            if self.wide is None
            else {
                "offline_sd": self.wide.offline_sd,
                "n_balls": self.wide.n_balls,
                "shares": [
                    {"part": each.part, "share": each.share, "low": each.low, "high": each.high}
                    for each in self.wide.shares
                ],
            },
            "notes": list(self.notes),
        }


def _split_json(split: WhySplit) -> dict[str, Any]:
    def form(share: WhyShare) -> dict[str, Any]:
        return {"part": share.part, "value": share.value, "low": share.low, "high": share.high}

    return {
        "before": split.before,
        "after": split.after,
        "change": form(split.change),
        "shares": [form(share) for share in split.shares],
        "unexplained": form(split.unexplained) if split.unexplained else None,
    }


def why_for(question: Question, *, hand: Hand = "right", club_key: str | None = None) -> Why:
    """Share out the change of a lesson.

    Parameters
    ----------
    question
        The shots and what their blocks are.
    hand
        The student's hand: on which side the toe is.
    club_key
        The generic club that stands for the student's; None: by the name of the club.

    Raises
    ------
    InputError
        If no generic club stands for the one hit, if too little was read, or if too few balls can
        be struck and flown.
    """
    sides = choose_sides(question)
    studio = question.studio
    key = club_key or question.own_club or generic_club(sides.club or "", studio.clubs)
    if key is None or key not in studio.clubs:
        raise InputError(
            f"No generic club stands for {sides.club or 'a club without a name'!r}.",
            fix=f"Say which: one of {', '.join(studio.clubs)}.",
        )
    before, after = (
        swing_readings(question.table, sides.judged & (sides.with_change == side))
        for side in (False, True)
    )
    club = studio.clubs[key]
    told = changed_inputs(
        before, after, club, hand=hand, around=studio.around, errors=studio.errors
    )
    found = attribute(told.before, told.after, told.model)
    unit = length_unit(question.table, studio.units)
    straight = _straight(told)
    told_of: tuple[OutcomeName, ...] = ("carry",) if straight else OUTCOMES
    splits = {name: _split(found, name, unit) for name in told_of}
    said = why_sentences(splits, unit)
    if straight:
        said["miss"] = STRAIGHT_SAID
    return Why(
        unit=unit,
        club=sides.club,
        model_club=key,
        depth=told.depth,
        splits=MappingProxyType(splits),
        wide=_wide(told, unit),
        n_before=found.n_before,
        n_after=found.n_after,
        said=MappingProxyType(said),
        notes=_notes(told, club.name, studio.air_words, sides, found),
        problems=question.problems,
    )


def length_unit(table: ShotTable, chosen: UnitChoice | None = None) -> Literal["yd", "m"]:
    r"""The unit in which this coach speaks of lengths of shots: as chosen, else as read.

    Examples
    --------
    >>> from leadfoot.shots.read import read_table
    >>> length_unit(read_table(b"carry (m)\n150\n").shots)
    'm'
    """
    if chosen is not None and chosen.distance is not None:
        return "m" if chosen.distance == "m" else "yd"
    for key in ("carry", "total", "offline"):
        if key in table.readings:
            return "m" if table.readings[key].unit == "m" else "yd"
    speed = table.readings.get("club_speed") or table.readings.get("ball_speed")
    return "m" if speed is not None and speed.unit in {"m/s", "km/h"} else "yd"


def _split(found: Attribution, name: OutcomeName, unit: str) -> WhySplit:
    split = found.splits[name]

    def shown(share: Share) -> WhyShare:
        value, low, high = (
            si_into(number, unit) for number in (share.value_m, share.low_m, share.high_m)
        )
        label = PART_NAMES.get(share.part, share.part)
        return WhyShare(part=share.part, name=label, value=value, low=low, high=high)

    return WhySplit(
        outcome=name,
        name=OUTCOME_NAMES[name],
        before=si_into(split.before_m, unit),
        after=si_into(split.after_m, unit),
        change=shown(split.change),
        shares=tuple(shown(share) for share in split.shares),
        unexplained=None if split.unexplained is None else shown(split.unexplained),
    )


def _straight(told: Explainable) -> bool:
    """Whether nothing tells where to the side the ball went: then only carry is shared out."""
    sideways = {"club_path_rad", "face_angle_rad"}, {"launch_direction_rad", "spin_axis_rad"}
    return any(names <= set(told.assumed) for names in sideways)


def _wide(told: Explainable, unit: str) -> WhyWide | None:
    """What makes the pattern wide; None from too few balls."""
    sides = [told.before, told.after]
    if sum(len(side) for side in sides) < FEWEST or _straight(told):
        return None
    found = wideness(sides, told.model, told.error_covariance)
    return WhyWide(
        offline_sd=si_into(found.offline_sd_m, unit), shares=found.shares, n_balls=found.n_balls
    )


def why_sentences(splits: Mapping[OutcomeName, WhySplit], unit: str) -> dict[OutcomeName, str]:
    """Say what made the ball longer and straighter, as far as it is clear.

    Parameters
    ----------
    splits
        The outcomes; carry and the average miss are spoken of.
    unit
        Their unit.

    Examples
    --------
    >>> def share(part, value, low, high):
    ...     name = PART_NAMES.get(part, part)
    ...     return WhyShare(part=part, name=name, value=value, low=low, high=high)
    >>> carry = WhySplit(outcome="carry", name="carry", before=200.0, after=212.0,
    ...     change=share("change", 12.0, 6.0, 18.0), unexplained=None,
    ...     shares=(share("club_speed", 11.0, 8.0, 14.0), share("launch", 1.0, -3.0, 5.0)))
    >>> why_sentences({"carry": carry}, "yd")["carry"]
    'Carry: about 12 yd more (6 to 18), and it came from club speed, +11 yd (8 to 14).'
    """
    words: dict[OutcomeName, tuple[str, str]] = {
        "carry": ("more", "less"),
        "miss": ("wider", "smaller"),
    }
    return {
        name: _outcome_sentence(splits[name], more, less, unit)
        for name, (more, less) in words.items()
        if name in splits
    }


def _outcome_sentence(split: WhySplit, more: str, less: str, unit: str) -> str:
    change = split.change
    sign = 1.0 if change.value >= 0.0 else -1.0
    head = f"{split.name[0].upper()}{split.name[1:]}"
    size = amount(abs(change.value), unit)
    said = f"{head}: about {size} {more if sign > 0 else less} ({_range(change, sign)})"
    clear = sorted((s for s in split.shares if s.clear), key=lambda s: -abs(s.value))
    if not clear:
        return f"{said}; no one part of the swing clearly did it."
    if not change.clear:
        words = " and ".join(_part(s, unit) for s in clear[:1])
        return f"{said}. That is not clear, but one part is: {words}."
    along = [s for s in clear if s.value * sign > 0.0]
    against = [s for s in clear if s.value * sign < 0.0]
    told = " and ".join(_part(s, unit) for s in along[:2]) or "many small parts"
    cost = f"; {_part(against[0], unit)} worked against it" if against else ""
    return f"{said}, and it came from {told}{cost}."


def _part(share: WhyShare, unit: str) -> str:
    plus = "+" if share.value > 0.0 else ""
    return f"{share.name}, {plus}{amount(share.value, unit)} ({_range(share, 1.0)})"


def _range(share: WhyShare, sign: float) -> str:
    low, high = sorted((sign * share.low, sign * share.high))
    decimals = 0 if abs(share.value) >= 2.0 else 1
    return " to ".join(amount(end, None, decimals=decimals) for end in (low, high))


def _notes(
    told: Explainable, club: str, air: str, sides: Sides, found: Attribution
) -> tuple[str, ...]:
    notes = [WITHIN_THE_MODEL.format(air=air), _DEPTH_NOTES[told.depth].format(club=club)]
    notes += [said for part, said in _NOT_TOLD.items() if part in told.model.parts]
    left = int(sides.judged.sum()) - found.n_before - found.n_after
    if left:
        balls = "1 ball" if left == 1 else f"{left} balls"
        notes.append(f"{balls} could not be explained or flown and count nowhere here.")
    notes.append(
        "The shares are plain averages over these balls, mishits among them; the answer of the "
        "judging is the shrunk change of the typical ball."
    )
    if told.depth in {"ball", "struck"} and told.assumed:
        notes.append(STRAIGHT_NOTE)
    elif told.assumed:
        names = ", ".join(name.rsplit("_", 1)[0].replace("_", " ") for name in told.assumed)
        notes.append(f"Not read, and assumed the same on both sides: {names}.")
    return tuple(notes)
