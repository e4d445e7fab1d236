"""Kill -9 at random moments of import and live entry: the book opens, and nothing said is lost.

This is about a killed process. That a commit also outlives a power cut rests on SQLite's
``synchronous=FULL`` and on a disk that tells the truth; it can't be shown here.
"""

import os
import random
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from leadfoot.book.store import SqlBook, open_book
from tests.book.crash_child import AT, rows_of
from tests.book.samples import some_block

N_BOOKS = 20
KILLS_PER_BOOK = 10
CHILD = Path(__file__).with_name("crash_child.py")


@dataclass
class Said:
    """What the killed programs have acknowledged, for one book."""

    shots: dict[int, float] = field(default_factory=dict)
    kept: dict[int, int] = field(default_factory=dict)
    imported: set[int] = field(default_factory=set)

    def hear(self, line: str) -> None:
        word, *numbers = line.split()
        if word == "shot":
            self.shots[int(numbers[0])] = float(numbers[1])
        elif word == "kept":
            self.kept[int(numbers[0])] = int(numbers[1])
        elif word == "imported":
            self.imported.add(int(numbers[0]))


@pytest.fixture
def nursery() -> Iterator[subprocess.Popen[str]]:
    with subprocess.Popen(
        [sys.executable, str(CHILD)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as process:
        assert process.stdout is not None
        assert process.stdout.readline() == "ready\n"
        yield process
        assert process.stdin is not None
        process.stdin.close()
        assert process.wait(timeout=20) == 0


def begin(nursery: subprocess.Popen[str], order: str) -> None:
    assert nursery.stdin is not None
    nursery.stdin.write(order)
    nursery.stdin.flush()


def kill_one(nursery: subprocess.Popen[str], order: str, n_lines: int, wait_s: float) -> list[str]:
    """Let one writer begin, kill it some time after so many lines, and give all that it said."""
    begin(nursery, order)
    assert nursery.stdout is not None
    lines: list[str] = []
    pid = 0
    while not pid or len(lines) < n_lines:
        line = nursery.stdout.readline()
        if line.startswith("pid "):
            pid = int(line.split()[1])
        else:
            lines.append(line)
    time.sleep(wait_s)
    os.kill(pid, signal.SIGKILL)
    return lines + last_words(nursery)


def last_words(nursery: subprocess.Popen[str]) -> list[str]:
    """What a writer says until it is dead."""
    assert nursery.stdout is not None
    lines: list[str] = []
    while (line := nursery.stdout.readline()) != "gone\n":
        assert line, "the parent of the writers died"
        if not line.startswith("pid "):
            lines.append(line)
    return lines


def refuse_damage(path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert connection.execute("PRAGMA foreign_key_check").fetchall() == []


def refuse_loss(book: SqlBook, lesson_id: int, said: Said) -> int:
    """Compare the book with what was said; give the number of imports that were cut off."""
    shots = book.shots(lesson_id)
    assert [shot.place for shot in shots] == list(range(1, len(shots) + 1))
    typed = {shot.id: shot.values["carry"].value for shot in shots if shot.source == "typed"}
    assert said.shots.items() <= typed.items()
    assert len(set(typed.values())) == len(typed)
    files = {file.id: file for file in book.raw_files(lesson_id)}
    assert said.kept.keys() <= files.keys()
    assert said.imported <= {file_id for file_id, file in files.items() if file.imported}
    for file in files.values():
        number, n_rows = map(int, book.raw_file(file.id)[1].split())
        assert said.kept.get(file.id, number) == number
        expected = [
            shot.values["carry"].value for _, _, run in rows_of(number, n_rows) for shot in run
        ]
        brought = [shot.values["carry"].value for shot in shots if shot.raw_file_id == file.id]
        assert brought == (expected if file.imported else [])
    return sum(not file.imported for file in files.values())


def values_of(number: int, n_rows: int) -> list[float]:
    return [shot.values["carry"].value for _, _, run in rows_of(number, n_rows) for shot in run]


def import_again(book: SqlBook, lesson_id: int) -> None:
    """What a coach does next: import the files of which no shot arrived."""
    for file in book.raw_files(lesson_id):
        if not file.imported:
            number, n_rows = map(int, book.raw_file(file.id)[1].split())
            shots = book.import_shots(file.id, rows_of(number, n_rows), at=AT)
            assert len(shots) == n_rows


@pytest.mark.xdist_group("crash")
def test_200_killed_programs_lose_nothing(nursery: subprocess.Popen[str], tmp_path: Path) -> None:
    rng = random.Random(20260301)  # noqa: S311  (no secret)
    n_kills = n_opened = n_said = n_cut_imports = 0
    for number in range(N_BOOKS):
        path = tmp_path / f"{number}.book"
        with open_book(path) as book:
            block = some_block(book)
        said = Said()
        for kill in range(KILLS_PER_BOOK):
            seed = rng.randrange(2**31)
            order = f"{path}\t{block.lesson_id}\t{block.id}\t{(kill + 1) * 10_000}\t{seed}\n"
            # Some die while they open the book, some after a few commits, at any point of the next.
            lines = kill_one(nursery, order, rng.choice([0, 1, 2, 3, 6, 12]), rng.uniform(0, 0.02))
            n_kills += 1
            n_opened += "opened\n" in lines
            for line in lines:
                said.hear(line)
            refuse_damage(path)
            with open_book(path) as book:
                n_cut_imports += refuse_loss(book, block.lesson_id, said)
                import_again(book, block.lesson_id)
        n_said += len(said.shots) + len(said.imported)
    assert n_kills == 200
    # The test means something only if the killed programs were at work.
    assert n_opened >= 100
    assert n_said >= 200
    assert n_cut_imports >= 5


@pytest.mark.xdist_group("crash")
def test_an_import_killed_before_each_statement(
    nursery: subprocess.Popen[str], tmp_path: Path
) -> None:
    """No moment of an import is left to chance: each ends in nothing, or in the whole."""
    path = tmp_path / "lessons.book"
    with open_book(path) as book:
        lesson_id = some_block(book).lesson_id
    said = Said()
    n_steps = 0
    while not said.imported:
        n_steps += 1
        begin(nursery, f"{path}\t{lesson_id}\t1\t{n_steps}\t{-n_steps}\n")
        lines = last_words(nursery)
        assert lines[0] == "opened\n"
        for line in lines:
            said.hear(line)
        with open_book(path) as book:
            refuse_loss(book, lesson_id, said)
            assert [file.imported for file in book.raw_files(lesson_id)] == [
                *[False] * (n_steps - 1),
                bool(said.imported),
            ]
        refuse_damage(path)
    assert n_steps > 8


@pytest.mark.xdist_group("crash")
def test_a_program_killed_while_it_makes_a_book(
    nursery: subprocess.Popen[str], tmp_path: Path
) -> None:
    """A new book is there whole or not at all: it opens either way."""
    rng = random.Random(20260302)  # noqa: S311  (no secret)
    n_made = 0
    longest_s = 0.0
    for number in range(40):
        path = tmp_path / f"{number}.book"
        order = f"{path}\t0\t0\t0\t0\n"
        if number % 4 == 0:  # one is let be until it says that the book is made
            start = time.monotonic()
            lines = kill_one(nursery, order, 1, 0.0)
            longest_s = max(longest_s, time.monotonic() - start)
        else:  # the others die while they are at it
            lines = kill_one(nursery, order, 0, rng.uniform(0.0, longest_s))
        n_made += "opened\n" in lines
        with open_book(path) as book:
            assert book.students() == ()
            some_block(book)
        refuse_damage(path)
    assert 10 <= n_made < 40
