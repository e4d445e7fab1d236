"""Tables of shots from practice in the book: kept once, read anew, left out, taken back."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from leadfoot.book.sql_book import SqlBook
from leadfoot.desk.homework_records import NewHomeTable
from leadfoot.errors import BookError, NotInBookError
from tests.book.samples import AT, some_block

NEW = NewHomeTable(
    session=2,
    done_on=date(2026, 3, 3),
    place="range",
    name="balls.csv",
    data=b"Carry\r\n\xff\x00",
    shots_json='[{"row":2,"values":{"carry":[150.0,"yd"]}}]',
    n_shots=1,
    problems_json="[]",
    given_by="student",
)


@pytest.fixture
def plan_id(book: SqlBook) -> int:
    return book.add_homework(some_block(book).lesson_id, plan_json="{}", at=AT).id


def test_a_table_is_kept_byte_for_byte_and_once(book: SqlBook, plan_id: int) -> None:
    table, is_new = book.keep_home_table(plan_id, NEW, at=AT)
    assert is_new
    assert book.home_table(table.id) == (table, NEW.data)
    assert (table.size_bytes, table.given_at, table.left_out_reason) == (9, AT, None)
    later = AT + timedelta(days=1)
    again = replace(NEW, name="copy.csv", session=None)
    assert book.keep_home_table(plan_id, again, at=later) == (table, False)
    assert book.home_tables(plan_id) == (table,)
    # In another plan it is another table.
    other = book.add_homework(book.homework(plan_id).lesson_id, plan_json="{}", at=AT)
    assert book.keep_home_table(other.id, NEW, at=AT)[1]


def test_it_is_read_anew_left_out_and_taken_back(book: SqlBook, plan_id: int) -> None:
    table, _ = book.keep_home_table(plan_id, NEW, at=AT)
    anew = book.read_home_table_anew(table.id, shots_json="[]", n_shots=0, problems_json="[1]")
    assert anew == replace(table, shots_json="[]", n_shots=0, problems_json="[1]")
    out = book.leave_home_table_out(table.id, reason="not mine")
    assert out.left_out_reason == "not mine"
    assert book.leave_home_table_out(table.id, reason=None) == anew
    lesson_id = book.homework(plan_id).lesson_id
    assert set(book.changes_since(0, lesson_id).values()) == {lesson_id}


@pytest.mark.parametrize(
    "wrong", [{"session": 0}, {"n_shots": -1}, {"place": ""}, {"given_by": "nobody"}]
)
def test_what_cannot_be_is_not_written(
    book: SqlBook, plan_id: int, wrong: dict[str, object]
) -> None:
    with pytest.raises(BookError):
        book.keep_home_table(plan_id, replace(NEW, **wrong), at=AT)  # type: ignore[arg-type]
    assert book.home_tables(plan_id) == ()


def test_what_is_not_there_is_said(book: SqlBook) -> None:
    for call in (book.home_tables, book.home_table):
        with pytest.raises(NotInBookError):
            call(7)
    with pytest.raises(NotInBookError):
        book.keep_home_table(7, NEW, at=AT)
    with pytest.raises(NotInBookError):
        book.leave_home_table_out(7, reason=None)
