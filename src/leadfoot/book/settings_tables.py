"""The table of what a studio has set: units, air, errors of its monitor, clubs of its own."""

from datetime import datetime

from sqlalchemy import String
from sqlalchemy.orm import Mapped, mapped_column

from leadfoot.book.tables import NEVER_REUSED, Base


class StudioSettingRow(Base):
    """A setting of the studio as it was saved, and by whom; the latest of a key is in force."""

    __tablename__ = "studio_settings"
    __table_args__ = ({**NEVER_REUSED, "info": {"last_holds_for": "key"}},)

    id: Mapped[int] = mapped_column(primary_key=True)
    key: Mapped[str] = mapped_column(String(80), index=True)
    value_json: Mapped[str | None]
    """None: back to what is usual, or taken away."""
    saved_by: Mapped[str]
    saved_at: Mapped[datetime]
