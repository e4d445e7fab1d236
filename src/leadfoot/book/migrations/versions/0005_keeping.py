"""Schema 5: students archived, consent, minors with their guardian; merges and imports noted."""

import sqlalchemy as sa
from alembic import op

NUMBER = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
TIME = sa.DateTime(timezone=True)

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("students", sa.Column("archived_at", TIME, nullable=True))
    op.add_column("students", sa.Column("consent_on", sa.Date(), nullable=True))
    op.add_column(
        "students",
        sa.Column("consent_words", sa.Text(), nullable=False, server_default=sa.text("''")),
    )
    op.add_column(
        "students", sa.Column("minor", sa.Boolean(), nullable=False, server_default=sa.false())
    )
    op.add_column(
        "students", sa.Column("guardian", sa.Text(), nullable=False, server_default=sa.text("''"))
    )

    op.create_table(
        "merges",
        sa.Column("id", NUMBER, nullable=False),
        sa.Column("student_id", NUMBER, nullable=False),
        sa.Column("other_number", NUMBER, nullable=False),
        sa.Column("other_added_at", TIME, nullable=False),
        sa.Column("other_json", sa.Text(), nullable=False),
        sa.Column("merged_at", TIME, nullable=False),
        sa.ForeignKeyConstraint(["student_id"], ["students.id"], name=op.f("fk_merges_student_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_merges")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_merges_student_id", "merges", ["student_id"])
    op.create_table(
        "imports",
        sa.Column("id", NUMBER, nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("brought_at", TIME, nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_imports")),
        sa.UniqueConstraint("digest", name=op.f("uq_imports_digest")),
        sqlite_autoincrement=True,
    )


def downgrade() -> None:
    op.drop_table("imports")
    op.drop_table("merges")
    for column in ("guardian", "minor", "consent_words", "consent_on", "archived_at"):
        op.drop_column("students", column)
