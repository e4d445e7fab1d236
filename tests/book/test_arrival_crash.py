"""Kill -9 while shots arrive: each that was sent is in the book once, however often it is sent."""

import random
import subprocess
from pathlib import Path

import pytest

from leadfoot.book.store import open_book
from tests.book.samples import AT, some_lesson
from tests.book.test_crash import kill_one, nursery, refuse_damage

__all__ = ["nursery"]

N_BOOKS = 4
KILLS_PER_BOOK = 15
OVERLAP = 5
"""Balls that a bay sends again after a restart: it can't know which of them arrived."""


@pytest.mark.xdist_group("crash")
def test_60_killed_programs_send_no_ball_twice(
    nursery: subprocess.Popen[str],
    tmp_path: Path,
) -> None:
    rng = random.Random(20260304)  # noqa: S311  (no secret)
    n_again = n_balls = 0
    for number in range(N_BOOKS):
        path = tmp_path / f"{number}.book"
        with open_book(path) as book:
            lesson = some_lesson(book)
            bay = book.add_bay(name="bay-1", token_digest="ab" * 32, at=AT)
            book.point_bay(bay.id, lesson.id)
        said: dict[int, int] = {}
        for _ in range(KILLS_PER_BOOK):
            first = max(max(said, default=0) - OVERLAP, 0)
            order = f"{path}\t{lesson.id}\t{-bay.id}\t{first}\t{rng.randrange(2**31)}\n"
            lines = kill_one(nursery, order, rng.choice([0, 1, 8, 16, 24]), rng.uniform(0, 0.02))
            for line in lines:
                if line.startswith("sent "):
                    shot_id, ball = map(int, line.split()[1:])
                    n_again += ball in said
                    assert said.setdefault(ball, shot_id) == shot_id
            refuse_damage(path)
            with open_book(path) as book:
                shots, arrived = book.shots(lesson.id), book.arrived(bay.id)
            assert [shot.place for shot in shots] == list(range(1, len(shots) + 1))
            held = {int(shot.values["carry"].value): shot.id for shot in shots}
            assert said.items() <= held.items()
            # No ball is missing on the way, none is there twice, and each has its arrival.
            assert sorted(held) == list(range(len(shots)))
            assert arrived == {f"ball {ball}": shot_id for ball, shot_id in held.items()}
        n_balls += len(said)
    # The test means something only if balls were sent, and sent again.
    assert n_balls >= 100
    assert n_again >= 100
