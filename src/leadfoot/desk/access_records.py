"""Who may come in, as plain records: accounts, screens, sign-ins, and lines of the log."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from types import MappingProxyType
from typing import Literal

Role = Literal["owner", "coach"]
"""An owner may do everything; a coach everything but open the door, read the log, export the whole
book and erase a student."""

Standing = Literal["owner", "coach", "screen", "student", "nobody"]
"""What someone is to the desk: an account, the screen of a bay, a private link, or unknown."""

Deed = Literal["saw", "changed", "entered", "left", "failed", "refused"]
"""What the log says that someone did."""

DEED_WORDS: Mapping[Deed, str] = MappingProxyType(
    {
        "saw": "saw",
        "changed": "changed",
        "entered": "signed in",
        "left": "signed out",
        "failed": "failed to sign in",
        "refused": "was refused",
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Account:
    """Someone who may sign in; ``password_at`` is when the password was last set."""

    id: int
    name: str
    role: Role
    password_hash: str
    added_at: datetime
    password_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Screen:
    """A private address that makes a machine the big screen of one bay."""

    id: int
    bay_id: int
    made_at: datetime
    expires_at: datetime
    withdrawn_at: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SignIn:
    """That a browser has signed in: as an account, or as a screen."""

    id: int
    account: Account | None
    screen: Screen | None
    begun_at: datetime
    seen_at: datetime
    expires_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class TryKey:
    """Under what failed tries are counted, and how many are free before waits begin."""

    digest: str
    n_free: int


@dataclass(frozen=True, slots=True, kw_only=True)
class StudentLink:
    """A private link to one student's homework, with the student that it belongs to."""

    id: int
    homework_id: int
    student_id: int
    made_at: datetime
    expires_at: datetime
    withdrawn_at: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class NewLine:
    """A line for the log.

    Attributes
    ----------
    who
        Name of the account, or what else it was: a screen, a private link, this machine.
    what
        The address of the page as the program knows it, such as ``/students/{student_id}``.
    student_id, lesson_id, raw_file_id
        What it was about, by number. The book fills in the student of a lesson or of a file.
    address
        The network address that it came from.
    """

    at: datetime
    who: str
    role: Standing
    deed: Deed
    what: str
    student_id: int | None = None
    lesson_id: int | None = None
    raw_file_id: int | None = None
    address: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A line of the log."""

    id: int
    at: datetime
    who: str
    role: Standing
    deed: Deed
    what: str
    student_id: int | None
    lesson_id: int | None
    address: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LogFilter:
    """Which lines are asked for; what is None is not asked for."""

    who: str | None = None
    deed: Deed | None = None
    student_id: int | None = None
    since: datetime | None = None
    until: datetime | None = None
    before_id: int | None = None
