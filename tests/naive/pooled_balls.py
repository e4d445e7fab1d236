"""The balls of a lesson as the pooling needs them, ball by ball from the records."""

from collections.abc import Sequence

import numpy as np

from leadfoot.desk.pooling_port import CountedBalls, LessonBalls
from leadfoot.desk.records import Block, StoredShot


def balls_one_by_one(
    blocks: Sequence[Block], shots: Sequence[StoredShot], quantities: Sequence[str]
) -> LessonBalls:
    """Leave out what was left out and what belongs to no side; give the rest in SI."""
    role_of = {block.id: block.role for block in blocks}
    counted = [
        shot for shot in shots if shot.left_out_reason is None and role_of[shot.block_id] != "other"
    ]
    values = [
        [shot.values[key].si if key in shot.values else np.nan for key in quantities]
        for shot in counted
    ]
    return LessonBalls(
        n_shots=len(shots),
        with_change=np.array([role_of[shot.block_id] == "with_change" for shot in counted], bool),
        clubs=tuple(shot.club for shot in counted),
        values=np.array(values, dtype=np.float64).reshape(len(counted), len(quantities)),
    )


def counted_one_by_one(blocks: Sequence[Block], shots: Sequence[StoredShot]) -> CountedBalls:
    """Every value of the balls that count, ball by ball."""
    roles = {block.id: block.role for block in blocks}
    counted = [shot for shot in shots if shot.left_out_reason is None]
    keys = tuple(dict.fromkeys(key for shot in counted for key in shot.values))
    values = np.full((len(counted), len(keys)), np.nan)
    for row, shot in enumerate(counted):
        for column, key in enumerate(keys):
            if key in shot.values:
                values[row, column] = shot.values[key].si
    return CountedBalls(
        block_ids=np.array([shot.block_id for shot in counted], dtype=np.int64),
        roles=tuple(roles[shot.block_id] for shot in counted),
        clubs=tuple(shot.club for shot in counted),
        quantities=keys,
        values=values,
    )
