"""The table of plans that are being hit."""

from datetime import datetime

from sqlalchemy import CheckConstraint, ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from leadfoot.book.tables import NEVER_REUSED, Base


class RunningPlanRow(Base):
    """A plan as it was started for a lesson; the latest is the one that is hit."""

    __tablename__ = "running_plans"
    __table_args__ = (CheckConstraint("from_place >= 0", name="from_place"), NEVER_REUSED)

    id: Mapped[int] = mapped_column(primary_key=True)
    lesson_id: Mapped[int] = mapped_column(ForeignKey("lessons.id"), index=True)
    plan_json: Mapped[str]
    """Its blocks in hitting order, what it looks for, and how it was drawn."""
    from_place: Mapped[int]
    """Balls of the lesson up to this place came before the plan."""
    by_itself: Mapped[bool]
    """Whether the running block switches by itself when a block of the plan is full."""
    started_at: Mapped[datetime]
    stopped_at: Mapped[datetime | None]
