"""Every schema that a book ever had opens today; nothing is changed without a copy before."""

import hashlib
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from alembic.util import CommandError
from sqlalchemy import CheckConstraint, create_engine, inspect

from leadfoot.book import upgrade
from leadfoot.book.store import open_book
from leadfoot.book.tables import Base
from leadfoot.desk.access_records import LogFilter
from leadfoot.desk.home_shots import shots_in
from leadfoot.desk.ports import Book
from leadfoot.desk.records import Student
from leadfoot.errors import BookError
from leadfoot.shots.shot import Reading
from tests.book.samples import AT, carried, some_block, some_student

SCHEMAS = Path(__file__).with_name("schemas")
NOW = datetime(2026, 3, 1, 9, 15, 30, tzinfo=UTC)
NEXT = upgrade.newest_schema() + 1
WITH_HOMEWORK = 2
WITH_GROUND = 3
WITH_BAYS = 4
WITH_KEEPING = 5
WITH_ACCESS = 6
WITH_OWN_DRILLS = 8
WITH_HOME_TABLES = 9
WITH_LANGUAGE = 10
WITH_SETTINGS = 11
WITH_PLANS = 12
WITH_PLACES = 13
WITH_PRIVATE_JOBS = 14
WITH_TYPED_KEYS = 15
NEXT_MIGRATION = f'''
import sqlalchemy as sa
from alembic import op

revision = "{NEXT:04d}"
down_revision = "{NEXT - 1:04d}"


def upgrade() -> None:
    with op.batch_alter_table("students", recreate="always") as table:
        table.add_column(sa.Column("email", sa.Text(), nullable=False, server_default=""))
    {{more}}


def downgrade() -> None:
    with op.batch_alter_table("students") as table:
        table.drop_column("email")
'''


def build(path: Path, schema: int) -> None:
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript((SCHEMAS / f"{schema:04d}.sql").read_text(encoding="utf-8"))


def tomorrow(monkeypatch: pytest.MonkeyPatch, folder: Path, more: str = "pass") -> None:
    """Let the program be one schema newer than it is."""
    with upgrade.migrations() as today:
        shutil.copytree(today, folder, ignore=shutil.ignore_patterns("__pycache__"))
    file = folder / "versions" / f"{NEXT:04d}_tomorrow.py"
    file.write_text(NEXT_MIGRATION.format(more=more))

    @contextmanager
    def migrations() -> Iterator[Path]:
        yield folder

    monkeypatch.setattr(upgrade, "migrations", migrations)


def test_every_schema_has_its_book_and_its_migration() -> None:
    kept = sorted(int(file.stem) for file in SCHEMAS.glob("*.sql"))
    assert kept == list(range(1, upgrade.newest_schema() + 1))


