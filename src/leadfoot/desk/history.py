"""What earlier lessons tell of a student: the balls from which the usual spread is learnt."""

from collections import defaultdict
from collections.abc import Mapping, Sequence

import numpy as np

from leadfoot.desk.desk import Desk
from leadfoot.desk.places import same_place
from leadfoot.desk.records import Lesson
from leadfoot.evidence.memory import PastLesson
from leadfoot.quantities import glossary
from leadfoot.shots.club import club_name


def past_lessons(desk: Desk, lesson: Lesson) -> Mapping[str, Sequence[PastLesson]]:
    """Gather the lessons before this one, with the same club at the same place, by quantity.

    Another place has another monitor, other balls and other ground: its spread is not this one's.

    Each block stays apart and counts about its own middle, so that a change that worked is not
    taken for spread. Shots that were left out stay out. The balls hit as usual tell the day's
    level.

    Returns
    -------
    Mapping of quantity to lessons
        Values in SI, ages in days before this lesson.
    """
    past: dict[str, list[PastLesson]] = defaultdict(list)
    for other in desk.book.lessons(lesson.student_id):
        earlier = (other.held_on, other.id) < (lesson.held_on, lesson.id)
        here = same_place(other.place, lesson.place)
        if earlier and here and _club(other) == _club(lesson):
            age_days = float((lesson.held_on - other.held_on).days)
            for key, one in _quantities(desk, other, age_days).items():
                past[key].append(one)
    return past


def _club(lesson: Lesson) -> str | None:
    return club_name(lesson.club) if lesson.club else None


def _quantities(desk: Desk, lesson: Lesson, age_days: float) -> Mapping[str, PastLesson]:
    """One lesson, quantity by quantity."""
    before = {block.id for block in desk.book.blocks(lesson.id) if block.role == "before"}
    runs: dict[str, dict[int, list[float]]] = defaultdict(lambda: defaultdict(list))
    for shot in desk.book.shots(lesson.id):
        if shot.left_out_reason is None:
            for key, reading in shot.values.items():
                if glossary()[key].better != "none":
                    runs[key][shot.block_id].append(reading.si)
    return {
        key: PastLesson(
            age_days=age_days,
            blocks=tuple(np.array(values) for values in blocks.values()),
            baseline=np.array(
                [value for block, values in blocks.items() if block in before for value in values]
            ),
        )
        for key, blocks in runs.items()
    }
