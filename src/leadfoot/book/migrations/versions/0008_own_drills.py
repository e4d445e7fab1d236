"""Schema 8: the coach's own cues, aids and drills."""

import sqlalchemy as sa
from alembic import op

NUMBER = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
TIME = sa.DateTime(timezone=True)

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "own_drills",
        sa.Column("id", NUMBER, nullable=False),
        sa.Column("key", sa.Text(), nullable=False),
        sa.Column("drill_json", sa.Text(), nullable=True),
        sa.Column("saved_at", TIME, nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_own_drills")),
        sqlite_autoincrement=True,
    )


def downgrade() -> None:
    op.drop_table("own_drills")
