"""The book: a shot with its commit, an import of 1,000 shots, reading a lesson, opening."""

from collections.abc import Iterator
from itertools import count
from pathlib import Path

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from leadfoot.book.store import SqlBook, open_book
from leadfoot.desk.records import Block, NewShot
from leadfoot.shots.shot import Reading
from tests.book.samples import AT, some_block

MANY = 1_000


def full_shot(number: int, row: int | None = None) -> NewShot:
    """A shot with the ten values that a good table has."""
    units = {
        "club_speed": "mph",
        "ball_speed": "mph",
        "smash_factor": None,
        "attack_angle": "deg",
        "club_path": "deg",
        "face_angle": "deg",
        "launch_angle": "deg",
        "spin_rate": "rpm",
        "carry": "yd",
        "offline": "yd",
    }
    values = {key: Reading(value=100.0 + number / 7.0, unit=unit) for key, unit in units.items()}
    return NewShot(club="Driver", values=values, row=row)


@pytest.fixture
def book(tmp_path: Path) -> Iterator[SqlBook]:
    with open_book(tmp_path / "lessons.book") as book:
        yield book


@pytest.fixture
def block(book: SqlBook) -> Block:
    return some_block(book)


def bring_in(book: SqlBook, block: Block, number: int) -> None:
    file = book.keep_file(block.lesson_id, name=f"{number}.csv", data=f"{number}".encode(), at=AT)
    shots = [full_shot(row, row) for row in range(2, MANY + 2)]
    brought = book.import_shots(file.id, [("before", "before", shots)], at=AT)
    assert len(brought) == MANY


def test_1000_shots_one_commit_each(
    benchmark: BenchmarkFixture, book: SqlBook, block: Block
) -> None:
    shots = [full_shot(number) for number in range(MANY)]

    def hit() -> None:
        for shot in shots:
            book.add_shot(block.id, shot, at=AT)

    benchmark.pedantic(hit, rounds=3)
    assert len(book.shots(block.lesson_id)) == 3 * MANY


def test_one_import_of_1000(benchmark: BenchmarkFixture, book: SqlBook, block: Block) -> None:
    numbers = count()
    benchmark.pedantic(lambda: bring_in(book, block, next(numbers)), rounds=10, warmup_rounds=1)


def test_reading_a_lesson_of_1000(benchmark: BenchmarkFixture, book: SqlBook, block: Block) -> None:
    bring_in(book, block, 0)
    shots = benchmark(book.shots, block.lesson_id)
    assert len(shots) == MANY


def test_what_a_page_asks_every_moment(
    benchmark: BenchmarkFixture, book: SqlBook, block: Block
) -> None:
    """Whether anything has changed, in a lesson with 10,000 shots."""
    for number in range(10):
        bring_in(book, block, number)
    last = book.last_change()
    assert benchmark(book.changes_since, last, block.lesson_id) == {}


def test_opening(benchmark: BenchmarkFixture, book: SqlBook, block: Block) -> None:
    """A book with 10,000 shots, from the file to the first answer."""
    for number in range(10):
        bring_in(book, block, number)

    def open_and_ask() -> int:
        with open_book(Path(book.name)) as again:
            return len(again.students())

    assert benchmark(open_and_ask) == 1


def test_making(benchmark: BenchmarkFixture, tmp_path: Path) -> None:
    """A new book, with every migration."""
    numbers = count()

    def make() -> None:
        open_book(tmp_path / f"{next(numbers)}.book").close()

    benchmark(make)
