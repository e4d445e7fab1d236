"""Schema 2: homework, private links, homework logs, planned tests, cautions given, cue names."""

import sqlalchemy as sa
from alembic import op

NUMBER = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
TIME = sa.DateTime(timezone=True)

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "homework",
        sa.Column("id", NUMBER, nullable=False),
        sa.Column("lesson_id", NUMBER, nullable=False),
        sa.Column("plan_json", sa.Text(), nullable=False),
        sa.Column("made_at", TIME, nullable=False),
        sa.ForeignKeyConstraint(["lesson_id"], ["lessons.id"], name=op.f("fk_homework_lesson_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_homework")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_homework_lesson_id", "homework", ["lesson_id"])

    op.create_table(
        "private_links",
        sa.Column("id", NUMBER, nullable=False),
        sa.Column("homework_id", NUMBER, nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("made_at", TIME, nullable=False),
        sa.Column("expires_at", TIME, nullable=False),
        sa.Column("withdrawn_at", TIME, nullable=True),
        sa.ForeignKeyConstraint(
            ["homework_id"], ["homework.id"], name=op.f("fk_private_links_homework_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_private_links")),
        sa.UniqueConstraint("digest", name=op.f("uq_private_links_digest")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_private_links_homework_id", "private_links", ["homework_id"])

    op.create_table(
        "homework_logs",
        sa.Column("id", NUMBER, nullable=False),
        sa.Column("homework_id", NUMBER, nullable=False),
        sa.Column("session", NUMBER, nullable=False),
        sa.Column("done_on", sa.Date(), nullable=False),
        sa.Column("n_balls", NUMBER, nullable=False),
        sa.Column("n_counted", NUMBER, nullable=False),
        sa.Column("n_met", NUMBER, nullable=False),
        sa.Column("pain", sa.Boolean(), nullable=False),
        sa.Column("notes", sa.Text(), nullable=False),
        sa.Column("logged_by", sa.String(length=8), nullable=False),
        sa.Column("logged_at", TIME, nullable=False),
        sa.CheckConstraint(
            "logged_by IN ('student', 'coach')", name=op.f("ck_homework_logs_logged_by")
        ),
        sa.CheckConstraint("n_balls >= 0", name=op.f("ck_homework_logs_balls")),
        sa.CheckConstraint("n_met >= 0 AND n_met <= n_counted", name=op.f("ck_homework_logs_met")),
        sa.ForeignKeyConstraint(
            ["homework_id"], ["homework.id"], name=op.f("fk_homework_logs_homework_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_homework_logs")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_homework_logs_homework_id", "homework_logs", ["homework_id"])

    op.create_table(
        "planned_tests",
        sa.Column("id", NUMBER, nullable=False),
        sa.Column("lesson_id", NUMBER, nullable=False),
        sa.Column("kind", sa.String(length=16), nullable=False),
        sa.Column("due_from", sa.Date(), nullable=False),
        sa.Column("due_to", sa.Date(), nullable=False),
        sa.Column("club", sa.Text(), nullable=True),
        sa.Column("words", sa.Text(), nullable=False),
        sa.Column("done_lesson_id", NUMBER, nullable=True),
        sa.Column("dropped", sa.Boolean(), nullable=False),
        sa.CheckConstraint("due_from <= due_to", name=op.f("ck_planned_tests_due")),
        sa.CheckConstraint("kind IN ('retention', 'transfer')", name=op.f("ck_planned_tests_kind")),
        sa.ForeignKeyConstraint(
            ["done_lesson_id"], ["lessons.id"], name=op.f("fk_planned_tests_done_lesson_id")
        ),
        sa.ForeignKeyConstraint(
            ["lesson_id"], ["lessons.id"], name=op.f("fk_planned_tests_lesson_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_planned_tests")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_planned_tests_lesson_id", "planned_tests", ["lesson_id"])

    op.create_table(
        "cautions_given",
        sa.Column("id", NUMBER, nullable=False),
        sa.Column("lesson_id", NUMBER, nullable=False),
        sa.Column("key", sa.String(length=64), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("given_at", TIME, nullable=False),
        sa.ForeignKeyConstraint(
            ["lesson_id"], ["lessons.id"], name=op.f("fk_cautions_given_lesson_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_cautions_given")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_cautions_given_lesson_id", "cautions_given", ["lesson_id"])

    op.create_table(
        "cue_names",
        sa.Column("id", NUMBER, nullable=False),
        sa.Column("spelling", sa.Text(), nullable=False),
        sa.Column("means", sa.Text(), nullable=False),
        sa.Column("saved_at", TIME, nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_cue_names")),
        sqlite_autoincrement=True,
    )


def downgrade() -> None:
    op.drop_table("cue_names")
    op.drop_table("cautions_given")
    op.drop_table("planned_tests")
    op.drop_table("homework_logs")
    op.drop_table("private_links")
    op.drop_table("homework")
