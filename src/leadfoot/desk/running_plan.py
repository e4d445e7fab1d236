"""A plan while it is hit: what comes next, counted from the balls that are in the book.

The plan keeps no count of its own. Where it stands follows each time from the lesson's blocks and
the balls in them that count, so that a ball left out, taken back or moved corrects it by itself,
and a restart loses nothing. Whether the student has truly changed over no program can know: either
the coach says so by one press, or the plan was started to switch by itself.
"""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any, Final, cast, get_args

import numpy as np

from leadfoot.desk.desk import Desk
from leadfoot.desk.plan_port import StoredPlan
from leadfoot.desk.records import Block, Role, StoredShot
from leadfoot.desk.switching import switch_block
from leadfoot.errors import InputError
from leadfoot.evidence.drawn_order import possible_orders
from leadfoot.evidence.plan import Pattern, PlannedBlock, PlannedOrder
from leadfoot.evidence.second.by_lot import Randomised, randomisation_test

FEWEST_DRAWN: Final = 4
"""Small blocks from which the lot alone can tell anything: with two it has two orders. A choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanStep:
    """Balls of one kind in a row, perhaps of several small blocks of the plan.

    Attributes
    ----------
    role
        As usual, or with the change.
    balls
        How many the plan wants.
    hit
        How many were hit that count; more than wanted where nobody switched.
    """

    role: Role
    balls: int
    hit: int

    @property
    def left(self) -> int:
        """Balls still to hit."""
        return max(self.balls - self.hit, 0)


@dataclass(frozen=True, slots=True, kw_only=True)
class RunningPlan:
    """Where a plan stands.

    Attributes
    ----------
    pattern
        How its blocks follow each other.
    steps
        Its steps in hitting order.
    at
        Index of the step that is being hit.
    by_itself
        Whether the running block switches by itself.
    by_lot
        For an order drawn by lot that was hit to its end: what the lot alone says; None else.
    """

    pattern: Pattern
    steps: tuple[PlanStep, ...]
    at: int
    by_itself: bool
    by_lot: Randomised | None = None

    @property
    def step(self) -> PlanStep:
        """The step that is being hit."""
        return self.steps[self.at]

    @property
    def is_done(self) -> bool:
        """Whether every ball of the plan was hit."""
        return self.at == len(self.steps) - 1 and self.step.left == 0

    @property
    def switch_to(self) -> PlanStep | None:
        """The step to change over to, once this one is full; None else."""
        if self.step.left > 0 or self.is_done:
            return None
        return self.steps[self.at + 1]

    @property
    def short(self) -> tuple[PlanStep, ...]:
        """Steps that were left before they were full."""
        return tuple(one for one in self.steps[: self.at] if one.left > 0)

    @property
    def words(self) -> str:
        """What comes next, as it stands on the bay's screen.

        Examples
        --------
        >>> usual = PlanStep(role="before", balls=5, hit=5)
        >>> with_it = PlanStep(role="with_change", balls=5, hit=0)
        >>> RunningPlan(pattern="once", steps=(usual, with_it), at=0, by_itself=False).words
        'Now change over: 5 with the change'
        >>> RunningPlan(pattern="once", steps=(usual, with_it), at=1, by_itself=False).words
        '5 with the change'
        """
        if self.is_done:
            return "The plan is done"
        if self.switch_to is not None:
            return f"Now change over: {self.switch_to.left} {SAID[self.switch_to.role]}"
        more = " more" if self.step.hit else ""
        return f"{self.step.left}{more} {SAID[self.step.role]}"


SAID: Final[Mapping[Role, str]] = {
    "before": "without the change",
    "with_change": "with the change",
    "other": "that do not count",
}


def start_plan(
    desk: Desk, lesson_id: int, order: PlannedOrder, *, quantity: str, by_itself: bool
) -> None:
    """Begin to hit a plan.

    Balls as usual that are there already count for its first block, unless the order is drawn by
    lot: what was hit before the lot was drawn is no part of it. The next ball counts as one of the
    first block: where another kind was being hit, the running block is switched.

    Parameters
    ----------
    desk
        Where the lesson is.
    lesson_id
        The lesson.
    order
        What to hit.
    quantity
        What it looks for.
    by_itself
        Whether the running block switches by itself when a block of the plan is full.
    """
    shots, blocks = desk.book.shots(lesson_id), desk.book.blocks(lesson_id)
    only_usual = all(block.role == "before" for block in blocks)
    begins_usual = not order.blocks[0].with_change
    fresh = order.pattern == "drawn" or not (only_usual and begins_usual)
    text = json.dumps(
        {
            "pattern": order.pattern,
            "blocks": [[block.with_change, block.balls] for block in _as_drawn(order)],
            "quantity": quantity,
            "seed": order.seed,
        }
    )
    last = max((shot.place for shot in shots), default=0)
    desk.book.start_plan(
        lesson_id,
        plan_json=text,
        from_place=last if fresh else 0,
        by_itself=by_itself,
        at=desk.clock(),
    )
    first: Role = "before" if begins_usual else "with_change"
    if first != (blocks[-1].role if blocks else "before"):
        switch_block(desk, lesson_id, first)


def _as_drawn(order: PlannedOrder) -> tuple[PlannedBlock, ...]:
    """The blocks as they lay in the urn: what the lot says rests on them, not on joined ones."""
    if order.small is None:
        return order.blocks
    return tuple(
        PlannedBlock(with_change=block.with_change, balls=order.small)
        for block in order.blocks
        for _ in range(block.balls // order.small)
    )


def standing(
    stored: StoredPlan | None, blocks: Sequence[Block], shots: Sequence[StoredShot]
) -> RunningPlan | None:
    """Where a plan stands by the balls that count; None where no plan runs, or it can't be read.

    Parameters
    ----------
    stored
        The plan.
    blocks, shots
        Those of its lesson.
    """
    plan = None if stored is None else _read(stored.plan_json)
    if stored is None or plan is None:
        return None
    wanted = _steps(plan.blocks)
    hit = [0] * len(wanted)
    at = 0
    counted = [
        shot for shot in shots if shot.left_out_reason is None and shot.place > stored.from_place
    ]
    for number, block in enumerate(blocks):
        n = sum(shot.block_id == block.id for shot in counted)
        running = number == len(blocks) - 1
        if block.role == "other" or not (n or (running and counted)):
            continue
        if block.role != wanted[at][0] and at + 1 < len(wanted):
            at += 1
        if block.role == wanted[at][0]:
            hit[at] += n
    steps = tuple(
        PlanStep(role=role, balls=balls, hit=n)
        for (role, balls), n in zip(wanted, hit, strict=True)
    )
    found = RunningPlan(pattern=plan.pattern, steps=steps, at=at, by_itself=stored.by_itself)
    if plan.pattern != "drawn" or not found.is_done:
        return found
    return RunningPlan(
        pattern=plan.pattern,
        steps=steps,
        at=at,
        by_itself=stored.by_itself,
        by_lot=_by_lot(plan, found, blocks, counted),
    )


def follow_plan(desk: Desk, lesson_id: int) -> None:
    """Switch the running block where a plan that switches by itself has filled its block."""
    stored = desk.book.running_plan(lesson_id)
    if stored is None or not stored.by_itself:
        return
    with desk.book.at_once():
        found = standing(stored, desk.book.blocks(lesson_id), desk.book.shots(lesson_id))
    if found is not None and found.switch_to is not None:
        switch_block(desk, lesson_id, found.switch_to.role)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Plan:
    pattern: Pattern
    blocks: tuple[PlannedBlock, ...]
    quantity: str


def _read(text: str) -> _Plan | None:
    """The plan as it was kept; None where it was written by another version."""
    try:
        found: Any = json.loads(text)
        pattern = found["pattern"]
        blocks = tuple(
            PlannedBlock(with_change=bool(changed), balls=int(balls))
            for changed, balls in found["blocks"]
        )
        known = pattern in get_args(Pattern) and blocks and all(one.balls > 0 for one in blocks)
        plan = _Plan(pattern=cast("Pattern", pattern), blocks=blocks, quantity=found["quantity"])
    except (ValueError, KeyError, TypeError):
        return None
    return plan if known else None


def blocks_of_plan(stored: StoredPlan) -> tuple[PlannedBlock, ...] | None:
    """The blocks of a plan as it was kept; None where it can't be read."""
    plan = _read(stored.plan_json)
    return None if plan is None else plan.blocks


