"""Schema 7: long work, with its progress and what came of it."""

import sqlalchemy as sa
from alembic import op

NUMBER = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
TIME = sa.DateTime(timezone=True)

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "jobs",
        sa.Column("id", NUMBER, nullable=False),
        sa.Column("kind", sa.String(length=16), nullable=False),
        sa.Column("change", NUMBER, nullable=False),
        sa.Column("state", sa.String(length=8), nullable=False),
        sa.Column("n_done", NUMBER, nullable=False),
        sa.Column("n_steps", NUMBER, nullable=False),
        sa.Column("result_json", sa.Text(), nullable=True),
        sa.Column("asked_at", TIME, nullable=False),
        sa.Column("ended_at", TIME, nullable=True),
        sa.CheckConstraint("n_done >= 0 AND n_done <= n_steps", name=op.f("ck_jobs_progress")),
        sa.CheckConstraint(
            "state IN ('waiting', 'at work', 'done', 'failed')", name=op.f("ck_jobs_state")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_jobs")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_jobs_kind", "jobs", ["kind"])


def downgrade() -> None:
    op.drop_table("jobs")
