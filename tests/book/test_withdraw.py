"""Taking an import out again: its balls go, the file stays, and it can be imported anew."""

from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from leadfoot.book.store import SqlBook, open_book
from leadfoot.desk.records import NewShot
from leadfoot.errors import InputError, NotInBookError
from leadfoot.shots.shot import Reading

NOON = datetime(2026, 5, 4, 12, tzinfo=UTC)


def shot(row: int, mph: float) -> NewShot:
    return NewShot(club=None, values={"club_speed": Reading(value=mph, unit="mph")}, row=row)


def lesson_in(book: SqlBook) -> int:
    student = book.add_student(
        name="Ada", hand="right", goals="", cautions="", invented=False, at=NOON
    )
    return book.add_lesson(
        student_id=student.id, held_on=date(2026, 5, 4), title="x", change="y", club=None
    ).id


def test_the_balls_go_and_can_come_again_read_otherwise(tmp_path: Path) -> None:
    with open_book(tmp_path / "a.book") as book:
        lesson_id = lesson_in(book)
        typed = book.add_block(lesson_id, label="before", role="before")
        own = book.add_shot(typed.id, shot(0, 90.0), at=NOON)
        file = book.keep_file(lesson_id, name="a.csv", data=b"a", at=NOON)
        book.import_shots(file.id, [("with", "with_change", [shot(2, 150.0)])], at=NOON)
        seen = book.last_change()
        assert book.withdraw_import(file.id) == 1
        assert [kept.id for kept in book.shots(lesson_id)] == [own.id]
        assert list(book.changes_since(seen).values()) == [lesson_id]
        assert book.raw_file(file.id)[1] == b"a"
        assert not book.raw_file(file.id)[0].imported
        assert book.withdraw_import(file.id) == 0
        book.import_shots(file.id, [("with", "with_change", [shot(2, 93.2)])], at=NOON)
        assert [kept.values["club_speed"].value for kept in book.shots(lesson_id)] == [90.0, 93.2]
        assert [block.label for block in book.blocks(lesson_id)] == ["before", "with"]


def test_the_later_state_of_a_grown_file_goes_first(tmp_path: Path) -> None:
    with open_book(tmp_path / "a.book") as book:
        lesson_id = lesson_in(book)
        rows = [shot(2, 90.0), shot(3, 91.0), shot(4, 92.0)]
        small = book.keep_file(lesson_id, name="a.csv", data=b"small", at=NOON)
        book.import_shots(small.id, [("before", "before", rows[:2])], at=NOON)
        grown = book.keep_file(lesson_id, name="a.csv", data=b"grown", at=NOON)
        book.import_shots(grown.id, [("before", "before", rows)], at=NOON)
        with pytest.raises(InputError) as error:
            book.withdraw_import(small.id)
        assert str(error.value) == (
            "A later state of 'a.csv' was imported on top of this one. "
            "Take the later one out first."
        )
        assert len(book.shots(lesson_id)) == 3
        assert book.withdraw_import(grown.id) == 1
        assert book.withdraw_import(small.id) == 2
        assert book.shots(lesson_id) == ()


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    with open_book(tmp_path / "a.book") as book, pytest.raises(NotInBookError):
        book.withdraw_import(3)
