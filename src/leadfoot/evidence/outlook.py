"""What the next balls can bring: how many more to hit, and the chance that they tell."""

import numpy as np

from leadfoot.evidence.judgement import LessonShots
from leadfoot.evidence.more import Limits, chance_narrower, chance_of_answer
from leadfoot.evidence.noise import Floats
from leadfoot.evidence.posteriors import Posteriors
from leadfoot.evidence.settings import JudgeSettings
from leadfoot.evidence.verdict import Decided


def outlook(
    lesson: LessonShots, found: Posteriors, decided: Decided, settings: JudgeSettings
) -> tuple[int | None, float | None]:
    """How many more balls, and the chance that they bring an answer.

    Returns
    -------
    tuple[int | None, float | None]
        While balls are missing on either side: as many as are missing, and no chance. While a loss
        is only likely: another block of the fewest balls, and no chance. Otherwise the number of
        balls with the change after which an answer is likely, with its chance; None where it stays
        unlikely as far as is looked ahead, with the chance at that end.
    """
    missing = _missing(lesson, settings)
    if missing:
        return missing, None
    if decided.decision != "hit_more" or "trade" in decided.reasons:
        return None, None
    if any(word.startswith("maybe") for word in decided.reasons):
        return settings.fewest, None
    chances = _longer_chances(lesson, found, decided, settings)
    chances += _straighter_chances(lesson, found, decided, settings)
    if not chances:
        return None, None
    chance = np.max(chances, axis=0)
    enough = np.flatnonzero(chance >= settings.likely)
    n_more = int(enough[0]) + 1 if len(enough) else None
    return n_more, float(chance[(n_more or settings.horizon) - 1])


def _missing(lesson: LessonShots, settings: JudgeSettings) -> int:
    """Balls that are missing on either side before anything can be shown."""
    keys = {lesson.declared_distance, lesson.declared_direction, "club_speed"}
    told = [np.isfinite(track.values) for key, track in lesson.tracks.items() if key in keys]
    usable = np.any(told, axis=0) if told else np.ones(len(lesson.with_change), dtype=np.bool_)
    n_after = int((usable & lesson.with_change).sum())
    n_before = int(usable.sum()) - n_after
    return max(settings.fewest - n_before, 0) + max(settings.fewest - n_after, 0)


def _longer_chances(
    lesson: LessonShots, found: Posteriors, decided: Decided, settings: JudgeSettings
) -> list[Floats]:
    if "longer" not in decided.waiting:
        return []
    declared = found.levels.get(lesson.declared_distance or "")
    speed = found.levels.get("club_speed")
    asked: dict[str, tuple[float, float]] = {}
    if declared is None or declared.above(0.0) >= 0.5:
        asked["club_speed"] = (settings.faster, 0.0)
    if lesson.declared_distance is not None:
        faster = speed is not None and speed.above(settings.worth_sd) >= 0.5
        # As in the verdict: nothing is given up while club speed speaks for the change.
        asked[lesson.declared_distance] = (
            settings.longer,
            0.0 if faster and speed is not declared else settings.given_up,
        )
    return [
        chance_of_answer(
            found.levels[key],
            found.seen[key],
            Limits(
                worth_sd=settings.worth_sd,
                shown=settings.for_order(shown, found.order),
                given_up=given_up,
                fewest=settings.fewest,
                patience=settings.patience,
            ),
            n_more=settings.horizon,
        )
        for key, (shown, given_up) in asked.items()
        if key in found.levels
    ]


def _straighter_chances(
    lesson: LessonShots, found: Posteriors, decided: Decided, settings: JudgeSettings
) -> list[Floats]:
    direction = lesson.declared_direction
    if "straighter" not in decided.waiting or direction is None:
        return []
    return [
        chance_narrower(
            found.patterns[direction],
            found.seen[direction],
            settings.for_direction(
                settings.narrower,
                found.order,
                settings.early_balls + 1,
                alone=not found.levels,
            ),
            n_more=settings.horizon,
        )
    ]
