"""Files come in whole, once, and as they were."""

import hashlib

import pytest

from leadfoot.desk.ports import Book
from leadfoot.desk.records import NewShot, Role
from leadfoot.errors import InputError
from leadfoot.shots.shot import Reading
from tests.book.samples import AT, carried, some_lesson, table

ALL_BYTES = bytes(range(256)) * 40


def kept(book: Book, lesson_id: int, data: bytes, name: str = "shots.csv") -> int:
    return book.keep_file(lesson_id, name=name, data=data, at=AT).id


def carries(book: Book, lesson_id: int) -> list[float]:
    return [shot.values["carry"].value for shot in book.shots(lesson_id)]


def test_a_file_is_kept_byte_for_byte(book: Book) -> None:
    lesson = some_lesson(book)
    file = book.keep_file(lesson.id, name="Schläge ÿ.csv", data=ALL_BYTES, at=AT)
    assert file.digest == hashlib.sha256(ALL_BYTES).hexdigest()
    assert (file.name, file.size_bytes, file.received_at) == ("Schläge ÿ.csv", 10_240, AT)
    assert not file.imported
    assert book.raw_file(file.id) == (file, ALL_BYTES)
    assert book.raw_files(lesson.id) == (file,)


def test_an_empty_file_is_kept(book: Book) -> None:
    file = book.keep_file(some_lesson(book).id, name="empty.csv", data=b"", at=AT)
    assert book.raw_file(file.id) == (file, b"")


def test_the_same_bytes_are_one_file_in_a_lesson(book: Book) -> None:
    lesson, other = some_lesson(book), some_lesson(book)
    first = book.keep_file(lesson.id, name="a.csv", data=b"x", at=AT)
    seen = book.last_change()
    assert book.keep_file(lesson.id, name="b.csv", data=b"x", at=AT) == first
    assert book.last_change() == seen
    assert book.keep_file(other.id, name="a.csv", data=b"x", at=AT).id != first.id


def test_an_import_makes_blocks_and_shots(book: Book) -> None:
    lesson = some_lesson(book)
    file_id = kept(book, lesson.id, b"1")
    shots = book.import_shots(
        file_id,
        [
            ("before", "before", table(200.0, 201.0)),
            ("cue", "with_change", table(210.0, first_row=5)),
        ],
        at=AT,
    )
    before, cue = book.blocks(lesson.id)
    assert [(block.label, block.role, block.place) for block in (before, cue)] == [
        ("before", "before", 1),
        ("cue", "with_change", 2),
    ]
    assert [(shot.block_id, shot.place, shot.row, shot.source) for shot in shots] == [
        (before.id, 1, 2, "file"),
        (before.id, 2, 3, "file"),
        (cue.id, 3, 5, "file"),
    ]
    assert all(shot.raw_file_id == file_id and shot.hit_at == AT for shot in shots)
    assert book.shots(lesson.id) == shots
    assert book.raw_file(file_id)[0].imported


def test_rows_are_the_hitting_order_over_all_blocks(book: Book) -> None:
    lesson = some_lesson(book)
    shots = book.import_shots(
        kept(book, lesson.id, b"1"),
        [
            ("before", "before", [carried(1.0, 2), carried(3.0, 4)]),
            ("cue", "with_change", [carried(2.0, 3), carried(4.0, 5)]),
        ],
        at=AT,
    )
    assert [shot.values["carry"].value for shot in shots] == [1.0, 2.0, 3.0, 4.0]
    assert [shot.place for shot in shots] == [1, 2, 3, 4]


def test_without_rows_shots_stand_as_they_came(book: Book) -> None:
    lesson = some_lesson(book)
    book.import_shots(
        kept(book, lesson.id, b"1"),
        [("a", "before", [carried(2.0), carried(1.0)]), ("b", "other", [carried(0.0)])],
        at=AT,
    )
    assert carries(book, lesson.id) == [2.0, 1.0, 0.0]


def test_the_same_file_twice_adds_nothing(book: Book) -> None:
    lesson = some_lesson(book)
    blocks: list[tuple[str, Role, list[NewShot]]] = [("before", "before", table(200.0, 201.0))]
    first = book.import_shots(kept(book, lesson.id, b"1"), blocks, at=AT)
    seen = book.last_change()
    other: list[tuple[str, Role, list[NewShot]]] = [("cue", "with_change", table(1.0, 2.0, 3.0))]
    for again in (blocks, other, []):
        assert book.import_shots(kept(book, lesson.id, b"1"), again, at=AT) == first
    assert book.shots(lesson.id) == first
    assert len(book.blocks(lesson.id)) == 1
    assert book.last_change() == seen


def test_the_same_file_in_another_lesson_is_imported_there(book: Book) -> None:
    one, other = some_lesson(book), some_lesson(book)
    for lesson in (one, other):
        book.import_shots(kept(book, lesson.id, b"1"), [("a", "before", table(200.0))], at=AT)
    assert carries(book, one.id) == carries(book, other.id) == [200.0]


def test_a_failed_import_leaves_nothing(book: Book) -> None:
    lesson = some_lesson(book)
    file_id = kept(book, lesson.id, b"1")
    seen = book.last_change()
    bad = carried(float("nan"), 4)
    with pytest.raises(InputError):
        book.import_shots(file_id, [("a", "before", [*table(200.0, 201.0), bad])], at=AT)
    assert book.shots(lesson.id) == ()
    assert book.blocks(lesson.id) == ()
    assert not book.raw_file(file_id)[0].imported
    assert book.last_change() == seen
    assert len(book.import_shots(file_id, [("a", "before", table(200.0))], at=AT)) == 1