@pytest.mark.parametrize("schema", range(1, upgrade.newest_schema() + 1))
def test_a_book_of_every_schema_opens_whole(book_path: Path, schema: int) -> None:
    build(book_path, schema)
    with open_book(book_path) as book:
        (student,) = book.students()
        assert (student.name, student.hand, student.goals, student.cautions, student.invented) == (
            "Zoë Example",
            "left",
            "Longer; a 'quoted' goal",
            "Lower back",
            True,
        )
        assert student.added_at == datetime(2026, 2, 1, 8, 0, 0, 250_000, tzinfo=UTC)
        (lesson,) = book.lessons(student.id)
        assert (lesson.held_on.isoformat(), lesson.title, lesson.change, lesson.club) == (
            "2026-02-01",
            "Driver",
            "Press the lead foot",
            "Driver",
        )
        assert lesson.notes == "Windy\nand cold"
        assert lesson.place == ("Hill Farm" if schema >= WITH_PLACES else "studio")
        assert [(one.place, one.label, one.role) for one in book.blocks(lesson.id)] == [
            (1, "before", "before"),
            (2, "cue", "with_change"),
        ]
        shots = book.shots(lesson.id)
        assert [(one.place, one.source, one.row, one.left_out_reason) for one in shots] == [
            (1, "file", 2, None),
            (2, "file", 3, "phone rang"),
            (3, "file", 4, None),
            (4, "typed", None, None),
            *([(5, "live", None, None)] if schema >= WITH_BAYS else []),
        ]
        assert shots[0].values == {
            "carry": Reading(value=0.1 + 0.2, unit="yd"),
            "smash_factor": Reading(value=1.48, unit=None),
        }
        typed = book.typed_shot(lesson.id, "c0ffee")
        assert typed == (shots[3] if schema >= WITH_TYPED_KEYS else None)
        file, *further = book.raw_files(lesson.id)
        assert book.raw_file(file.id) == (file, b"Carry,Smash\r\n\xff\x00")
        assert file.imported
        assert book.mapping("carry|smash") == '{"columns":[]}'
        (judgement,) = book.judgements(lesson.id)
        assert (judgement.version, judgement.answer_json) == ("0.1.0", '{"n":1}')
        assert list(book.changes_since(0).values())[:2] == [0, lesson.id]
        book.add_shot(shots[-1].block_id, carried(200.0), at=AT)
        assert len(book.homework_of(student.id)) == (1 if schema >= WITH_HOMEWORK else 0)
        if schema >= WITH_HOMEWORK:
            _check_homework(book, student.id, lesson.id)
            _check_home_tables(book, student.id, there=schema >= WITH_HOME_TABLES)
        assert (
            len(further) == len(book.recordings(lesson.id)) == (1 if schema >= WITH_GROUND else 0)
        )
        if schema >= WITH_GROUND:
            _check_ground(book, student.id, lesson.id, shots[3].id)
        _check_keeping(student, there=schema >= WITH_KEEPING)
        assert student.language == ("de" if schema >= WITH_LANGUAGE else "en")
        if schema >= WITH_BAYS:
            _check_bays(book, lesson.id, shots[4].id)
        assert book.access.has_accounts() == (schema >= WITH_ACCESS)
        if schema >= WITH_ACCESS:
            _check_access(book, student.id)
        assert book.own_drills() == ({"own_rope": '{"n":3}'} if schema >= WITH_OWN_DRILLS else {})
        units = {"units": ('{"speed":"km/h"}', "Olga Owner")} if schema >= WITH_SETTINGS else {}
        plan = book.running_plan(lesson.id)
        assert (plan is not None) == (schema >= WITH_PLANS)
        assert plan is None or (plan.plan_json, plan.from_place) == ('{"n":1}', 4)
        backup = book.jobs.newest("backup")
        whose = book.jobs.job(1) if schema >= WITH_PRIVATE_JOBS else backup
        assert whose is None or (whose.about, whose.whose) == (
            ("book", "account 1") if schema >= WITH_PRIVATE_JOBS else ("", "")
        )
        settings = book.settings().items()
        assert {key: (one.value_json, one.saved_by) for key, one in settings} == units


def _check_keeping(student: Student, *, there: bool) -> None:
    if not there:
        assert (student.archived_at, student.consent_on, student.minor) == (None, None, False)
        return
    assert (student.archived_at, student.consent_on, student.consent_words) == (
        datetime(2026, 2, 2, 8, tzinfo=UTC),
        date(2026, 1, 31),
        "Agreed in writing",
    )
    assert (student.minor, student.guardian) == (True, "Gro Example, 555 0100")


def _check_homework(book: Book, student_id: int, lesson_id: int) -> None:
    (plan,) = book.homework_of(student_id)
    assert (plan.lesson_id, plan.plan_json) == (lesson_id, '{"n":2}')
    (link,) = book.links(plan.id)
    assert link == book.link_by_digest("ab" * 32)
    assert link.withdrawn_at is not None
    (log,) = book.homework_logs(plan.id)
    assert (log.session, log.n_balls, log.n_counted, log.n_met) == (1, 40, 20, 12)
    assert (log.pain, log.notes, log.logged_by) == (False, "Windy\nagain", "student")
    (test,) = book.planned_tests(lesson_id)
    assert (test.kind, test.done_lesson_id, test.dropped) == ("retention", lesson_id, False)
    (caution,) = book.cautions_given(lesson_id)
    assert (caution.key, caution.text) == ("warm_up", "Warm up first.")
    assert book.cue_names() == {"press": "press the lead foot"}


