"""``leadfoot lasted``: from tables, and from the book."""

import json
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from leadfoot.bootstrap import open_desk
from leadfoot.desk.follow_up import begin_test, plan_tests
from leadfoot.desk.lesson import add_student
from tests.cli.conftest import Run
from tests.desk.weeks import at, days_later, hit, lesson_with


def table(path: Path, mph: float, seed: int) -> Path:
    rng = np.random.default_rng(seed)
    rows = [f"{speed:.1f}" for speed in mph + 1.2 * rng.normal(size=14)]
    path.write_text("\n".join(["Club speed (mph)", *rows]) + "\n")
    return path


@pytest.fixture
def tables(tmp_path: Path) -> list[str | Path]:
    levels = (("--before", 92.0), ("--before", 92.3), ("--with", 98.0), ("--test", 97.6))
    words: list[str | Path] = []
    for place, (option, mph) in enumerate(levels):
        words += [option, table(tmp_path / f"{place}.csv", mph, place)]
    return words


def test_from_tables(run: Run, tables: list[str | Path]) -> None:
    done = run("lasted", *tables, "--json")
    assert done.code == 0, done.err
    form = json.loads(done.out)
    assert form["schema"] == "leadfoot.lasted/1"
    (speed,) = form["quantities"]
    assert (speed["quantity"], speed["n_baselines"], speed["n_tests"]) == ("club_speed", 2, 1)
    assert speed["gain"] == pytest.approx(5.8, abs=1.2)
    said = run("lasted", *tables).out
    assert "club speed" in said
    assert "95 in 100" in said


def test_from_the_book(run: Run, tmp_path: Path) -> None:
    book = tmp_path / "a.book"
    desk = at(open_desk(book), datetime(2026, 3, 2, 12, tzinfo=UTC))
    student = add_student(desk, name="Ida Invented", hand="right")
    lesson = lesson_with(desk, student.id, change="press", gain_mph=6.0, seed=1)
    assert "has no planned test" in run("lasted", "1", "--book", book).err
    (test,) = plan_tests(desk, lesson.id, ["week"])
    later = days_later(desk, 8)
    assert later.clock() - desk.clock() == timedelta(days=8)
    (block,) = desk.book.blocks(begin_test(later, test.id).id)
    hit(later, block.id, 98.0, 14, np.random.default_rng(2))
    desk.book.close()
    form = json.loads(run("lasted", "1", "--book", book, "--json").out)
    assert form["change"] == "press"
    assert form["quantities"][0]["n_test_balls"] == 14


def test_without_anything_it_says_what_to_give(run: Run) -> None:
    done = run("lasted")
    assert done.code == 3
    assert done.err == (
        "leadfoot: There is nothing to judge. "
        "Name a student of the book, or give --before, --with and --test tables.\n"
    )
