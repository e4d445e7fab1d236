"""What goes into a book comes out of it, on every kind of database."""

import dataclasses
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta, timezone

import pytest

from leadfoot.book.store import SqlBook
from leadfoot.desk.ports import Book
from leadfoot.desk.records import Block, Lesson, NewShot, StoredShot, Student
from leadfoot.errors import BookError, InputError, NotInBookError, UnitError
from leadfoot.shots.shot import Reading
from tests.book.samples import AT, carried, some_block, some_lesson, some_student

LONG = "Zoë 番 🏌🏽 \u202ertl\u202c \ufeff\r\n\t\x1b\x7f'\"; DROP TABLE shots; -- " * 2_000


def test_the_store_satisfies_the_port() -> None:
    kind: type[Book] = SqlBook
    assert kind is SqlBook


def test_a_new_book_is_empty(book: Book) -> None:
    assert book.students() == ()
    assert book.lessons() == ()
    assert book.last_change() == 0
    assert book.changes_since(0) == {}
    assert book.mapping("any") is None


def test_a_student_comes_back_whole(book: Book) -> None:
    added = book.add_student(
        name="Ana Example", hand="left", goals="Longer", cautions="Back", invented=True, at=AT
    )
    assert added == Student(
        id=added.id,
        name="Ana Example",
        hand="left",
        goals="Longer",
        cautions="Back",
        invented=True,
        added_at=AT,
    )
    assert book.student(added.id) == added
    changed = book.change_student(
        added.id, name="Ana E. Example", hand="right", goals="", cautions="None"
    )
    assert changed == Student(
        id=added.id,
        name="Ana E. Example",
        hand="right",
        goals="",
        cautions="None",
        invented=True,
        added_at=AT,
    )
    assert book.students() == (changed,)


def test_students_come_by_name(book: Book) -> None:
    for name in ("zora", "Émile", "ben", "Ana", "Ben"):
        some_student(book, name)
    assert [one.name for one in book.students()] == ["Ana", "Ben", "ben", "zora", "Émile"]


def test_a_lesson_comes_back_whole(book: Book) -> None:
    student = some_student(book)
    added = book.add_lesson(
        student_id=student.id, held_on=date(2026, 3, 1), title="Driver", change="Foot", club=None
    )
    assert added == Lesson(
        id=added.id,
        student_id=student.id,
        held_on=date(2026, 3, 1),
        title="Driver",
        change="Foot",
        club=None,
        notes="",
    )
    changed = book.change_lesson(added.id, title="Iron", change="Cue", club="7", notes="Windy")
    assert changed == Lesson(
        id=added.id,
        student_id=student.id,
        held_on=date(2026, 3, 1),
        title="Iron",
        change="Cue",
        club="7",
        notes="Windy",
    )
    assert book.lesson(added.id) == changed


def test_a_lesson_is_in_the_studio_unless_somebody_says_otherwise(book: Book) -> None:
    student = some_student(book)
    day = date(2026, 3, 1)
    added = book.add_lesson(student_id=student.id, held_on=day, title="", change="", club=None)
    assert added.place == "studio"
    before = book.last_change()
    moved = book.place_lesson(added.id, "Hill Farm")
    assert moved == dataclasses.replace(added, place="Hill Farm") == book.lesson(added.id)
    assert book.changes_since(before, added.id)
    noted = book.last_change()
    assert book.place_lesson(added.id, "Hill Farm") == moved
    assert book.last_change() == noted
    there = book.add_lesson(
        student_id=student.id, held_on=day, title="", change="", club=None, place="range"
    )
    assert there.place == "range"


def test_lessons_come_oldest_first_and_by_student(book: Book) -> None:
    one, other = some_student(book), some_student(book, "Ben Example")
    for student, day in ((one, 20), (other, 10), (one, 5), (one, 20)):
        book.add_lesson(
            student_id=student.id, held_on=date(2026, 3, day), title="", change="", club=None
        )
    assert [lesson.held_on.day for lesson in book.lessons()] == [5, 10, 20, 20]
    mine = book.lessons(one.id)
    assert [lesson.held_on.day for lesson in mine] == [5, 20, 20]
    assert mine[1].id < mine[2].id


