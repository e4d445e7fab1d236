"""What earlier lessons tell of a student: the usual spread from ball to ball."""

from collections import defaultdict
from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from leadfoot.desk.desk import Desk
from leadfoot.desk.records import Lesson
from leadfoot.evidence.judgement import UsualSpread
from leadfoot.evidence.usual import learn_usual_spread
from leadfoot.quantities import glossary

MIN_BLOCK = 5
"""Fewest balls of a block that say anything of a spread (common practice, no source)."""


def usual_spreads(desk: Desk, lesson: Lesson) -> Mapping[str, UsualSpread]:
    """Learn the student's usual spread from the lessons before this one, with the same club.

    Each block counts about its own middle, so that a change that worked is not taken for spread.

    Returns
    -------
    Mapping of quantity to usual spread
        Only the quantities of which earlier lessons have enough balls.
    """
    earlier = [
        other
        for other in desk.book.lessons(lesson.student_id)
        if (other.held_on, other.id) < (lesson.held_on, lesson.id) and other.club == lesson.club
    ]
    blocks: dict[str, list[NDArray[np.float64]]] = defaultdict(list)
    for other in earlier:
        _gather(desk, other, blocks)
    learnt = {key: learn_usual_spread(runs) for key, runs in blocks.items()}
    return {key: usual for key, usual in learnt.items() if usual is not None}


def _gather(desk: Desk, lesson: Lesson, blocks: dict[str, list[NDArray[np.float64]]]) -> None:
    """Add the blocks of one lesson, quantity by quantity."""
    runs: dict[tuple[int, str], list[float]] = defaultdict(list)
    for shot in desk.book.shots(lesson.id):
        if shot.left_out_reason is None:
            for key, reading in shot.values.items():
                runs[shot.block_id, key].append(reading.si)
    for (_, key), values in runs.items():
        if len(values) >= MIN_BLOCK and glossary()[key].better != "none":
            blocks[key].append(np.array(values))
