"""What was planned before a change was seen: the judging may then spend its doubt late."""

from collections.abc import Sequence

from leadfoot.desk.plan_port import StoredPlan
from leadfoot.desk.records import Block, StoredShot
from leadfoot.desk.running_plan import blocks_of_plan
from leadfoot.evidence.plan import balls_of


def planned_before(
    plans: Sequence[StoredPlan], blocks: Sequence[Block], shots: Sequence[StoredShot]
) -> tuple[bool, ...] | None:
    """For every ball of the comparison whether it was planned with the change.

    The plan that was started last before any ball with the change counts, and goes on counting when
    it was stopped or another was started: what was said beforehand can't be unsaid once balls were
    seen. Balls as usual that came before its first block are put in front of it.

    Parameters
    ----------
    plans
        All plans of a lesson, in order of starting.
    blocks, shots
        Those of the lesson, left-out balls among them: they were seen as well.

    Returns
    -------
    tuple of bool or None
        None where no plan was started in time, or it can't be read.
    """
    role_of = {block.id: block.role for block in blocks}
    first_with = min(
        (shot.place for shot in shots if role_of[shot.block_id] == "with_change"), default=None
    )
    in_time = [one for one in plans if first_with is None or one.from_place < first_with]
    planned = blocks_of_plan(in_time[-1]) if in_time else None
    if planned is None or len({block.with_change for block in planned}) < 2:
        return None
    earlier = sum(
        shot.place <= in_time[-1].from_place
        and shot.left_out_reason is None
        and role_of[shot.block_id] == "before"
        for shot in shots
    )
    return (False,) * earlier + balls_of(planned)
