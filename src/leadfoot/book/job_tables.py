"""The table of long work: what was asked for, how far it is, what came of it."""

from datetime import datetime

from sqlalchemy import CheckConstraint, String, text
from sqlalchemy.orm import Mapped, mapped_column

from leadfoot.book.tables import NEVER_REUSED, Base


class JobRow(Base):
    """A piece of work that takes longer than a page may wait. It speaks of this book alone."""

    __tablename__ = "jobs"
    __table_args__ = (
        CheckConstraint("state IN ('waiting', 'at work', 'done', 'failed')", name="state"),
        CheckConstraint("n_done >= 0 AND n_done <= n_steps", name="progress"),
        {**NEVER_REUSED, "info": {"exported": False}},
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    kind: Mapped[str] = mapped_column(String(16), index=True)
    change: Mapped[int]
    """The last change of the book when it was asked for."""
    state: Mapped[str] = mapped_column(String(8))
    n_done: Mapped[int]
    n_steps: Mapped[int]
    result_json: Mapped[str | None]
    """What came of it, or in words what went wrong."""
    asked_at: Mapped[datetime]
    ended_at: Mapped[datetime | None]
    about: Mapped[str] = mapped_column(default="", server_default=text("''"))
    whose: Mapped[str] = mapped_column(default="", server_default=text("''"))
    """Who alone may have what came of it; empty: everyone."""
