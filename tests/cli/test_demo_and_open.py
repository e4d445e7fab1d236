"""``leadfoot demo`` and ``leadfoot open``: a book with the invented studio, and the desk on it."""

import os
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest

from leadfoot.book.store import open_book
from tests.cli.conftest import Run


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    return int(port)


@pytest.fixture(scope="module")
def demo_book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("demo") / "demo.book"
    done = subprocess.run(
        [sys.executable, "-m", "leadfoot.cli", "demo", "--book", str(path)],
        capture_output=True,
        text=True,
        check=True,
    )
    assert str(path) in done.stdout
    return path


def test_the_demo_book_holds_invented_students_with_answers(demo_book: Path) -> None:
    with open_book(demo_book) as book:
        students = book.students()
        lessons = book.lessons()
        assert len(students) >= 6
        assert all(student.invented for student in students)
        assert {student.hand for student in students} == {"left", "right"}
        assert all(book.judgements(lesson.id) for lesson in lessons)
    assert [path.name for path in demo_book.parent.iterdir()] == ["demo.book"]


def test_a_book_that_is_there_is_never_written_over(demo_book: Path, run: Run) -> None:
    before = demo_book.read_bytes()
    done = run("demo", "--book", demo_book)
    assert done.code == 3
    assert done.err == (
        f"leadfoot: A file {str(demo_book)!r} is there already. Add --keep to leave it as it is, "
        "or choose another place with --book.\n"
    )
    assert run("demo", "--book", demo_book, "--keep").code == 0
    assert demo_book.read_bytes() == before


def test_the_desk_opens_on_the_demo_book_and_closes_at_once(
    demo_book: Path, tmp_path: Path
) -> None:
    port = free_port()
    words = ["open", "--book", str(demo_book), "--port", str(port), "--no-browser"]
    desk = subprocess.Popen(
        [sys.executable, "-m", "leadfoot.cli", *words],
        stdout=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONUNBUFFERED": "1", "NUMBA_CACHE_DIR": str(tmp_path)},
    )
    try:
        assert desk.stdout is not None
        assert f"http://127.0.0.1:{port}/" in desk.stdout.readline()
        page = _first_page(f"http://127.0.0.1:{port}/")
        assert "Invented" in page
        assert desk.stdout.readline() == (
            "Making flights fast on this machine, once: 0 of 2 loops ready.\n"
        )
    finally:
        desk.terminate()
        desk.wait(timeout=15)
        if desk.stdout is not None:
            desk.stdout.close()


def test_a_port_in_use_says_what_to_do(demo_book: Path, run: Run) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        done = run("open", "--book", demo_book, "--port", port, "--no-browser")
    assert (done.code, done.out) == (3, "")
    assert done.err == (
        f"leadfoot: Port {port} is in use on this machine. Choose another one with --port.\n"
    )


def test_a_file_that_is_no_book_is_refused(tmp_path: Path, run: Run) -> None:
    path = tmp_path / "notes.txt"
    path.write_text("not a book " * 100, encoding="utf-8")
    done = run("open", "--book", path, "--port", free_port(), "--no-browser")
    assert (done.code, done.out) == (3, "")
    assert done.err.startswith("leadfoot: ")
    assert done.err.count("\n") == 1


def _first_page(address: str) -> str:
    for _ in range(300):
        try:
            with urllib.request.urlopen(address) as answer:
                return str(answer.read().decode())
        except OSError:
            time.sleep(0.1)
    raise TimeoutError(address)
