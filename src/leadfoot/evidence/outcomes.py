"""The outcomes as they are shown: before, after, change, its range, its odds and its verdict."""

from leadfoot.evidence.judgement import Kind, LessonShots, Outcome
from leadfoot.evidence.lesson import Stage
from leadfoot.evidence.pattern import Half
from leadfoot.evidence.posteriors import Posteriors
from leadfoot.evidence.settings import JudgeSettings
from leadfoot.evidence.verdict import LevelOdds, level_verdict, two_sided_verdict


def all_outcomes(
    lesson: LessonShots, found: Posteriors, settings: JudgeSettings
) -> tuple[Outcome, ...]:
    """Every outcome that has balls on both sides: levels, biases, spread, mishits."""
    levels = [_level(found, key, lesson, settings) for key in found.levels]
    biases = [bias(found, key, lesson, settings) for key in found.patterns]
    rest = [spread(found, lesson, settings), mishits(found, settings)]
    return tuple(one for one in (*levels, *biases, *rest) if one is not None)


def level_odds(found: Posteriors, key: str | None, settings: JudgeSettings) -> LevelOdds | None:
    """The odds that one length or speed grew or fell; None where no ball speaks of it."""
    change = found.levels.get(key) if key else None
    if change is None:
        return None
    n_before, n_after = found.counts(key)
    up = change.above(settings.worth_sd)
    cold = found.cold.get(key or "")
    return LevelOdds(
        up=min(up, cold.above(settings.worth_sd)) if cold else up,
        up_if_warm=up,
        down=1.0 - change.above(-settings.worth_sd),
        above_zero=change.above(0.0),
        n_before=n_before,
        n_after=n_after,
        warm=Stage.of(found.seen[key or ""]).warm,
        planned=found.planned,
    )


def _level(found: Posteriors, key: str, lesson: LessonShots, settings: JudgeSettings) -> Outcome:
    change, odds = found.levels[key], level_odds(found, key, settings)
    n_before, n_after = found.counts(key)
    low, high = change.interval()
    shown = settings.for_order(settings.undeclared, found.order)
    if key == lesson.declared_distance and odds:
        beside_speed = key != "club_speed" and "club_speed" in found.levels
        shown = settings.distance(odds.stage(found.order), beside_speed=beside_speed)
    after_si = change.before_si + change.unit_si * change.mean
    difference = after_si - change.before_si
    return Outcome(
        quantity=key,
        kind="level",
        before=change.before_si,
        after=after_si,
        change=difference,
        low=min(change.unit_si * low, difference),
        high=max(change.unit_si * high, difference),
        odds_better=change.above(0.0),
        verdict=level_verdict(odds, shown, settings) if odds else "not_yet",
        n_before=n_before,
        n_after=n_after,
    )


def bias(
    found: Posteriors, key: str | None, lesson: LessonShots, settings: JudgeSettings
) -> Outcome | None:
    """The mean of one direction; None where no ball speaks of it."""
    if key is None or key not in found.patterns:
        return None
    pattern = found.patterns[key]
    shown = settings.for_order(settings.undeclared, found.order)
    if key == lesson.declared_direction:
        shown = settings.for_direction("nearer", found.stage(key), alone=not found.levels)
    return _two_sided(
        found,
        (key, key, "bias"),
        pattern.bias,
        (pattern.nearer, pattern.nearer_clearly, pattern.farther_clearly),
        shown,
        settings,
    )


def spread(found: Posteriors, lesson: LessonShots, settings: JudgeSettings) -> Outcome | None:
    """The spread of the declared direction; None where no ball speaks of it."""
    key = lesson.declared_direction
    if key is None or key not in found.patterns:
        return None
    pattern = found.patterns[key]
    return _two_sided(
        found,
        (key, key, "spread"),
        pattern.spread,
        (pattern.narrower, pattern.narrower, 1.0 - pattern.narrower),
        settings.for_direction("narrower", found.stage(key), alone=not found.levels),
        settings,
    )


def mishits(found: Posteriors, settings: JudgeSettings) -> Outcome | None:
    """The share of mishits; None where no ball speaks of it."""
    counted, key = found.mishits, found.mishits_from
    if counted is None or key is None:
        return None
    return _two_sided(
        found,
        (key, "mishits", "mishits"),
        Half(before=counted.before, after=counted.after, low=counted.low, high=counted.high),
        (counted.odds_fewer, counted.odds_fewer, counted.odds_more),
        settings.shown_mishits,
        settings,
    )


def _two_sided(  # noqa: PLR0917 - one private place that fills eleven fields
    found: Posteriors,
    names: tuple[str, str, Kind],
    half: Half,
    odds: tuple[float, float, float],
    shown: float,
    settings: JudgeSettings,
) -> Outcome:
    """An outcome that may turn better or worse.

    ``names`` are where the balls are counted, the quantity shown and the kind; ``odds`` those of
    better, clearly better and clearly worse.
    """
    n_before, n_after = found.counts(names[0])
    change = half.after - half.before
    return Outcome(
        quantity=names[1],
        kind=names[2],
        before=half.before,
        after=half.after,
        change=change,
        low=min(half.low, change),
        high=max(half.high, change),
        odds_better=odds[0],
        verdict=two_sided_verdict(odds[1], odds[2], min(n_before, n_after), shown, settings),
        n_before=n_before,
        n_after=n_after,
    )
