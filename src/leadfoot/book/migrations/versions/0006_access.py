"""Schema 6: accounts, sign-ins, tries, screens, settings of access, the log of who did what."""

import sqlalchemy as sa
from alembic import op

NUMBER = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
TIME = sa.DateTime(timezone=True)

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "accounts",
        sa.Column("id", NUMBER, nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("folded_name", sa.String(length=200), nullable=False),
        sa.Column("role", sa.String(length=8), nullable=False),
        sa.Column("password_hash", sa.Text(), nullable=False),
        sa.Column("added_at", TIME, nullable=False),
        sa.Column("password_at", TIME, nullable=False),
        sa.CheckConstraint("role IN ('owner', 'coach')", name=op.f("ck_accounts_role")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_accounts")),
        sa.UniqueConstraint("folded_name", name=op.f("uq_accounts_folded_name")),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "screens",
        sa.Column("id", NUMBER, nullable=False),
        sa.Column("bay_id", NUMBER, nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("made_at", TIME, nullable=False),
        sa.Column("expires_at", TIME, nullable=False),
        sa.Column("withdrawn_at", TIME, nullable=True),
        sa.ForeignKeyConstraint(["bay_id"], ["bays.id"], name=op.f("fk_screens_bay_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_screens")),
        sa.UniqueConstraint("digest", name=op.f("uq_screens_digest")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_screens_bay_id", "screens", ["bay_id"])
    op.create_table(
        "sign_ins",
        sa.Column("id", NUMBER, nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("account_id", NUMBER, nullable=True),
        sa.Column("screen_id", NUMBER, nullable=True),
        sa.Column("begun_at", TIME, nullable=False),
        sa.Column("seen_at", TIME, nullable=False),
        sa.Column("expires_at", TIME, nullable=False),
        sa.CheckConstraint(
            "(account_id IS NULL) <> (screen_id IS NULL)", name=op.f("ck_sign_ins_one")
        ),
        sa.ForeignKeyConstraint(["account_id"], ["accounts.id"], name="fk_sign_ins_account_id"),
        sa.ForeignKeyConstraint(["screen_id"], ["screens.id"], name="fk_sign_ins_screen_id"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_sign_ins")),
        sa.UniqueConstraint("digest", name=op.f("uq_sign_ins_digest")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_sign_ins_account_id", "sign_ins", ["account_id"])
    op.create_index("ix_sign_ins_screen_id", "sign_ins", ["screen_id"])
    op.create_table(
        "sign_in_tries",
        sa.Column("id", NUMBER, nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("n_failed", NUMBER, nullable=False),
        sa.Column("last_at", TIME, nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_sign_in_tries")),
        sa.UniqueConstraint("digest", name=op.f("uq_sign_in_tries_digest")),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "access_settings",
        sa.Column("id", NUMBER, nullable=False),
        sa.Column("key", sa.String(length=40), nullable=False),
        sa.Column("value", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_access_settings")),
        sa.UniqueConstraint("key", name=op.f("uq_access_settings_key")),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "access_log",
        sa.Column("id", NUMBER, nullable=False),
        sa.Column("at", TIME, nullable=False),
        sa.Column("who", sa.Text(), nullable=False),
        sa.Column("role", sa.String(length=8), nullable=False),
        sa.Column("deed", sa.String(length=8), nullable=False),
        sa.Column("what", sa.Text(), nullable=False),
        sa.Column("student_id", NUMBER, nullable=True),
        sa.Column("lesson_id", NUMBER, nullable=True),
        sa.Column("address", sa.Text(), nullable=False),
        sa.CheckConstraint(
            "deed IN ('saw', 'changed', 'entered', 'left', 'failed', 'refused')",
            name=op.f("ck_access_log_deed"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_access_log")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_access_log_at", "access_log", ["at"])
    op.create_index("ix_access_log_student_id", "access_log", ["student_id"])
    _only_added_to()


def downgrade() -> None:
    for table in ("access_log", "access_settings", "sign_in_tries", "sign_ins", "screens"):
        op.drop_table(table)
    op.drop_table("accounts")
    if op.get_bind().dialect.name == "postgresql":
        op.execute("DROP FUNCTION access_log_stays")


def _only_added_to() -> None:
    """Let the database itself refuse to change or delete a row of the log."""
    if op.get_bind().dialect.name == "postgresql":
        op.execute(
            "CREATE FUNCTION access_log_stays() RETURNS trigger LANGUAGE plpgsql AS "
            "$$ BEGIN RAISE EXCEPTION 'the log of access is only added to'; END $$"
        )
        op.execute(
            "CREATE TRIGGER access_log_stays BEFORE UPDATE OR DELETE ON access_log "
            "FOR EACH ROW EXECUTE FUNCTION access_log_stays()"
        )
        return
    for deed in ("update", "delete"):
        op.execute(
            f"CREATE TRIGGER access_log_no_{deed} BEFORE {deed.upper()} ON access_log "
            "BEGIN SELECT RAISE(ABORT, 'the log of access is only added to'); END"
        )
