"""``leadfoot bay`` as a person types it: bays, watched files, the invented student."""

import json
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from leadfoot.bay.sending import ByHttp
from leadfoot.bootstrap import open_desk
from leadfoot.desk import lesson as deeds
from leadfoot.desk import switching
from leadfoot.desk.live_shots import read_shots
from leadfoot.errors import InputError
from tests.cli.conftest import Run


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """A book with one lesson, its number 1."""
    path = tmp_path / "a.book"
    desk = open_desk(path)
    student = deeds.add_student(desk, name="Ida Invented", hand="right")
    deeds.add_lesson(desk, student.id, change="soft block", club="driver")
    desk.book.close()
    return path


def carries(book: Path) -> list[float]:
    desk = open_desk(book)
    try:
        return [shot.values["carry"].value for shot in desk.book.shots(1)]
    finally:
        desk.book.close()


def test_a_bay_is_added_listed_pointed_and_withdrawn(run: Run, book: Path) -> None:
    assert run("bay", "list", "--book", book).out == (
        "There is no bay yet. Add one with: leadfoot bay add bay-1\n"
    )
    added = run("bay", "add", "bay-1", "--lesson", "1", "--book", book, "--json")
    found = json.loads(added.out)
    assert (found["name"], found["lesson"], len(found["token"])) == ("bay-1", 1, 43)
    second = run("bay", "add", "bay-2", "--book", book)
    assert second.out.startswith("Bay bay-2 is ready; it hits for no lesson.\nIts token, shown")
    assert run("bay", "point", "bay-2", "--lesson", "1", "--book", book).out == (
        "Bay bay-2 hits for lesson 1.\n"
    )
    run("bay", "withdraw", "bay-1", "--book", book)
    assert run("bay", "list", "--book", book).out == (
        "bay-1: withdrawn\nbay-2: hits for lesson 1\n"
    )
    listed = json.loads(run("bay", "list", "--book", book, "--json").out)
    assert [one["name"] for one in listed["bays"]] == ["bay-1", "bay-2"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("add", "Bay 1"), "leadfoot: 'Bay 1' can't be the name of a bay."),
        (("add", "bay-1", "--lesson", "7"), "leadfoot: The client book has no lesson 7."),
        (("withdraw", "bay-9"), "leadfoot: There is no bay 'bay-9'."),
        (("watch", "/nowhere/a.csv", "--bay", "bay-1"), "leadfoot: There is no '/nowhere/a.csv'"),
        (("simulate", "--bay", "bay-9"), "leadfoot: There is no bay 'bay-9'."),
        (("simulate", "--balls", "0"), "leadfoot: 0 balls can't be hit."),
        (("simulate", "--pace", "8mph"), "leadfoot: "),
        (("simulate", "--bay", "a", "--to", "http://127.0.0.1:1"), "leadfoot: The token is"),
        (
            ("simulate", "--bay", "a", "--to", "127.0.0.1", "--token", "x"),
            "leadfoot: '127.0.0.1' is no address of a desk.",
        ),
    ],
)
def test_what_can_not_be_done_is_said_in_one_line(
    run: Run, book: Path, words: tuple[str, ...], said: str
) -> None:
    done = run("bay", *words, "--book", book)
    assert done.code == 3
    assert done.err.startswith(said)
    assert done.err.count("\n") == 1


def test_without_a_bay_the_balls_are_printed(run: Run) -> None:
    done = run("bay", "simulate", "--balls", "3", "--pace", "0s", "--switch-after", "1")
    shots = read_shots([json.loads(line) for line in done.out.splitlines()])
    assert [shot.key[-4:] for shot in shots] == ["0001", "0002", "0003"]
    assert len({shot.key for shot in shots}) == 3


def test_the_invented_student_follows_the_lesson(run: Run, book: Path) -> None:
    run("bay", "add", "bay-1", "--lesson", "1", "--book", book)
    words = ("bay", "simulate", "--bay", "bay-1", "--balls", "4", "--pace", "0s", "--book", book)
    first = run(*words, "--change", "faster")
    assert first.out.splitlines()[0] == "These balls are invented; nobody hits them."
    assert len(carries(book)) == 4
    desk = open_desk(book)
    switching.switch_block(desk, 1, "with_change")
    desk.book.close()
    run(*words, "--change", "faster")
    found = carries(book)
    assert len(found) == 8
    # The same swings, faster.
    assert all(after > before for before, after in zip(found[:4], found[4:], strict=True))
    desk = open_desk(book)
    assert len(desk.book.judgements(1)) == 1
    desk.book.close()


def test_a_folder_is_watched_until_it_is_stopped(book: Path, tmp_path: Path, run: Run) -> None:
    run("bay", "add", "bay-1", "--lesson", "1", "--book", book)
    folder = tmp_path / "balls"
    folder.mkdir()
    command = ["bay", "watch", str(folder), "--bay", "bay-1", "--book", str(book)]
    environment = {**os.environ, "PYTHONUNBUFFERED": "1"}
    with subprocess.Popen(
        [sys.executable, "-m", "leadfoot.cli", *command],
        stdout=subprocess.PIPE,
        text=True,
        env=environment,
    ) as process:
        assert process.stdout is not None
        assert process.stdout.readline().startswith(f"Watching {folder} for bay bay-1, which hits")
        # Said after the first look, so that this table is a new one however slow the machine is.
        with (folder / "a.csv").open("w") as table:
            table.write("Carry [yd],Offline [yd]\n200,1\n201,2\n")
        assert process.stdout.readline() == "2 balls\n"
        process.send_signal(signal.SIGINT)
        try:
            assert process.wait(timeout=60) == 0
        finally:
            process.kill()  # nothing waits for ever where an interrupt is not heard
    assert carries(book) == [200.0, 201.0]
    desk = open_desk(book)
    assert [file.name for file in desk.book.raw_files(1)] == ["a.csv"]
    desk.book.close()


def test_a_desk_that_does_not_answer_is_asked_again() -> None:
    waits: list[float] = []
    sending = ByHttp(
        address="http://127.0.0.1:9",
        bay="a",
        token="none",  # noqa: S106  (no secret)
        patience_s=1.0,
        sleep=waits.append,
    )
    with pytest.raises(InputError, match="does not answer"):
        sending.running()
    assert waits == [0.1, 0.2, 0.4, 0.8]
