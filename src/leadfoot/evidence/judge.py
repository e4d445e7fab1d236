"""The judging of one change in one lesson: shots in, odds and a decision out."""

from leadfoot.evidence.judgement import Judgement, LessonShots
from leadfoot.evidence.lesson import check_lesson
from leadfoot.evidence.outcomes import all_outcomes, bias, level_odds, mishits, spread
from leadfoot.evidence.outlook import going_back, outlook
from leadfoot.evidence.posteriors import Posteriors, posteriors
from leadfoot.evidence.settings import DEFAULT_SETTINGS, JudgeSettings
from leadfoot.evidence.verdict import Weighed, decide


def judge(
    lesson: LessonShots,
    *,
    settings: JudgeSettings = DEFAULT_SETTINGS,
    found: Posteriors | None = None,
) -> Judgement:
    """Judge one change: longer, straighter, both, or not to be told yet.

    May be asked after every ball: the thresholds hold their promise under that. The same shots
    always give the same answer.

    Parameters
    ----------
    lesson
        The shots of one club, before and with one change, in hitting order.
    settings
        Thresholds; the default ones are calibrated together.
    found
        What the balls say, where it is known already (`posteriors` of this lesson).

    Returns
    -------
    Judgement
        With too few balls, one block only, or no values, every verdict is ``not_yet`` and the
        decision ``hit_more``.

    Raises
    ------
    InputError
        If the arrays do not fit together or hold what no shot can give; see
        `leadfoot.evidence.lesson.check_lesson`.

    Examples
    --------
    >>> import numpy as np
    >>> from leadfoot.evidence.judgement import Track, UsualSpread
    >>> speed = np.array([42.1, 42.8, 42.3, 43.0, 42.5, 42.4, 44.9, 44.2, 44.6, 45.1, 44.4])
    >>> lesson = LessonShots(
    ...     with_change=np.arange(11) >= 6,
    ...     ball_number=np.arange(11.0),
    ...     tracks={"club_speed": Track(quantity="club_speed", values=speed, aim="more",
    ...                                 usual=UsualSpread(sd=0.54, n_shots=60))},
    ...     declared_distance="club_speed",
    ...     declared_direction=None,
    ... )
    >>> answer = judge(lesson)
    >>> answer.decision, answer.longer.verdict, answer.straighter.verdict
    ('keep', 'yes', 'not_yet')
    """
    check_lesson(lesson)
    found = posteriors(lesson) if found is None else found
    weighed = weigh(lesson, found, settings)
    decided = decide(weighed, settings)
    n_more, chance = outlook(lesson, found, decided, settings)
    back = going_back(lesson, found, decided, settings)
    distance = weighed.declared or weighed.club_speed
    return Judgement(
        outcomes=all_outcomes(lesson, found, settings),
        longer=decided.longer,
        bias=bias(found, lesson.declared_direction, lesson, settings),
        spread=spread(found, lesson, settings),
        straighter=decided.straighter,
        both=decided.both,
        odds_shorter=distance.down if distance else None,
        odds_wilder=weighed.pattern.misses_clearly_more if weighed.pattern else None,
        mishits=mishits(found, settings),
        odds_more_mishits=found.mishits.odds_more if found.mishits else None,
        decision=decided.decision,
        n_more=n_more,
        chance_more_tells=chance,
        reasons=decided.reasons + _remarks(lesson, found, back=back),
    )


def weigh(lesson: LessonShots, found: Posteriors, settings: JudgeSettings) -> Weighed:
    """Gather the odds that decide."""
    distance, direction = lesson.declared_distance, lesson.declared_direction
    return Weighed(
        order=found.order,
        declared=level_odds(found, distance, settings),
        club_speed=level_odds(found, "club_speed" if distance != "club_speed" else None, settings),
        pattern=found.patterns.get(direction) if direction else None,
        n_pattern=found.counts(direction),
        mishits=found.mishits,
        n_mishits=found.counts(found.mishits_from),
        planned=found.planned,
    )


def _remarks(lesson: LessonShots, found: Posteriors, *, back: bool) -> tuple[str, ...]:
    """What to do next, and what the reader must know of the declared quantities."""
    level = found.levels.get(lesson.declared_distance or "")
    pattern = found.patterns.get(lesson.declared_direction or "")
    raised = (level and level.wider_than_usual) or (pattern and pattern.wider_than_usual)
    return (*(("go_back",) if back else ()), *(("wider_than_usual",) if raised else ()))
