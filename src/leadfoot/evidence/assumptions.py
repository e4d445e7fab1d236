"""Every value that the judging assumes, as it stands in the code, with how it is known."""

from dataclasses import dataclass
from typing import Literal

from leadfoot.evidence.change import DEFAULT_PRIOR, LevelPrior
from leadfoot.evidence.lesson import Planned, Stage
from leadfoot.evidence.memory import HALF_LIFE_DAYS, LEVEL_WANDER_SD
from leadfoot.evidence.noise import DIRECTION_NOISE, LENGTH_NOISE
from leadfoot.evidence.pairs import DEFAULT_PATTERN_PRIOR
from leadfoot.evidence.plan import LIKELY, SMALL_BLOCK
from leadfoot.evidence.plan_walks import DEFAULT_STRAYING
from leadfoot.evidence.settings import DEFAULT_SETTINGS, JudgeSettings
from leadfoot.evidence.usual import DAY_DOUBT, STUDENT_DOUBT, usual_spread
from leadfoot.units import si_from, si_into

Known = Literal["assumed", "a choice", "by simulation", "a convention", "from memory"]
"""How a value is known. ``by simulation``: set so that the promise holds. ``from memory``: not
looked up, of low confidence."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumption:
    """One value: what it is, how large, how it is known."""

    about: str
    what: str
    value: str
    known: Known


def assumptions() -> tuple[Assumption, ...]:
    """All of them, by what they are about.

    Examples
    --------
    >>> next(one.value for one in assumptions() if one.what == "a lesson counts half after")
    '180 days'
    """
    return (*_balls(DEFAULT_PRIOR), *_changes(DEFAULT_PRIOR), *_students(), *_rule(), *_plans())


def _balls(prior: LevelPrior) -> tuple[Assumption, ...]:
    about = "How balls stray"
    return (
        _one(about, "mishits, lengths and speeds", _percent(LENGTH_NOISE.share)),
        _one(
            about,
            "a mishit is short by, and strays",
            f"{-LENGTH_NOISE.shift:g} and {LENGTH_NOISE.widening:g} usual spreads",
        ),
        _one(
            about,
            "mishits, directions, and how far they stray",
            f"{_percent(DIRECTION_NOISE.share)}, {DIRECTION_NOISE.widening:g} usual spreads",
        ),
        _one(about, "drift a ball, give or take", f"{prior.slope_sd:g} usual spreads"),
        _one(
            about,
            "drift a ball of a direction, give or take",
            f"{DEFAULT_PATTERN_PRIOR.slope_sd:g} usual spreads",
            "by simulation",
        ),
        _one(
            about,
            "a cold start, give or take, and over how many balls it fades",
            f"{prior.warm_sd:g} usual spreads, {prior.warm_balls:g} balls",
        ),
    )


def _changes(prior: LevelPrior) -> tuple[Assumption, ...]:
    about = "How large changes are before a ball is hit"
    return tuple(
        _one(about, f"{_percent(share)} of them, give or take", f"{sd:g} usual spreads")
        for sd, share in zip(prior.change_sd, prior.change_share, strict=True)
    )


def _students() -> tuple[Assumption, ...]:
    about = "What is usual for a student"
    speed = usual_spread("club_speed", "driver", si_from(95.0, "mph")).sd
    carry = usual_spread("carry", "driver", si_from(215.0, "yd")).sd
    memory: Known = "from memory"
    return (
        _one(about, "spread of club speed at 95 mph", f"{si_into(speed, 'mph'):.1f} mph", memory),
        _one(about, "spread of carry at 215 yd", f"{si_into(carry, 'yd'):.0f} yd", memory),
        _one(about, "one student's spread against another's", f"a factor of {1 + STUDENT_DOUBT:g}"),
        _one(about, "one day's spread against the student's own", f"a factor of {1 + DAY_DOUBT:g}"),
        _one(about, "level from day to day, give or take", f"{LEVEL_WANDER_SD:g} usual spreads"),
        _one(about, "a lesson counts half after", f"{HALF_LIFE_DAYS:g} days", "a choice"),
    )


def _rule() -> tuple[Assumption, ...]:
    about = "When something counts as shown"
    rule: JudgeSettings = DEFAULT_SETTINGS
    return (
        _one(about, "odds for longer, one block each", _percent(rule.longer), "by simulation"),
        _one(about, "odds for club speed alone", _percent(rule.faster), "by simulation"),
        _one(
            about,
            "odds for longer at the end of a plan that goes back to the old way",
            _percent(round(1.0 - (1.0 - rule.longer) * rule.planned["back"], 4)),
            "by simulation",
        ),
        _one(about, "odds for straighter", _percent(rule.straighter), "by simulation"),
        _one(about, "odds for narrower", _percent(rule.narrower), "by simulation"),
        _one(about, "odds for nearer the line", _percent(rule.nearer), "by simulation"),
        _one(
            about,
            "odds for narrower at the end of a plan of 20 balls before and 20 with the change",
            _percent(round(rule.for_direction("narrower", _planned_end(20, 20), alone=True), 4)),
            "by simulation",
        ),
        _one(about, "odds for wilder", _percent(rule.wilder), "by simulation"),
        _one(about, "odds for what nobody declared", _percent(rule.undeclared), "a choice"),
        _one(about, "odds for more mishits", _percent(rule.shown_mishits), "a choice"),
        _one(about, "worth talking of", f"{rule.worth_sd:g} usual spreads", "a convention"),
        _one(about, "fewest balls on either side", f"{rule.fewest}", "a choice"),
        _one(about, "a gain is given up below odds of", _percent(rule.given_up), "a choice"),
        _one(about, "a loss is likely above odds of", _percent(rule.doubt_wilder), "a choice"),
    )


def _planned_end(n_before: int, n_after: int) -> Stage:
    """The last ball of one block each that was planned before the change."""
    plan = Planned(order="once", n_before=n_before, n_after=n_after)
    return Stage(order="once", n_before=n_before, n_after=n_after, planned=plan)


def _plans() -> tuple[Assumption, ...]:
    about = "What a plan expects of the day"
    day = DEFAULT_STRAYING
    return (
        _one(about, "drift a ball, give or take", f"{day.slope_sd:g} usual spreads"),
        _one(about, "a cold start, give or take", f"{day.warm_sd:g} usual spreads"),
        _one(about, "correlation of a ball with the next", f"{day.memory:g}"),
        _one(about, "balls of a small block", f"{SMALL_BLOCK}", "a choice"),
        _one(about, "a chance that counts as likely", _percent(LIKELY), "a convention"),
    )


def _one(about: str, what: str, value: str, known: Known = "assumed") -> Assumption:
    return Assumption(about=about, what=what, value=value, known=known)


def _percent(share: float) -> str:
    return f"{100 * share:g} in 100"
