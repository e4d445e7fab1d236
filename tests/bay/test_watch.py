"""A watched file in all the ways in which other programs write: no ball lost, none there twice."""

import os
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from openpyxl import Workbook

from leadfoot.bay.rows import UNFINISHED_S
from leadfoot.bay.watch import KEEP_FILE_AFTER_S, Watcher
from leadfoot.book.store import open_book
from leadfoot.desk import bays, importing
from leadfoot.desk import lesson as deeds
from leadfoot.errors import BookError
from leadfoot.shots.columns import ColumnMapping, ColumnRule
from tests.bay.conftest import Bench

HEADER = "Club,Carry [yd],Offline [yd]\n"


def lines(*carries: float) -> str:
    return "".join(f"driver,{carry},1.5\n" for carry in carries)


class Eye:
    """A watcher with a clock of the test's own."""

    def __init__(self, bench: Bench, path: Path, *, take_past: bool = True) -> None:
        self.said: list[str] = []
        self.now_s = 1000.0
        self.bench, self.path, self.take_past = bench, path, take_past
        self.watcher = self.new()

    def new(self) -> Watcher:
        """As after a restart: nothing is known but what the book holds."""
        self.watcher = Watcher(
            desk=self.bench.desk,
            bay=self.bench.bay,
            path=self.path,
            take_past=self.take_past,
            tell=self.said.append,
        )
        return self.watcher

    def look(self, after_s: float = 0.2) -> int:
        self.now_s += after_s
        return len(self.watcher.look(self.now_s))


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    path = tmp_path / "balls"
    path.mkdir()
    return path


@pytest.fixture
def eye(bench: Bench, folder: Path) -> Eye:
    return Eye(bench, folder)


def test_a_table_that_grows(eye: Eye, folder: Path, bench: Bench) -> None:
    file = folder / "a.csv"
    assert eye.look() == 0
    file.write_text(HEADER)
    assert eye.look() == 0
    for k, carry in enumerate((200.0, 201.0, 200.0)):
        with file.open("a") as table:
            table.write(lines(carry))
        assert eye.look() == 1
        assert len(bench.carries()) == k + 1
    assert eye.look() == 0
    # The same numbers twice are two balls.
    assert bench.carries() == [200.0, 201.0, 200.0]
    assert eye.said == []


def test_a_half_written_line_waits_for_its_end(eye: Eye, folder: Path, bench: Bench) -> None:
    file = folder / "a.csv"
    file.write_text(HEADER + lines(200.0) + "driver,19")
    assert eye.look() == 1
    with file.open("a") as table:
        table.write("8.5,")
    assert eye.look() == 0
    with file.open("a") as table:
        table.write("2.0\ndri")
    assert eye.look() == 1
    assert bench.carries() == [200.0, 198.5]


def test_a_last_line_without_an_end_is_taken_once_it_is_still(
    eye: Eye, folder: Path, bench: Bench
) -> None:
    file = folder / "a.csv"
    file.write_text(HEADER + lines(200.0))
    eye.look()
    file.write_text(HEADER + lines(200.0, 201.0).rstrip())
    assert eye.look() == 0
    assert eye.look(UNFINISHED_S) == 1
    assert bench.carries() == [200.0, 201.0]


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "cp1252"])
def test_half_written_files_in_other_encodings(
    eye: Eye, folder: Path, bench: Bench, encoding: str
) -> None:
    file = folder / "a.csv"
    whole = (HEADER + lines(*(200.0 + k for k in range(4)))).encode(encoding)
    eye.look()
    for n_bytes in range(0, len(whole) + 1, 7):
        file.write_bytes(whole[:n_bytes])
        eye.look()
    file.write_bytes(whole)
    eye.look()
    assert bench.carries() == [200.0, 201.0, 202.0, 203.0]
    assert eye.said == []


def test_a_table_that_is_replaced_whole(eye: Eye, folder: Path, bench: Bench) -> None:
    """Written beside under a passing name, then renamed over the old one."""
    file = folder / "a.csv"
    for n in range(1, 5):
        beside = folder / "a.csv.tmp"
        beside.write_text(HEADER + lines(*(200.0 + k for k in range(n))))
        assert eye.look() == 0
        beside.replace(file)
        assert eye.look() == 1
    assert bench.carries() == [200.0, 201.0, 202.0, 203.0]