def test_blocks_keep_their_order(book: Book) -> None:
    lesson = some_lesson(book)
    first = book.add_block(lesson.id, label="before", role="before")
    second = book.add_block(lesson.id, label="cue", role="with_change")
    assert (first.place, second.place) == (1, 2)
    changed = book.change_block(first.id, label="warm-up", role="other")
    assert changed == Block(
        id=first.id, lesson_id=lesson.id, place=1, label="warm-up", role="other"
    )
    assert book.block(first.id) == changed
    assert book.blocks(lesson.id) == (changed, second)


def test_a_shot_comes_back_exactly_as_it_was_read(book: Book) -> None:
    block = some_block(book)
    values = {
        "carry": Reading(value=0.1 + 0.2, unit="yd"),
        "smash_factor": Reading(value=1.4999999999999998, unit=None),
        "offline": Reading(value=-0.0, unit="m"),
        "club_path": Reading(value=5e-324, unit="deg"),
        "ball_speed": Reading(value=1.7976931348623157e308, unit="mph"),
    }
    added = book.add_shot(block.id, NewShot(club="7 iron", values=values), at=AT)
    assert added == StoredShot(
        id=added.id,
        lesson_id=block.lesson_id,
        block_id=block.id,
        place=1,
        club="7 iron",
        values=values,
        source="typed",
        raw_file_id=None,
        row=None,
        left_out_reason=None,
        hit_at=AT,
    )
    assert list(added.values) == list(values)
    assert str(added.values["offline"].value) == "-0.0"
    assert book.shot(added.id) == added
    assert book.shots(block.lesson_id) == (added,)


def test_shots_are_counted_through_the_lesson(book: Book) -> None:
    first = some_block(book)
    second = book.add_block(first.lesson_id, label="cue", role="with_change")
    for block in (first, second, first):
        book.add_shot(block.id, carried(200.0), at=AT)
    assert [(shot.place, shot.block_id) for shot in book.shots(first.lesson_id)] == [
        (1, first.id),
        (2, second.id),
        (3, first.id),
    ]


def test_leaving_out_and_taking_back(book: Book) -> None:
    shot = book.add_shot(some_block(book).id, carried(90.0), at=AT)
    assert book.leave_out(shot.id, reason="practice swing").left_out_reason == "practice swing"
    assert book.leave_out(shot.id, reason="phone rang").left_out_reason == "phone rang"
    assert book.shots(shot.lesson_id)[0].left_out_reason == "phone rang"
    assert book.take_back(shot.id) == shot


def test_no_shot_is_left_out_without_a_reason(book: Book) -> None:
    shot = book.add_shot(some_block(book).id, carried(90.0), at=AT)
    with pytest.raises(InputError) as caught:
        book.leave_out(shot.id, reason="")
    assert str(caught.value) == (
        f"Shot {shot.id} was to be left out without a reason. Say why it should not count."
    )
    assert book.shot(shot.id) == shot


def test_texts_of_any_length_and_script_survive(book: Book) -> None:
    student = book.add_student(
        name=LONG, hand="right", goals=LONG, cautions=LONG, invented=False, at=AT
    )
    assert book.student(student.id).name == LONG
    lesson = book.add_lesson(
        student_id=student.id, held_on=date(1, 1, 1), title=LONG, change=LONG, club=LONG
    )
    block = book.add_block(lesson.id, label=LONG, role="other")
    assert block.label == LONG
    shot = book.add_shot(block.id, carried(1.0, club=LONG), at=AT)
    assert book.leave_out(shot.id, reason=LONG).left_out_reason == LONG
    book.save_mapping(LONG, LONG, at=AT)
    assert book.mapping(LONG) == LONG


def test_what_is_no_character_becomes_the_mark_for_it(book: Book) -> None:
    student = some_student(book, "a\0b\ud800c")
    assert student.name == "a\ufffdb\ufffdc"
    assert book.student(student.id) == student


def test_times_come_back_in_utc(book: Book) -> None:
    local = datetime(2026, 3, 1, 23, 30, 0, 123456, tzinfo=timezone(timedelta(hours=-5)))
    shot = book.add_shot(some_block(book).id, carried(200.0), at=local)
    assert shot.hit_at == local
    assert shot.hit_at.tzinfo is UTC
    assert shot.hit_at.isoformat() == "2026-03-02T04:30:00.123456+00:00"


