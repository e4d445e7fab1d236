"""Backups are whole, come in time, and go in time; a restore gives the same book, row by row."""

import os
import random
import signal
import sqlite3
import subprocess
import sys
import time
from contextlib import closing
from datetime import UTC, date, datetime, timedelta, timezone
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from leadfoot.book.backups import (
    KEPT_DAYS,
    KEPT_WEEKS,
    faults_in,
    folder_of,
    is_due,
    prune,
    to_prune,
)
from leadfoot.book.restoring import restore
from leadfoot.book.store import SqlBook, open_book
from leadfoot.desk.access_records import LogFilter, NewLine
from leadfoot.desk.keeping_records import Backup
from leadfoot.errors import BookError
from tests.book.full_book import SCHEMAS, build, rows_of
from tests.book.samples import AT, carried, some_block, some_student

NOW = datetime(2026, 3, 31, 20, tzinfo=UTC)
N_KILLS = 8


class DayClock:
    """A clock that stands until it is moved."""

    def __init__(self) -> None:
        self.now = datetime(2026, 3, 1, 9, 15, tzinfo=timezone(timedelta(hours=2)))

    def __call__(self) -> datetime:
        return self.now


@pytest.fixture
def day() -> DayClock:
    return DayClock()


def names(book: SqlBook) -> list[str]:
    return [one.name for one in book.file.state().backups]


def test_a_backup_is_made_once_a_day_when_something_has_changed(
    book_path: Path, day: DayClock
) -> None:
    with open_book(book_path, clock=day) as book:
        assert book.file.back_up_if_due() is None  # an empty book needs none
        some_student(book)
        made = book.file.back_up_if_due()
        assert made is not None
        assert made.name == "lessons-scheduled-20260301T071500Z.book"
        assert (made.kind, made.made_at) == ("scheduled", day.now)
        assert (folder_of(book_path) / made.name).stat().st_mode & 0o777 == 0o600
        assert folder_of(book_path).stat().st_mode & 0o777 == 0o700
        some_student(book)
        day.now += timedelta(hours=14)  # still the same day in the coach's zone
        assert book.file.back_up_if_due() is None
        day.now += timedelta(hours=2)
        assert book.file.back_up_if_due() is not None
        day.now += timedelta(days=3)
        assert book.file.back_up_if_due() is None  # nothing has changed
        some_student(book)
        assert book.file.back_up_if_due() is not None
        assert len(names(book)) == 3


def test_a_backup_by_hand_stays(book_path: Path, day: DayClock) -> None:
    with open_book(book_path, clock=day) as book:
        some_student(book)
        first = book.file.back_up()
        for _ in range(200):
            day.now += timedelta(days=1)
            some_student(book)
            book.file.back_up_if_due()
        found = book.file.state().backups
        assert first in found
        kinds = [one.kind for one in found]
        assert KEPT_DAYS < kinds.count("scheduled") <= KEPT_DAYS + KEPT_WEEKS


def test_a_backup_is_a_book_row_by_row_also_while_someone_writes(book_path: Path) -> None:
    build(book_path)
    with open_book(book_path) as book:
        book.add_shot(book.blocks(1)[0].id, carried(222.0), at=AT)  # only in the side file yet
        made = book.file.back_up()
        rows = rows_of(book_path, exported_only=False)
        book.add_shot(book.blocks(1)[0].id, carried(223.0), at=AT)
    copy = folder_of(book_path) / made.name
    assert rows_of(copy, exported_only=False) == rows
    assert sorted(one.name for one in folder_of(book_path).iterdir()) == [made.name]


DOOR = {"sign_ins", "access_log"}
"""What a restore does not bring back: who was signed in, and an earlier end of the log."""


def without_door(path: Path) -> dict[str, list[tuple[object, ...]]]:
    rows = rows_of(path, exported_only=False)
    return {name: found for name, found in rows.items() if name not in DOOR}