def test_the_newest_ball_may_stand_first(eye: Eye, folder: Path, bench: Bench) -> None:
    file = folder / "a.csv"
    for n in range(1, 5):
        file.write_text(HEADER + lines(*(200.0 + k for k in reversed(range(n)))))
        assert eye.look() == 1
    assert bench.carries() == [200.0, 201.0, 202.0, 203.0]


def test_a_table_that_shows_the_last_balls_only(eye: Eye, folder: Path, bench: Bench) -> None:
    file = folder / "a.csv"
    for n in range(1, 8):
        file.write_text(HEADER + lines(*(200.0 + k for k in range(max(0, n - 3), n))))
        assert eye.look() == 1
    assert bench.carries() == [200.0 + k for k in range(7)]
    # What rolled out of the file is kept in the book.
    kept = bench.desk.book.raw_files(bench.lesson.id)
    assert b"200.0" in bench.desk.book.raw_file(kept[0].id)[1]


def test_a_renamed_file_brings_nothing_twice(eye: Eye, folder: Path, bench: Bench) -> None:
    file = folder / "a.csv"
    file.write_text(HEADER + lines(200.0, 201.0))
    assert eye.look() == 2
    file = file.rename(folder / "monday.csv")
    assert eye.look() == 0
    with file.open("a") as table:
        table.write(lines(202.0))
    assert eye.look() == 1
    # Renamed while nobody watched, and grown.
    file = file.rename(folder / "tuesday.csv")
    with file.open("a") as table:
        table.write(lines(203.0))
    eye.new()
    assert eye.look() == 1
    assert bench.carries() == [200.0, 201.0, 202.0, 203.0]


def test_a_copy_beside_brings_nothing_twice(eye: Eye, folder: Path, bench: Bench) -> None:
    text = HEADER + lines(200.0, 201.0, 202.0)
    (folder / "a.csv").write_text(text)
    assert eye.look() == 3
    (folder / "copy of a.csv").write_text(text)
    assert eye.look() == 0
    assert len(bench.carries()) == 3


def test_another_file_with_the_same_ball_is_another_ball(
    eye: Eye, folder: Path, bench: Bench
) -> None:
    (folder / "a.csv").write_text(HEADER + lines(200.0))
    (folder / "b.csv").write_text(HEADER + lines(200.0))
    assert eye.look() == 2
    assert bench.carries() == [200.0, 200.0]


def test_a_table_begun_anew_under_its_name(eye: Eye, folder: Path, bench: Bench) -> None:
    file = folder / "a.csv"
    file.write_text(HEADER + lines(200.0, 201.0))
    assert eye.look() == 2
    file.write_text(HEADER)
    assert eye.look() == 0
    file.write_text(HEADER + lines(190.0))
    assert eye.look() == 1
    # A ball with the numbers of one from before it was begun anew is a new ball.
    file.write_text(HEADER + lines(190.0, 200.0))
    assert eye.look() == 1
    eye.new()
    assert eye.look() == 0
    assert bench.carries() == [200.0, 201.0, 190.0, 200.0]
    kept = bench.desk.book.raw_files(bench.lesson.id)
    assert bench.desk.book.raw_file(kept[0].id)[1] == (HEADER + lines(200.0, 201.0)).encode()


def test_one_file_a_ball(eye: Eye, folder: Path, bench: Bench) -> None:
    for k in range(4):
        beside = folder / f"shot-{k}.csv.part"
        beside.write_text(HEADER + lines(200.0 + k))
        eye.look()
        beside.rename(folder / f"shot-{k}.csv")
        assert eye.look() == 1
    assert bench.carries() == [200.0, 201.0, 202.0, 203.0]


def test_a_single_file_that_comes_later(bench: Bench, folder: Path) -> None:
    file = folder / "a.csv"
    eye = Eye(bench, file)
    assert eye.look() == 0
    (folder / "other.csv").write_text(HEADER + lines(150.0))
    file.write_text(HEADER + lines(200.0))
    assert eye.look() == 1
    assert bench.carries() == [200.0]


