"""A book comes back from its export row by row, also beside what is there, and only once."""

import csv
import io
import json
import zipfile
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from leadfoot.book.store import open_book
from leadfoot.book.tables import Base
from leadfoot.desk.records import NewShot
from leadfoot.errors import InputError, NotInBookError
from leadfoot.shots.shot import Reading
from tests.book.full_book import build, rows_of
from tests.book.samples import AT, carried, some_block, some_lesson, some_student, table

VERSION = "0.0.test"
TEXT = st.text(max_size=12)


def exported(book_path: Path, target: Path, student_id: int | None = None) -> Path:
    with open_book(book_path) as book:
        book.file.export_to(target, student_id=student_id, version=VERSION)
    return target


def test_the_kept_book_has_a_row_in_every_table(tmp_path: Path) -> None:
    build(tmp_path / "full.book")
    rows = rows_of(tmp_path / "full.book", exported_only=False)
    assert {name for name, found in rows.items() if not found} == set()


def test_an_export_comes_back_as_the_same_book_row_by_row(tmp_path: Path) -> None:
    build(tmp_path / "a.book")
    archive = exported(tmp_path / "a.book", tmp_path / "a.zip")
    with open_book(tmp_path / "b.book") as book:
        brought = book.file.import_from(archive)
    rows = rows_of(tmp_path / "a.book")
    assert rows_of(tmp_path / "b.book") == rows
    assert brought.rows == {name: len(found) for name, found in rows.items()}
    again = exported(tmp_path / "b.book", tmp_path / "b.zip")
    digests = [
        json.loads(zipfile.ZipFile(one).read("manifest.json"))["contents_sha256"]
        for one in (archive, again)
    ]
    assert digests[0] == digests[1]


def test_the_same_export_twice_adds_nothing(tmp_path: Path) -> None:
    build(tmp_path / "a.book")
    archive = exported(tmp_path / "a.book", tmp_path / "a.zip")
    with open_book(tmp_path / "b.book") as book:
        some_student(book, "Ben Beside")
        first = book.file.import_from(archive)
        assert first.n_added > 0
        rows = rows_of(tmp_path / "b.book")
        # Also when what came has been changed in between.
        second = book.file.import_from(archive)
        assert (second.before, second.n_added) == (True, 0)
        assert rows_of(tmp_path / "b.book") == rows


def test_a_newer_export_of_the_same_book_adds_what_is_new(tmp_path: Path) -> None:
    with open_book(tmp_path / "a.book") as book, open_book(tmp_path / "b.book") as other:
        some_student(other, "Ben Beside")
        block = some_block(book)
        book.add_shot(block.id, carried(200.0), at=AT)
        book.file.export_to(tmp_path / "one.zip", student_id=None, version=VERSION)
        assert other.file.import_from(tmp_path / "one.zip").rows == {
            "students": 1,
            "lessons": 1,
            "blocks": 1,
            "shots": 1,
        }
        student = book.students()[0]
        lesson = book.add_lesson(
            student_id=student.id, held_on=date(2026, 3, 9), title="Two", change="", club=None
        )
        book.file.export_to(tmp_path / "two.zip", student_id=None, version=VERSION)
        brought = other.file.import_from(tmp_path / "two.zip")
        assert (dict(brought.rows), brought.n_known) == ({"lessons": 1}, 4)
        (ana,) = (one for one in other.students() if one.name == "Ana Example")
        assert [one.title for one in other.lessons(ana.id)] == ["Driver", lesson.title]


def test_an_export_back_into_its_own_book_adds_nothing(tmp_path: Path) -> None:
    build(tmp_path / "a.book")
    archive = exported(tmp_path / "a.book", tmp_path / "a.zip")
    before = rows_of(tmp_path / "a.book")
    with open_book(tmp_path / "a.book") as book:
        brought = book.file.import_from(archive)
    assert (brought.n_added, brought.before) == (0, False)
    assert rows_of(tmp_path / "a.book") == before


def test_links_hold_under_new_numbers(tmp_path: Path) -> None:
    with open_book(tmp_path / "a.book") as book:
        lesson = some_lesson(book)
        first = book.keep_file(lesson.id, name="t.csv", data=b"one", at=AT)
        book.import_shots(first.id, [("before", "before", table(1.0, 2.0))], at=AT)
        grown = book.keep_file(lesson.id, name="t.csv", data=b"two", at=AT)
        book.import_shots(grown.id, [("before", "before", table(1.0, 2.0, 3.0))], at=AT)
        book.file.export_to(tmp_path / "a.zip", student_id=1, version=VERSION)
        shots = book.shots(lesson.id)
    with open_book(tmp_path / "b.book") as other:
        for name in ("Ben Beside", "Cleo Beside"):
            block = other.add_block(
                other.add_lesson(
                    student_id=some_student(other, name).id,
                    held_on=AT.date(),
                    title="",
                    change="",
                    club=None,
                ).id,
                label="x",
                role="other",
            )
            other.add_shot(block.id, carried(9.0), at=AT)
        other.file.import_from(tmp_path / "a.zip")
        (student,) = (one for one in other.students() if one.name == "Ana Example")
        (copy,) = other.lessons(student.id)
        assert [(one.place, one.values, one.row) for one in other.shots(copy.id)] == [
            (one.place, one.values, one.row) for one in shots
        ]
        files = other.raw_files(copy.id)
        assert [other.raw_file(one.id)[1] for one in files] == [b"one", b"two"]
        # A file that grows on is still known as the same one.
        third = other.keep_file(copy.id, name="t.csv", data=b"three", at=AT)
        other.import_shots(third.id, [("before", "before", table(1.0, 2.0, 3.0, 4.0))], at=AT)
        assert len(other.shots(copy.id)) == 4


