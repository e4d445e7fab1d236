"""The tables of the client book."""

from collections.abc import Mapping
from datetime import date, datetime

from sqlalchemy import (
    CheckConstraint,
    ForeignKey,
    Index,
    LargeBinary,
    MetaData,
    String,
    UniqueConstraint,
    false,
    text,
)
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column

from leadfoot.book.columns import NUMBER, Moment, ShotValues, Words
from leadfoot.shots.shot import Reading

# Every constraint has a name, because a later migration can only change what it can name.
_NAMES = {
    "pk": "pk_%(table_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
}
# A number once given is never given again, so that a page that slept can't mean another row.
NEVER_REUSED = {"sqlite_autoincrement": True}


class Base(DeclarativeBase):
    """What the tables share: names of constraints and the types of columns."""

    metadata = MetaData(naming_convention=_NAMES)
    type_annotation_map = {  # noqa: RUF012  (SQLAlchemy's own form)
        str: Words,
        int: NUMBER,
        datetime: Moment,
        Mapping[str, Reading]: ShotValues,
    }


class StudentRow(Base):
    """One student."""

    __tablename__ = "students"
    __table_args__ = (CheckConstraint("hand IN ('right', 'left')", name="hand"), NEVER_REUSED)

    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str]
    hand: Mapped[str] = mapped_column(String(8))
    goals: Mapped[str]
    cautions: Mapped[str]
    invented: Mapped[bool]
    added_at: Mapped[datetime]
    archived_at: Mapped[datetime | None]
    """Since when the student is out of the daily lists; None: is in them."""
    consent_on: Mapped[date | None]
    consent_words: Mapped[str] = mapped_column(default="", server_default=text("''"))
    minor: Mapped[bool] = mapped_column(default=False, server_default=false())
    guardian: Mapped[str] = mapped_column(default="", server_default=text("''"))
    language: Mapped[str] = mapped_column(default="en", server_default=text("'en'"))
    """Code of the language of sheets and private pages."""


class MergeRow(Base):
    """That another student turned out to be this one; what was written of the other is kept."""

    __tablename__ = "merges"
    __table_args__ = (NEVER_REUSED,)

    id: Mapped[int] = mapped_column(primary_key=True)
    student_id: Mapped[int] = mapped_column(ForeignKey("students.id"), index=True)
    other_number: Mapped[int]
    """The number that the other student had, as copies of the book still know it."""
    other_added_at: Mapped[datetime]
    other_json: Mapped[str]
    merged_at: Mapped[datetime]


class ImportRow(Base):
    """That an export was brought in: the same one adds nothing when it comes again.

    It speaks of this file alone, so it is in no export.
    """

    __tablename__ = "imports"
    __table_args__ = (UniqueConstraint("digest"), {**NEVER_REUSED, "info": {"exported": False}})

    id: Mapped[int] = mapped_column(primary_key=True)
    digest: Mapped[str] = mapped_column(String(64))
    brought_at: Mapped[datetime]


class LessonRow(Base):
    """One lesson of one student."""

    __tablename__ = "lessons"
    __table_args__ = (NEVER_REUSED,)

    id: Mapped[int] = mapped_column(primary_key=True)
    student_id: Mapped[int] = mapped_column(ForeignKey("students.id"), index=True)
    held_on: Mapped[date]
    title: Mapped[str]
    change: Mapped[str]
    club: Mapped[str | None]
    notes: Mapped[str]
    place: Mapped[str] = mapped_column(default="studio", server_default=text("'studio'"))
    """Where its balls are hit: one of a few words, or a name."""