def test_an_import_fills_blocks_that_were_set_up_for_it(book: Book) -> None:
    lesson = some_lesson(book)
    used = book.add_block(lesson.id, label="before", role="before")
    book.add_shot(used.id, carried(190.0), at=AT)
    waiting = book.add_block(lesson.id, label="before", role="before")
    book.add_block(lesson.id, label="cue", role="other")
    shots = book.import_shots(
        kept(book, lesson.id, b"1"),
        [
            ("before", "before", table(200.0)),
            ("cue", "with_change", table(210.0, first_row=3)),
            ("before", "before", table(201.0, first_row=4)),
        ],
        at=AT,
    )
    assert [block.label for block in book.blocks(lesson.id)] == [
        "before",
        "before",
        "cue",
        "cue",
        "before",
    ]
    homes = [shot.block_id for shot in shots]
    assert homes[0] == waiting.id
    assert len(set(homes)) == 3
    assert [shot.place for shot in shots] == [2, 3, 4]


def test_a_file_that_has_grown_adds_what_is_new(book: Book) -> None:
    lesson = some_lesson(book)
    book.import_shots(
        kept(book, lesson.id, b"1"), [("before", "before", table(200.0, 201.0))], at=AT
    )
    first = book.shots(lesson.id)
    book.leave_out(first[0].id, reason="why")
    book.change_block(first[0].block_id, label="renamed", role="other")
    second = book.import_shots(
        kept(book, lesson.id, b"12"), [("before", "before", table(200.0, 201.0, 202.0))], at=AT
    )
    assert [shot.values["carry"].value for shot in second] == [202.0]
    third = book.import_shots(
        kept(book, lesson.id, b"123"),
        [
            ("before", "before", table(200.0, 201.0, 202.0, 203.0)),
            ("cue", "with_change", table(210.0, first_row=6)),
        ],
        at=AT,
    )
    assert [shot.place for shot in third] == [4, 5]
    assert carries(book, lesson.id) == [200.0, 201.0, 202.0, 203.0, 210.0]
    assert [block.label for block in book.blocks(lesson.id)] == ["renamed", "cue"]
    assert book.shots(lesson.id)[0].left_out_reason == "why"
    # A state that comes late, and one that only was saved anew, bring nothing.
    assert book.import_shots(kept(book, lesson.id, b"12"), [], at=AT) == second
    assert (
        book.import_shots(
            kept(book, lesson.id, b"123 saved anew"),
            [
                ("before", "before", table(200.0, 201.0, 202.0, 203.0)),
                ("cue", "with_change", table(210.0, first_row=6)),
            ],
            at=AT,
        )
        == ()
    )
    assert len(book.blocks(lesson.id)) == 2


@pytest.mark.parametrize(
    "second",
    [
        table(200.0, 201.5, 202.0),  # another value
        table(200.0, 201.0, 202.0, first_row=3),  # other rows
        table(200.0),  # shorter
        [carried(200.0, 2, club="7"), carried(201.0, 3), carried(202.0, 4)],  # another club
        [carried(200.0), carried(201.0), carried(202.0)],  # no rows to go by
        [
            NewShot(club="Driver", values={"carry": Reading(value=200.0, unit="m")}, row=2),
            carried(201.0, 3),
        ],  # another unit
    ],
)
def test_a_different_table_of_the_same_name_comes_in_whole(
    book: Book, second: list[NewShot]
) -> None:
    lesson = some_lesson(book)
    book.import_shots(kept(book, lesson.id, b"1"), [("a", "before", table(200.0, 201.0))], at=AT)
    added = book.import_shots(kept(book, lesson.id, b"2"), [("b", "before", second)], at=AT)
    assert len(added) == len(second)
    assert len(book.shots(lesson.id)) == 2 + len(second)


def test_a_table_of_another_name_or_lesson_comes_in_whole(book: Book) -> None:
    lesson, other = some_lesson(book), some_lesson(book)
    for data, name, target in ((b"1", "a.csv", lesson), (b"2", "b.csv", lesson)):
        book.import_shots(
            kept(book, target.id, data, name), [("a", "before", table(200.0, 201.0))], at=AT
        )
    assert len(book.shots(lesson.id)) == 4
    book.import_shots(
        kept(book, other.id, b"3", "a.csv"), [("a", "before", table(200.0, 201.0, 202.0))], at=AT
    )
    assert len(book.shots(other.id)) == 3


def test_a_replaced_file_grows_by_itself(book: Book) -> None:
    lesson = some_lesson(book)
    tables = [table(1.0, 2.0), table(5.0, 6.0), table(5.0, 6.0, 7.0), table(1.0, 2.0, 3.0)]
    for number, shots in enumerate(tables):
        book.import_shots(kept(book, lesson.id, bytes([number])), [("a", "before", shots)], at=AT)
    assert carries(book, lesson.id) == [1.0, 2.0, 5.0, 6.0, 7.0, 3.0]


def test_a_club_that_is_no_text_to_a_database_is_known_again(book: Book) -> None:
    lesson = some_lesson(book)
    first, second = carried(200.0, 2, club="7\0iron"), carried(201.0, 3, club="7\0iron")
    book.import_shots(kept(book, lesson.id, b"1"), [("a\0", "before", [first])], at=AT)
    book.import_shots(kept(book, lesson.id, b"2"), [("a\0", "before", [first, second])], at=AT)
    assert [shot.club for shot in book.shots(lesson.id)] == ["7\ufffdiron"] * 2
    assert [block.label for block in book.blocks(lesson.id)] == ["a\ufffd"]