def test_one_student_alone_is_exported(tmp_path: Path) -> None:
    with open_book(tmp_path / "a.book") as book:
        some_block(book)
        other = some_student(book, "Ben Private")
        book.add_lesson(
            student_id=other.id, held_on=AT.date(), title="Secret", change="", club=None
        )
        book.file.export_to(tmp_path / "a.zip", student_id=1, version=VERSION)
        with pytest.raises(NotInBookError):
            book.file.export_to(tmp_path / "b.zip", student_id=99, version=VERSION)
        with pytest.raises(InputError, match="is there already"):
            book.file.export_to(tmp_path / "a.zip", student_id=1, version=VERSION)
    with zipfile.ZipFile(tmp_path / "a.zip") as archive:
        text = "".join(archive.read(name).decode() for name in archive.namelist())
    assert "Ana Example" in text
    assert "Ben Private" not in text
    assert "Secret" not in text


def test_a_mapping_in_force_stays_in_force(tmp_path: Path) -> None:
    with open_book(tmp_path / "a.book") as book, open_book(tmp_path / "b.book") as other:
        book.save_mapping("key", "theirs", at=AT)
        other.save_mapping("key", "mine", at=AT)
        book.file.export_to(tmp_path / "a.zip", student_id=None, version=VERSION)
        assert other.file.import_from(tmp_path / "a.zip").rows == {"mappings": 1}
        assert other.mapping("key") == "mine"


def test_the_tables_for_people_hold_no_formula(tmp_path: Path) -> None:
    with open_book(tmp_path / "a.book") as book:
        for start in ("=", "+", "-", "@", "\t=", "\r=", " =", "＝"):
            some_student(book, f"{start}1+1")
        book.file.export_to(tmp_path / "a.zip", student_id=None, version=VERSION)
        names = {one.name for one in book.students()}
    with zipfile.ZipFile(tmp_path / "a.zip") as archive:
        sheet = archive.read("csv/students.csv").decode("utf-8-sig")
    rows = list(csv.DictReader(io.StringIO(sheet, newline="")))
    assert all(row["name"].startswith("'") for row in rows)
    assert {row["name"][1:] for row in rows} == names


READINGS = st.dictionaries(
    st.sampled_from(["carry", "offline"]),
    st.builds(
        Reading,
        value=st.floats(allow_nan=False, allow_infinity=False),
        unit=st.sampled_from(["yd", "m", None]),
    ),
)
LESSONS = st.lists(
    st.tuples(TEXT, st.lists(READINGS, max_size=3), st.none() | st.binary(max_size=3000)),
    max_size=3,
)
STUDENTS = st.lists(st.tuples(TEXT, st.booleans(), LESSONS), max_size=3)


@settings(
    max_examples=12, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(students=STUDENTS, beside=st.booleans())
def test_any_book_comes_back(
    tmp_path_factory: pytest.TempPathFactory,
    students: list[tuple[str, bool, list[tuple[str, list[dict[str, Reading]], bytes | None]]]],
    beside: bool,
) -> None:
    folder = tmp_path_factory.mktemp("any")
    with open_book(folder / "a.book") as book, open_book(folder / "b.book") as other:
        for n, (name, archived, lessons) in enumerate(students):
            student = book.add_student(
                name=name,
                hand="left",
                goals=name,
                cautions="",
                invented=True,
                at=datetime(2026, 1, 1, microsecond=n, tzinfo=UTC),
            )
            book.archive_student(student.id, at=AT if archived else None)
            for title, shots, data in lessons:
                lesson = book.add_lesson(
                    student_id=student.id, held_on=AT.date(), title=title, change="", club=None
                )
                block = book.add_block(lesson.id, label=title, role="before")
                for readings in shots:
                    book.add_shot(block.id, NewShot(club=title, values=readings), at=AT)
                if data is not None:
                    book.keep_file(lesson.id, name=title, data=data * 50, at=AT)
        if beside:
            some_student(other, "Ben Beside")
        book.file.export_to(folder / "a.zip", student_id=None, version=VERSION)
        brought = other.file.import_from(folder / "a.zip")
        assert not brought.before
        if not beside:
            assert rows_of(folder / "b.book") == rows_of(folder / "a.book")
        # What was brought in is exported as the same trees: back home nothing is new.
        other.file.export_to(folder / "b.zip", student_id=None, version=VERSION)
        back = book.file.import_from(folder / "b.zip")
        new = {table: n for table, n in back.rows.items() if table != "changes"}
        assert new == ({"students": 1} if beside else {})


def test_every_table_points_to_its_student_by_a_column_that_is_never_empty() -> None:
    """Else erasing would miss it: what is a person's own must hang on the person."""
    loose = {
        (table.name, column.name)
        for table in Base.metadata.sorted_tables
        for column in table.columns
        if column.name == "student_id" and (column.nullable or not column.foreign_keys)
    }
    # The log names a number alone: the record that a student was erased outlives the student.
    assert loose <= {("access_log", "student_id")}
