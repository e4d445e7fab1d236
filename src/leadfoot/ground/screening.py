"""Questions before any maximal effort, who may go on, and when to stop.

A checklist for a teacher, not a diagnosis. Licensed practice and local rules come first.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from leadfoot.errors import InputError


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """One question with yes or no.

    Attributes
    ----------
    key
        Its name in records.
    text
        As it is asked.
    source
        Why it is asked.
    of_today
        True where a yes speaks of today: an older clearance does not cover it.
    """

    key: str
    text: str
    source: str
    of_today: bool = False


_HISTORY = (
    "previous back pain predicts new pain (Smith and others, Sports Health 10, 538, 2018, abstract)"
)
_GENERAL = "general readiness for exercise (from memory)"

QUESTIONS: tuple[Question, ...] = (
    Question(
        key="pain_now",
        text="Does anything hurt today: back, lead wrist, elbow, knee, shoulder, or elsewhere?",
        source="the most frequent places of golf injuries (Robinson and others, British Journal of "
        "Sports Medicine 53, 13, 2019, abstract)",
        of_today=True,
    ),
    Question(
        key="back_pain_last_year",
        text="Did you have back pain in the last twelve months?",
        source=_HISTORY,
    ),
    Question(
        key="fracture_or_surgery",
        text="Did you break a bone or have surgery that is not fully healed and released?",
        source=_GENERAL,
    ),
    Question(key="osteoporosis", text="Do you have osteoporosis?", source=_GENERAL),
    Question(
        key="pregnant", text="Are you pregnant, or were you in the last half year?", source=_GENERAL
    ),
    Question(
        key="heart_or_pressure",
        text="Do you have a heart condition, high blood pressure, chest pain or dizziness?",
        source=_GENERAL,
    ),
    Question(
        key="advised_against",
        text="Has anyone with a medical licence advised you against hard effort?",
        source=_GENERAL,
    ),
)
"""The questions that everyone is asked."""

JUNIOR_QUESTIONS: tuple[Question, ...] = (
    Question(
        key="growth_pain",
        text="Does anything hurt that came with growing: heel, knee, hip, back?",
        source="common practice, no source",
        of_today=True,
    ),
)
"""What juniors are asked besides."""
JUNIOR_BELOW_YEARS = 18
"""Common practice, no source."""

CAUTIONS: tuple[str, ...] = (
    "Warm up for ten minutes or longer: move, then swing shorter and slower clubs first.",
    "Jump and land on a dry, even floor with room on all sides.",
    "Nobody stands within a club's reach, or in the line of a ball.",
    "A person with a medical licence, and the rules of the place, come before this list.",
)
"""Ten minutes: Gosheger and others, American Journal of Sports Medicine 31, 438, 2003 (abstract);
moving rather than holding stretches: Ehlert and Wilson, Journal of Strength and Conditioning
Research 33, 3444, 2019 (abstract); the rest is common practice, no source."""

STOP_RULES: tuple[str, ...] = (
    "Stop at any pain.",
    "Stop at dizziness, chest pain or shortness of breath that does not pass, and get help.",
    "Stop when speed or height falls: three efforts in a row well under the best.",
    "Stop at the number of efforts that was set before. No published limit was found; it is a "
    "house rule.",
)
FALLING_SHARE = 0.05
"""Efforts this much under the best count as falling (house rule, no source). [-]"""
FALLING_IN_A_ROW = 3
"""House rule, no source."""
SUDDEN_SHARE = 1.5
"""A week with this many times the mean of the four before is a sudden increase (house rule, no
source). [-]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Clearance:
    """A clinician's word that hard effort is allowed.

    Attributes
    ----------
    clinician
        Who gave it, with the licence: a record for the teacher's file.
    on_day, until_day
        Days as ``2026-03-14``; None: no end was given.
    covers
        Keys of the questions that it speaks to.
    limits
        What the clinician asked for, in words.
    """

    clinician: str
    on_day: str
    covers: tuple[str, ...]
    until_day: str | None = None
    limits: str = ""

    def __post_init__(self) -> None:
        if not self.clinician.strip():
            raise InputError(
                "The clearance names no clinician.", fix="Record who gave it, and the licence."
            )
        for day in (self.on_day, self.until_day):
            if day is not None:
                _check_day(day)


@dataclass(frozen=True, slots=True, kw_only=True)
class Screening:
    """The answers of one person on one day.

    Attributes
    ----------
    on_day
        As ``2026-03-14``.
    answers
        True for yes, by key; a question that is not in it was not answered.
    junior
        Whether the junior's questions are asked besides.
    clearances
        What clinicians said.
    """

    on_day: str
    answers: Mapping[str, bool]
    junior: bool = False
    clearances: tuple[Clearance, ...] = ()

    def __post_init__(self) -> None:
        _check_day(self.on_day)
        known = {question.key for question in (*QUESTIONS, *JUNIOR_QUESTIONS)}
        unknown = sorted(set(self.answers) - known)
        if unknown:
            raise InputError(
                f"There is no question {unknown[0]!r}.", fix=f"Use: {', '.join(sorted(known))}."
            )
        object.__setattr__(self, "answers", MappingProxyType(dict(self.answers)))

    @property
    def questions(self) -> tuple[Question, ...]:
        """The questions that this person is asked."""
        return QUESTIONS + (JUNIOR_QUESTIONS if self.junior else ())


