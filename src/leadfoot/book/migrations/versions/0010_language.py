"""Schema 10: the language in which a student reads."""

import sqlalchemy as sa
from alembic import op

revision = "0010"
down_revision = "0009"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column(
        "students",
        sa.Column("language", sa.Text(), nullable=False, server_default=sa.text("'en'")),
    )


def downgrade() -> None:
    op.drop_column("students", "language")