def test_a_time_without_zone_is_refused(book: Book) -> None:
    block = some_block(book)
    with pytest.raises(InputError) as caught:
        book.add_shot(block.id, carried(200.0), at=datetime(2026, 3, 1, 10))  # noqa: DTZ001
    assert str(caught.value) == (
        "The time 2026-03-01T10:00:00 has no zone. Give it with its zone, "
        "for example datetime.now(UTC)."
    )
    assert book.shots(block.lesson_id) == ()


@pytest.mark.parametrize("value", [float("nan"), float("inf"), float("-inf")])
def test_a_value_that_is_no_number_is_refused(book: Book, value: float) -> None:
    block = some_block(book)
    with pytest.raises(InputError) as caught:
        book.add_shot(block.id, carried(value), at=AT)
    assert str(caught.value) == (
        f"The value of carry is {value}; the book keeps finite numbers only. "
        "Leave the value away where there is none."
    )
    assert book.shots(block.lesson_id) == ()


def test_a_unit_that_nobody_knows_is_refused(book: Book) -> None:
    shot = NewShot(club=None, values={"carry": Reading(value=1.0, unit="furlong")})
    with pytest.raises(UnitError, match=r"^The unit of carry is 'furlong', which is no unit of"):
        book.add_shot(some_block(book).id, shot, at=AT)


def test_mappings_latest_wins_and_history_stays(book: SqlBook) -> None:
    for text in ('{"a":1}', '{"a":2}', '{"a":2}', '{"a":1}'):
        book.save_mapping("carry|offline", text, at=AT)
    book.save_mapping("carry", "{}", at=AT)
    assert book.mapping("carry|offline") == '{"a":1}'
    assert book.mapping("carry") == "{}"
    with book.engine.connect() as connection:
        kept = connection.exec_driver_sql(
            "SELECT mapping_json FROM mappings WHERE header_key = 'carry|offline' ORDER BY id"
        )
        assert list(kept.scalars()) == ['{"a":1}', '{"a":2}', '{"a":1}']


def test_judgements_come_back_as_given(book: Book) -> None:
    lesson = some_lesson(book)
    first = book.save_judgement(lesson.id, answer_json='{"n":1}', version="0.1.0", at=AT)
    second = book.save_judgement(lesson.id, answer_json='{"n":2}', version="0.2.0", at=AT)
    assert (first.made_at, first.version, first.answer_json) == (AT, "0.1.0", '{"n":1}')
    assert book.judgements(lesson.id) == (first, second)


MISSING: list[tuple[str, Callable[[Book, int], object]]] = [
    ("student", lambda book, n: book.student(n)),
    (
        "student",
        lambda book, n: book.change_student(n, name="", hand="left", goals="", cautions=""),
    ),
    ("student", lambda book, n: book.lessons(n)),
    (
        "student",
        lambda book, n: book.add_lesson(
            student_id=n, held_on=date(2026, 3, 1), title="", change="", club=None
        ),
    ),
    ("lesson", lambda book, n: book.lesson(n)),
    ("lesson", lambda book, n: book.place_lesson(n, "range")),
    ("lesson", lambda book, n: book.change_lesson(n, title="", change="", club=None, notes="")),
    ("lesson", lambda book, n: book.blocks(n)),
    ("lesson", lambda book, n: book.add_block(n, label="", role="other")),
    ("lesson", lambda book, n: book.shots(n)),
    ("lesson", lambda book, n: book.keep_file(n, name="a.csv", data=b"", at=AT)),
    ("lesson", lambda book, n: book.raw_files(n)),
    ("lesson", lambda book, n: book.judgements(n)),
    ("lesson", lambda book, n: book.save_judgement(n, answer_json="", version="", at=AT)),
    ("block", lambda book, n: book.block(n)),
    ("block", lambda book, n: book.change_block(n, label="", role="other")),
    ("block", lambda book, n: book.add_shot(n, carried(1.0), at=AT)),
    ("shot", lambda book, n: book.shot(n)),
    ("shot", lambda book, n: book.leave_out(n, reason="why")),
    ("shot", lambda book, n: book.take_back(n)),
    ("file", lambda book, n: book.raw_file(n)),
    ("file", lambda book, n: book.import_shots(n, [], at=AT)),
]


