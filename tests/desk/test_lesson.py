"""A lesson on a real book: balls typed, left out, taken back, judged, printed."""

from typing import Literal

import pytest

from leadfoot.desk.desk import Desk
from leadfoot.desk.lesson import (
    add_block,
    add_lesson,
    add_student,
    block_for,
    block_names,
    judge_lesson,
    leave_out,
    lesson_view,
    set_role,
    sheet,
    table_of,
    take_back,
    type_shot,
)
from leadfoot.errors import InputError

FIELDS = ("club_speed", "carry", "offline")


def hit(desk: Desk, lesson_id: int, role: Literal["before", "with_change"], *lines: str) -> None:
    for line in lines:
        type_shot(desk, block_for(desk, lesson_id, role).id, line, FIELDS)


BEFORE = ("92 205 4R", "91 203 2L", "92.5 207 9R", "91.4 201 3L", "92.2 206 1R", "91.8 204 6R")
WITH = ("96 217 2R", "96.5 219 1L", "95.8 215 4R", "97 221 3L", "96.2 217 0", "96.4 218 2R")


def test_an_empty_lesson_says_what_it_waits_for(desk: Desk, lesson_id: int) -> None:
    assert lesson_view(desk, lesson_id).waiting_for == (
        "Hit some balls as usual first: they are what the change is compared with."
    )
    hit(desk, lesson_id, "before", *BEFORE)
    view = lesson_view(desk, lesson_id)
    assert (view.answer, view.waiting_for) == (None, "Now hit some balls with the change.")
    assert judge_lesson(desk, lesson_id) is None
    with pytest.raises(InputError) as error:
        sheet(desk, lesson_id)
    assert str(error.value) == (
        "There is nothing to print yet. Now hit some balls with the change."
    )


def test_a_lesson_typed_ball_by_ball_gets_its_answer(desk: Desk, lesson_id: int) -> None:
    hit(desk, lesson_id, "before", *BEFORE)
    hit(desk, lesson_id, "with_change", *WITH)
    answer = judge_lesson(desk, lesson_id)
    assert answer is not None
    assert answer.decision == "keep"
    assert answer.longer.verdict == "yes"
    assert [(block.label, block.n_shots) for block in answer.blocks] == [
        ("before", 6),
        ("with the change", 6),
    ]


def test_the_same_answer_is_kept_once_and_a_new_one_beside_it(desk: Desk, lesson_id: int) -> None:
    hit(desk, lesson_id, "before", *BEFORE)
    hit(desk, lesson_id, "with_change", *WITH)
    judge_lesson(desk, lesson_id)
    judge_lesson(desk, lesson_id)
    assert [kept.version for kept in desk.book.judgements(lesson_id)] == ["1.2.3"]
    hit(desk, lesson_id, "with_change", "96.1 216 1R")
    judge_lesson(desk, lesson_id)
    assert len(desk.book.judgements(lesson_id)) == 2


def test_a_shot_left_out_has_a_reason_and_comes_back(desk: Desk, lesson_id: int) -> None:
    hit(desk, lesson_id, "before", *BEFORE)
    hit(desk, lesson_id, "with_change", *WITH)
    first = desk.book.shots(lesson_id)[0]
    with pytest.raises(InputError) as error:
        leave_out(desk, first.id, "  ")
    assert str(error.value) == (
        "A shot can't be left out without a reason. Choose a reason, or type one."
    )
    assert leave_out(desk, first.id, " misread ").left_out_reason == "misread"
    answer = lesson_view(desk, lesson_id).answer
    assert answer is not None
    assert (answer.blocks[0].n_shots, answer.blocks[0].n_left_out) == (5, 1)
    assert take_back(desk, first.id).left_out_reason is None
    answer = lesson_view(desk, lesson_id).answer
    assert answer is not None
    assert answer.blocks[0].n_left_out == 0


def test_going_back_to_before_begins_a_block_of_its_own(desk: Desk, lesson_id: int) -> None:
    hit(desk, lesson_id, "before", BEFORE[0])
    hit(desk, lesson_id, "with_change", WITH[0])
    hit(desk, lesson_id, "before", BEFORE[1])
    blocks = desk.book.blocks(lesson_id)
    assert [block.label for block in blocks] == ["before", "with the change", "before"]
    shots = desk.book.shots(lesson_id)
    assert table_of(shots, blocks).blocks == ("before", "with the change", "before")


