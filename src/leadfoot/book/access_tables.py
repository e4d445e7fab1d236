"""The tables of who may come in: accounts, sign-ins, tries, screens, and the log of who did what.

None of them belongs to a student, and none is in an export: they speak of this book's door alone.
The log names a student by number only, so that nothing personal is left once one is erased.
"""

from datetime import datetime

from sqlalchemy import CheckConstraint, ForeignKey, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from leadfoot.book.tables import NEVER_REUSED, Base

AT_HOME = {**NEVER_REUSED, "info": {"exported": False}}
"""Numbers never given again, and rows that stay where they are."""


class AccountRow(Base):
    """Someone who may sign in."""

    __tablename__ = "accounts"
    __table_args__ = (
        UniqueConstraint("folded_name"),
        CheckConstraint("role IN ('owner', 'coach')", name="role"),
        AT_HOME,
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str]
    folded_name: Mapped[str] = mapped_column(String(200))
    """The name without case and accents, so that nobody can be mistaken for another."""
    role: Mapped[str] = mapped_column(String(8))
    password_hash: Mapped[str]
    """Argon2id with its salt and its costs, as one text."""
    added_at: Mapped[datetime]
    password_at: Mapped[datetime]


class ScreenRow(Base):
    """A private address that makes a machine the big screen of one bay."""

    __tablename__ = "screens"
    __table_args__ = (UniqueConstraint("digest"), AT_HOME)

    id: Mapped[int] = mapped_column(primary_key=True)
    bay_id: Mapped[int] = mapped_column(ForeignKey("bays.id"), index=True)
    digest: Mapped[str] = mapped_column(String(64))
    made_at: Mapped[datetime]
    expires_at: Mapped[datetime]
    withdrawn_at: Mapped[datetime | None]


class SignInRow(Base):
    """That a browser has signed in, as an account or as a screen; its token is kept hashed."""

    __tablename__ = "sign_ins"
    __table_args__ = (
        UniqueConstraint("digest"),
        CheckConstraint("(account_id IS NULL) <> (screen_id IS NULL)", name="one"),
        AT_HOME,
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    digest: Mapped[str] = mapped_column(String(64))
    account_id: Mapped[int | None] = mapped_column(ForeignKey("accounts.id"), index=True)
    screen_id: Mapped[int | None] = mapped_column(ForeignKey("screens.id"), index=True)
    begun_at: Mapped[datetime]
    seen_at: Mapped[datetime]
    expires_at: Mapped[datetime]


class TryRow(Base):
    """How often signing in has failed under a name, or from an address."""

    __tablename__ = "sign_in_tries"
    __table_args__ = (UniqueConstraint("digest"), AT_HOME)

    id: Mapped[int] = mapped_column(primary_key=True)
    digest: Mapped[str] = mapped_column(String(64))
    n_failed: Mapped[int]
    last_at: Mapped[datetime]


class SettingRow(Base):
    """How the desk is opened; one row a setting."""

    __tablename__ = "access_settings"
    __table_args__ = (UniqueConstraint("key"), AT_HOME)

    id: Mapped[int] = mapped_column(primary_key=True)
    key: Mapped[str] = mapped_column(String(40))
    value: Mapped[str]


class LogRow(Base):
    """That someone saw or changed something. Rows are only ever added: the database refuses more.

    Students, lessons and files stand here by number and without a link, so that erasing a student
    leaves the record that it was done, and no personal data.
    """

    __tablename__ = "access_log"
    __table_args__ = (
        CheckConstraint(
            "deed IN ('saw', 'changed', 'entered', 'left', 'failed', 'refused')", name="deed"
        ),
        AT_HOME,
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    at: Mapped[datetime] = mapped_column(index=True)
    who: Mapped[str]
    role: Mapped[str] = mapped_column(String(8))
    deed: Mapped[str] = mapped_column(String(8))
    what: Mapped[str]
    student_id: Mapped[int | None] = mapped_column(index=True)
    lesson_id: Mapped[int | None]
    address: Mapped[str]