def test_balls_from_before_stay_where_they_are(bench: Bench, folder: Path) -> None:
    file = folder / "a.csv"
    file.write_text(HEADER + lines(150.0, 151.0).rstrip())
    os.utime(file, (1_000_000, 1_000_000))
    eye = Eye(bench, folder, take_past=False)
    assert eye.look() == 0
    assert eye.said == [
        "a.csv held 2 balls before watching began: they are left where they are; "
        "--all takes them too."
    ]
    file.write_text(HEADER + lines(150.0, 151.0, 200.0))
    assert eye.look() == 1
    (folder / "b.csv").write_text(HEADER + lines(201.0))
    assert eye.look() == 1
    # What came while nobody watched is taken: the file was known.
    file.write_text(HEADER + lines(150.0, 151.0, 200.0, 202.0))
    eye.new()
    assert eye.look() == 1
    assert bench.carries() == [200.0, 201.0, 202.0]
    eye.take_past = True
    eye.new()
    assert eye.look() == 2
    assert bench.carries() == [200.0, 201.0, 202.0, 150.0, 151.0]


def test_bad_rows_are_told_once_and_kept(eye: Eye, folder: Path, bench: Bench) -> None:
    file = folder / "a.csv"
    file.write_text(HEADER + lines(200.0) + "driver,far,\n" + lines(201.0))
    assert eye.look() == 2
    eye.look()
    with file.open("a") as table:
        table.write(lines(202.0))
    assert eye.look() == 1
    assert len(eye.said) == 1
    assert eye.said[0].startswith("a.csv, row 3, Carry [yd]: far: ")
    eye.watcher.close()
    (kept,) = bench.desk.book.raw_files(bench.lesson.id)
    assert (kept.name, kept.imported) == ("a.csv", True)
    assert bench.desk.book.raw_file(kept.id)[1] == file.read_bytes()


def test_a_file_is_kept_once_it_is_quiet(eye: Eye, folder: Path, bench: Bench) -> None:
    (folder / "a.csv").write_text(HEADER + lines(200.0))
    eye.look()
    eye.look(KEEP_FILE_AFTER_S - 1.0)
    assert bench.desk.book.raw_files(bench.lesson.id) == ()
    eye.look(2.0)
    assert [file.name for file in bench.desk.book.raw_files(bench.lesson.id)] == ["a.csv"]


def test_what_is_no_table_is_told_once(eye: Eye, folder: Path, bench: Bench) -> None:
    (folder / "notes.txt").write_text("only words\nand more words\n")
    (folder / "a.csv").write_text(HEADER + lines(200.0))
    assert eye.look() == 1
    eye.look()
    assert len(eye.said) == 1
    assert eye.said[0].startswith("notes.txt: ")
    assert bench.carries() == [200.0]


