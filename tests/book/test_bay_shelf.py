"""Bays in the book: each arrival once, into the running block; withdrawn bays send nothing."""

import sqlite3
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from pathlib import Path

import pytest
from sqlalchemy import create_engine

from leadfoot.book import upgrade
from leadfoot.book.store import SqlBook, open_book
from leadfoot.desk.bay_records import Arrival, Bay, WatchedFile
from leadfoot.desk.ports import Book
from leadfoot.desk.records import Role
from leadfoot.errors import BookError, InputError, NotInBookError
from tests.book.samples import AT, carried, some_block, some_lesson
from tests.book.test_migrations import SCHEMAS, build
from tests.desk.fake_book import FakeBook

FIRST: tuple[str, Role] = ("before", "before")


@pytest.fixture(params=["sql", "fake"])
def any_book(request: pytest.FixtureRequest, reopen: Callable[[], SqlBook]) -> Book:
    """The real book, and the one in memory that the desk is tested with."""
    return reopen() if request.param == "sql" else FakeBook()


def some_bay(book: Book, lesson_id: int | None, name: str = "bay-1") -> Bay:
    bay = book.add_bay(name=name, token_digest="ab" * 32, at=AT)
    return book.point_bay(bay.id, lesson_id)


def arrive(book: Book, bay: Bay, key: str, carry_yd: float) -> Arrival:
    return book.arrive(bay.id, key, carried(carry_yd), first_block=FIRST, at=AT)


def test_a_shot_falls_into_the_running_block(any_book: Book) -> None:
    lesson = some_lesson(any_book)
    bay = some_bay(any_book, lesson.id)
    first = arrive(any_book, bay, "a", 200.0)
    assert (first.is_new, first.role, first.shot.source) == (True, "before", "live")
    with_it = any_book.add_block(lesson.id, label="cue", role="with_change")
    second = arrive(any_book, bay, "b", 210.0)
    assert (second.shot.block_id, second.role, second.shot.place) == (with_it.id, "with_change", 2)
    assert any_book.shots(lesson.id) == (first.shot, second.shot)


def test_a_shot_that_comes_again_is_there_once(any_book: Book) -> None:
    lesson = some_lesson(any_book)
    bay, other = some_bay(any_book, lesson.id), some_bay(any_book, lesson.id, "bay-2")
    first = arrive(any_book, bay, "a", 200.0)
    changes = any_book.last_change()
    again = arrive(any_book, bay, "a", 200.0)
    assert (again.is_new, again.shot) == (False, first.shot)
    assert any_book.last_change() == changes
    assert arrive(any_book, other, "a", 200.0).is_new
    assert len(any_book.shots(lesson.id)) == 2
    with pytest.raises(InputError, match="'a' came before"):
        arrive(any_book, bay, "a", 201.0)


def test_a_shot_that_comes_again_after_the_lesson_is_over(any_book: Book) -> None:
    lesson, next_lesson = some_lesson(any_book), some_lesson(any_book)
    bay = some_bay(any_book, lesson.id)
    first = arrive(any_book, bay, "a", 200.0)
    any_book.point_bay(bay.id, next_lesson.id)
    assert arrive(any_book, bay, "a", 200.0).shot == first.shot
    assert any_book.shots(next_lesson.id) == ()


def test_what_a_bay_may_not_do(any_book: Book) -> None:
    lesson = some_lesson(any_book)
    bay = some_bay(any_book, None)
    with pytest.raises(InputError, match="hits for no lesson"):
        arrive(any_book, bay, "a", 200.0)
    with pytest.raises(InputError, match="There is a bay 'bay-1' already"):
        any_book.add_bay(name="bay-1", token_digest="cd" * 32, at=AT)
    any_book.point_bay(bay.id, lesson.id)
    gone = any_book.withdraw_bay(bay.id, at=AT)
    assert (gone.withdrawn_at, gone.lesson_id) == (AT, None)
    with pytest.raises(InputError, match="was withdrawn"):
        arrive(any_book, bay, "a", 200.0)
    with pytest.raises(InputError, match="was withdrawn"):
        any_book.point_bay(bay.id, lesson.id)
    with pytest.raises(NotInBookError):
        any_book.bay(7)
    assert any_book.shots(lesson.id) == ()


def test_a_withdrawn_bay_comes_back_and_knows_what_it_sent(any_book: Book) -> None:
    lesson = some_lesson(any_book)
    bay = some_bay(any_book, lesson.id)
    arrive(any_book, bay, "a", 200.0)
    any_book.withdraw_bay(bay.id, at=AT)
    back = any_book.add_bay(name="bay-1", token_digest="cd" * 32, at=AT)
    assert (back.id, back.token_digest, back.withdrawn_at) == (bay.id, "cd" * 32, None)
    any_book.point_bay(bay.id, lesson.id)
    assert not arrive(any_book, bay, "a", 200.0).is_new
    assert any_book.bays() == (any_book.bay(bay.id),)