def test_a_restore_gives_the_same_book_row_by_row(book_path: Path) -> None:
    build(book_path)
    with open_book(book_path, clock=lambda: NOW) as book:
        made = book.file.back_up()
        rows = rows_of(book_path, exported_only=False)
        some_student(book, "Late Arrival")
        later = rows_of(book_path, exported_only=False)
        saved = restore(
            folder_of(book_path) / made.name, book_path, clock=lambda: NOW + timedelta(hours=1)
        )
        # A program that has the book open reads what was restored.
        assert [one.name for one in book.students()] == ["Zoë Example"]
    assert without_door(book_path) == without_door(folder_of(book_path) / made.name)
    assert saved is not None
    assert saved.name == "lessons-before-restore-20260331T210000Z.book"
    assert rows_of(folder_of(book_path) / saved.name, exported_only=False) == later
    new = book_path.with_name("new.book")
    assert restore(folder_of(book_path) / made.name, new, clock=lambda: NOW) is None
    assert without_door(new) == {name: found for name, found in rows.items() if name not in DOOR}
    with open_book(new) as book:
        some_student(book)


def test_after_a_restore_nobody_is_signed_in_and_the_log_goes_on(book_path: Path) -> None:
    build(book_path)
    with open_book(book_path, clock=lambda: NOW) as book:
        made = book.file.back_up()
        later = NewLine(at=NOW, who="Zoë", role="owner", deed="saw", what="/", address="here")
        book.access.note([later])
        before = book.access.log(LogFilter(), most=9)
        restore(folder_of(book_path) / made.name, book_path, clock=lambda: NOW)
        assert book.access.sign_ins() == ()
        restored, *rest = book.access.log(LogFilter(), most=9)
        assert tuple(rest) == before
        assert (restored.who, restored.what) == ("command line", "book restore")
        restore(folder_of(book_path) / made.name, book_path, clock=lambda: NOW)
        assert len(book.access.log(LogFilter(), most=9)) == len(before) + 2


def test_nothing_is_restored_over_a_book_that_can_not_be_backed_up(book_path: Path) -> None:
    build(book_path.with_name("good.book"))
    book_path.write_bytes(b"SQLite format 3\0" + b"damaged" * 2000)
    before = book_path.read_bytes()
    with pytest.raises(BookError) as caught:
        restore(book_path.with_name("good.book"), book_path, clock=lambda: NOW)
    assert str(caught.value).startswith(
        "Nothing was restored, because there is no backup of what is there. "
    )
    assert str(caught.value).endswith(
        f"Move {book_path} away with its -wal and -shm files, then restore again."
    )
    assert book_path.read_bytes() == before


def test_what_is_no_backup_is_not_restored(book_path: Path) -> None:
    build(book_path)
    before = book_path.read_bytes()
    other = book_path.with_name("other.book")
    with pytest.raises(BookError, match="There is no backup"):
        restore(other, book_path, clock=lambda: NOW)
    other.write_bytes(b"no database at all" * 100)
    with pytest.raises(BookError, match="is damaged"):
        restore(other, book_path, clock=lambda: NOW)
    other.unlink()
    with closing(sqlite3.connect(other)) as connection:
        connection.execute("CREATE TABLE songs (id INTEGER)")
    with pytest.raises(BookError, match="is a database, but not a client book"):
        restore(other, book_path, clock=lambda: NOW)
    other.unlink()
    build(other)
    with closing(sqlite3.connect(other)) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '9999'")
        connection.commit()
    with pytest.raises(BookError, match="The client book has schema 9999"):
        restore(other, book_path, clock=lambda: NOW)
    with pytest.raises(BookError, match="is the book itself"):
        restore(book_path, book_path, clock=lambda: NOW)
    assert book_path.read_bytes() == before
    assert not folder_of(book_path).exists()


@pytest.mark.parametrize("schema", [int(path.stem) for path in sorted(SCHEMAS.glob("*.sql"))])
def test_a_backup_of_every_schema_is_restored_and_opens(book_path: Path, schema: int) -> None:
    old = book_path.with_name("old.book")
    with closing(sqlite3.connect(old)) as connection:
        connection.executescript((SCHEMAS / f"{schema:04d}.sql").read_text(encoding="utf-8"))
    restore(old, book_path, clock=lambda: NOW)
    with open_book(book_path) as book:
        assert [one.name for one in book.students()] == ["Zoë Example"]


