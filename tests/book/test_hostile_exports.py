"""An export from a stranger: whatever is wrong with it is named, and the book stays as it was."""

import json
import tracemalloc
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from leadfoot.book.archive import Limits, open_archive
from leadfoot.book.store import open_book
from leadfoot.book.upgrade import newest_schema
from leadfoot.errors import BookError, InputError, LeadfootError
from tests.book.archives import Parts, export_of_schema, pack, parts_of, sealed, with_row
from tests.book.full_book import build, rows_of
from tests.book.samples import AT, some_student

BEGIN = "This export can't be brought in: "
END = ". Export the book again, and bring that file in as it is. Nothing was changed."


@pytest.fixture(scope="module")
def good(tmp_path_factory: pytest.TempPathFactory) -> Parts:
    folder = tmp_path_factory.mktemp("good")
    build(folder / "a.book")
    with open_book(folder / "a.book") as book:
        book.file.export_to(folder / "a.zip", student_id=None, version="0")
    return parts_of(folder / "a.zip")


def refusal(path: Path, limits: Limits | None = None) -> str:
    """Bring it into a book with a student; the book must be as it was."""
    folder = path.parent
    with open_book(folder / "mine.book") as book:
        some_student(book)
        before = rows_of(folder / "mine.book", exported_only=False)
        with pytest.raises(InputError) as caught:
            book.file.import_from(path, limits=limits)
        assert rows_of(folder / "mine.book", exported_only=False) == before
    text = str(caught.value)
    assert text.startswith(BEGIN), text
    assert text.endswith(END), text
    return text.removeprefix(BEGIN).removesuffix(END)


def test_the_parts_put_together_again_are_let_in(good: Parts, tmp_path: Path) -> None:
    with open_book(tmp_path / "b.book") as book:
        assert book.file.import_from(pack(tmp_path / "b.zip", sealed(good))).n_added > 20


@pytest.mark.parametrize("schema", range(1, newest_schema() + 1))
def test_an_export_of_every_schema_comes_in(tmp_path: Path, schema: int) -> None:
    path = export_of_schema(tmp_path / "old.zip", schema)
    with open_book(tmp_path / "b.book") as book:
        book.file.import_from(path)
    # It is what the book of that schema becomes when it is upgraded.
    open_book(tmp_path / "old.book").close()
    assert rows_of(tmp_path / "b.book") == rows_of(tmp_path / "old.book")


def test_an_export_of_a_newer_program_is_refused(good: Parts, tmp_path: Path) -> None:
    newer = pack(tmp_path / "n.zip", sealed(good, schema=newest_schema() + 1))
    with open_book(tmp_path / "b.book") as book, pytest.raises(BookError, match="newer program"):
        book.file.import_from(newer)
    other = pack(tmp_path / "f.zip", sealed(good, format_version=2))
    with open_book(tmp_path / "b.book") as book, pytest.raises(InputError, match="has format 2"):
        book.file.import_from(other)
    with open_book(tmp_path / "b.book") as book, pytest.raises(InputError, match="is no file"):
        book.file.import_from(tmp_path / "nowhere.zip")


