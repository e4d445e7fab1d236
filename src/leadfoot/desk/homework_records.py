"""What the desk keeps of practice at home, of tests to come, and of cautions that were given."""

from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal

TestKind = Literal["retention", "transfer"]
"""The same club and place again, later; or another club, target or the course."""
LoggedBy = Literal["student", "coach"]


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredHomework:
    """A plan for home as it was given after a lesson; ``plan_json`` is the plan itself."""

    id: int
    lesson_id: int
    plan_json: str
    made_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class PrivateLink:
    """A private link to one plan; the book keeps only the SHA-256 digest of its secret."""

    id: int
    homework_id: int
    digest: str
    made_at: datetime
    expires_at: datetime
    withdrawn_at: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class HomeworkLog:
    """One session at home as it was written down.

    Attributes
    ----------
    session
        Number of the session in the plan, from 1.
    n_balls
        Full balls hit, or swings without a ball.
    n_counted, n_met
        Balls that were counted, and how many of them met the criterion.
    pain
        Whether anything hurt.
    """

    id: int
    homework_id: int
    session: int
    done_on: date
    n_balls: int
    n_counted: int
    n_met: int
    pain: bool
    notes: str
    logged_by: LoggedBy
    logged_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class HomeTable:
    """A table of shots from practice, given for a plan; its bytes are kept beside it.

    Attributes
    ----------
    session
        Number of the session in the plan, from 1; None for practice beside the plan.
    place
        Where it was hit; see `leadfoot.desk.places`.
    name, digest, size_bytes
        The file as it came.
    shots_json, n_shots
        The balls that could be read; see `leadfoot.desk.home_shots.shots_in`.
    problems_json
        What could not be used, with place and reason.
    left_out_reason
        Why the coach left the whole table out; None where it counts.
    """

    id: int
    homework_id: int
    session: int | None
    done_on: date
    place: str
    name: str
    digest: str
    size_bytes: int
    shots_json: str
    n_shots: int
    problems_json: str
    left_out_reason: str | None
    given_by: LoggedBy
    given_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class NewHomeTable:
    """A table of shots from practice on its way into the book; as in `HomeTable`."""

    session: int | None
    done_on: date
    place: str
    name: str
    data: bytes
    shots_json: str
    n_shots: int
    problems_json: str
    given_by: LoggedBy


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedTest:
    """A test without the cue that is planned for the change of a lesson.

    Attributes
    ----------
    lesson_id
        The lesson whose change is tested.
    due_from, due_to
        Days between which it is due.
    club, words
        The club, None for that of the lesson; and what is different about it.
    done_lesson_id
        The lesson in which it was hit: its balls "before" are the test. None while it is due.
    dropped
        Whether the coach called it off.
    """

    id: int
    lesson_id: int
    kind: TestKind
    due_from: date
    due_to: date
    club: str | None
    words: str
    done_lesson_id: int | None
    dropped: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class CautionGiven:
    """A caution that was shown and acknowledged in a lesson, in the words that stood there."""

    id: int
    lesson_id: int
    key: str
    text: str
    given_at: datetime
