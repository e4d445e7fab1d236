"""What earlier lessons tell of a student: the balls from which the usual spread is learnt."""

from collections import defaultdict
from collections.abc import Mapping, Sequence

import numpy as np

from leadfoot.desk.desk import Desk
from leadfoot.desk.past_balls import past_balls
from leadfoot.desk.places import same_place
from leadfoot.desk.pooling_port import CountedBalls
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
    others = [
        other
        for other in desk.book.lessons(lesson.student_id)
        if (other.held_on, other.id) < (lesson.held_on, lesson.id)
        and same_place(other.place, lesson.place)
        and _club(other) == _club(lesson)
    ]
    balls = past_balls(desk, [other.id for other in others])
    past: dict[str, list[PastLesson]] = defaultdict(list)
    for other in others:
        if other.id in balls:
            age_days = float((lesson.held_on - other.held_on).days)
            for key, one in _quantities(balls[other.id], age_days).items():
                past[key].append(one)
    return past


def _club(lesson: Lesson) -> str | None:
    return club_name(lesson.club) if lesson.club else None


def _quantities(balls: CountedBalls, age_days: float) -> Mapping[str, PastLesson]:
    """One lesson, quantity by quantity."""
    before = np.array([role == "before" for role in balls.roles], dtype=bool)
    found = {}
    for column, key in enumerate(balls.quantities):
        if glossary()[key].better == "none":
            continue
        there = ~np.isnan(balls.values[:, column])
        values, blocks = balls.values[there, column], balls.block_ids[there]
        inside = [blocks == block for block in dict.fromkeys(blocks.tolist())]
        # Block by block, as they were begun: a block that was gone back to goes on in its place.
        baseline = [values[one & before[there]] for one in inside]
        found[key] = PastLesson(
            age_days=age_days,
            blocks=tuple(values[one] for one in inside),
            baseline=np.concatenate(baseline),
        )
    return found
