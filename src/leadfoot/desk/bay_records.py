"""What the desk keeps of bays: the places from which shots arrive while they are hit."""

from dataclasses import dataclass, field
from datetime import datetime

from leadfoot.desk.records import Role, StoredShot


@dataclass(frozen=True, slots=True, kw_only=True)
class Bay:
    """One bay; ``lesson_id`` is the lesson that it hits for, None while it hits for none."""

    id: int
    name: str
    token_digest: str = field(repr=False)
    """SHA-256 of its token in hex; the token itself is kept nowhere."""
    lesson_id: int | None
    added_at: datetime
    withdrawn_at: datetime | None
    """None: it may send shots."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrival:
    """A shot that came from a bay; ``is_new`` is False where it had come before."""

    key: str
    shot: StoredShot
    role: Role
    """What the block is in which the shot stands."""
    is_new: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class WatchedFile:
    """A file that a bay watches, as it was last seen."""

    name: str
    device: str
    """Device and number of the file there: they stay when it is renamed."""
    identity: str
    """What the keys of its rows begin with, whatever the file is called."""
    rows: tuple[str, ...]
    """Digests of its rows, in order."""
