"""The tables of what happens after a lesson: homework, tests to come, cautions, cue names."""

from datetime import date, datetime

from sqlalchemy import CheckConstraint, ForeignKey, String, UniqueConstraint
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
