"""The tables of what happens after a lesson: homework, tests to come, cautions, cue names."""

from datetime import date, datetime

from sqlalchemy import CheckConstraint, ForeignKey, LargeBinary, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from leadfoot.book.tables import NEVER_REUSED, Base


class HomeworkRow(Base):
    """A plan for home."""

    __tablename__ = "homework"
    __table_args__ = (NEVER_REUSED,)

    id: Mapped[int] = mapped_column(primary_key=True)
    lesson_id: Mapped[int] = mapped_column(ForeignKey("lessons.id"), index=True)
    plan_json: Mapped[str]
    made_at: Mapped[datetime]


class LinkRow(Base):
    """A private link; the secret itself is nowhere in the book."""

    __tablename__ = "private_links"
    __table_args__ = (UniqueConstraint("digest"), NEVER_REUSED)

    id: Mapped[int] = mapped_column(primary_key=True)
    homework_id: Mapped[int] = mapped_column(ForeignKey("homework.id"), index=True)
    digest: Mapped[str] = mapped_column(String(64))
    made_at: Mapped[datetime]
    expires_at: Mapped[datetime]
    withdrawn_at: Mapped[datetime | None]


class HomeworkLogRow(Base):
    """A session as it was written down."""

    __tablename__ = "homework_logs"
    __table_args__ = (
        CheckConstraint("logged_by IN ('student', 'coach')", name="logged_by"),
        CheckConstraint("n_met >= 0 AND n_met <= n_counted", name="met"),
        CheckConstraint("n_balls >= 0", name="balls"),
        NEVER_REUSED,
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    homework_id: Mapped[int] = mapped_column(ForeignKey("homework.id"), index=True)
    session: Mapped[int]
    done_on: Mapped[date]
    n_balls: Mapped[int]
    n_counted: Mapped[int]
    n_met: Mapped[int]
    pain: Mapped[bool]
    notes: Mapped[str]
    logged_by: Mapped[str] = mapped_column(String(8))
    logged_at: Mapped[datetime]


class HomeTableRow(Base):
    """A table of shots from practice; once a plan, however often it is given."""

    __tablename__ = "home_tables"
    __table_args__ = (
        UniqueConstraint("homework_id", "digest"),
        CheckConstraint("session >= 1", name="session"),
        CheckConstraint("n_shots >= 0", name="shots"),
        CheckConstraint("place <> ''", name="place_named"),
        CheckConstraint("left_out_reason <> ''", name="reason_given"),
        CheckConstraint("given_by IN ('student', 'coach')", name="given_by"),
        NEVER_REUSED,
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    homework_id: Mapped[int] = mapped_column(ForeignKey("homework.id"))
    session: Mapped[int | None]
    """Number of the session in the plan; None for practice beside it."""
    done_on: Mapped[date]
    place: Mapped[str]
    name: Mapped[str]
    digest: Mapped[str] = mapped_column(String(64))
    size_bytes: Mapped[int]
    shots_json: Mapped[str]
    n_shots: Mapped[int]
    problems_json: Mapped[str]
    left_out_reason: Mapped[str | None]
    given_by: Mapped[str] = mapped_column(String(8))
    given_at: Mapped[datetime]
    data: Mapped[bytes] = mapped_column(LargeBinary, deferred=True)


class PlannedTestRow(Base):
    """A test that is planned for the change of a lesson."""

    __tablename__ = "planned_tests"
    __table_args__ = (
        CheckConstraint("kind IN ('retention', 'transfer')", name="kind"),
        CheckConstraint("due_from <= due_to", name="due"),
        NEVER_REUSED,
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    lesson_id: Mapped[int] = mapped_column(ForeignKey("lessons.id"), index=True)
    kind: Mapped[str] = mapped_column(String(16))
    due_from: Mapped[date]
    due_to: Mapped[date]
    club: Mapped[str | None]
    words: Mapped[str]
    done_lesson_id: Mapped[int | None] = mapped_column(ForeignKey("lessons.id"))
    dropped: Mapped[bool]


class CautionRow(Base):
    """A caution that was shown and acknowledged."""

    __tablename__ = "cautions_given"
    __table_args__ = (NEVER_REUSED,)

    id: Mapped[int] = mapped_column(primary_key=True)
    lesson_id: Mapped[int] = mapped_column(ForeignKey("lessons.id"), index=True)
    key: Mapped[str] = mapped_column(String(64))
    text: Mapped[str]
    given_at: Mapped[datetime]


class CueNameRow(Base):
    """That one spelling of a cue stands for another; the latest is in force."""

    __tablename__ = "cue_names"
    __table_args__ = (NEVER_REUSED,)

    id: Mapped[int] = mapped_column(primary_key=True)
    spelling: Mapped[str]
    means: Mapped[str]
    saved_at: Mapped[datetime]
