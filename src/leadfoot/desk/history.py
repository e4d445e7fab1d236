"""What earlier lessons tell of a student: the blocks from which the usual spread is learnt."""

from collections import defaultdict
from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from leadfoot.desk.desk import Desk
from leadfoot.desk.records import Lesson
from leadfoot.quantities import glossary
from leadfoot.shots.club import club_name

MIN_BLOCK = 3
"""Fewest balls of a block that say anything of a spread (common practice, no source)."""


def earlier_blocks(desk: Desk, lesson: Lesson) -> Mapping[str, Sequence[NDArray[np.float64]]]:
    """Gather the blocks of the lessons before this one, with the same club, by quantity.

    Each block stays apart and counts about its own middle, so that a change that worked is not
    taken for spread. Shots that were left out stay out.

    Returns
    -------
    Mapping of quantity to blocks
        Values in SI.
    """
    blocks: dict[str, list[NDArray[np.float64]]] = defaultdict(list)
    for other in desk.book.lessons(lesson.student_id):
        earlier = (other.held_on, other.id) < (lesson.held_on, lesson.id)
        if earlier and _club(other) == _club(lesson):
            _gather(desk, other, blocks)
    return blocks


def _club(lesson: Lesson) -> str | None:
    return club_name(lesson.club) if lesson.club else None


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