def _steps(blocks: Sequence[PlannedBlock]) -> list[tuple[Role, int]]:
    """Neighbours of one kind are hit in one go."""
    return [
        ("with_change" if changed else "before", sum(one.balls for one in those))
        for changed, those in groupby(blocks, key=lambda one: one.with_change)
    ]


def _by_lot(
    plan: _Plan, found: RunningPlan, blocks: Sequence[Block], counted: Sequence[StoredShot]
) -> Randomised | None:
    """What the lot alone says; None where the order was not kept, or a block has no number."""
    if found.short or len(plan.blocks) < FEWEST_DRAWN:
        return None
    order = [block.id for block in blocks]
    hit = sorted(counted, key=lambda shot: (order.index(shot.block_id), shot.place))
    role_of = {block.id: block.role for block in blocks}
    queues = {
        role: [shot for shot in hit if role_of[shot.block_id] == role]
        for role in ("before", "with_change")
    }
    means = []
    for number, small in enumerate(plan.blocks):
        mine = queues["with_change" if small.with_change else "before"]
        step = _step_of(plan.blocks, number)
        more = found.steps[step].hit - found.steps[step].balls
        last_of_step = number + 1 == len(plan.blocks) or _step_of(plan.blocks, number + 1) != step
        take = small.balls + (more if last_of_step else 0)
        values = [
            shot.values[plan.quantity].si for shot in mine[:take] if plan.quantity in shot.values
        ]
        del mine[:take]
        if not values:
            return None
        means.append(float(np.mean(values)))
    try:
        return randomisation_test(
            means, [one.with_change for one in plan.blocks], possible_orders(len(plan.blocks))
        )
    except InputError:
        return None


def _step_of(blocks: Sequence[PlannedBlock], number: int) -> int:
    """Index of the step to which a small block belongs."""
    kinds = [one.with_change for one in blocks[: number + 1]]
    return len(list(groupby(kinds))) - 1