class BlockRow(Base):
    """One block of a lesson."""

    __tablename__ = "blocks"
    __table_args__ = (
        UniqueConstraint("lesson_id", "place"),
        CheckConstraint("role IN ('before', 'with_change', 'other')", name="role"),
        NEVER_REUSED,
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    lesson_id: Mapped[int] = mapped_column(ForeignKey("lessons.id"))
    place: Mapped[int]
    label: Mapped[str]
    role: Mapped[str] = mapped_column(String(16))


class RawFileRow(Base):
    """A file as it came; once a lesson, however often it is dropped there."""

    __tablename__ = "raw_files"
    __table_args__ = (UniqueConstraint("lesson_id", "digest"), NEVER_REUSED)

    id: Mapped[int] = mapped_column(primary_key=True)
    lesson_id: Mapped[int] = mapped_column(ForeignKey("lessons.id"))
    name: Mapped[str]
    digest: Mapped[str] = mapped_column(String(64))
    size_bytes: Mapped[int]
    received_at: Mapped[datetime]
    imported_at: Mapped[datetime | None]
    grew_from_id: Mapped[int | None] = mapped_column(ForeignKey("raw_files.id"))
    """The earlier state of the same file, whose shots this one repeats before its own."""
    data: Mapped[bytes] = mapped_column(LargeBinary, deferred=True)


class ShotRow(Base):
    """One ball."""

    __tablename__ = "shots"
    __table_args__ = (
        UniqueConstraint("lesson_id", "place"),
        CheckConstraint("source IN ('file', 'typed', 'live')", name="source"),
        CheckConstraint("(source = 'file') = (raw_file_id IS NOT NULL)", name="file_known"),
        CheckConstraint("left_out_reason <> ''", name="reason_given"),
        Index("ix_shots_typed_key", "lesson_id", "typed_key", unique=True),
        NEVER_REUSED,
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    lesson_id: Mapped[int] = mapped_column(ForeignKey("lessons.id"))
    block_id: Mapped[int] = mapped_column(ForeignKey("blocks.id"), index=True)
    place: Mapped[int]
    club: Mapped[str | None]
    readings: Mapped[Mapping[str, Reading]]
    source: Mapped[str] = mapped_column(String(8))
    raw_file_id: Mapped[int | None] = mapped_column(ForeignKey("raw_files.id"), index=True)
    file_row: Mapped[int | None]
    left_out_reason: Mapped[str | None]
    hit_at: Mapped[datetime]
    typed_key: Mapped[str | None]
    """The page's own word for a typed ball: sent again, it is the same ball."""


class RecordingRow(Base):
    """One force recording; its bytes are those of its file."""

    __tablename__ = "force_recordings"
    __table_args__ = (
        UniqueConstraint("lesson_id", "place"),
        UniqueConstraint("raw_file_id"),
        UniqueConstraint("shot_id"),
        CheckConstraint("linked_by IN ('time', 'order', 'hand')", name="linked_by"),
        CheckConstraint("(shot_id IS NULL) = (linked_by IS NULL)", name="link_known"),
        CheckConstraint("strike_from IN ('launch monitor', 'set by hand')", name="strike_from"),
        CheckConstraint("(strike_s IS NULL) = (strike_from IS NULL)", name="strike_known"),
        CheckConstraint("left_out_reason <> ''", name="reason_given"),
        NEVER_REUSED,
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    lesson_id: Mapped[int] = mapped_column(ForeignKey("lessons.id"))
    place: Mapped[int]
    raw_file_id: Mapped[int] = mapped_column(ForeignKey("raw_files.id"))
    block_id: Mapped[int | None] = mapped_column(ForeignKey("blocks.id"))
    shot_id: Mapped[int | None] = mapped_column(ForeignKey("shots.id"))
    linked_by: Mapped[str | None] = mapped_column(String(8))
    choices_json: Mapped[str]
    mapping_json: Mapped[str | None]
    strike_s: Mapped[float | None]
    strike_from: Mapped[str | None] = mapped_column(String(16))
    left_out_reason: Mapped[str | None]
    received_at: Mapped[datetime]


class JumpFileRow(Base):
    """A recording of a jump as it came; once a student."""

    __tablename__ = "jump_files"
    __table_args__ = (UniqueConstraint("student_id", "digest"), NEVER_REUSED)

    id: Mapped[int] = mapped_column(primary_key=True)
    student_id: Mapped[int] = mapped_column(ForeignKey("students.id"))
    name: Mapped[str]
    digest: Mapped[str] = mapped_column(String(64))
    size_bytes: Mapped[int]
    received_at: Mapped[datetime]
    data: Mapped[bytes] = mapped_column(LargeBinary, deferred=True)


class JumpRow(Base):
    """One jump."""

    __tablename__ = "jumps"
    __table_args__ = (
        CheckConstraint("kind IN ('impulse', 'flight time', 'reach')", name="kind"),
        CheckConstraint("(kind = 'impulse') = (jump_file_id IS NOT NULL)", name="file_known"),
        CheckConstraint("left_out_reason <> ''", name="reason_given"),
        NEVER_REUSED,
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    student_id: Mapped[int] = mapped_column(ForeignKey("students.id"), index=True)
    done_on: Mapped[date]
    kind: Mapped[str] = mapped_column(String(16))
    height_m: Mapped[float]
    values_json: Mapped[str]
    jump_file_id: Mapped[int | None] = mapped_column(ForeignKey("jump_files.id"))
    left_out_reason: Mapped[str | None]
    added_at: Mapped[datetime]


class ScreeningRow(Base):
    """What a student answered before maximal efforts."""

    __tablename__ = "screenings"
    __table_args__ = (NEVER_REUSED,)

    id: Mapped[int] = mapped_column(primary_key=True)
    student_id: Mapped[int] = mapped_column(ForeignKey("students.id"), index=True)
    on_day: Mapped[date]
    junior: Mapped[bool]
    answers_json: Mapped[str]
    asked_at: Mapped[datetime]


class ClearanceRow(Base):
    """A clinician's word, as the coach recorded it."""

    __tablename__ = "clearances"
    __table_args__ = (CheckConstraint("clinician <> ''", name="clinician_named"), NEVER_REUSED)

    id: Mapped[int] = mapped_column(primary_key=True)
    student_id: Mapped[int] = mapped_column(ForeignKey("students.id"), index=True)
    clinician: Mapped[str]
    on_day: Mapped[date]
    until_day: Mapped[date | None]
    covers_json: Mapped[str]
    limits: Mapped[str]
    recorded_at: Mapped[datetime]


class MappingRow(Base):
    """A column mapping for one header; the latest is in force, the earlier ones are kept."""

    __tablename__ = "mappings"
    __table_args__ = ({**NEVER_REUSED, "info": {"last_holds_for": "header_digest"}},)

    id: Mapped[int] = mapped_column(primary_key=True)
    header_digest: Mapped[str] = mapped_column(String(64), index=True)
    """SHA-256 of the key: a header may be longer than an index can hold."""
    header_key: Mapped[str]
    mapping_json: Mapped[str]
    saved_at: Mapped[datetime]


class JudgementRow(Base):
    """An answer as it was given."""

    __tablename__ = "judgements"
    __table_args__ = (NEVER_REUSED,)

    id: Mapped[int] = mapped_column(primary_key=True)
    lesson_id: Mapped[int] = mapped_column(ForeignKey("lessons.id"), index=True)
    made_at: Mapped[datetime]
    version: Mapped[str]
    answer_json: Mapped[str]


class ChangeRow(Base):
    """That something changed; written in the same transaction as the change."""

    __tablename__ = "changes"
    __table_args__ = (Index(None, "lesson_id", "id"), {**NEVER_REUSED, "info": {"log": True}})

    id: Mapped[int] = mapped_column(primary_key=True)
    lesson_id: Mapped[int | None] = mapped_column(ForeignKey("lessons.id"))
    """None where the change belongs to no one lesson (students, mappings)."""
    at: Mapped[datetime]


class BayRow(Base):
    """A bay: a place from which shots arrive while they are hit."""

    __tablename__ = "bays"
    __table_args__ = (NEVER_REUSED,)

    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str] = mapped_column(unique=True)
    token_digest: Mapped[str] = mapped_column(String(64))
    """SHA-256 of the token; the token itself is shown once and kept nowhere."""
    lesson_id: Mapped[int | None] = mapped_column(ForeignKey("lessons.id"), index=True)
    added_at: Mapped[datetime]
    withdrawn_at: Mapped[datetime | None]


class ArrivalRow(Base):
    """That something arrived from a bay: its key stands here once, however often it comes."""

    __tablename__ = "arrivals"
    __table_args__ = (UniqueConstraint("bay_id", "key"), NEVER_REUSED)

    id: Mapped[int] = mapped_column(primary_key=True)
    bay_id: Mapped[int] = mapped_column(ForeignKey("bays.id"))
    key: Mapped[str]
    shot_id: Mapped[int | None] = mapped_column(ForeignKey("shots.id"), unique=True)
    """None for a ball that had been hit before anyone watched: it is in no lesson."""
    arrived_at: Mapped[datetime]


class WatchedFileRow(Base):
    """A file that a bay watches, as it was last seen: so it is known again under another name."""

    __tablename__ = "watched_files"
    __table_args__ = (UniqueConstraint("bay_id", "identity"), NEVER_REUSED)

    id: Mapped[int] = mapped_column(primary_key=True)
    bay_id: Mapped[int] = mapped_column(ForeignKey("bays.id"))
    name: Mapped[str]
    device: Mapped[str]
    """Device and number of the file there."""
    identity: Mapped[str]
    """What its keys begin with, whatever it is called."""
    rows_json: Mapped[str]
    """Digests of its rows, in order."""
