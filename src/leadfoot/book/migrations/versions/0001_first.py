"""Schema 1: students, lessons, blocks, shots, raw files, mappings, judgements, changes."""

import sqlalchemy as sa
from alembic import op

NUMBER = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
TIME = sa.DateTime(timezone=True)

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "mappings",
        sa.Column("id", NUMBER, nullable=False),
        sa.Column("header_digest", sa.String(length=64), nullable=False),
        sa.Column("header_key", sa.Text(), nullable=False),
        sa.Column("mapping_json", sa.Text(), nullable=False),
        sa.Column("saved_at", TIME, nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_mappings")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_mappings_header_digest", "mappings", ["header_digest"])

    op.create_table(
        "students",
        sa.Column("id", NUMBER, nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("hand", sa.String(length=8), nullable=False),
        sa.Column("goals", sa.Text(), nullable=False),
        sa.Column("cautions", sa.Text(), nullable=False),
        sa.Column("invented", sa.Boolean(), nullable=False),
        sa.Column("added_at", TIME, nullable=False),
        sa.CheckConstraint("hand IN ('right', 'left')", name=op.f("ck_students_hand")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_students")),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "lessons",
        sa.Column("id", NUMBER, nullable=False),
        sa.Column("student_id", NUMBER, nullable=False),
        sa.Column("held_on", sa.Date(), nullable=False),
        sa.Column("title", sa.Text(), nullable=False),
        sa.Column("change", sa.Text(), nullable=False),
        sa.Column("club", sa.Text(), nullable=True),
        sa.Column("notes", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["student_id"], ["students.id"], name=op.f("fk_lessons_student_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_lessons")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_lessons_student_id", "lessons", ["student_id"])

    op.create_table(
        "blocks",
        sa.Column("id", NUMBER, nullable=False),
        sa.Column("lesson_id", NUMBER, nullable=False),
        sa.Column("place", NUMBER, nullable=False),
        sa.Column("label", sa.Text(), nullable=False),
        sa.Column("role", sa.String(length=16), nullable=False),
        sa.CheckConstraint(
            "role IN ('before', 'with_change', 'other')", name=op.f("ck_blocks_role")
        ),
        sa.ForeignKeyConstraint(["lesson_id"], ["lessons.id"], name=op.f("fk_blocks_lesson_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_blocks")),
        sa.UniqueConstraint("lesson_id", "place", name=op.f("uq_blocks_lesson_id_place")),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "changes",
        sa.Column("id", NUMBER, nullable=False),
        sa.Column("lesson_id", NUMBER, nullable=True),
        sa.Column("at", TIME, nullable=False),
        sa.ForeignKeyConstraint(["lesson_id"], ["lessons.id"], name=op.f("fk_changes_lesson_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_changes")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_changes_lesson_id_id", "changes", ["lesson_id", "id"])

    op.create_table(
        "judgements",
        sa.Column("id", NUMBER, nullable=False),
        sa.Column("lesson_id", NUMBER, nullable=False),
        sa.Column("made_at", TIME, nullable=False),
        sa.Column("version", sa.Text(), nullable=False),
        sa.Column("answer_json", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["lesson_id"], ["lessons.id"], name=op.f("fk_judgements_lesson_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_judgements")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_judgements_lesson_id", "judgements", ["lesson_id"])

    op.create_table(
        "raw_files",
        sa.Column("id", NUMBER, nullable=False),
        sa.Column("lesson_id", NUMBER, nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("size_bytes", NUMBER, nullable=False),
        sa.Column("received_at", TIME, nullable=False),
        sa.Column("imported_at", TIME, nullable=True),
        sa.Column("grew_from_id", NUMBER, nullable=True),
        sa.Column("data", sa.LargeBinary(), nullable=False),
        sa.ForeignKeyConstraint(
            ["grew_from_id"], ["raw_files.id"], name=op.f("fk_raw_files_grew_from_id")
        ),
        sa.ForeignKeyConstraint(["lesson_id"], ["lessons.id"], name=op.f("fk_raw_files_lesson_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_raw_files")),
        sa.UniqueConstraint("lesson_id", "digest", name=op.f("uq_raw_files_lesson_id_digest")),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "shots",
        sa.Column("id", NUMBER, nullable=False),
        sa.Column("lesson_id", NUMBER, nullable=False),
        sa.Column("block_id", NUMBER, nullable=False),
        sa.Column("place", NUMBER, nullable=False),
        sa.Column("club", sa.Text(), nullable=True),
        sa.Column("readings", sa.Text(), nullable=False),
        sa.Column("source", sa.String(length=8), nullable=False),
        sa.Column("raw_file_id", NUMBER, nullable=True),
        sa.Column("file_row", NUMBER, nullable=True),
        sa.Column("left_out_reason", sa.Text(), nullable=True),
        sa.Column("hit_at", TIME, nullable=False),
        sa.CheckConstraint(
            "(source = 'file') = (raw_file_id IS NOT NULL)", name=op.f("ck_shots_file_known")
        ),
        sa.CheckConstraint("left_out_reason <> ''", name=op.f("ck_shots_reason_given")),
        sa.CheckConstraint("source IN ('file', 'typed')", name=op.f("ck_shots_source")),
        sa.ForeignKeyConstraint(["block_id"], ["blocks.id"], name=op.f("fk_shots_block_id")),
        sa.ForeignKeyConstraint(["lesson_id"], ["lessons.id"], name=op.f("fk_shots_lesson_id")),
        sa.ForeignKeyConstraint(
            ["raw_file_id"], ["raw_files.id"], name=op.f("fk_shots_raw_file_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_shots")),
        sa.UniqueConstraint("lesson_id", "place", name=op.f("uq_shots_lesson_id_place")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_shots_block_id", "shots", ["block_id"])
    op.create_index("ix_shots_raw_file_id", "shots", ["raw_file_id"])


def downgrade() -> None:
    op.drop_table("shots")
    op.drop_table("raw_files")
    op.drop_table("judgements")
    op.drop_table("changes")
    op.drop_table("blocks")
    op.drop_table("lessons")
    op.drop_table("students")
    op.drop_table("mappings")
