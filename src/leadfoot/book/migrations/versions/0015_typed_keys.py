"""Schema 15: the key under which a typed ball was sent, so that it is not written twice."""

import sqlalchemy as sa
from alembic import op

revision = "0015"
down_revision = "0014"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("shots", sa.Column("typed_key", sa.Text(), nullable=True))
    op.create_index("ix_shots_typed_key", "shots", ["lesson_id", "typed_key"], unique=True)


def downgrade() -> None:
    op.drop_index("ix_shots_typed_key", "shots")
    op.drop_column("shots", "typed_key")
