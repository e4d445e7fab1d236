"""What the desk hears of the book's file: backups, exports, imports, erasures."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

BackupKind = Literal["scheduled", "by_hand", "before_upgrade", "before_restore"]
"""Why a copy was made: as every day, on request, before a new schema, before a restore."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Backup:
    """A copy of the book; ``made_at`` is in its name, in UTC."""

    name: str
    kind: BackupKind
    made_at: datetime
    size_bytes: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BookState:
    """The file of the book and its backups, the newest first."""

    place: str
    backups_place: str
    size_bytes: int
    schema: int
    kept_days: int
    kept_weeks: int
    """For how many days, and calendar weeks, one scheduled backup each is kept."""
    backups: tuple[Backup, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Exported:
    """What an export holds: rows by table, raw files, and the digest of its contents."""

    rows: Mapping[str, int]
    n_files: int
    digest: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Brought:
    """What an import added, by table, and how many rows were there already."""

    rows: Mapping[str, int]
    n_known: int
    before: bool
    """Whether this very export was brought in before; then nothing was added."""

    @property
    def n_added(self) -> int:
        """Rows that were added."""
        return sum(self.rows.values())


@dataclass(frozen=True, slots=True, kw_only=True)
class WhoWas:
    """One who was erased, as copies of the book know them: by number and by moment of adding."""

    number: int
    added_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Erased:
    """What was erased from the book, by table, and where it still is."""

    rows: Mapping[str, int]
    who: tuple[WhoWas, ...]
    still_in: tuple[Backup, ...]
