"""Schema 4: bays, what arrived from them, and the files that they watch; shots that came live."""

import sqlalchemy as sa
from alembic import op

NUMBER = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
TIME = sa.DateTime(timezone=True)

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    _shots_of("'file', 'typed', 'live'")
    op.create_table(
        "bays",
        sa.Column("id", NUMBER, nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("token_digest", sa.String(length=64), nullable=False),
        sa.Column("lesson_id", NUMBER, nullable=True),
        sa.Column("added_at", TIME, nullable=False),
        sa.Column("withdrawn_at", TIME, nullable=True),
        sa.ForeignKeyConstraint(["lesson_id"], ["lessons.id"], name=op.f("fk_bays_lesson_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_bays")),
        sa.UniqueConstraint("name", name=op.f("uq_bays_name")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_bays_lesson_id", "bays", ["lesson_id"])
    op.create_table(
        "arrivals",
        sa.Column("id", NUMBER, nullable=False),
        sa.Column("bay_id", NUMBER, nullable=False),
        sa.Column("key", sa.Text(), nullable=False),
        sa.Column("shot_id", NUMBER, nullable=True),
        sa.Column("arrived_at", TIME, nullable=False),
        sa.ForeignKeyConstraint(["bay_id"], ["bays.id"], name=op.f("fk_arrivals_bay_id")),
        sa.ForeignKeyConstraint(["shot_id"], ["shots.id"], name=op.f("fk_arrivals_shot_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_arrivals")),
        sa.UniqueConstraint("bay_id", "key", name=op.f("uq_arrivals_bay_id_key")),
        sa.UniqueConstraint("shot_id", name=op.f("uq_arrivals_shot_id")),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "watched_files",
        sa.Column("id", NUMBER, nullable=False),
        sa.Column("bay_id", NUMBER, nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("device", sa.Text(), nullable=False),
        sa.Column("identity", sa.Text(), nullable=False),
        sa.Column("rows_json", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["bay_id"], ["bays.id"], name=op.f("fk_watched_files_bay_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_watched_files")),
        sa.UniqueConstraint("bay_id", "identity", name=op.f("uq_watched_files_bay_id_identity")),
        sqlite_autoincrement=True,
    )


def downgrade() -> None:
    op.drop_table("watched_files")
    op.drop_table("arrivals")
    op.drop_table("bays")
    # The earlier schema has no word for them; the balls themselves stay.
    op.execute("UPDATE shots SET source = 'typed' WHERE source = 'live'")
    _shots_of("'file', 'typed'")


def _shots_of(sources: str) -> None:
    """Copy the shots into a table with other sources; numbers once given stay given.

    What Alembic's batch mode does, by hand: it writes the constraints in no fixed order, and a
    migration has to make the same table each time.
    """
    connection = op.get_bind()
    if connection.dialect.name == "postgresql":  # it can alter a table in place
        op.drop_constraint(op.f("ck_shots_source"), "shots")
        op.create_check_constraint(op.f("ck_shots_source"), "shots", f"source IN ({sources})")
        return
    given = connection.scalar(sa.text("SELECT seq FROM sqlite_sequence WHERE name = 'shots'"))
    op.create_table(
        "shots_anew",
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
        sa.CheckConstraint(f"source IN ({sources})", name=op.f("ck_shots_source")),
        sa.ForeignKeyConstraint(["block_id"], ["blocks.id"], name=op.f("fk_shots_block_id")),
        sa.ForeignKeyConstraint(["lesson_id"], ["lessons.id"], name=op.f("fk_shots_lesson_id")),
        sa.ForeignKeyConstraint(
            ["raw_file_id"], ["raw_files.id"], name=op.f("fk_shots_raw_file_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_shots")),
        sa.UniqueConstraint("lesson_id", "place", name=op.f("uq_shots_lesson_id_place")),
        sqlite_autoincrement=True,
    )
    op.execute(
        "INSERT INTO shots_anew (id, lesson_id, block_id, place, club, readings, source, "
        "raw_file_id, file_row, left_out_reason, hit_at) SELECT id, lesson_id, block_id, place, "
        "club, readings, source, raw_file_id, file_row, left_out_reason, hit_at FROM shots"
    )
    op.drop_table("shots")
    op.rename_table("shots_anew", "shots")
    op.create_index("ix_shots_block_id", "shots", ["block_id"])
    op.create_index("ix_shots_raw_file_id", "shots", ["raw_file_id"])
    if given is not None:
        op.execute("DELETE FROM sqlite_sequence WHERE name = 'shots'")
        connection.execute(
            sa.text("INSERT INTO sqlite_sequence (name, seq) VALUES ('shots', :given)"),
            {"given": given},
        )