def test_a_damaged_book_keeps_its_earlier_backups(book_path: Path, day: DayClock) -> None:
    with open_book(book_path, clock=day) as book:
        block = some_block(book)
        for _ in range(30):
            book.save_judgement(block.lesson_id, answer_json="x" * 9000, version="1", at=AT)
        kept = book.file.back_up_if_due()
        assert kept is not None
    with closing(sqlite3.connect(book_path)) as connection:
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    data = bytearray(book_path.read_bytes())
    data[-4096 * 20 :] = os.urandom(4096 * 20)
    book_path.write_bytes(data)
    day.now += timedelta(days=40)
    with open_book(book_path, clock=day) as book:
        with pytest.raises(BookError, match="is damaged"):
            book.file.back_up()
        assert [one.name for one in book.file.state().backups] == [kept.name]


def test_the_last_good_backup_is_never_pruned(book_path: Path, day: DayClock) -> None:
    with open_book(book_path, clock=day) as book:
        for _ in range(30):
            some_student(book)
            book.file.back_up_if_due()
            day.now += timedelta(days=1)
        newest, *others = book.file.state().backups
        (folder_of(book_path) / newest.name).write_bytes(b"rotten" * 1000)
        later = day.now + timedelta(days=400)
        assert prune(book_path, now=later) == ()
        assert len(book.file.state().backups) == len(others) + 1
        assert is_due(book_path, now=later)


MOMENTS = st.lists(
    st.datetimes(datetime(2025, 12, 1), datetime(2026, 3, 31)).map(  # noqa: DTZ001
        lambda at: at.replace(tzinfo=UTC)
    ),
    max_size=40,
    unique=True,
)


@given(moments=MOMENTS, days=st.integers(0, 20), weeks=st.integers(0, 20))
def test_what_is_kept_covers_every_recent_day_and_week(
    moments: list[datetime], days: int, weeks: int
) -> None:
    backups = [Backup(name=str(at), kind="scheduled", made_at=at, size_bytes=1) for at in moments]
    gone = to_prune(backups, now=NOW, days=days, weeks=weeks)
    kept = [one for one in backups if one not in gone]
    if backups:
        assert max(backups, key=lambda one: one.made_at) in kept
    assert len(kept) <= days + weeks + 2
    for one in backups:
        age = (NOW.date() - one.made_at.date()).days
        if age < days:
            assert one.made_at.date() in {kept_one.made_at.date() for kept_one in kept}
        if age < 7 * weeks:
            assert week(one) in {week(kept_one) for kept_one in kept}
    # Pruning again takes nothing more.
    assert to_prune(kept, now=NOW, days=days, weeks=weeks) == ()


def week(backup: Backup) -> tuple[int, int]:
    return date.isocalendar(backup.made_at.date())[:2]


def test_a_kill_during_a_backup_leaves_the_book_and_every_backup_whole(book_path: Path) -> None:
    with open_book(book_path) as book:
        block = some_block(book)
        for n in range(40):
            book.save_judgement(block.lesson_id, answer_json=f"{n}" * 50_000, version="1", at=AT)
    rows = rows_of(book_path, exported_only=False)
    rng = random.Random(1)  # noqa: S311  (no secret)
    said = 0
    for _ in range(N_KILLS):
        said += kill_one(book_path, rng.uniform(0.0, 0.08))
        assert faults_in(book_path) == ()
        assert rows_of(book_path, exported_only=False) == rows
    with open_book(book_path) as book:
        made = book.file.back_up()
    assert said > 0
    whole = list(folder_of(book_path).iterdir())
    assert made.name in {path.name for path in whole}
    assert [path.name for path in whole if ".part" in path.name] == []
    for path in whole:
        assert faults_in(path) == ()
        assert rows_of(path, exported_only=False) == rows


def kill_one(book_path: Path, wait_s: float) -> int:
    """Let a program back the book up, kill it, and give how many backups it has told of."""
    child = Path(__file__).with_name("backup_child.py")
    with subprocess.Popen(
        [sys.executable, str(child), str(book_path)], stdout=subprocess.PIPE, text=True
    ) as process:
        assert process.stdout is not None
        assert process.stdout.readline() == "begin\n"
        time.sleep(wait_s)
        os.kill(process.pid, signal.SIGKILL)
        told = [line.split()[1] for line in process.stdout if line.startswith("made ")]
    for name in told:
        assert (folder_of(book_path) / name).exists()
    return 1