WRONG: dict[str, tuple[Callable[[Parts], Parts], str]] = {
    "a byte changed": (
        lambda parts: {**parts, "tables/shots.jsonl": parts["tables/shots.jsonl"] + b" "},
        "'tables/shots.jsonl' is not the file that was exported: its SHA-256 is another",
    ),
    "another digest": (
        lambda parts: sealed(parts, contents_sha256="0" * 64),
        "the digest of its contents is another",
    ),
    "a file too many": (
        lambda parts: {**parts, "files/raw_files/9-extra": b"x"},
        "'files/raw_files/9-extra' is not in its manifest.json",
    ),
    "a file missing": (
        lambda parts: {name: data for name, data in parts.items() if name != "ABOUT.txt"},
        "'ABOUT.txt' is missing",
    ),
    "a table missing": (
        lambda parts: sealed(
            {name: data for name, data in parts.items() if name != "tables/students.jsonl"}
        ),
        "it has no students",
    ),
    "a name that leads out": (
        lambda parts: sealed({**parts, "files/../../evil": b"x"}),
        "the name 'files/../../evil' has no place in it",
    ),
    "a name from the root": (
        lambda parts: sealed({**parts, "/etc/passwd": b"x"}),
        "the name '/etc/passwd' has no place in it",
    ),
    "a name of two dots": (
        lambda parts: sealed({**parts, "files/raw_files/..": b"x"}),
        "the name 'files/raw_files/..' has no place in it",
    ),
    "an unknown table": (
        lambda parts: sealed({**parts, "tables/songs.jsonl": b"{}\n"}),
        f"a book of schema {newest_schema()} has no table 'songs'",
    ),
    "the table of the schema itself": (
        lambda parts: sealed({**parts, "tables/alembic_version.jsonl": b"{}\n"}),
        f"a book of schema {newest_schema()} has no table 'alembic_version'",
    ),
    "no manifest": (
        lambda parts: {name: data for name, data in parts.items() if name != "manifest.json"},
        "it has no manifest.json",
    ),
    "a manifest of something else": (
        lambda parts: {**parts, "manifest.json": b'{"format": "songs"}'},
        "its manifest.json is not that of a client book",
    ),
    "a manifest that is nested for ever": (
        lambda parts: {**parts, "manifest.json": "".join(f"[{n}," for n in range(99_999)).encode()},
        "manifest.json can't be read as JSON",
    ),
    "a schema of words": (
        lambda parts: sealed(parts, schema="new"),
        "its manifest.json can't be read",
    ),
    "a row of words": (
        lambda parts: sealed({**parts, "tables/lessons.jsonl": b"words\n"}),
        "row 1 of lessons can't be read as JSON",
    ),
    "a column too few": (
        lambda parts: with_row(parts, "lessons", lambda row: row.pop("notes")),
        f"row 1 of lessons has not the columns of a book of schema {newest_schema()}",
    ),
    "text for a number": (
        lambda parts: with_row(parts, "shots", lambda row: row.update(place="1; DROP TABLE")),
        "row 1 of shots: place: '1; DROP TABLE' is no whole number of 64 bits",
    ),
    "a day that is none": (
        lambda parts: with_row(parts, "lessons", lambda row: row.update(held_on="2026-02-30")),
        "row 1 of lessons: held_on: '2026-02-30' is no day such as 2026-03-01",
    ),
    "a link to nowhere": (
        lambda parts: with_row(parts, "lessons", lambda row: row.update(student_id=77)),
        "row 1 of lessons points nowhere",
    ),
    "a hand that nobody has": (
        lambda parts: with_row(parts, "students", lambda row: row.update(hand="both")),
        "a row of students can't be in a book (CHECK constraint failed: ck_students_hand)",
    ),
    "a raw file that is another": (
        lambda parts: sealed(
            {**parts, next(name for name in parts if name.startswith("files/raw")): b"forged"}
        ),
        "raw_files holds a value that no book has (the digest of file 1 is another)",
    ),
    "a raw file that is not there": (
        lambda parts: with_row(
            parts, "raw_files", lambda row: row.update(data={"file": "files/raw_files/none"})
        ),
        "the file 'files/raw_files/none' is named in a row and missing",
    ),
    "a raw file from outside": (
        lambda parts: with_row(
            parts, "raw_files", lambda row: row.update(data={"file": "/etc/passwd"})
        ),
        "the file '/etc/passwd' is named in a row and missing",
    ),
    "an unknown unit": (
        lambda parts: with_row(
            parts, "shots", lambda row: row.update(readings='{"carry":[1.0,"furlong"]}')
        ),
        "shots: The unit of carry is 'furlong', which is no unit of the glossary",
    ),
    "readings of another shape": (
        lambda parts: with_row(parts, "shots", lambda row: row.update(readings="[1]")),
        "shots holds a value that no book has ('list' object has no attribute 'items')",
    ),
}


@pytest.mark.parametrize("what", list(WRONG))
def test_what_is_wrong_is_named(good: Parts, tmp_path: Path, what: str) -> None:
    change, said = WRONG[what]
    assert refusal(pack(tmp_path / "bad.zip", change(dict(good)))) == said


