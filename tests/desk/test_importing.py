"""A file's way into a lesson: kept, looked at, confirmed, remembered."""

import json

import pytest

from leadfoot.desk.desk import Desk
from leadfoot.desk.importing import confirm, look, receive, withdraw
from leadfoot.desk.lesson import add_lesson, add_student, lesson_view
from leadfoot.errors import InputError
from leadfoot.shots.read import RowBlock

TABLE = b"""block,club speed (mph),carry (yd),offline
before,92,205,4 R
before,91.5,203,2 L
before,92.2,oops,1 R
with,96,217,1 R
with,95.5,215,3 L
before,92.4,206,2 R
"""


def test_the_file_is_kept_as_it_came_even_if_it_is_no_table(desk: Desk, lesson_id: int) -> None:
    raw = receive(desk, lesson_id, name="odd.bin", data=b"\x00\x01\x02")
    with pytest.raises(InputError):
        look(desk, raw.id)
    assert desk.book.raw_file(raw.id)[1] == b"\x00\x01\x02"
    assert desk.book.shots(lesson_id) == ()


def test_looking_writes_nothing_and_guesses_the_roles(desk: Desk, lesson_id: int) -> None:
    raw = receive(desk, lesson_id, name="may.csv", data=TABLE)
    seen = look(desk, raw.id)
    assert seen.roles == {"before": "before", "with": "with_change"}
    assert [column.quantity for column in seen.reading.columns] == [
        None,
        "club_speed",
        "carry",
        "offline",
    ]
    assert [(problem.row, problem.text) for problem in seen.reading.problems] == [(4, "oops")]
    assert not seen.from_saved
    assert desk.book.shots(lesson_id) == ()


def test_confirming_brings_the_shots_in_hitting_order(desk: Desk, lesson_id: int) -> None:
    raw = receive(desk, lesson_id, name="may.csv", data=TABLE)
    seen = look(desk, raw.id)
    report = confirm(desk, raw.id, mapping_json=seen.mapping_json, roles=seen.roles)
    assert (report.n_added, report.n_already, len(report.problems)) == (6, 0, 1)
    assert [block.label for block in desk.book.blocks(lesson_id)] == ["before", "with", "before"]
    shots = desk.book.shots(lesson_id)
    assert [shot.row for shot in shots] == [2, 3, 4, 5, 6, 7]
    assert "carry" not in shots[2].values
    assert shots[1].values["offline"].value == -2.0
    assert lesson_view(desk, lesson_id).files[0].imported


def test_the_same_file_twice_adds_nothing(desk: Desk, lesson_id: int) -> None:
    for expected in ((6, 0), (0, 6)):
        raw = receive(desk, lesson_id, name="may.csv", data=TABLE)
        seen = look(desk, raw.id)
        report = confirm(desk, raw.id, mapping_json=seen.mapping_json, roles=seen.roles)
        assert (report.n_added, report.n_already) == expected
    assert len(desk.book.shots(lesson_id)) == 6


def test_a_confirmed_mapping_is_applied_to_the_next_file_with_this_header(
    desk: Desk, lesson_id: int
) -> None:
    raw = receive(desk, lesson_id, name="may.csv", data=TABLE)
    mapping = look(desk, raw.id).mapping_json.replace('"mph"', '"km/h"')
    confirm(desk, raw.id, mapping_json=mapping, roles={})
    other = add_lesson(desk, desk.book.lesson(lesson_id).student_id).id
    again = receive(desk, other, name="june.csv", data=TABLE.replace(b"217", b"218"))
    seen = look(desk, again.id)
    assert seen.from_saved
    assert seen.reading.shots.readings["club_speed"].unit == "km/h"


def test_blocks_by_row_ranges(desk: Desk, lesson_id: int) -> None:
    raw = receive(desk, lesson_id, name="may.csv", data=TABLE)
    rows = (
        RowBlock(label="before", first_row=2, last_row=3),
        RowBlock(label="with", first_row=5, last_row=6),
    )
    seen = look(desk, raw.id, row_blocks=rows)
    confirm(desk, raw.id, mapping_json=seen.mapping_json, roles=seen.roles, row_blocks=rows)
    labels = {block.id: (block.label, block.role) for block in desk.book.blocks(lesson_id)}
    by_row = {shot.row: labels[shot.block_id] for shot in desk.book.shots(lesson_id)}
    assert by_row[2] == ("before", "before")
    assert by_row[5] == ("with", "with_change")
    assert by_row[4][1] == "other"


def test_a_left_hander_s_words_are_turned(desk: Desk) -> None:
    student = add_student(desk, name="Eda Elsewhere", hand="left")
    lesson = add_lesson(desk, student.id).id
    data = b"club path (deg),face angle\n3 in-to-out,2 open\n1 out-to-in,1 closed\n"
    raw = receive(desk, lesson, name="left.csv", data=data)
    table = look(desk, raw.id).reading.shots
    assert list(table.readings["club_path"].values) == [-3.0, 1.0]
    assert list(table.readings["face_angle"].values) == [-2.0, 1.0]


def test_a_table_without_shots_is_refused_with_what_to_do(desk: Desk, lesson_id: int) -> None:
    raw = receive(desk, lesson_id, name="may.csv", data=TABLE)
    seen = look(desk, raw.id)
    columns = json.loads(seen.mapping_json)["columns"]
    idle = [{**one, "role": "ignored", "quantity": None, "unit": None} for one in columns]
    nothing = json.dumps({"schema": "leadfoot.mapping/1", "columns": idle})
    with pytest.raises(InputError) as error:
        confirm(desk, raw.id, mapping_json=nothing, roles={})
    assert str(error.value) == (
        "No shots were found in 'may.csv'. "
        "Say which columns hold which quantities, or choose another file."
    )
    assert desk.book.shots(lesson_id) == ()


def test_an_import_under_a_wrong_unit_is_taken_out_and_done_again(
    desk: Desk, lesson_id: int
) -> None:
    raw = receive(desk, lesson_id, name="may.csv", data=TABLE)
    right = look(desk, raw.id).mapping_json
    wrong = right.replace('"mph"', '"km/h"')
    confirm(desk, raw.id, mapping_json=wrong, roles={})
    assert withdraw(desk, raw.id) == 6
    assert lesson_view(desk, lesson_id).answer is None
    assert confirm(desk, raw.id, mapping_json=right, roles={}).n_added == 6
    assert desk.book.shots(lesson_id)[0].values["club_speed"].unit == "mph"
