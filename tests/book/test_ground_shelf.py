"""Force recordings, jumps and what is asked before: what goes into a book comes out of it."""

from datetime import date

import pytest

from leadfoot.desk.ports import Book
from leadfoot.desk.records import Block, StoredClearance, StoredJump, StoredRecording
from leadfoot.errors import BookError, InputError, NotInBookError
from tests.book.samples import AT, carried, some_block, some_lesson, some_student, table


def recorded(book: Book, block: Block, data: bytes = b"C3D\x00\xff") -> StoredRecording:
    file = book.keep_file(block.lesson_id, name="swing.c3d", data=data, at=AT)
    return book.add_recording(file.id, block_id=block.id, choices_json="{}", at=AT)


def test_a_recording_comes_back_whole(book: Book) -> None:
    block = some_block(book)
    one = recorded(book, block)
    assert one == StoredRecording(
        id=one.id,
        lesson_id=block.lesson_id,
        place=1,
        raw_file_id=one.raw_file_id,
        name="swing.c3d",
        block_id=block.id,
        shot_id=None,
        linked_by=None,
        choices_json="{}",
        mapping_json=None,
        strike_s=None,
        strike_from=None,
        left_out_reason=None,
        received_at=AT,
    )
    assert book.recording(one.id) == one
    assert recorded(book, block) == one
    assert book.raw_file(one.raw_file_id)[1] == b"C3D\x00\xff"
    two = recorded(book, block, b"other")
    assert [kept.place for kept in book.recordings(block.lesson_id)] == [1, 2]
    seen = book.last_change()
    shot = book.add_shot(block.id, carried(200.0), at=AT)
    other = book.add_block(block.lesson_id, label="with", role="with_change")
    book.understand_recording(one.id, choices_json='{"hand":"left"}', mapping_json="{}")
    book.put_recording(one.id, other.id)
    book.set_strike(one.id, 2.125, "set by hand")
    book.leave_out_recording(one.id, "a slip")
    changed = book.link_recording(one.id, shot.id, "hand")
    assert (changed.choices_json, changed.mapping_json) == ('{"hand":"left"}', "{}")
    assert (changed.strike_s, changed.strike_from) == (2.125, "set by hand")
    assert (changed.shot_id, changed.linked_by, changed.block_id) == (shot.id, "hand", block.id)
    assert changed.left_out_reason == "a slip"
    assert book.recordings(block.lesson_id) == (changed, two)
    assert set(book.changes_since(seen).values()) == {block.lesson_id}


def test_a_ball_has_one_recording(book: Book) -> None:
    block = some_block(book)
    one, two = recorded(book, block), recorded(book, block, b"other")
    shot = book.add_shot(block.id, carried(200.0), at=AT)
    book.link_recording(one.id, shot.id, "order")
    with pytest.raises(InputError, match="Ball 1 is linked to recording 1 already"):
        book.link_recording(two.id, shot.id, "hand")
    book.link_recording(one.id, None, None)
    assert book.link_recording(two.id, shot.id, "hand").shot_id == shot.id


def test_what_belongs_to_another_lesson_is_refused(book: Book) -> None:
    block = some_block(book)
    elsewhere = book.add_block(some_lesson(book).id, label="before", role="before")
    one = recorded(book, block)
    with pytest.raises(InputError, match="belongs to another lesson"):
        book.put_recording(one.id, elsewhere.id)
    shot = book.add_shot(elsewhere.id, carried(200.0), at=AT)
    with pytest.raises(InputError, match="belongs to another lesson"):
        book.link_recording(one.id, shot.id, "hand")
    with pytest.raises(NotInBookError):
        book.recording(77)
    with pytest.raises(BookError):
        book.leave_out_recording(one.id, "")


def test_a_link_goes_with_its_ball_and_the_recording_stays(book: Book) -> None:
    block = some_block(book)
    file = book.keep_file(block.lesson_id, name="a.csv", data=b"a", at=AT)
    (shot,) = book.import_shots(file.id, [("before", "before", table(200.0))], at=AT)
    one = recorded(book, block)
    book.link_recording(one.id, shot.id, "time")
    assert book.withdraw_import(file.id) == 1
    left = book.recording(one.id)
    assert (left.shot_id, left.linked_by, left.block_id) == (None, None, block.id)


def test_a_jump_comes_back_whole(book: Book) -> None:
    student = some_student(book)
    file = book.keep_jump_file(student.id, name="jump.csv", data=b"\xff", at=AT)
    assert book.keep_jump_file(student.id, name="again.csv", data=b"\xff", at=AT) == file
    assert book.jump_file(file.id) == (file, b"\xff")
    later = book.add_jump(
        student.id,
        done_on=date(2026, 3, 2),
        kind="impulse",
        height_m=0.1 + 0.2,
        values_json="{}",
        jump_file_id=file.id,
        at=AT,
    )
    first = book.add_jump(
        student.id,
        done_on=date(2026, 3, 1),
        kind="reach",
        height_m=0.4,
        values_json='{"a":1}',
        jump_file_id=None,
        at=AT,
    )
    assert later == StoredJump(
        id=later.id,
        student_id=student.id,
        done_on=date(2026, 3, 2),
        kind="impulse",
        height_m=0.1 + 0.2,
        values_json="{}",
        jump_file_id=file.id,
        left_out_reason=None,
        added_at=AT,
    )
    assert book.jumps(student.id) == (first, later)
    assert book.leave_out_jump(later.id, "a stumble").left_out_reason == "a stumble"
    assert book.leave_out_jump(later.id, None) == later == book.jump(later.id)
    with pytest.raises(BookError):
        book.add_jump(
            student.id,
            done_on=date(2026, 3, 1),
            kind="impulse",
            height_m=0.4,
            values_json="{}",
            jump_file_id=None,
            at=AT,
        )


def test_answers_and_clearances_stay(book: Book) -> None:
    student = some_student(book)
    asked = book.add_screening(
        student.id, on_day=date(2026, 3, 1), junior=True, answers={"pain_now": True}, at=AT
    )
    assert (asked.junior, dict(asked.answers)) == (True, {"pain_now": True})
    assert book.screenings(student.id) == (asked,)
    word = book.add_clearance(
        student.id,
        clinician="Dr Nobody, licence 1",
        on_day=date(2026, 3, 1),
        until_day=date(2026, 6, 1),
        covers=("pain_now",),
        limits="ten jumps",
        at=AT,
    )
    assert word == StoredClearance(
        id=word.id,
        student_id=student.id,
        clinician="Dr Nobody, licence 1",
        on_day=date(2026, 3, 1),
        until_day=date(2026, 6, 1),
        covers=("pain_now",),
        limits="ten jumps",
        recorded_at=AT,
    )
    assert book.clearances(student.id) == (word,)
    for empty in (book.jumps, book.screenings, book.clearances):
        with pytest.raises(NotInBookError):
            empty(77)
