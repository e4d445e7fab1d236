"""When something counts as shown: every threshold of the judging, with how it was found."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Literal, TypeVar

import numpy as np
from numpy.typing import NDArray

from leadfoot.errors import OutOfRangeError
from leadfoot.evidence.lesson import MOST_BALLS, Order, Planned, Stage

TAIL_BY_ORDER: Mapping[Order, float] = MappingProxyType(
    {"once": 1.0, "and_back": 0.75, "twice": 0.7, "alternating": 0.65}
)
"""By how much the allowed doubt shrinks where blocks alternate: these orders tell more, so there
are more chances to be fooled on the way. Found by simulation (docs/explain/evidence.md)."""

Steps = tuple[tuple[int, float], ...]
"""Up to so many balls on the side that has fewer: a factor."""
DISTANCE_STEPS: Mapping[Order, Steps] = MappingProxyType(
    {
        "once": ((5, 0.64), (7, 0.53), (9, 0.75), (MOST_BALLS, 1.0)),
        "and_back": ((5, 0.43), (9, 0.30), (MOST_BALLS, 0.61)),
        "twice": ((9, 0.41), (MOST_BALLS, 0.68)),
        "alternating": ((MOST_BALLS, 0.68),),
    }
)
"""By how much the doubt that lengths and speeds allow shrinks. With five balls on a side a look is
wrong as often as with fifteen and finds far less, so the first looks are given little of what a
lesson may spend; and orders that come back to the old way tell more, so there are more chances to
be fooled on the way. Found by simulation on seeds of their own (docs/explain/evidence.md)."""
COLD_STEPS: Steps = ((5, 0.64), (7, 0.64), (9, 1.0), (MOST_BALLS, 1.5))
"""The same for one block each where no balls to get warm were recorded: a gain must then also hold
against a cold start (`leadfoot.evidence.cold`), which keeps what the doubt lets through."""

PLANNED: Mapping[str, float] = MappingProxyType({"once": 1.2, "cold": 1.95, "back": 1.64})
"""The same at the last ball of a comparison that was planned before the change: one short block
each, the same without balls to get warm, and any order that comes back to the old way; of these,
one of more than `PLANNED_BALLS` allows less, by the root, since a drift has the time to look like a
gain. Found by simulation on seeds of their own."""
PLANNED_BALLS = 40
SHORT_WAY_BACK = 1.0 / 3.0
"""A way back with fewer balls than the first block allows less, by this power of their ratio: the
drift has passed for a gain by then, and few balls are left to tell it by. Found by the same
simulation."""
SHORT: Mapping[str, int] = MappingProxyType({"once": 10, "cold": 15})
"""Planned balls with the change up to which one block each is short. A longer one has the
thresholds of no plan: a drift would use what the plan allows at its end."""
SPENT_BY = 3.0
"""With a plan the doubt grows with this power of what the balls so far tell of what the whole plan
tells: little is spent while little can be found, so most of it is left for the end. Trials in
groups spend so (K. K. G. Lan, D. L. DeMets, Biometrika 70:659-663, 1983, from memory)."""
NOT_YET_BACK = 0.5
"""Until the old way is hit again a drift passes for a gain: so much of it then."""

DirectionClaim = Literal["straighter", "narrower", "nearer", "wilder"]
DIRECTION_PLANNED: Mapping[str, Mapping[str, float]] = MappingProxyType(
    {
        "once": MappingProxyType({"straighter": 2.5, "narrower": 1.75, "nearer": 1.4}),
        "back": MappingProxyType(
            {"straighter": 1.55, "narrower": 1.7, "nearer": 1.2, "wilder": 1.25}
        ),
    }
)
"""By how much the doubt of a claim of direction grows at the last ball of a plan: one block each,
or an order that comes back to the old way; of `PLANNED_BALLS` balls, half of them with the change.
A claim that is not named is asked for as without a plan. Found by simulation on seeds of their own
(docs/explain/straighter.md)."""
DIRECTION_SPENT_BY = 6.0
"""As `SPENT_BY`. A direction tells its spread late, and a drift of the aim is taken for a change at
every look on the way; so little is spent before the last third of the balls."""
DIRECTION_BACK: Mapping[Order, Mapping[DirectionClaim, float]] = MappingProxyType(
    {
        "and_back": MappingProxyType(
            {"straighter": 0.45, "narrower": 1.0, "nearer": 0.5, "wilder": 0.95}
        ),
        "twice": MappingProxyType(
            {"straighter": 0.8, "narrower": 1.0, "nearer": 0.6, "wilder": 0.36}
        ),
        "alternating": MappingProxyType(
            {"straighter": 0.65, "narrower": 0.8, "nearer": 0.35, "wilder": 0.33}
        ),
    }
)
"""Without a plan, once the old way was hit again: so much of the doubt of one block each. The looks
before the way back have spent theirs by then, and each return offers new chances to be fooled.
Found by simulation on seeds of their own (docs/explain/straighter.md)."""
LONG_BACK = 5.0
"""Such a lesson of more than `PLANNED_BALLS` balls allows less, by this power of 40 over their
number, since it has no end for which a doubt could be kept. Found by the same simulation."""
LEAST_PLANNED: Mapping[str, int] = MappingProxyType({"once": 28, "back": 30})
"""A narrower pattern rests on what is usual while the balls are few, and is then seldom claimed
wrongly; with many it is wrong as often as its odds say. So its doubt falls with the planned balls,
from so many on; where the old way comes back, that of every gain does."""
BEFORE_ENOUGH = 10
"""With fewer planned balls before the change a day's own spread passes for a narrower one."""
BEFORE_A_BALL_WITH: Mapping[str, float] = MappingProxyType({"once": 1.0, "back": 1.5})
"""The more balls before stand against one with the change, the less the sums lean on what is usual,
and the more doubt straighter may allow; up to so many."""

