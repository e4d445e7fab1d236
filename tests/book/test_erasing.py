"""Who is erased is gone: no row, and no byte of a name or a file in the book or its side files."""

import hashlib
import sqlite3
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from leadfoot.book.store import SqlBook, open_book
from leadfoot.errors import BookError, InputError, NotInBookError
from tests.book.conftest import StepClock
from tests.book.full_book import build, rows_of
from tests.book.samples import AT, carried, some_block, some_lesson, some_student

SECRET = "Undine Unforgettable"  # noqa: S105  (a name)
BYTES = hashlib.sha256(b"a raw file").hexdigest().encode() * 400


def a_book_with_a_secret(path: Path) -> SqlBook:
    """A student with all that hangs on one, between two others."""
    book = open_book(path, clock=StepClock())
    some_block(book)
    student = some_student(book, SECRET)
    lesson = book.add_lesson(
        student_id=student.id, held_on=AT.date(), title=SECRET, change="", club=None
    )
    file = book.keep_file(lesson.id, name=f"{SECRET}.csv", data=BYTES, at=AT)
    book.import_shots(file.id, [(SECRET, "before", [carried(1.0, 2, SECRET)])], at=AT)
    book.save_judgement(lesson.id, answer_json=SECRET * 900, version="1", at=AT)
    book.change_student(student.id, name=f"{SECRET} II", hand="left", goals=SECRET, cautions="")
    some_lesson(book)
    return book


def found_in(folder: Path, what: bytes) -> list[str]:
    return [
        path.name
        for path in sorted(folder.rglob("*"))
        if path.is_file() and what in path.read_bytes()
    ]


def test_no_byte_is_left(tmp_path: Path) -> None:
    with a_book_with_a_secret(tmp_path / "a.book") as book:
        assert found_in(tmp_path, SECRET.encode())
        others = [book.lesson(1), book.lesson(3)]
        erased = book.file.erase(2)
        assert dict(erased.rows) == {
            "students": 1,
            "lessons": 1,
            "blocks": 1,
            "shots": 1,
            "raw_files": 1,
            "judgements": 1,
        }
        # While the book is still open, and after.
        for what in (SECRET.encode(), BYTES[:64], SECRET.encode("utf-16-le")):
            assert found_in(tmp_path, what) == []
        assert [book.lesson(1), book.lesson(3)] == others
        with pytest.raises(NotInBookError):
            book.student(2)
        with pytest.raises(NotInBookError):
            book.file.erase(2)
        assert book.changes_since(book.last_change() - 1) == {book.last_change(): 0}
        some_student(book, "Nora Next")
        assert [one.id for one in book.students()] == [1, 3, 4]
    assert found_in(tmp_path, SECRET.encode()) == []
    assert found_in(tmp_path, BYTES[:64]) == []


def test_every_table_gives_up_what_hangs_on_a_student(tmp_path: Path) -> None:
    build(tmp_path / "full.book")
    with open_book(tmp_path / "full.book") as book:
        book.file.erase(1)
    left = {name for name, rows in rows_of(tmp_path / "full.book").items() if rows}
    # What belongs to the studio stays: mappings, settings, cues, own drills, bays and their log.
    assert left == {
        "mappings",
        "cue_names",
        "own_drills",
        "studio_settings",
        "bays",
        "arrivals",
        "watched_files",
        "changes",
    }


def test_the_backups_that_still_hold_the_student_are_named_and_cleaned(tmp_path: Path) -> None:
    with a_book_with_a_secret(tmp_path / "a.book") as book:
        names = [book.file.back_up().name for _ in range(3)]
        erased = book.file.erase(2)
        after = book.file.back_up().name
        assert sorted(one.name for one in erased.still_in) == names
        book.file.erase_from_backups(erased.who, names[:1])
        book.file.delete_backups(names[1:])
        assert [one.name for one in book.file.state().backups] == [after, names[0]]
        for what in (SECRET.encode(), BYTES[:64]):
            assert found_in(tmp_path, what) == []
    with open_book(tmp_path / "a-backups" / names[0]) as copy:
        assert [one.name for one in copy.students()] == ["Ana Example", "Ana Example"]


def test_another_student_with_the_number_is_left_in_a_backup(tmp_path: Path) -> None:
    """After a book was begun anew, a number may be another person's in an old backup."""
    with a_book_with_a_secret(tmp_path / "a.book") as book:
        book.file.back_up()
    with closing(sqlite3.connect(tmp_path / "a.book")) as connection:
        connection.execute("UPDATE students SET added_at = '2026-03-01 10:00:01.000000' WHERE id=2")
        connection.commit()
    with open_book(tmp_path / "a.book") as book:
        assert book.file.holding(2) == ()


def test_who_was_merged_is_found_in_older_backups(tmp_path: Path) -> None:
    with open_book(tmp_path / "a.book", clock=StepClock()) as book:
        kept, other = some_student(book, "Ana Kept"), some_student(book, "Ana Other")
        backup = book.file.back_up()
        book.merge_students(kept.id, other.id, at=AT)
        erased = book.file.erase(kept.id)
        assert {one.number for one in erased.who} == {kept.id, other.id}
        book.file.erase_from_backups(erased.who, [backup.name])
        assert found_in(tmp_path, b"Ana Other") == []


