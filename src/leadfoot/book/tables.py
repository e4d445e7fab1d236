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
        CheckConstraint("source IN ('file', 'typed')", name="source"),
        CheckConstraint("(source = 'file') = (raw_file_id IS NOT NULL)", name="file_known"),
        CheckConstraint("left_out_reason <> ''", name="reason_given"),
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


class MappingRow(Base):
    """A column mapping for one header; the latest is in force, the earlier ones are kept."""

    __tablename__ = "mappings"
    __table_args__ = (NEVER_REUSED,)

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
    __table_args__ = (Index(None, "lesson_id", "id"), NEVER_REUSED)

    id: Mapped[int] = mapped_column(primary_key=True)
    lesson_id: Mapped[int | None] = mapped_column(ForeignKey("lessons.id"))
    """None where the change belongs to no one lesson (students, mappings)."""
    at: Mapped[datetime]
