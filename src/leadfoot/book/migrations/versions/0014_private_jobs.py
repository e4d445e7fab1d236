"""Schema 14: what a job is about, and whose it is."""

import sqlalchemy as sa
from alembic import op

revision = "0014"
down_revision = "0013"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column(
        "jobs", sa.Column("about", sa.Text(), nullable=False, server_default=sa.text("''"))
    )
    op.add_column(
        "jobs", sa.Column("whose", sa.Text(), nullable=False, server_default=sa.text("''"))
    )


def downgrade() -> None:
    op.drop_column("jobs", "whose")
    op.drop_column("jobs", "about")
