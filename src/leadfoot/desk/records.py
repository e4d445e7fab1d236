"""What the desk keeps of students, lessons, blocks, shots, force recordings and jumps."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal

from leadfoot.desk.places import STUDIO
from leadfoot.ground.jump_days import Kind as JumpKind
from leadfoot.language.catalogue import ENGLISH
from leadfoot.shots.shot import Reading

Hand = Literal["right", "left"]
Role = Literal["before", "with_change", "other"]
"""What a block is in the comparison: before the change, with it, or neither (warm-up)."""
Source = Literal["file", "typed", "live"]
"""How a shot came into the book."""
LinkedBy = Literal["time", "order", "hand"]
"""How a force recording came to its shot."""
StrikeFrom = Literal["launch monitor", "set by hand"]
"""Who set a strike; trigger and marks stand in the file itself, and are not kept twice."""


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
    archived_at: datetime | None = None
    """Since when the student is out of the daily lists; None: is in them."""
    consent_on: date | None = None
    """Day on which the student, or the guardian of a minor, agreed to what is kept."""
    consent_words: str = ""
    """What was agreed, and how."""
    minor: bool = False
    guardian: str = ""
    """Who speaks for a minor, and how to reach them."""
    language: str = ENGLISH
    """Code of the language of sheets and private pages, as `leadfoot.language` knows it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lesson:
    """One lesson of one student; ``change`` names what was tried (the cue, the aid, the drill).

    ``place`` is where its balls are hit; see `leadfoot.desk.places`.
    """

    id: int
    student_id: int
    held_on: date
    title: str
    change: str
    club: str | None
    notes: str
    place: str = STUDIO


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


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredRecording:
    """A force recording of a lesson as the book holds it; ``place`` is its order, from 1."""

    id: int
    lesson_id: int
    place: int
    raw_file_id: int
    name: str
    """Name of the file as it came."""
    block_id: int | None
    """The block it belongs to; None where nobody said."""
    shot_id: int | None
    linked_by: LinkedBy | None
    choices_json: str
    """What was said of it beside the file; see `leadfoot.desk.recordings`."""
    mapping_json: str | None
    """What its columns hold, as confirmed; None: as found."""
    strike_s: float | None
    """The strike on the clock of the recording, where someone set it. [s]"""
    strike_from: StrikeFrom | None
    left_out_reason: str | None
    """Why it stays out of the averages; None: it counts."""
    received_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class JumpFile:
    """A recording of a jump as it came, byte for byte; ``digest`` is its SHA-256 in hex."""

    id: int
    student_id: int
    name: str
    digest: str
    size_bytes: int
    received_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredJump:
    """One jump of a student."""

    id: int
    student_id: int
    done_on: date
    kind: JumpKind
    height_m: float
    values_json: str
    """All its numbers with their method."""
    jump_file_id: int | None
    """The file that it was measured from; None where the height was typed."""
    left_out_reason: str | None
    added_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredScreening:
    """What a student answered before maximal efforts; a question that is missing was not asked."""

    id: int
    student_id: int
    on_day: date
    junior: bool
    answers: Mapping[str, bool]
    asked_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredClearance:
    """A clinician's word as the coach recorded it."""

    id: int
    student_id: int
    clinician: str
    on_day: date
    until_day: date | None
    covers: tuple[str, ...]
    limits: str
    recorded_at: datetime
