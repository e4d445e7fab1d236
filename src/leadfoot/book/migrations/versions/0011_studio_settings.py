"""Schema 11: what a studio has set, by whom and when."""

import sqlalchemy as sa
from alembic import op

NUMBER = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
TIME = sa.DateTime(timezone=True)

revision = "0011"
down_revision = "0010"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "studio_settings",
        sa.Column("id", NUMBER, nullable=False),
        sa.Column("key", sa.String(length=80), nullable=False),
        sa.Column("value_json", sa.Text(), nullable=True),
        sa.Column("saved_by", sa.Text(), nullable=False),
        sa.Column("saved_at", TIME, nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_studio_settings")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_studio_settings_key", "studio_settings", ["key"])


def downgrade() -> None:
    op.drop_table("studio_settings")
