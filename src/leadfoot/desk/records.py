"""What the desk keeps of students, lessons, blocks and shots."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal

from leadfoot.shots.shot import Reading

Hand = Literal["right", "left"]
Role = Literal["before", "with_change", "other"]
"""What a block is in the comparison: before the change, with it, or neither (warm-up)."""
Source = Literal["file", "typed"]
"""How a shot came into the book."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Student:
    """One student. ``invented`` marks a student of the demo studio."""

    id: int
    name: str
    hand: Hand
    goals: str
    cautions: str
    invented: bool
    added_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Lesson:
    """One lesson of one student; ``change`` names what was tried (the cue, the aid, the drill)."""

    id: int
    student_id: int
    held_on: date
    title: str
    change: str
    club: str | None
    notes: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """A run of shots in a lesson, in order of ``place``."""

    id: int
    lesson_id: int
    place: int
    label: str
    role: Role


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredShot:
    """One ball of a lesson as the book holds it; ``place`` is its order in the lesson, from 1."""

    id: int
    lesson_id: int
    block_id: int
    place: int
    club: str | None
    values: Mapping[str, Reading]
    source: Source
    raw_file_id: int | None
    row: int | None
    left_out_reason: str | None
    """Why it stays out of the judging; None: it counts."""
    hit_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class NewShot:
    """A ball on its way into the book."""

    club: str | None
    values: Mapping[str, Reading]
    row: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RawFile:
    """A file as it came, byte for byte; ``digest`` is its SHA-256 in hex."""

    id: int
    lesson_id: int
    name: str
    digest: str
    size_bytes: int
    received_at: datetime
    imported: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredJudgement:
    """An answer as it was given, with the version of the program that gave it."""

    id: int
    lesson_id: int
    made_at: datetime
    version: str
    answer_json: str
