"""Schema 12: plans that are being hit."""

import sqlalchemy as sa
from alembic import op

NUMBER = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
TIME = sa.DateTime(timezone=True)

revision = "0012"
down_revision = "0011"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "running_plans",
        sa.Column("id", NUMBER, nullable=False),
        sa.Column("lesson_id", NUMBER, nullable=False),
        sa.Column("plan_json", sa.Text(), nullable=False),
        sa.Column("from_place", NUMBER, nullable=False),
        sa.Column("by_itself", sa.Boolean(), nullable=False),
        sa.Column("started_at", TIME, nullable=False),
        sa.Column("stopped_at", TIME, nullable=True),
        sa.CheckConstraint("from_place >= 0", name=op.f("ck_running_plans_from_place")),
        sa.ForeignKeyConstraint(
            ["lesson_id"], ["lessons.id"], name=op.f("fk_running_plans_lesson_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_running_plans")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_running_plans_lesson_id", "running_plans", ["lesson_id"])


def downgrade() -> None:
    op.drop_table("running_plans")