def test_bombs_are_refused_in_little_memory(good: Parts, tmp_path: Path) -> None:
    bomb = pack(tmp_path / "bomb.zip", sealed({**good, "files/raw_files/1-b": bytes(2**27)}))
    tracemalloc.start()
    assert refusal(bomb) == "'files/raw_files/1-b' unpacks to more than 200 times"
    _, most = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert most < 2**25
    small = Limits(most_bytes=1000)
    assert "bytes, more than 1000" in refusal(pack(tmp_path / "big.zip", sealed(good)), small)
    few = Limits(most_files=3)
    assert "files, more than 3" in refusal(pack(tmp_path / "many.zip", sealed(good)), few)
    line = Limits(most_line_bytes=20)
    assert "is too long" in refusal(pack(tmp_path / "long.zip", sealed(good)), line)
    file = Limits(most_file_bytes=3)
    assert "is larger than 3 bytes" in refusal(pack(tmp_path / "file.zip", sealed(good)), file)


def test_a_size_that_lies_is_found_while_reading(good: Parts, tmp_path: Path) -> None:
    """The list of the ZIP says ten bytes where thousands come out."""
    parts = sealed({**good, "files/raw_files/1-b": b"x" * 10})
    path = pack(tmp_path / "lie.zip", parts)
    honest = pack(tmp_path / "long.zip", {**parts, "files/raw_files/1-b": b"x" * 150_000})
    data = bytearray(honest.read_bytes())
    wrong = (150_000).to_bytes(4, "little")
    while (at := data.find(wrong)) >= 0:
        data[at : at + 4] = (10).to_bytes(4, "little")
    path.write_bytes(data)
    assert refusal(path)


def test_names_that_stand_twice_are_refused(good: Parts, tmp_path: Path) -> None:
    path = pack(tmp_path / "twice.zip", sealed(good))
    with pytest.warns(UserWarning, match="Duplicate"), zipfile.ZipFile(path, "a") as archive:
        archive.writestr("ABOUT.txt", "another")
    assert refusal(path) == "a name stands in it twice"


def test_encrypted_files_are_refused(good: Parts, tmp_path: Path) -> None:
    path = pack(tmp_path / "e.zip", sealed(good))
    data = bytearray(path.read_bytes())
    at = data.rfind(b"PK\x01\x02")
    data[at + 8] |= 1
    path.write_bytes(data)
    assert refusal(path).endswith("is encrypted")


def test_what_packs_too_well_still_comes_home(tmp_path: Path) -> None:
    """A file of nothing but blanks packs a thousand times; the export leaves it unpacked."""
    with open_book(tmp_path / "a.book") as book:
        lesson = book.add_lesson(
            student_id=some_student(book).id,
            held_on=AT.date(),
            title="a" * 200_000,
            change="",
            club=None,
        )
        book.keep_file(lesson.id, name="blank.csv", data=b" " * 2_000_000, at=AT)
        book.file.export_to(tmp_path / "a.zip", student_id=None, version="0")
    with open_book(tmp_path / "b.book") as book:
        book.file.import_from(tmp_path / "a.zip")
    assert rows_of(tmp_path / "b.book") == rows_of(tmp_path / "a.book")


@settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(data=st.data())
def test_no_damage_is_let_in_or_crashes(good: Parts, tmp_path: Path, data: st.DataObject) -> None:
    """Bytes changed anywhere: it is refused with words, or what is let in is what was exported."""
    path = pack(tmp_path / "d.zip", sealed(good))
    whole = bytearray(path.read_bytes())
    for _ in range(data.draw(st.integers(1, 4))):
        whole[data.draw(st.integers(0, len(whole) - 1))] = data.draw(st.integers(0, 255))
    path.write_bytes(whole[: data.draw(st.sampled_from([len(whole), len(whole) // 2]))])
    try:
        with open_archive(path) as archive:
            for table, n_rows in archive.tables.items():
                assert len(list(archive.rows(table))) == n_rows
            held: dict[str, Any] = json.loads(good["manifest.json"])
            assert archive.digest == held["contents_sha256"]
    except LeadfootError as error:
        said = str(error)
    else:
        return
    assert said.startswith((BEGIN, "This export has format"))
