"""A program that writes into a book until it is killed; run by test_crash.py.

It imports the store once and then forks a writer for each line it reads, so that 200 kills take
seconds. A line says: book, lesson, block, first number, seed. A writer says what was committed, one
line each, after the commit has returned; when it is dead, its parent says "gone".

Lesson 0 means: only open the book. A seed below zero means: import one file, and die before the
statement with that number (commits count as statements). A block below zero means: send the shots
of the bay with that number, from the first number on, some of them twice.
"""

import os
import random
import signal
import sys
import tempfile
from datetime import UTC, datetime
from itertools import count
from pathlib import Path

from sqlalchemy import event

from leadfoot.book.store import SqlBook, open_book
from leadfoot.desk.records import NewShot, Role
from leadfoot.shots.shot import Reading

AT = datetime(2026, 3, 1, 10, 0, tzinfo=UTC)


def say(line: str) -> None:
    """Write the line at once, past every buffer of this process."""
    os.write(1, f"{line}\n".encode())


def carried(value: float, row: int | None = None) -> NewShot:
    return NewShot(club="Driver", values={"carry": Reading(value=value, unit="yd")}, row=row)


def rows_of(number: int, n_rows: int) -> list[tuple[str, Role, list[NewShot]]]:
    """Two blocks of an invented table in which every value tells its file and its row."""
    shots = [carried(number + row / 1000, row) for row in range(2, n_rows + 2)]
    half = n_rows // 2
    return [("before", "before", shots[:half]), ("cue", "with_change", shots[half:])]


def write_for_ever(path: Path, lesson_id: int, block_id: int, number: int, seed: int) -> None:
    rng = random.Random(seed)  # noqa: S311  (no secret)
    with open_book(path) as book:
        say("opened")
        while not lesson_id:
            signal.pause()
        if block_id < 0:
            send_for_ever(book, -block_id, number, rng)
        if seed < 0:
            import_until(book, lesson_id, number, -seed)
        while True:
            number += 1
            if rng.random() < 0.6:
                shot = book.add_shot(block_id, carried(float(number)), at=AT)
                say(f"shot {shot.id} {number}")
                continue
            n_rows = rng.choice([2, 20, 150])
            file = book.keep_file(
                lesson_id, name=f"{n_rows}.csv", data=f"{number} {n_rows}".encode(), at=AT
            )
            say(f"kept {file.id} {number}")
            book.import_shots(file.id, rows_of(number, n_rows), at=AT)
            say(f"imported {file.id} {number}")


def send_for_ever(book: SqlBook, bay_id: int, number: int, rng: random.Random) -> None:
    """Send shot after shot as a bay does that hears no answer: now and then once more."""
    while True:
        for _ in range(rng.choice([1, 1, 2])):
            key, shot = f"ball {number}", carried(float(number))
            sent = book.arrive(bay_id, key, shot, first_block=("before", "before"), at=AT)
            say(f"sent {sent.shot.id} {number}")
        number += 1


def import_until(book: SqlBook, lesson_id: int, number: int, step: int) -> None:
    """Import one file, and be killed before the statement with the number `step`."""
    file = book.keep_file(lesson_id, name="a.csv", data=f"{number} 10".encode(), at=AT)
    say(f"kept {file.id} {number}")
    steps = count(1)

    def die_in_time(*_: object) -> None:
        if next(steps) == step:
            os.kill(os.getpid(), signal.SIGKILL)

    event.listen(book.engine, "before_cursor_execute", die_in_time)
    event.listen(book.engine, "commit", die_in_time)
    book.import_shots(file.id, rows_of(number, 10), at=AT)
    say(f"imported {file.id} {number}")
    os.kill(os.getpid(), signal.SIGKILL)


def warm_up() -> None:
    """Do all of it once, so that what is prepared at first use is prepared for every writer."""
    with (
        tempfile.TemporaryDirectory() as folder,
        open_book(Path(folder) / "lessons.book") as book,
    ):
        student = book.add_student(
            name="Ana Example", hand="left", goals="", cautions="", invented=True, at=AT
        )
        lesson = book.add_lesson(
            student_id=student.id, held_on=AT.date(), title="", change="", club=None
        )
        file = book.keep_file(lesson.id, name="a.csv", data=b"", at=AT)
        shots = book.import_shots(file.id, rows_of(1, 2), at=AT)
        book.add_shot(shots[0].block_id, carried(1.0), at=AT)


def main() -> None:
    warm_up()
    say("ready")
    for line in sys.stdin:
        path, *numbers = line.rstrip("\n").split("\t")
        pid = os.fork()
        if pid == 0:
            write_for_ever(Path(path), *map(int, numbers))
        say(f"pid {pid}")
        os.waitpid(pid, 0)
        say("gone")


if __name__ == "__main__":
    main()
