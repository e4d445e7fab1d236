"""Schema 9: tables of shots from practice at home."""

import sqlalchemy as sa
from alembic import op

NUMBER = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
TIME = sa.DateTime(timezone=True)

revision = "0009"
down_revision = "0008"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "home_tables",
        sa.Column("id", NUMBER, nullable=False),
        sa.Column("homework_id", NUMBER, nullable=False),
        sa.Column("session", NUMBER, nullable=True),
        sa.Column("done_on", sa.Date(), nullable=False),
        sa.Column("place", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("size_bytes", NUMBER, nullable=False),
        sa.Column("shots_json", sa.Text(), nullable=False),
        sa.Column("n_shots", NUMBER, nullable=False),
        sa.Column("problems_json", sa.Text(), nullable=False),
        sa.Column("left_out_reason", sa.Text(), nullable=True),
        sa.Column("given_by", sa.String(length=8), nullable=False),
        sa.Column("given_at", TIME, nullable=False),
        sa.Column("data", sa.LargeBinary(), nullable=False),
        sa.CheckConstraint("session >= 1", name=op.f("ck_home_tables_session")),
        sa.CheckConstraint("n_shots >= 0", name=op.f("ck_home_tables_shots")),
        sa.CheckConstraint("place <> ''", name=op.f("ck_home_tables_place_named")),
        sa.CheckConstraint("left_out_reason <> ''", name=op.f("ck_home_tables_reason_given")),
        sa.CheckConstraint(
            "given_by IN ('student', 'coach')", name=op.f("ck_home_tables_given_by")
        ),
        sa.ForeignKeyConstraint(
            ["homework_id"], ["homework.id"], name=op.f("fk_home_tables_homework_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_home_tables")),
        sa.UniqueConstraint(
            "homework_id", "digest", name=op.f("uq_home_tables_homework_id_digest")
        ),
        sqlite_autoincrement=True,
    )


def downgrade() -> None:
    op.drop_table("home_tables")