def _check_home_tables(book: Book, student_id: int, *, there: bool) -> None:
    (plan,) = book.homework_of(student_id)
    tables = book.home_tables(plan.id)
    assert len(tables) == (1 if there else 0)
    for table in tables:
        assert (table.session, table.done_on, table.place) == (2, date(2026, 2, 5), "range")
        assert (table.name, table.size_bytes, table.n_shots) == ("balls.csv", 8, 1)
        assert (table.left_out_reason, table.given_by) == ("the wrong file", "student")
        assert shots_in(table)[0].values == {"carry": Reading(value=0.1 + 0.2, unit="yd")}
        data = b"Carry\r\n\xff"
        assert book.home_table(table.id) == (table, data)
        assert table.digest == hashlib.sha256(data).hexdigest()


def _check_ground(book: Book, student_id: int, lesson_id: int, shot_id: int) -> None:
    (recording,) = book.recordings(lesson_id)
    assert (recording.shot_id, recording.linked_by) == (shot_id, "hand")
    assert (recording.strike_s, recording.strike_from) == (2.125, "set by hand")
    assert recording.choices_json == '{"hand":"left"}'
    assert book.raw_file(recording.raw_file_id)[1] == b"\x02P\x00"
    (jump,) = book.jumps(student_id)
    assert (jump.kind, jump.height_m) == ("impulse", 0.1 + 0.2)
    assert book.jump_file(jump.jump_file_id or 0)[1] == b"Fz\r\n\xff"
    assert dict(book.screenings(student_id)[0].answers) == {"pain_now": True}
    assert book.clearances(student_id)[0].covers == ("pain_now",)


def _check_bays(book: Book, lesson_id: int, shot_id: int) -> None:
    (bay,) = book.bays()
    assert (bay.name, bay.token_digest, bay.lesson_id) == ("bay-1", "ab" * 32, lesson_id)
    assert bay.withdrawn_at is None
    assert book.arrived(bay.id) == {"monitor-0001": shot_id, "before-0001": None}
    (watched,) = book.watched_files(bay.id)
    assert (watched.name, watched.identity, watched.rows) == ("balls.csv", "balls.csv 1", ("0123",))


def _check_access(book: Book, student_id: int) -> None:
    (account,) = book.access.accounts()
    assert (account.name, account.role) == ("Olga Owner", "owner")
    (screen,) = book.access.screens()
    assert screen == book.access.screen_by_digest("cd" * 32)
    own = book.access.sign_in("ef" * 32)
    assert own is not None
    assert (own.account, own.screen) == (account, None)
    assert [one.screen for one in book.access.sign_ins()] == [screen, None]
    assert book.access.settings() == {"listens": "network"}
    (line,) = book.access.log(LogFilter(), most=9)
    assert (line.who, line.deed, line.what) == ("Olga Owner", "saw", "/students/{student_id}")
    assert (line.student_id, line.address) == (student_id, "192.0.2.7")


def layout(path: Path) -> list[tuple[str, str]]:
    with closing(sqlite3.connect(path)) as connection:
        rows = connection.execute("SELECT name, sql FROM sqlite_master WHERE sql IS NOT NULL")
        return sorted((name, " ".join(sql.split())) for name, sql in rows)


def test_a_migration_is_never_edited(book_path: Path, tmp_path: Path) -> None:
    """The kept book of the newest schema was made by the migrations as they are now."""
    open_book(book_path).close()
    build(tmp_path / "kept.book", upgrade.newest_schema())
    assert layout(tmp_path / "kept.book") == layout(book_path)


def test_the_tables_and_the_migrations_agree(book_path: Path) -> None:
    open_book(book_path).close()
    engine = create_engine(f"sqlite:///{book_path}")
    with engine.connect() as connection:
        upgrade.check(connection)
        assert upgrade.schema_of(connection, "book") == upgrade.newest_schema()
        made = inspect(connection)
        # Alembic does not compare checks.
        for table in Base.metadata.sorted_tables:
            checks = {one.name for one in table.constraints if isinstance(one, CheckConstraint)}
            assert {one["name"] for one in made.get_check_constraints(table.name)} == checks
    engine.dispose()
    # Nor whether numbers are never given again.
    sql = dict(layout(book_path))
    assert all("AUTOINCREMENT" in sql[name] for name in Base.metadata.tables)


