"""What limits the student: the findings of a baseline in people's units, in words, with drills."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

import numpy as np
from numpy.typing import NDArray

from leadfoot.coaching.block import Block, block_of
from leadfoot.coaching.drills import Drill, drills_for, with_own
from leadfoot.coaching.findings import MISS_WEIGHT, WORTH_M, Cost, Finding, Findings, find
from leadfoot.coaching.safety import Caution, Situation, cautions_for
from leadfoot.desk.baseline import HIT_FIRST
from leadfoot.desk.bench_start import generic_club
from leadfoot.desk.care import Care, held_back
from leadfoot.desk.records import Hand
from leadfoot.desk.sides import Question, clubs_by_shot
from leadfoot.desk.why import WITHIN_THE_MODEL, length_unit
from leadfoot.desk.wording import amount, in_100
from leadfoot.errors import InputError
from leadfoot.physics.delivery import DELIVERY_RANGES
from leadfoot.physics.launch import LAUNCH_RANGES
from leadfoot.quantities import glossary
from leadfoot.shots.club import club_name
from leadfoot.tables.problem import Problem
from leadfoot.units import si_into

_READ = (*DELIVERY_RANGES, *LAUNCH_RANGES, "carry_m", "offline_m", "low_point_m")
NOTHING = "Nothing stands out."
_BESIDE = "What would gain most may be more of the same: practise, and look again with more balls."


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownCost:
    """A cost in the unit of the answer; the range holds it with 95 %."""

    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ShownFinding:
    """One finding as pages and sheets show it.

    Attributes
    ----------
    key, name
        Its kind.
    said, cost_said
        The finding, and what it costs, in a sentence each.
    odds
        That it is truly there.
    carry, miss
        What it costs.
    balls, usual, fault_from, middle
        For the picture: each ball, what is usual, from where on it is a fault, the likely middle;
        in `unit`. None where it is no matter of one number.
    unit, axis, low_word, high_word
        Of the picture.
    why, confirm, refute, source
        In words.
    side
        1 where the student has more than is usual, -1 where less.
    drills
        What answers it, external focus first.
    """

    key: str
    name: str
    said: str
    cost_said: str
    odds: float
    carry: ShownCost
    miss: ShownCost
    severity: float
    balls: NDArray[np.float64]
    usual: float | None
    fault_from: float | None
    middle: float | None
    unit: str
    axis: str
    low_word: str
    high_word: str
    why: str
    confirm: str
    refute: str
    source: str
    side: int
    drills: tuple[Drill, ...]

    @property
    def ends(self) -> tuple[float, float]:
        """Ends of the scale on which the balls are drawn: all of them, nought, and some room."""
        marks = [0.0, *(one for one in (self.usual, self.fault_from) if one is not None)]
        low, high = min(*marks, *self.balls.tolist()), max(*marks, *self.balls.tolist())
        room = 0.08 * max(high - low, 1e-9)
        return low - room, high + room

    @property
    def sound(self) -> tuple[float, float] | None:
        """Where a middle is no fault, within the ends; None where no middle is judged."""
        if self.usual is None or self.fault_from is None:
            return None
        away = abs(self.fault_from - self.usual)
        low, high = self.ends
        return max(self.usual - away, low), min(self.usual + away, high)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Found:
    """What limits the student most, and what stands beside it."""

    sentence: str
    unit: str
    club: str | None
    model_club: str
    depth: str
    findings: tuple[ShownFinding, ...]
    behind: tuple[ShownFinding, ...]
    miss_said: str
    n_balls: int
    n_mishits: int
    not_told: tuple[str, ...]
    cautions: tuple[Caution, ...]
    held_back: Mapping[str, str]
    """Drills that may not be done today, by key, and why."""
    notes: tuple[str, ...]
    problems: tuple[Problem, ...]

    def as_json(self) -> dict[str, Any]:
        """The answer in the published form ``leadfoot.find/1``."""
        return {
            "schema": "leadfoot.find/1",
            "sentence": self.sentence,
            "unit": self.unit,
            "club": self.club,
            "model_club": self.model_club,
            "depth": self.depth,
            "n_balls": self.n_balls,
            "n_mishits": self.n_mishits,
            "findings": [_form(one) for one in self.findings],
            "explained_by_them": [_form(one) for one in self.behind],
            "miss": self.miss_said,
            "not_told": list(self.not_told),
            "cautions": [{"title": one.title, "text": one.text} for one in self.cautions],
            "held_back": dict(self.held_back),
            "notes": list(self.notes),
        }


def _form(one: ShownFinding) -> dict[str, Any]:
    def cost(shown: ShownCost) -> dict[str, float]:
        return {"value": shown.value, "low": shown.low, "high": shown.high}

    return {
        "finding": one.key,
        "name": one.name,
        "said": one.said,
        "odds": one.odds,
        "carry": cost(one.carry),
        "miss": cost(one.miss),
        "severity": one.severity,
        "confirm": one.confirm,
        "refute": one.refute,
        "drills": [drill.key for drill in one.drills],
    }


def find_for(
    question: Question,
    *,
    hand: Hand = "right",
    club_key: str | None = None,
    goal_speed_mps: float | None = None,
    care: Care | None = None,
    own_drills: str = "",
    book_drills: Mapping[str, Drill] | None = None,
) -> Found:
    """Look for what limits a student in the balls hit as usual.

    Parameters
    ----------
    question
        The shots; those of the blocks "before" count, and all of them where no block has that role.
    hand
        The student's hand.
    club_key
        The generic club that stands for the student's; None: by the name of the club.
    goal_speed_mps
        The club speed that the student wants. [m/s]
    care
        What is known of the student and the place, for the cautions; None: nothing, so that every
        drill with a maximal effort is held back.
    own_drills
        The coach's own drills, TOML.
    book_drills
        The coach's own drills as the book has them, by key.

    Raises
    ------
    InputError
        If no generic club stands for the one hit, too little was read, or there are too few balls.
    """
    chosen, club = _baseline(question)
    studio = question.studio
    key = club_key or question.own_club or generic_club(club or "", studio.clubs)
    if key is None or key not in studio.clubs:
        raise InputError(
            f"No generic club stands for {club or 'a club without a name'!r}.",
            fix=f"Say which: one of {', '.join(studio.clubs)}.",
        )
    readings = {
        found.suffixed: question.table.si(name)[chosen]
        for name, found in glossary().items()
        if found.suffixed in _READ and name in question.table.readings
    }
    block = block_of(
        readings,
        studio.clubs[key],
        hand=hand,
        around=studio.around,
        errors=studio.errors,
        goal_speed_mps=goal_speed_mps,
    )
    found = find(block)
    unit = length_unit(question.table, studio.units)
    catalogue = {**with_own(own_drills), **(book_drills or {})}
    small = studio.units.small
    shown = tuple(_shown(one, block, unit, catalogue, small) for one in found.found)
    advised = [drill for one in shown for drill in one.drills]
    known = care or Care(situation=Situation())
    held = {drill.key: held_back(drill, known) for drill in advised}
    return Found(
        sentence=_sentence(shown),
        unit=unit,
        club=club,
        model_club=key,
        depth=block.depth,
        findings=shown,
        behind=tuple(_shown(one, block, unit, catalogue, small) for one in found.behind),
        miss_said=_miss_said(found, unit),
        n_balls=found.n_balls,
        n_mishits=found.n_mishits,
        not_told=tuple(rule.name for rule in found.not_told),
        cautions=cautions_for(known.situation, advised),
        held_back=MappingProxyType({key: why for key, why in held.items() if why}),
        notes=_notes(found, studio.clubs[key].name, studio.air_words, unit),
        problems=question.problems,
    )


def _baseline(question: Question) -> tuple[NDArray[np.bool_], str | None]:
    """The balls hit as usual, of the club asked for or of the one hit most."""
    table = question.table
    roles = [question.roles.get(label, "other") if label else "other" for label in table.blocks]
    kept = np.array([index not in question.left_out for index in range(len(table))], dtype=bool)
    before = np.array([role == "before" for role in roles], dtype=bool)
    as_usual = kept & before if before.any() else kept
    of_shot = clubs_by_shot(table)
    hit = [name for name, here in zip(of_shot, as_usual, strict=True) if here]
    if not hit:
        raise InputError("No ball was hit as usual.", fix=HIT_FIRST)
    club = max(dict.fromkeys(hit), key=hit.count)
    if question.club is not None:
        named = [name for name in hit if name and club_name(name) == club_name(question.club)]
        if not named:
            raise InputError(
                f"No ball was hit with {question.club!r} as usual.",
                fix=f"The clubs here are: {', '.join(sorted({name or 'none' for name in hit}))}.",
            )
        club = named[0]
    return as_usual & np.array([name == club for name in of_shot], dtype=bool), club


def _shown(
    one: Finding, block: Block, unit: str, catalogue: Mapping[str, Drill], small: str | None
) -> ShownFinding:
    rule = one.rule
    own = small if small is not None and rule.unit in {"mm", "in"} else rule.unit
    lone = rule.statistic == "mean"
    centre = float(one.balls.mean()) if rule.measure == "speed" else 0.0
    usual = si_into(one.usual, own)

    def cost(found: Cost) -> ShownCost:
        value, low, high = (si_into(m, unit) for m in (found.value_m, found.low_m, found.high_m))
        return ShownCost(value=value, low=low, high=high)

    return ShownFinding(
        key=rule.key,
        name=rule.name,
        said=_said(one, block, own),
        cost_said=_cost_said(cost(one.carry), cost(one.miss), one, unit),
        odds=one.odds,
        carry=cost(one.carry),
        miss=cost(one.miss),
        severity=si_into(one.severity_m, unit),
        balls=np.asarray(si_into(1.0, own) * (one.balls - centre)),
        usual=usual if lone else None,
        fault_from=si_into(one.fault_from, own) if lone else None,
        middle=si_into(one.likely, own) if lone else None,
        unit=own,
        axis=rule.axis,
        low_word=rule.low_word,
        high_word=rule.high_word,
        why=rule.why,
        confirm=rule.confirm,
        refute=rule.refute,
        source=rule.source,
        side=one.side,
        drills=tuple(drills_for(rule.key, catalogue)),
    )


def _said(one: Finding, block: Block, own: str) -> str:
    """The finding in a sentence, with its size as it was seen."""
    rule = one.rule
    text = rule.said_more if one.side > 0 else rule.said_less
    value = si_into(one.estimate, own)
    right = value > 0.0
    open_ = right == (block.hand == "right")
    size = amount(abs(value), own, decimals=0 if own in {"mm", "%"} else 1)
    return text.format(
        size=size,
        way="right" if right else "left",
        turn="open" if open_ else "closed",
        behind="ahead of" if right else "behind",
    )


def _cost_said(carry: ShownCost, miss: ShownCost, one: Finding, unit: str) -> str:
    parts = []
    if one.rule.costs != "straightness" and carry.value > 0.5:
        parts.append(f"about {_ranged(carry, unit)} of carry")
    if one.rule.costs != "length" and miss.value > 0.5:
        parts.append(f"about {_ranged(miss, unit)} of average miss")
    return f"It costs {' and '.join(parts)}; {in_100(one.odds)} that it is truly there."


def _ranged(cost: ShownCost, unit: str) -> str:
    low, high = (amount(end, None, decimals=0) for end in (cost.low, cost.high))
    return f"{amount(cost.value, unit, decimals=0)} ({low} to {high})"


def _sentence(shown: tuple[ShownFinding, ...]) -> str:
    if not shown:
        return f"{NOTHING} {_BESIDE}"
    first = shown[0]
    return f"{first.said} {first.cost_said}"


def _miss_said(found: Findings, unit: str) -> str:
    """Bias against spread, in a sentence."""
    miss = found.miss
    if miss.spread_m < 0.01:
        return "Direction was not read: bias and spread cannot be told."
    bias = amount(abs(si_into(miss.bias_m, unit)), unit, decimals=0)
    spread = amount(si_into(miss.spread_m, unit), unit, decimals=0)
    way = "right" if miss.bias_m > 0.0 else "left"
    if abs(miss.bias_m) < 2.0 * miss.bias_sd_m:
        return (
            f"The miss is spread, {spread} either way (one standard deviation); on average the "
            f"balls finish {bias} {way}, which may be luck."
        )
    kind = "mostly bias" if miss.bias_share > 0.5 else "more spread than bias"
    return (
        f"The miss is {kind}: {bias} {way} on average, {spread} of spread (one standard "
        f"deviation); aim or one change mends the bias, practice the spread."
    )


def _notes(found: Findings, club: str, air: str, unit: str) -> tuple[str, ...]:
    notes = [
        WITHIN_THE_MODEL.format(air=air),
        f"Costs: the same balls sent through the model of a generic {club} with that one part "
        "mended, as far as the odds allow. They do not add up: two findings can share a cost.",
        f"Ranked by odds times cost; one {unit} of average miss counts as {MISS_WEIGHT:g} of "
        f"carry, and under {amount(si_into(WORTH_M, unit), unit, decimals=0)} nothing is told.",
        "Thresholds are common practice; each finding names its source.",
    ]
    if found.n_mishits:
        balls = "1 mishit counts" if found.n_mishits == 1 else f"{found.n_mishits} mishits count"
        notes.append(f"{balls} for themselves; all else rests on {found.n_solid} solid balls.")
    left = found.n_balls - found.n_solid - found.n_mishits
    if left > 0:
        balls = "1 ball" if left == 1 else f"{left} balls"
        notes.append(f"{balls} could not be explained or flown and count nowhere here.")
    return tuple(notes)
