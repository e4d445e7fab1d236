"""What the next balls can bring: how many more to hit, and the chance that they tell."""

from dataclasses import replace

import numpy as np

from leadfoot.evidence.judgement import LessonShots
from leadfoot.evidence.lesson import order_of_blocks
from leadfoot.evidence.more import (
    Limits,
    chance_narrower,
    chance_of_answer,
    chance_smaller_miss,
    on_or_back,
)
from leadfoot.evidence.noise import Floats
from leadfoot.evidence.posteriors import Posteriors
from leadfoot.evidence.settings import DirectionClaim, JudgeSettings
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


def going_back(
    lesson: LessonShots, found: Posteriors, decided: Decided, settings: JudgeSettings
) -> bool:
    """Whether a few balls without the change would tell more than as many with it.

    Asked only while the claim "longer" is open and one block of each has been hit; a cold start
    that may pass for a gain always sends back.
    """
    if decided.decision != "hit_more" or found.order != "once" or _missing(lesson, settings):
        return False
    if "cold_start" in decided.reasons:
        return True
    keys = [key for key in (lesson.declared_distance, "club_speed") if key in found.levels]
    if "longer" not in decided.waiting or not keys or not bool(lesson.with_change[-1]):
        return False
    key, n_more = keys[0] or "", settings.fewest
    on, back = on_or_back(
        found.levels[key],
        found.seen[key],
        limits_of(key, lesson, found, settings, n_more=n_more),
        limits_of(key, lesson, found, settings, n_more=n_more, with_change=False),
        n_more=n_more,
    )
    return back > on + settings.worth_going_back


def limits_of(
    key: str,
    lesson: LessonShots,
    found: Posteriors,
    settings: JudgeSettings,
    *,
    n_more: int,
    with_change: bool = True,
) -> Limits:
    """When a verdict on one length or speed falls, after each of the next balls.

    Parameters
    ----------
    key
        The quantity: the declared distance, or club speed beside it.
    lesson, found, settings
        The lesson, what its balls say, and the thresholds.
    n_more, with_change
        Balls ahead, and whether they are hit with the change.
    """
    now = found.stage(key)
    order = order_of_blocks(np.append(lesson.with_change, with_change))
    beside_speed = key != "club_speed" and "club_speed" in found.levels
    shown = np.empty(n_more)
    for ahead in range(n_more):
        stage = replace(
            now,
            order=order,
            n_before=now.n_before + (0 if with_change else ahead + 1),
            n_after=now.n_after + (ahead + 1 if with_change else 0),
        )
        if key == lesson.declared_distance:
            shown[ahead] = settings.distance(stage, beside_speed=beside_speed)
        else:
            shown[ahead] = settings.speed(stage)
    return Limits(
        worth_sd=settings.worth_sd,
        shown=shown,
        loss=settings.loss(shown),
        given_up=settings.given_up,
        fewest=settings.fewest,
        patience=settings.patience,
    )


def direction_ahead(
    claim: DirectionClaim,
    lesson: LessonShots,
    found: Posteriors,
    settings: JudgeSettings,
) -> Floats:
    """Above which odds a claim of the declared direction is shown, after each of the next balls.

    Without a plan, and past its end, one block each has that of the later looks: the safe side.
    """
    now = found.stage(lesson.declared_direction or "")
    order = order_of_blocks(np.append(lesson.with_change, True))
    late = replace(now, n_after=settings.early_balls + 1, planned=None)
    shown = np.empty(settings.horizon)
    for ahead in range(settings.horizon):
        stage = replace(now, order=order, n_after=now.n_after + ahead + 1)
        shown[ahead] = settings.for_direction(
            claim, stage if stage.follows or order != "once" else late, alone=not found.levels
        )
    return shown


def _longer_chances(
    lesson: LessonShots, found: Posteriors, decided: Decided, settings: JudgeSettings
) -> list[Floats]:
    if "longer" not in decided.waiting:
        return []
    declared = found.levels.get(lesson.declared_distance or "")
    speed = found.levels.get("club_speed")
    asked: dict[str, float] = {}
    if declared is None or declared.above(0.0) >= settings.not_against:
        asked["club_speed"] = 0.0
    if lesson.declared_distance is not None:
        faster = speed is not None and speed.above(settings.worth_sd) >= 0.5
        # As in the verdict: nothing is given up while club speed speaks for the change.
        patient = faster and speed is not declared
        asked[lesson.declared_distance] = 0.0 if patient else settings.given_up
    return [
        chance_of_answer(
            found.levels[key],
            found.seen[key],
            replace(
                limits_of(key, lesson, found, settings, n_more=settings.horizon),
                given_up=given_up,
            ),
            n_more=settings.horizon,
        )
        for key, given_up in asked.items()
        if key in found.levels
    ]


def _straighter_chances(
    lesson: LessonShots, found: Posteriors, decided: Decided, settings: JudgeSettings
) -> list[Floats]:
    direction = lesson.declared_direction
    if "straighter" not in decided.waiting or direction is None:
        return []
    pattern, balls = found.patterns[direction], found.seen[direction]
    narrower, straighter = (
        direction_ahead(claim, lesson, found, settings) for claim in ("narrower", "straighter")
    )
    return [
        chance_narrower(pattern, balls, narrower, n_more=settings.horizon),
        chance_smaller_miss(pattern, balls, straighter, n_more=settings.horizon),
    ]