def test_a_missing_migration_would_be_found(
    book_path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    tomorrow(monkeypatch, tmp_path / "migrations")
    open_book(book_path).close()
    engine = create_engine(f"sqlite:///{book_path}")
    with engine.connect() as connection, pytest.raises(CommandError, match="email"):
        upgrade.check(connection)
    engine.dispose()


def test_going_back_and_forth_keeps_the_rows(
    book_path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with open_book(book_path) as book:
        block = some_block(book)
        shot = book.add_shot(block.id, carried(200.0), at=AT)
        student = book.students()[0]
    tomorrow(monkeypatch, tmp_path / "migrations")
    open_book(book_path, clock=lambda: NOW).close()
    engine = create_engine(f"sqlite:///{book_path}")
    with engine.begin() as connection:
        assert upgrade.schema_of(connection, "book") == NEXT
        upgrade.downgrade(connection, NEXT - 1)
    engine.dispose()
    monkeypatch.undo()
    with open_book(book_path) as book:
        assert book.shots(block.lesson_id) == (shot,)
        assert book.students() == (student,)


def test_going_back_to_nothing_leaves_no_table() -> None:
    engine = create_engine("sqlite://")
    with engine.begin() as connection:
        upgrade.upgrade(connection)
        upgrade.downgrade(connection, 0)
        assert inspect(connection).get_table_names() == ["alembic_version"]
    engine.dispose()


def test_a_book_is_copied_before_it_is_upgraded(
    book_path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with open_book(book_path) as book:
        student = some_student(book)
        assert list(book_path.parent.glob("*schema*")) == []
        # The copy is made while the book is in use, and holds what is still in the side file.
        tomorrow(monkeypatch, tmp_path / "migrations")
        open_book(book_path, clock=lambda: NOW).close()
        copy = book_path.with_name(f"lessons-schema-{NEXT - 1}-20260301T091530Z.book")
        assert list(book_path.parent.glob("*schema*")) == [copy]
        assert copy.stat().st_mode & 0o777 == 0o600
        assert book.students() == (student,)
    open_book(book_path, clock=lambda: NOW.replace(hour=10)).close()
    assert list(book_path.parent.glob("*schema*")) == [copy]
    with closing(sqlite3.connect(book_path)) as connection:
        assert connection.execute("SELECT name, email FROM students").fetchall() == [
            (student.name, "")
        ]
    monkeypatch.undo()
    with open_book(copy) as book:
        assert book.students() == (student,)


def test_an_upgrade_that_fails_leaves_the_book_as_it_was(
    book_path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with open_book(book_path) as book:
        student = some_student(book)
    tomorrow(monkeypatch, tmp_path / "migrations", more='op.execute("SELECT * FROM nowhere")')
    with pytest.raises(BookError) as caught:
        open_book(book_path, clock=lambda: NOW)
    assert str(caught.value) == (
        f"The client book {book_path} could not do this: no such table: nowhere. "
        "Do it again; if it stays so, restart the program."
    )
    monkeypatch.undo()
    with open_book(book_path) as book:
        assert book.students() == (student,)


def test_an_upgrade_that_breaks_a_link_is_undone(
    book_path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with open_book(book_path) as book:
        block = some_block(book)
    tomorrow(monkeypatch, tmp_path / "migrations", more='op.execute("DELETE FROM students")')
    with pytest.raises(BookError) as caught:
        open_book(book_path, clock=lambda: NOW)
    assert str(caught.value) == (
        f"The client book {book_path} could not be upgraded: a row of lessons points nowhere. "
        "The book is as it was; go on with the earlier program, and report this sentence."
    )
    monkeypatch.undo()
    with open_book(book_path) as book:
        assert book.blocks(block.lesson_id) == (block,)