def test_a_program_that_reads_is_named_and_the_bytes_wait(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("leadfoot.book.file_of_book._PATIENCE_S", 0.1)
    with (
        a_book_with_a_secret(tmp_path / "a.book") as book,
        closing(sqlite3.connect(tmp_path / "a.book", isolation_level=None)) as reader,
    ):
        reader.execute("BEGIN")
        reader.execute("SELECT * FROM students").fetchone()
        with pytest.raises(BookError, match="The rows are gone, but another program keeps"):
            book.file.erase(2)
        reader.execute("COMMIT")
        with pytest.raises(NotInBookError):
            book.student(2)
        book.file.wipe()
        assert found_in(tmp_path, SECRET.encode()) == []


def test_erasing_goes_wholly_or_not_at_all(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with a_book_with_a_secret(tmp_path / "a.book") as book:
        before = rows_of(tmp_path / "a.book")

        def fail(_: object, __: object) -> None:
            raise sqlite3.OperationalError("the lamp went out")

        monkeypatch.setattr("leadfoot.book.erasing.delete_rows", fail)
        with pytest.raises(BookError, match="the lamp went out"):
            book.file.erase(2)
        assert rows_of(tmp_path / "a.book") == before


def test_merging_moves_all_and_loses_nothing(tmp_path: Path) -> None:
    build(tmp_path / "full.book")
    with open_book(tmp_path / "full.book", clock=StepClock()) as book:
        before = rows_of(tmp_path / "full.book")
        kept = some_student(book, "Zoë Kept")
        book.note_consent(kept.id, consent_on=None, consent_words="", minor=False, guardian="")
        merged = book.merge_students(kept.id, 1, at=AT)
        assert merged.name == "Zoë Kept"
        assert merged.cautions == "Back\nLower back"
        assert (merged.minor, merged.guardian) == (True, "Gro Example, 555 0100")
        assert merged.consent_on is not None
        (lesson,) = book.lessons(kept.id)
        assert len(book.jumps(kept.id)) == 1
        assert {lesson.id} <= set(book.changes_since(0).values())
    after = rows_of(tmp_path / "full.book")
    told = {"students", "merges", "changes", "lessons"}
    for name in before.keys() - told:
        assert len(after[name]) == len(before[name]), name
    assert len(after["merges"]) == len(before["merges"]) + 1
    note = str(after["merges"][-1])
    assert "Zoë Example" in note
    assert "quoted" in note


def test_a_file_that_both_have_is_kept_once(tmp_path: Path) -> None:
    with open_book(tmp_path / "a.book", clock=StepClock()) as book:
        one, two = some_student(book, "One"), some_student(book, "Two")
        files = [
            book.keep_jump_file(one.id, name="jump.csv", data=b"same", at=AT),
            book.keep_jump_file(two.id, name="again.csv", data=b"same", at=AT),
        ]
        with closing(sqlite3.connect(tmp_path / "a.book")) as connection:
            connection.execute(
                "INSERT INTO jumps VALUES (1, ?, '2026-03-01', 'impulse', 0.3, '{}', ?, NULL, "
                "'2026-03-01 10:00:00.000000')",
                [two.id, files[1].id],
            )
            connection.commit()
        book.merge_students(one.id, two.id, at=AT)
        (jump,) = book.jumps(one.id)
        assert jump.jump_file_id == files[0].id
        assert book.jump_file(files[0].id)[1] == b"same"
    assert "again.csv" in str(rows_of(tmp_path / "a.book")["merges"])


def test_a_merge_that_makes_no_sense_is_refused(tmp_path: Path) -> None:
    with open_book(tmp_path / "a.book") as book:
        left = some_student(book, "Lia Left")
        right = book.add_student(
            name="Rob Right", hand="right", goals="", cautions="", invented=True, at=AT
        )
        with pytest.raises(InputError) as caught:
            book.merge_students(left.id, right.id, at=AT)
        assert str(caught.value) == (
            "Lia Left plays left-handed, Rob Right right-handed. "
            "If they are one person, correct the hand of one first."
        )
        with pytest.raises(InputError, match="can't be merged with the same student"):
            book.merge_students(left.id, left.id, at=AT)
        assert len(book.students()) == 2


def test_a_student_is_archived_and_comes_back(tmp_path: Path) -> None:
    with open_book(tmp_path / "a.book") as book:
        student = some_student(book)
        at = datetime(2026, 3, 1, 12, tzinfo=UTC) + timedelta(microseconds=5)
        assert book.archive_student(student.id, at=at).archived_at == at
        assert book.archive_student(student.id, at=None) == student
        noted = book.note_consent(
            student.id,
            consent_on=AT.date(),
            consent_words="Shots and notes, by letter",
            minor=True,
            guardian="Gro Example",
        )
        assert book.student(student.id) == noted
        assert (noted.consent_on, noted.minor, noted.guardian) == (AT.date(), True, "Gro Example")
