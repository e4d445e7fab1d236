"""The balls of a lesson as the pooling needs them, ball by ball from the records."""

from collections.abc import Sequence

import numpy as np

from leadfoot.desk.pooling_port import LessonBalls
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