Odds = TypeVar("Odds", float, NDArray[np.float64])

_SHOWN = ("longer", "faster", "alone", "straighter", "narrower", "nearer", "wilder", "undeclared")


@dataclass(frozen=True, slots=True, kw_only=True)
class JudgeSettings:
    """Thresholds of the judging, as probabilities unless said otherwise.

    The first eight were set by simulation so that at most 5 % of lessons without any change end
    with "keep", although every ball is looked at (tests/rates, docs/explain/evidence.md). The
    others are choices, and say so.

    Attributes
    ----------
    longer
        The declared distance grew by more than `worth_sd`.
    faster
        Club speed grew by more than `worth_sd`, when it is not itself the declared distance.
    alone
        The declared distance where club speed claims nothing beside it: the two need not share.
    straighter, narrower, nearer
        The average miss became clearly smaller; the pattern narrower; the mean clearly nearer the
        target. Any of the three is "straighter"; set together so that a lesson that is about
        direction alone says it wrongly in at most 5 % (docs/explain/straighter.md).
    wilder
        The average miss became clearly larger; the pattern wider; the mean clearly farther.
    early_balls, early_doubt
        Up to so many balls with the change the doubt that straighter, narrower and nearer allow is
        larger by this factor: most lessons end there, and later looks offer more chances to be
        fooled. Set by the same simulation.
    shared
        By how much the allowed doubt of the four shrinks where length or speed is judged as well:
        then three claims share the promise of "keep".
    direction_back
        How much of the doubt of each claim of direction is allowed once the old way was hit again
        and nothing was planned. By simulation.
    planned, direction_planned
        By how much the doubt of a length or a speed, and of each claim of direction, grows at the
        last ball of a comparison that was planned before the change. By simulation.
    undeclared
        Any other outcome: stricter, since nobody said beforehand that it would be looked at.
    loss_doubt
        A loss of length or speed allows this share of the doubt of a gain: mishits are short, so
        luck looks like a loss a little more often. By the same simulation.
    worth_sd
        A change that is too small to matter, in usual standard deviations. A choice: 0.2 is a small
        effect by convention (J. Cohen, Statistical Power Analysis, 1988).
    fewest
        Balls on either side below which nothing is shown. A choice.
    patience, given_up
        From so many balls with the change, a change that exceeds `worth_sd` with a probability
        below `given_up` is given up. A choice.
    not_against
        Club speed alone carries the claim only if the declared distance grew with at least this
        probability. A choice.
    side_condition
        A narrower pattern or a nearer mean counts as straighter only if the average miss is
        smaller with this probability.
    doubt_wilder, doubt_shorter, doubt_mishits
        Above this probability of a loss, a gain elsewhere is not yet kept. A choice.
    shown_mishits
        Above this, more mishits are shown.
    hopeless
        Below this, straighter is not worth waiting for once longer is settled with a no. A choice.
    worth_going_back
        Going back to the old way is advised if it is likelier to tell by this much. A choice.
    likely
        The next balls are likely to bring an answer if their chance is at least this. A choice.
    horizon
        Most further balls that are looked ahead. A choice: half an hour of hitting.
    """

    longer: float = 0.976
    faster: float = 0.976
    alone: float = 0.953
    straighter: float = 0.963
    narrower: float = 0.958
    nearer: float = 0.956
    wilder: float = 0.955
    early_balls: int = 15
    early_doubt: float = 1.5
    shared: float = 0.6
    undeclared: float = 0.98
    loss_doubt: float = 0.8
    worth_sd: float = 0.2
    fewest: int = 5
    patience: int = 8
    given_up: float = 0.10
    not_against: float = 0.25
    side_condition: float = 0.60
    doubt_wilder: float = 0.75
    doubt_shorter: float = 0.75
    doubt_mishits: float = 0.75
    shown_mishits: float = 0.95
    hopeless: float = 0.70
    worth_going_back: float = 0.10
    likely: float = 0.5
    horizon: int = 30
    tail_by_order: Mapping[Order, float] = field(default_factory=lambda: TAIL_BY_ORDER)
    distance_steps: Mapping[Order, Steps] = field(default_factory=lambda: DISTANCE_STEPS)
    cold_steps: Steps = COLD_STEPS
    direction_back: Mapping[Order, Mapping[DirectionClaim, float]] = field(
        default_factory=lambda: DIRECTION_BACK
    )
    planned: Mapping[str, float] = field(default_factory=lambda: PLANNED)
    direction_planned: Mapping[str, Mapping[str, float]] = field(
        default_factory=lambda: DIRECTION_PLANNED
    )

    def __post_init__(self) -> None:
        for name in _SHOWN:
            value = getattr(self, name)
            if not 0.5 < value < 1.0:
                raise OutOfRangeError(
                    f"The threshold {name} is {value:g}; it lies between 0.5 and 1.",
                    fix="Give a probability such as 0.97.",
                )
        if not (0.0 < self.shared <= 1.0 <= self.early_doubt <= 5.0):
            raise OutOfRangeError(
                f"shared is {self.shared:g} and early_doubt {self.early_doubt:g}.",
                fix="Give a share above 0, at most 1, and an early_doubt of 1 to 5.",
            )
        if not 0.0 < self.loss_doubt <= 1.0:
            raise OutOfRangeError(
                f"loss_doubt is {self.loss_doubt:g}.", fix="Give a share above 0, at most 1."
            )
        if self.fewest < 1 or self.horizon < 1 or self.worth_sd < 0:
            raise OutOfRangeError(
                f"fewest is {self.fewest}, horizon {self.horizon}, worth_sd {self.worth_sd:g}.",
                fix="Give at least one ball for each, and a worth_sd of 0 or more.",
            )

    def distance(self, stage: Stage, *, beside_speed: bool) -> float:
        """The threshold of the declared distance, with club speed as a claim beside it or not.

        Examples
        --------
        >>> stage = Stage(order="once", n_before=10, n_after=15)
        >>> JudgeSettings().distance(stage, beside_speed=False)
        0.953
        """
        threshold = self.longer if beside_speed else self.alone
        return 1.0 - (1.0 - threshold) * self._step(stage)

    def speed(self, stage: Stage) -> float:
        """The threshold of club speed beside a declared distance.

        Examples
        --------
        >>> round(JudgeSettings().speed(Stage(order="and_back", n_before=15, n_after=10)), 4)
        0.9854
        """
        return 1.0 - (1.0 - self.faster) * self._step(stage)

    def loss(self, shown: Odds) -> Odds:
        """The threshold of a loss of length or speed, given that of a gain.

        Examples
        --------
        >>> round(JudgeSettings().loss(0.95), 4)
        0.96
        """
        return 1.0 - (1.0 - shown) * self.loss_doubt

    def _step(self, stage: Stage) -> float:
        if plan := stage.follows:
            spent: float = min(plan.told(stage.n_before, stage.n_after), 1.0) ** SPENT_BY
            if plan.comes_back:
                waits = NOT_YET_BACK if stage.order == "once" else 1.0
                long = math.sqrt(PLANNED_BALLS / max(plan.n_balls, PLANNED_BALLS))
                return self.planned["back"] * long * _short(plan) * waits * spent
            start = "once" if stage.warm else "cold"
            if plan.n_after <= SHORT[start]:
                return self.planned[start] * spent
        steps = self.distance_steps[stage.order]
        if stage.order == "once" and not stage.warm and stage.n_after <= self.early_balls:
            steps = self.cold_steps
        return next(factor for most, factor in steps if stage.fewer <= most)

    def for_order(self, threshold: float, order: Order) -> float:
        """A threshold, made stricter for orders of blocks with more changes.

        Examples
        --------
        >>> JudgeSettings().for_order(0.95, "alternating")
        0.9675
        """
        return 1.0 - (1.0 - threshold) * self.tail_by_order[order]

    def for_direction(self, claim: DirectionClaim, stage: Stage, *, alone: bool) -> float:
        """The threshold of a claim of direction.

        Stricter once the old way was hit again, past the early balls, and where other claims share
        the promise.
        A comparison that was planned spends its doubt late; with one block each wilder is asked for
        as without a plan.

        Examples
        --------
        >>> settings = JudgeSettings(narrower=0.96, early_balls=15, early_doubt=1.5, shared=0.6)
        >>> stage = Stage(order="once", n_before=10, n_after=15)
        >>> round(settings.for_direction("narrower", stage, alone=True), 3)
        0.94
        >>> stage = Stage(order="once", n_before=10, n_after=16)
        >>> round(settings.for_direction("narrower", stage, alone=False), 3)
        0.976
        """
        shared = 1.0 if alone else self.shared
        threshold = float(getattr(self, claim))
        plan = stage.follows
        if plan is not None and claim in self.direction_planned[_kind(plan)]:
            told = min(plan.told(stage.n_before, stage.n_after), 1.0)
            doubt: float = self.at_end(claim, plan) * told**DIRECTION_SPENT_BY
            return max(1.0 - (1.0 - threshold) * doubt * shared, 0.5)
        return 1.0 - (1.0 - threshold) * self._unplanned(claim, stage) * shared

    def _unplanned(self, claim: DirectionClaim, stage: Stage) -> float:
        if stage.order == "once":
            is_early = claim != "wilder" and stage.n_after <= self.early_balls
            return self.early_doubt if is_early else 1.0
        n_balls = stage.n_before + stage.n_after
        long: float = (PLANNED_BALLS / max(n_balls, PLANNED_BALLS)) ** LONG_BACK
        return self.direction_back[stage.order][claim] * long

    def at_end(self, claim: DirectionClaim, plan: Planned) -> float:
        """By how much the doubt of a claim of direction grows at the last planned ball.

        Examples
        --------
        >>> JudgeSettings().at_end("narrower", Planned(order="once", n_before=20, n_after=20))
        1.75
        """
        kind = _kind(plan)
        n_balls = max(plan.n_balls, LEAST_PLANNED[kind])
        before = min(plan.n_before / plan.n_after, BEFORE_A_BALL_WITH[kind])
        factor = self.direction_planned[kind][claim]
        if claim == "wilder":
            return factor
        if plan.comes_back:
            leans = 1.0 if claim == "nearer" else math.sqrt(before)
            return factor * leans * _short(plan) * PLANNED_BALLS / n_balls
        if claim == "straighter":
            return factor * math.sqrt(before)
        if claim == "narrower":
            enough = math.sqrt(min(plan.n_before / BEFORE_ENOUGH, 1.0))
            return factor * enough * PLANNED_BALLS / n_balls
        return factor


def _short(plan: Planned) -> float:
    short: float = min(plan.way_back, 1.0) ** SHORT_WAY_BACK
    return short


def _kind(plan: Planned) -> str:
    return "back" if plan.comes_back else "once"


DEFAULT_SETTINGS = JudgeSettings()
