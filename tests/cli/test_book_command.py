"""``leadfoot book``: what a coach does with the file of the book, and what it says."""

import threading
from datetime import UTC, datetime
from pathlib import Path

import pytest

from leadfoot.book.store import open_book
from leadfoot.cli.daily import daily_backups
from leadfoot.errors import BookError
from tests.book.full_book import build, rows_of
from tests.book.samples import some_student
from tests.cli.conftest import Run
from tests.desk.fake_keeping import FakeFile
from tests.postgres import Server

AT = datetime(2026, 3, 1, 9, 15, tzinfo=UTC)


@pytest.fixture
def book(tmp_path: Path) -> Path:
    path = tmp_path / "lessons.book"
    build(path)
    return path


def test_a_backup_is_made_listed_and_restored(run: Run, book: Path) -> None:
    assert "There is no backup yet." in run("book", "backups", "--book", book).out
    made = run("book", "backup", "--book", book)
    assert made.code == 0
    name = made.out.strip().rpartition("/")[2]
    rows = rows_of(book)
    with open_book(book) as opened:
        opened.archive_student(1, at=AT)
    listed = run("book", "backups", "--book", book).out
    assert name in listed
    assert "by hand" in listed
    done = run("book", "restore", name, "--book", book)
    assert done.code == 0
    assert "What was there is in " in done.out
    assert rows_of(book) == rows
    assert len(run("book", "backups", "--book", book).out.splitlines()) == 3


def test_an_export_goes_out_and_comes_in(run: Run, book: Path, tmp_path: Path) -> None:
    out = run("book", "export", tmp_path / "a.zip", "--book", book)
    assert out.code == 0
    assert "1 students" in out.out
    assert "These are personal data." in out.out
    new = tmp_path / "new.book"
    assert "Added: " in run("book", "import", tmp_path / "a.zip", "--book", new).out
    assert rows_of(new) == rows_of(book)
    again = run("book", "import", tmp_path / "a.zip", "--book", new).out
    assert again == "This very export was brought in before; nothing was added.\n"
    one = run("book", "export", tmp_path / "one.zip", "--student", "zoe example", "--book", book)
    assert one.code == 0
    refused = run("book", "export", tmp_path / "one.zip", "--book", book)
    assert (refused.code, refused.out) == (3, "")
    assert refused.err.endswith("is there already. Choose another name.\n")


def test_a_student_is_erased_with_the_name_typed(run: Run, book: Path) -> None:
    made = run("book", "backup", "--book", book)
    name = made.out.strip().rpartition("/")[2]
    wrong = run("book", "erase", "1", "--confirm", "Zo", "--book", book)
    assert wrong.code == 3
    assert "Nothing was erased" in wrong.err
    done = run("book", "erase", "1", "--confirm", "Zoë Example", "--book", book)
    assert done.code == 0
    assert f"Still with the student: {name}" in done.out
    assert "1 students" in done.out
    with open_book(book) as opened:
        assert opened.students() == ()
    gone = run("book", "erase", "Zoë Example", "--confirm", "Zoë Example", "--book", book)
    assert gone.code == 3
    assert "The book has 0 students named 'Zoë Example'." in gone.err
    assert run("book", "wipe", "--book", book).code == 0


def test_backups_are_written_anew_on_request(run: Run, book: Path) -> None:
    run("book", "backup", "--book", book)
    words = ("--confirm", "Zoe Example", "--in-backups", "rewrite", "--book", book)
    done = run("book", "erase", "Zoë Example", *words)
    assert "Written anew without the student: " in done.out
    (copy,) = (book.parent / "lessons-backups").iterdir()
    assert "Zoë".encode() not in copy.read_bytes()
    checked = run("book", "check", "--book", book)
    assert checked.out.count("whole, 0 students") == 2


def test_damage_is_found(run: Run, book: Path) -> None:
    run("book", "backup", "--book", book)
    (copy,) = (book.parent / "lessons-backups").iterdir()
    copy.write_bytes(copy.read_bytes()[:9000])
    found = run("book", "check", "--book", book)
    assert found.code == 3
    assert copy.name in found.err
    assert "whole, 1 students" in found.out


def test_a_book_that_is_not_there_is_not_made(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "no.book"
    for words in (("backup",), ("backups",), ("check",), ("export", tmp_path / "x.zip")):
        done = run("book", *words, "--book", path)
        assert done.code == 3
        assert done.err == (
            f"leadfoot: There is no client book {path}. Name another one with --book.\n"
        )
    assert not path.exists()
    missing = run("book", "restore", "nothing", "--book", path)
    assert "has no backup 'nothing'" in missing.err


class Failing(FakeFile):
    """A file whose backups fail twice."""

    def __init__(self) -> None:
        super().__init__(students={})
        self.looks = 0
        self.enough = threading.Event()

    def back_up_if_due(self) -> None:
        self.looks += 1
        if self.looks >= 3:
            self.enough.set()
        raise BookError("The disk is full.", fix="Free some space.")


def test_the_open_desk_looks_every_so_often(capsys: pytest.CaptureFixture[str]) -> None:
    file = Failing()
    with daily_backups(file, every_s=0.01):
        assert file.enough.wait(20.0)
    n_looks = file.looks
    assert capsys.readouterr().err == (
        "leadfoot: no backup was made: The disk is full. Free some space.\n"
    )
    assert file.looks == n_looks


def test_a_book_on_a_server_is_kept_by_the_same_commands(
    run: Run, postgres: Server, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setenv("LEADFOOT_BOOK", postgres.new_book())
    build(tmp_path / "full.book")
    assert run("book", "export", tmp_path / "a.zip", "--book", tmp_path / "full.book").code == 0
    assert "Added: " in run("book", "import", tmp_path / "a.zip").out
    made = run("book", "backup").out.strip()
    assert made.startswith(f"Backed up and checked: {tmp_path / 'data'}")
    name = made.rpartition("/")[2]
    checked = run("book", "check").out.splitlines()
    assert [line.rpartition(": ")[2] for line in checked] == ["whole", "whole"]
    assert "1 students" in run("book", "erase", "1", "--confirm", "zoe example").out
    assert "What was there is in " in run("book", "restore", name).out
    assert "1 students" in run("book", "export", tmp_path / "b.zip").out
    assert "The server has written every table anew" in run("book", "wipe").out
    assert name in run("book", "backups").out


def test_the_demo_goes_into_an_empty_book_on_a_server_alone(
    run: Run, postgres: Server, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    address = postgres.new_book()
    with open_book(address) as opened:
        some_student(opened)
    assert run("demo", "--book", address, "--keep").out.startswith("The demo book is in ")
    refused = run("demo", "--book", address)
    assert refused.code != 0
    assert "has students already. Add --keep to leave it as it is" in refused.err