def test_balls_from_before_are_in_no_lesson_until_asked_for(any_book: Book) -> None:
    lesson = some_lesson(any_book)
    bay = some_bay(any_book, lesson.id)
    any_book.note_past(bay.id, ["old", "older", "old"], at=AT)
    any_book.note_past(bay.id, ["old"], at=AT)
    assert any_book.arrived(bay.id) == {"old": None, "older": None}
    assert any_book.shots(lesson.id) == ()
    taken = arrive(any_book, bay, "old", 200.0)
    assert taken.is_new
    assert any_book.arrived(bay.id) == {"old": taken.shot.id, "older": None}


def test_a_typed_ball_is_written_once_for_its_key(any_book: Book) -> None:
    block, elsewhere = some_block(any_book), some_block(any_book)
    assert any_book.typed_shot(block.lesson_id, "one") is None
    first = any_book.add_shot(block.id, carried(200.0), at=AT, key="one")
    before = any_book.last_change()
    assert any_book.add_shot(block.id, carried(200.0), at=AT, key="one") == first
    assert any_book.last_change() == before
    assert any_book.typed_shot(block.lesson_id, "one") == first
    other = any_book.add_shot(elsewhere.id, carried(200.0), at=AT, key="one")
    more = [any_book.add_shot(block.id, carried(200.0), at=AT, key=key) for key in ("two", None)]
    assert len({first.id, other.id, *(shot.id for shot in more)}) == 4
    assert [shot.place for shot in any_book.shots(block.lesson_id)] == [1, 2, 3]


def test_a_shot_moves_within_its_lesson_only(any_book: Book) -> None:
    block, elsewhere = some_block(any_book), some_block(any_book)
    shot = any_book.add_shot(block.id, carried(200.0), at=AT)
    cue = any_book.add_block(block.lesson_id, label="cue", role="with_change")
    moved = any_book.move_shot(shot.id, cue.id)
    assert (moved.block_id, moved.place) == (cue.id, 1)
    assert any_book.shot(shot.id) == moved
    with pytest.raises(InputError, match="another lesson"):
        any_book.move_shot(shot.id, elsewhere.id)


def test_a_watched_file_is_kept_by_its_identity(any_book: Book) -> None:
    bay = some_bay(any_book, None)
    seen = WatchedFile(name="a.csv", device="1:2", identity="a.csv 1", rows=("0", "1"))
    any_book.keep_watched(bay.id, seen)
    renamed = WatchedFile(name="b.csv", device="1:2", identity="a.csv 1", rows=("0", "1", "2"))
    any_book.keep_watched(bay.id, renamed)
    assert any_book.watched_files(bay.id) == (renamed,)


def test_pages_hear_of_an_arrival_and_of_a_bay(book: Book) -> None:
    lesson = some_lesson(book)
    before = book.last_change()
    bay = some_bay(book, lesson.id)
    assert set(book.changes_since(before).values()) == {0, lesson.id}
    before = book.last_change()
    arrive(book, bay, "a", 200.0)
    assert list(book.changes_since(before).values()) == [lesson.id]


def test_two_programs_send_the_same_balls_at_once(
    book: Book, reopen: Callable[[], SqlBook]
) -> None:
    lesson = some_lesson(book)
    bay = some_bay(book, lesson.id)
    books = [reopen(), reopen()]

    def send(number: int) -> int:
        own = books[number % 2]
        return sum(arrive(own, bay, f"ball {k}", 200.0 + k).is_new for k in range(25))

    with ThreadPoolExecutor(4) as pool:
        assert sum(pool.map(send, range(4))) == 25
    shots = book.shots(lesson.id)
    assert sorted(shot.values["carry"].value for shot in shots) == [200.0 + k for k in range(25)]
    assert [shot.place for shot in shots] == list(range(1, 26))


def test_going_back_a_schema_keeps_the_balls(book_path: Path) -> None:
    build(book_path, 4)
    with closing(sqlite3.connect(book_path)) as connection:
        connection.execute("UPDATE sqlite_sequence SET seq = 9 WHERE name = 'shots'")
        connection.commit()
    engine = create_engine(f"sqlite:///{book_path}")
    with engine.begin() as connection:
        upgrade.downgrade(connection, 3)
    engine.dispose()
    with open_book(book_path) as book:
        assert [shot.source for shot in book.shots(1)] == ["file"] * 3 + ["typed"] * 2
        assert book.bays() == ()
        # A number once given is never given again, also not where the table was copied twice.
        assert book.add_shot(2, carried(200.0), at=AT).id == 10


def test_an_unknown_source_is_refused_by_the_book(book_path: Path) -> None:
    assert (SCHEMAS / "0004.sql").exists()
    with open_book(book_path) as book:
        some_block(book)
    with (
        closing(sqlite3.connect(book_path)) as connection,
        pytest.raises(sqlite3.IntegrityError, match="ck_shots_source"),
    ):
        connection.execute(
            "INSERT INTO shots (lesson_id, block_id, place, readings, source, hit_at) "
            "VALUES (1, 1, 1, '{}', 'heard', '2026-03-01 10:00:00')"
        )


def test_a_closed_book_takes_no_shot(book: Book) -> None:
    lesson = some_lesson(book)
    bay = some_bay(book, lesson.id)
    book.close()
    with pytest.raises(BookError, match="was closed"):
        arrive(book, bay, "a", 200.0)
