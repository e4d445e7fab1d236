"""The table of the coach's own cues, aids and drills."""

from datetime import datetime

from sqlalchemy.orm import Mapped, mapped_column

from leadfoot.book.tables import NEVER_REUSED, Base


class OwnDrillRow(Base):
    """A coach's own cue, aid or drill as it was written; the latest of a key is in force."""

    __tablename__ = "own_drills"
    __table_args__ = ({**NEVER_REUSED, "info": {"last_holds_for": "key"}},)

    id: Mapped[int] = mapped_column(primary_key=True)
    key: Mapped[str]
    drill_json: Mapped[str | None]
    """Its fields, as the catalogue of the program has them; None: it was taken away."""
    saved_at: Mapped[datetime]