def test_one_label_with_two_roles_is_told_apart(desk: Desk, lesson_id: int) -> None:
    hit(desk, lesson_id, "before", BEFORE[0])
    hit(desk, lesson_id, "with_change", WITH[0])
    hit(desk, lesson_id, "before", BEFORE[1])
    blocks = desk.book.blocks(lesson_id)
    set_role(desk, blocks[2].id, "other")
    names = block_names(desk.book.blocks(lesson_id))
    assert list(names.values()) == ["before (block 1)", "with the change", "before (block 3)"]


def test_units_may_differ_between_balls(desk: Desk, lesson_id: int) -> None:
    block = block_for(desk, lesson_id, "before")
    type_shot(desk, block.id, "200", ("carry",))
    type_shot(desk, block.id, "200", ("carry:m",))
    shots = table_of(desk.book.shots(lesson_id), desk.book.blocks(lesson_id))
    assert shots.readings["carry"].unit == "yd"
    assert shots.readings["carry"].values == pytest.approx([200.0, 200 / 0.9144])


@pytest.mark.parametrize(
    ("line", "says"),
    [
        (
            "",
            "The line is empty. Type club speed in mph, carry in yd, offline in yd, "
            "with blanks between.",
        ),
        (
            "92 205 4R 7",
            "The line has 4 values, but 3 are expected. Type club speed in mph, carry in yd, "
            "offline in yd, with blanks between.",
        ),
        (
            "- - -",
            "The line has no value. Type club speed in mph, carry in yd, offline in yd, "
            "with blanks between.",
        ),
        (
            "92 far 4R",
            "'far' is not a value of carry. Type a number, with R or L behind it for a side.",
        ),
        (
            "920 205 4R",
            "Club speed 920 mph can't be. Check the number, the order of the values and the unit.",
        ),
    ],
)
def test_a_line_that_cannot_be_read_writes_nothing(
    desk: Desk, lesson_id: int, line: str, says: str
) -> None:
    block = block_for(desk, lesson_id, "before")
    with pytest.raises(InputError) as error:
        type_shot(desk, block.id, line, FIELDS)
    assert str(error.value) == says
    assert desk.book.shots(lesson_id) == ()


def test_words_and_marks_in_a_typed_line(desk: Desk, lesson_id: int) -> None:
    block = block_for(desk, lesson_id, "before")
    shot = type_shot(desk, block.id, " 92,4   -  12 L ", FIELDS)
    assert shot.club == "Driver"
    assert {key: (r.value, r.unit) for key, r in shot.values.items()} == {
        "club_speed": (92.4, "mph"),
        "offline": (-12.0, "yd"),
    }


def test_names_are_needed(desk: Desk, lesson_id: int) -> None:
    with pytest.raises(InputError, match=r"The student has no name\. Type a name\."):
        add_student(desk, name=" ", hand="left")
    with pytest.raises(InputError, match=r"The block has no name\. Type one, such as: before\."):
        add_block(desk, lesson_id, label="", role="before")


def test_the_sheet_carries_the_student_and_the_answer_is_kept(desk: Desk, lesson_id: int) -> None:
    hit(desk, lesson_id, "before", *BEFORE)
    hit(desk, lesson_id, "with_change", *WITH)
    printed = sheet(desk, lesson_id, "us-letter").decode()
    assert printed.startswith("Ada Nowhere|2026-05-04|push|False|us-letter|Keep it: ")
    assert len(desk.book.judgements(lesson_id)) == 1


def test_earlier_lessons_of_the_same_club_teach_the_usual_spread(
    desk: Desk, lesson_id: int
) -> None:
    hit(desk, lesson_id, "before", *BEFORE * 3)
    hit(desk, lesson_id, "with_change", *WITH * 3)
    student_id = desk.book.lesson(lesson_id).student_id
    later = add_lesson(desk, student_id, change="push", club="Driver")
    other_club = add_lesson(desk, student_id, change="push", club="7-iron")
    for lesson in (later, other_club):
        hit(desk, lesson.id, "before", *BEFORE)
        hit(desk, lesson.id, "with_change", *WITH)
    first, second, third = (
        lesson_view(desk, one).answer for one in (lesson_id, later.id, other_club.id)
    )
    assert first is not None
    assert second is not None
    assert third is not None
    assumed = "assumed from players in general"
    assert any(assumed in note for note in first.notes)
    assert not any(assumed in note for note in second.notes)
    assert any(assumed in note for note in third.notes)
