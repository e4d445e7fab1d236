"""Schema 3: force recordings of lessons; jumps, screenings and clearances of students."""

import sqlalchemy as sa
from alembic import op

NUMBER = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
TIME = sa.DateTime(timezone=True)

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "force_recordings",
        sa.Column("id", NUMBER, nullable=False),
        sa.Column("lesson_id", NUMBER, nullable=False),
        sa.Column("place", NUMBER, nullable=False),
        sa.Column("raw_file_id", NUMBER, nullable=False),
        sa.Column("block_id", NUMBER, nullable=True),
        sa.Column("shot_id", NUMBER, nullable=True),
        sa.Column("linked_by", sa.String(length=8), nullable=True),
        sa.Column("choices_json", sa.Text(), nullable=False),
        sa.Column("mapping_json", sa.Text(), nullable=True),
        sa.Column("strike_s", sa.Double(), nullable=True),
        sa.Column("strike_from", sa.String(length=16), nullable=True),
        sa.Column("left_out_reason", sa.Text(), nullable=True),
        sa.Column("received_at", TIME, nullable=False),
        sa.CheckConstraint(
            "linked_by IN ('time', 'order', 'hand')", name=op.f("ck_force_recordings_linked_by")
        ),
        sa.CheckConstraint(
            "(shot_id IS NULL) = (linked_by IS NULL)", name=op.f("ck_force_recordings_link_known")
        ),
        sa.CheckConstraint(
            "strike_from IN ('launch monitor', 'set by hand')",
            name=op.f("ck_force_recordings_strike_from"),
        ),
        sa.CheckConstraint(
            "(strike_s IS NULL) = (strike_from IS NULL)",
            name=op.f("ck_force_recordings_strike_known"),
        ),
        sa.CheckConstraint("left_out_reason <> ''", name=op.f("ck_force_recordings_reason_given")),
        sa.ForeignKeyConstraint(
            ["block_id"], ["blocks.id"], name=op.f("fk_force_recordings_block_id")
        ),
        sa.ForeignKeyConstraint(
            ["lesson_id"], ["lessons.id"], name=op.f("fk_force_recordings_lesson_id")
        ),
        sa.ForeignKeyConstraint(
            ["raw_file_id"], ["raw_files.id"], name=op.f("fk_force_recordings_raw_file_id")
        ),
        sa.ForeignKeyConstraint(
            ["shot_id"], ["shots.id"], name=op.f("fk_force_recordings_shot_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_force_recordings")),
        sa.UniqueConstraint("lesson_id", "place", name=op.f("uq_force_recordings_lesson_id_place")),
        sa.UniqueConstraint("raw_file_id", name=op.f("uq_force_recordings_raw_file_id")),
        sa.UniqueConstraint("shot_id", name=op.f("uq_force_recordings_shot_id")),
        sqlite_autoincrement=True,
    )

    op.create_table(
        "jump_files",
        sa.Column("id", NUMBER, nullable=False),
        sa.Column("student_id", NUMBER, nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("size_bytes", NUMBER, nullable=False),
        sa.Column("received_at", TIME, nullable=False),
        sa.Column("data", sa.LargeBinary(), nullable=False),
        sa.ForeignKeyConstraint(
            ["student_id"], ["students.id"], name=op.f("fk_jump_files_student_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_jump_files")),
        sa.UniqueConstraint("student_id", "digest", name=op.f("uq_jump_files_student_id_digest")),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "jumps",
        sa.Column("id", NUMBER, nullable=False),
        sa.Column("student_id", NUMBER, nullable=False),
        sa.Column("done_on", sa.Date(), nullable=False),
        sa.Column("kind", sa.String(length=16), nullable=False),
        sa.Column("height_m", sa.Double(), nullable=False),
        sa.Column("values_json", sa.Text(), nullable=False),
        sa.Column("jump_file_id", NUMBER, nullable=True),
        sa.Column("left_out_reason", sa.Text(), nullable=True),
        sa.Column("added_at", TIME, nullable=False),
        sa.CheckConstraint(
            "kind IN ('impulse', 'flight time', 'reach')", name=op.f("ck_jumps_kind")
        ),
        sa.CheckConstraint(
            "(kind = 'impulse') = (jump_file_id IS NOT NULL)", name=op.f("ck_jumps_file_known")
        ),
        sa.CheckConstraint("left_out_reason <> ''", name=op.f("ck_jumps_reason_given")),
        sa.ForeignKeyConstraint(
            ["jump_file_id"], ["jump_files.id"], name=op.f("fk_jumps_jump_file_id")
        ),
        sa.ForeignKeyConstraint(["student_id"], ["students.id"], name=op.f("fk_jumps_student_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_jumps")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_jumps_student_id", "jumps", ["student_id"])

    op.create_table(
        "screenings",
        sa.Column("id", NUMBER, nullable=False),
        sa.Column("student_id", NUMBER, nullable=False),
        sa.Column("on_day", sa.Date(), nullable=False),
        sa.Column("junior", sa.Boolean(), nullable=False),
        sa.Column("answers_json", sa.Text(), nullable=False),
        sa.Column("asked_at", TIME, nullable=False),
        sa.ForeignKeyConstraint(
            ["student_id"], ["students.id"], name=op.f("fk_screenings_student_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_screenings")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_screenings_student_id", "screenings", ["student_id"])

    op.create_table(
        "clearances",
        sa.Column("id", NUMBER, nullable=False),
        sa.Column("student_id", NUMBER, nullable=False),
        sa.Column("clinician", sa.Text(), nullable=False),
        sa.Column("on_day", sa.Date(), nullable=False),
        sa.Column("until_day", sa.Date(), nullable=True),
        sa.Column("covers_json", sa.Text(), nullable=False),
        sa.Column("limits", sa.Text(), nullable=False),
        sa.Column("recorded_at", TIME, nullable=False),
        sa.CheckConstraint("clinician <> ''", name=op.f("ck_clearances_clinician_named")),
        sa.ForeignKeyConstraint(
            ["student_id"], ["students.id"], name=op.f("fk_clearances_student_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_clearances")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_clearances_student_id", "clearances", ["student_id"])


def downgrade() -> None:
    op.drop_table("clearances")
    op.drop_table("screenings")
    op.drop_table("jumps")
    op.drop_table("jump_files")
    op.drop_table("force_recordings")