@dataclass(frozen=True, slots=True, kw_only=True)
class Permit:
    """Whether a maximal effort may be asked for today.

    Attributes
    ----------
    allowed
        Only if every question was answered, and each yes is covered by a clinician's clearance.
    unanswered, blocked_by
        What stands against it.
    limits
        What clinicians asked for.
    cautions, stop_rules
        To be read out before the first effort.
    """

    allowed: bool
    unanswered: tuple[Question, ...]
    blocked_by: tuple[Question, ...]
    limits: tuple[str, ...]
    cautions: tuple[str, ...] = CAUTIONS
    stop_rules: tuple[str, ...] = STOP_RULES

    @property
    def said(self) -> str:
        """The answer in a sentence or two."""
        if self.blocked_by:
            return (
                "No maximal effort today: a question was answered with yes. First a clinician's "
                "clearance, recorded here."
            )
        if self.unanswered:
            return f"No maximal effort yet: {len(self.unanswered)} questions are not answered."
        return "Maximal effort may be asked for. Read out the cautions and the stop rules first."


def permit(screening: Screening) -> Permit:
    """Decide whether a maximal effort may be asked for.

    Parameters
    ----------
    screening
        Answers and clearances.

    Examples
    --------
    >>> no = {question.key: False for question in QUESTIONS}
    >>> permit(Screening(on_day="2026-03-14", answers=no)).allowed
    True
    >>> back = Screening(on_day="2026-03-14", answers={**no, "back_pain_last_year": True})
    >>> permit(back).allowed
    False
    """
    asked = screening.questions
    unanswered = tuple(one for one in asked if one.key not in screening.answers)
    yes = [one for one in asked if screening.answers.get(one.key, False)]
    blocked = tuple(one for one in yes if not _cleared(one, screening))
    used = [
        clearance.limits
        for clearance in screening.clearances
        if clearance.limits and any(_covers(clearance, one, screening) for one in yes)
    ]
    return Permit(
        allowed=not unanswered and not blocked,
        unanswered=unanswered,
        blocked_by=blocked,
        limits=tuple(used),
    )


def require_permit(screening: Screening) -> Permit:
    """Give the permit, or refuse.

    Raises
    ------
    InputError
        If no maximal effort may be asked for, with the questions that stand against it.

    Examples
    --------
    >>> no = {question.key: False for question in QUESTIONS}
    >>> len(require_permit(Screening(on_day="2026-03-14", answers=no)).stop_rules)
    4
    """
    found = permit(screening)
    if found.blocked_by:
        asked = " ".join(question.text for question in found.blocked_by)
        raise InputError(
            f"Answered with yes: {asked}",
            fix="No maximal effort until a clinician's clearance is recorded.",
        )
    if found.unanswered:
        asked = " ".join(question.text for question in found.unanswered)
        raise InputError(f"Not answered: {asked}", fix="Ask every question first.")
    return found


def falling(efforts: Sequence[float]) -> bool:
    """Whether the last three efforts lie more than 5 % under the best: time to stop.

    Parameters
    ----------
    efforts
        Club speeds or jump heights in the order in which they were made, in one unit.

    Examples
    --------
    >>> falling([100.0, 101.0, 95.0, 95.5, 95.8]), falling([100.0, 95.0, 99.0])
    (True, False)
    """
    if len(efforts) <= FALLING_IN_A_ROW:
        return False
    limit = (1.0 - FALLING_SHARE) * max(efforts)
    return all(one < limit for one in efforts[-FALLING_IN_A_ROW:])


def sudden_increase(balls_by_week: Sequence[float]) -> bool:
    """Whether the last week has half as many maximal swings or balls again as the four before it.

    Parameters
    ----------
    balls_by_week
        Counts, the oldest first; fewer than five weeks never warn.

    Examples
    --------
    >>> sudden_increase([200, 200, 200, 200, 350]), sudden_increase([200, 350])
    (True, False)
    """
    if len(balls_by_week) < 5:
        return False
    usual = math.fsum(balls_by_week[-5:-1]) / 4.0
    return balls_by_week[-1] > SUDDEN_SHARE * usual > 0.0


def _cleared(question: Question, screening: Screening) -> bool:
    return any(_covers(one, question, screening) for one in screening.clearances)


def _covers(clearance: Clearance, question: Question, screening: Screening) -> bool:
    if question.key not in clearance.covers:
        return False
    if clearance.until_day is not None and clearance.until_day < screening.on_day:
        return False
    return not question.of_today or clearance.on_day >= screening.on_day


def _check_day(day: str) -> None:
    parts = day.split("-")
    lengths = [len(part) for part in parts]
    if lengths != [4, 2, 2] or not all(part.isdigit() for part in parts):
        raise InputError(f"The day is {day!r}.", fix="Write it as 2026-03-14.")
