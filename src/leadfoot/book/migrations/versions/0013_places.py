"""Schema 13: where the balls of a lesson are hit."""

import sqlalchemy as sa
from alembic import op

revision = "0013"
down_revision = "0012"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column(
        "lessons",
        sa.Column("place", sa.Text(), nullable=False, server_default=sa.text("'studio'")),
    )


def downgrade() -> None:
    op.drop_column("lessons", "place")