def test_a_book_that_is_busy_is_asked_again(
    eye: Eye, folder: Path, bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    def busy(*_: object, **__: object) -> None:
        raise BookError("The book is busy.", fix="Wait.")

    (folder / "a.csv").write_text(HEADER + lines(200.0, 201.0))
    with monkeypatch.context() as patched:
        patched.setattr(bench.desk.book, "arrive", busy)
        assert eye.look() == 0
        assert eye.look() == 0
    assert eye.said == ["a.csv: The book is busy. Wait."]
    assert eye.look() == 2
    with monkeypatch.context() as patched:
        patched.setattr(bench.desk.book, "keep_file", busy)
        eye.look(KEEP_FILE_AFTER_S)
    assert bench.desk.book.raw_files(bench.lesson.id) == ()
    eye.look()
    assert len(bench.desk.book.raw_files(bench.lesson.id)) == 1


def test_a_folder_that_goes_and_comes_back(eye: Eye, folder: Path, bench: Bench) -> None:
    (folder / "a.csv").write_text(HEADER + lines(200.0, 201.0, 202.0))
    assert eye.look() == 3
    folder.rename(folder.with_name("elsewhere"))
    assert eye.look() == 0
    folder.with_name("elsewhere").rename(folder)
    assert eye.look() == 0
    assert bench.carries() == [200.0, 201.0, 202.0]


def test_written_twice_within_one_step_of_the_clock(eye: Eye, folder: Path, bench: Bench) -> None:
    file = folder / "a.csv"
    eye.look()
    file.write_text(HEADER + lines(200.0))
    stamp = file.stat()
    assert eye.look() == 1
    file.write_text(HEADER + lines(201.0))  # as long as before
    os.utime(file, ns=(stamp.st_atime_ns, stamp.st_mtime_ns))
    assert eye.look() == 1
    assert bench.carries() == [200.0, 201.0]


def test_balls_wait_until_the_bay_hits_for_a_lesson(eye: Eye, folder: Path, bench: Bench) -> None:
    bays.point_bay(bench.desk, "bay-1", None)
    (folder / "a.csv").write_text(HEADER + lines(200.0))
    assert eye.look() == 0
    assert eye.look() == 0
    assert eye.said == ["Bay 'bay-1' hits for no lesson: its balls wait until it does."]
    bays.point_bay(bench.desk, "bay-1", bench.lesson.id)
    assert eye.look() == 1


def test_a_workbook_is_read_once_it_is_still(eye: Eye, folder: Path, bench: Bench) -> None:
    def save(*carries: float) -> None:
        book = Workbook()
        sheet = book.active
        assert sheet is not None
        sheet.append(["Club", "Carry [yd]", "Offline [yd]"])
        for carry in carries:
            sheet.append(["driver", carry, 1.5])
        book.save(folder / "a.xlsx")

    eye.look()
    save(200.0)
    os.utime(folder / "a.xlsx")
    eye.look()
    assert eye.look(0.5) + len(bench.carries()) >= 1
    save(200.0, 201.0)
    assert eye.look() == 0
    assert eye.look(0.5) == 1
    assert bench.carries() == [200.0, 201.0]


def test_the_remembered_mapping_is_used(eye: Eye, folder: Path, bench: Bench) -> None:
    odd = "driver;{};{}\n"
    header = "Stick;Weit;Daneben\n"
    raw = importing.receive(
        bench.desk, bench.lesson.id, name="old.csv", data=(header + odd.format(200, 1)).encode()
    )
    seen = importing.look(bench.desk, raw.id)
    mapping = seen.mapping_json
    assert "Weit" in mapping
    rules = ColumnMapping(
        columns=(
            ColumnRule(header="Stick", role="club", quantity=None, unit=None),
            ColumnRule(header="Weit", role="quantity", quantity="carry", unit="m"),
            ColumnRule(header="Daneben", role="quantity", quantity="offline", unit="m"),
        )
    )
    key = seen.reading.header_key
    bench.desk.book.save_mapping(key, rules.to_json(), at=bench.desk.clock())
    (folder / "a.csv").write_text(header + odd.format(180, 2))
    assert eye.look() == 1
    (shot,) = bench.desk.book.shots(bench.lesson.id)
    assert shot.values["carry"].unit == "m"


def test_the_name_of_a_file_goes_with_the_student(
    bench: Bench, folder: Path, tmp_path: Path
) -> None:
    """A file may be called after who hit; when the student is erased, no byte of it is left."""
    with open_book(tmp_path / "other.book") as book:
        desk = replace(bench.desk, book=book)
        student = deeds.add_student(desk, name="Undine Unforgettable", hand="right")
        lesson = deeds.add_lesson(desk, student.id)
        bay = bays.add_bay(desk, "bay-1", lesson_id=lesson.id).bay
        (folder / "Unforgettable.csv").write_text(HEADER + lines(200.0))
        watcher = Watcher(desk=desk, bay=bay, path=folder, take_past=True, tell=print)
        assert len(watcher.look(1000.0)) == 1
        watcher.close()
        assert [file.name for file in book.raw_files(lesson.id)] == ["Unforgettable.csv"]
        book.file.erase(student.id)
        for path in tmp_path.glob("other.book*"):
            assert b"Unforgettable" not in path.read_bytes()
        # The bay stays, and what it sent is not taken for new.
        assert book.bay(bay.id).lesson_id is None
        assert list(book.arrived(bay.id).values()) == [None]


@pytest.mark.parametrize("step", range(1, 9))
def test_a_watcher_that_dies_at_any_write(
    bench: Bench, folder: Path, monkeypatch: pytest.MonkeyPatch, step: int
) -> None:
    """Whatever was written last, the next watcher ends with each ball once."""
    (folder / "a.csv").write_text(HEADER + lines(200.0, 201.0, 202.0))
    eye = Eye(bench, folder)
    calls = {"n": 0}

    def dying(real: Callable[..., object]) -> Callable[..., object]:
        def call(*given: object, **named: object) -> object:
            calls["n"] += 1
            if calls["n"] == step:
                raise KeyboardInterrupt
            done = real(*given, **named)
            calls["n"] += 1
            if calls["n"] == step:
                raise KeyboardInterrupt
            return done

        return call

    with monkeypatch.context() as patched:
        for name in ("arrive", "keep_watched", "note_past"):
            patched.setattr(bench.desk.book, name, dying(getattr(bench.desk.book, name)))
        with pytest.raises(KeyboardInterrupt):
            eye.look()
    (folder / "a.csv").rename(folder / "b.csv")
    eye.new()
    eye.look()
    assert bench.carries() == [200.0, 201.0, 202.0]