@pytest.mark.parametrize("number", [99, 0, -1, 2**63, 10**30])
def test_what_is_not_in_the_book_is_said(book: Book, number: int) -> None:
    for noun, call in MISSING:
        with pytest.raises(NotInBookError) as caught:
            call(book, number)
        assert str(caught.value) == (
            f"The client book has no {noun} {number}. Go back to the list and choose again; "
            "the page may be older than the book."
        )
    assert book.last_change() == 0


def test_changes_tell_a_page_what_it_missed(book: Book) -> None:
    lesson = some_lesson(book)
    other = some_lesson(book)
    seen = book.last_change()
    block = book.add_block(lesson.id, label="before", role="before")
    shot = book.add_shot(block.id, carried(200.0), at=AT)
    book.change_lesson(other.id, title="", change="", club=None, notes="")
    book.leave_out(shot.id, reason="why")
    missed = book.changes_since(seen)
    assert list(missed.values()) == [lesson.id, lesson.id, other.id, lesson.id]
    assert list(missed) == sorted(missed)
    assert max(missed) == book.last_change()
    assert list(book.changes_since(seen, lesson.id).values()) == [lesson.id] * 3
    assert book.changes_since(book.last_change()) == {}


def test_a_change_of_a_student_reaches_the_lessons(book: Book) -> None:
    lesson = some_lesson(book)
    seen = book.last_change()
    book.change_student(lesson.student_id, name="New", hand="right", goals="", cautions="")
    assert list(book.changes_since(seen).values()) == [0, lesson.id]


def test_every_writing_call_leaves_a_change(book: Book) -> None:
    lesson = some_lesson(book)
    block = book.add_block(lesson.id, label="", role="other")
    shot = book.add_shot(block.id, carried(1.0), at=AT)
    file = book.keep_file(lesson.id, name="a.csv", data=b"a", at=AT)
    calls: list[Callable[[], object]] = [
        lambda: some_student(book),
        lambda: book.change_lesson(lesson.id, title="", change="", club=None, notes=""),
        lambda: book.add_block(lesson.id, label="", role="other"),
        lambda: book.change_block(block.id, label="", role="before"),
        lambda: book.add_shot(block.id, carried(1.0), at=AT),
        lambda: book.leave_out(shot.id, reason="why"),
        lambda: book.take_back(shot.id),
        lambda: book.keep_file(lesson.id, name="b.csv", data=b"b", at=AT),
        lambda: book.import_shots(file.id, [], at=AT),
        lambda: book.save_mapping("key", "{}", at=AT),
        lambda: book.save_judgement(lesson.id, answer_json="", version="", at=AT),
    ]
    for call in calls:
        before = book.last_change()
        call()
        assert book.last_change() == before + 1


def test_another_program_sees_what_this_one_wrote(reopen: Callable[[], SqlBook]) -> None:
    here, there = reopen(), reopen()
    block = some_block(here)
    shot = here.add_shot(block.id, carried(200.0), at=AT)
    assert there.shots(block.lesson_id) == (shot,)
    there.leave_out(shot.id, reason="why")
    assert here.shot(shot.id).left_out_reason == "why"
    assert here.last_change() == there.last_change()


def test_a_book_lives_longer_than_the_program(reopen: Callable[[], SqlBook]) -> None:
    first = reopen()
    block = some_block(first)
    shot = first.add_shot(block.id, carried(200.0), at=AT)
    seen = first.last_change()
    first.close()
    again = reopen()
    assert again.shot(shot.id) == shot
    again.take_back(shot.id)
    assert list(again.changes_since(seen)) == [seen + 1]


def test_a_closed_book_says_so(book: SqlBook) -> None:
    book.close()
    book.close()
    for call in (book.students, lambda: some_student(book)):
        with pytest.raises(BookError) as caught:
            call()
        assert str(caught.value) == (
            f"The client book {book.name} was closed. Open it again, then do it again."
        )
