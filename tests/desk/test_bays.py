"""What the coach does with bays: added, pointed, switched, moved, undone, withdrawn."""

import re
from dataclasses import replace
from datetime import timedelta

import pytest

from leadfoot.desk import bays, switching
from leadfoot.desk import lesson as deeds
from leadfoot.desk.desk import Desk
from leadfoot.desk.live_shots import LiveShot
from leadfoot.desk.records import Lesson
from leadfoot.errors import BookError, InputError, NotInBookError
from leadfoot.shots.shot import Reading


@pytest.fixture
def lesson(desk: Desk) -> Lesson:
    student = deeds.add_student(desk, name="Ida Invented", hand="right")
    return deeds.add_lesson(desk, student.id, title="", change="soft block", club="driver")


def ball(key: str, carry_yd: float = 200.0, club: str | None = None) -> LiveShot:
    return LiveShot(key=key, club=club, values={"carry": Reading(value=carry_yd, unit="yd")})


def test_a_token_is_shown_once_and_kept_nowhere(desk: Desk, lesson: Lesson) -> None:
    new = bays.add_bay(desk, "bay-1", lesson_id=lesson.id)
    assert re.fullmatch(r"[A-Za-z0-9_-]{43}", new.token)  # 32 bytes: 256 bits
    assert new.token not in repr(desk.book)
    assert new.bay.token_digest not in repr(new.bay)
    assert bays.admitted(desk, "bay-1", new.token) == new.bay
    assert bays.admitted(desk, "bay-1", new.token + "x") is None
    assert bays.admitted(desk, "bay-2", new.token) is None
    other = bays.add_bay(desk, "bay-2")
    assert bays.admitted(desk, "bay-1", other.token) is None
    bays.withdraw_bay(desk, "bay-1")
    assert bays.admitted(desk, "bay-1", new.token) is None
    again = bays.add_bay(desk, "bay-1")
    assert bays.admitted(desk, "bay-1", new.token) is None
    assert bays.admitted(desk, "bay-1", again.token) == again.bay


@pytest.mark.parametrize("name", ["", "Bay", "a/b", "-a", "a-", "a" * 41, "bay 1", "bay\n"])
def test_a_name_that_can_not_stand_in_an_address_is_refused(desk: Desk, name: str) -> None:
    with pytest.raises(InputError, match="can't be the name of a bay"):
        bays.add_bay(desk, name)


def test_an_unknown_bay_is_named_with_those_there_are(desk: Desk) -> None:
    with pytest.raises(InputError, match="Add it first: leadfoot bay add bay-1"):
        bays.bay_named(desk, "bay-1")
    bays.add_bay(desk, "left")
    with pytest.raises(InputError, match="Use one of: left"):
        bays.point_bay(desk, "bay-1", None)


def test_balls_follow_the_switch(desk: Desk, lesson: Lesson) -> None:
    bay = bays.add_bay(desk, "bay-1", lesson_id=lesson.id).bay
    assert bays.running_role(desk, bay) == "before"
    first = bays.arrive(desk, bay, ball("1"))
    assert (first.role, first.shot.club) == ("before", "driver")
    assert switching.switch_block(desk, lesson.id, "before").id == first.shot.block_id
    cue = switching.switch_block(desk, lesson.id, "with_change")
    assert (cue.label, cue.role) == ("soft block", "with_change")
    # No ball yet: the coach only corrects the press.
    assert switching.switch_block(desk, lesson.id, "other").id == cue.id
    assert switching.switch_block(desk, lesson.id, "with_change").id == cue.id
    second = bays.arrive(desk, bay, ball("2", club="7 iron"))
    assert (second.role, second.shot.club) == ("with_change", "7 iron")
    back = switching.switch_block(desk, lesson.id, "before")
    assert back.place == 3
    assert bays.running_role(desk, bay) == "before"


def test_a_switch_before_the_first_ball(desk: Desk, lesson: Lesson) -> None:
    bay = bays.add_bay(desk, "bay-1", lesson_id=lesson.id).bay
    switching.switch_block(desk, lesson.id, "other")
    assert bays.arrive(desk, bay, ball("1")).role == "other"


def test_undo_leaves_the_last_ball_that_counts_out(desk: Desk, lesson: Lesson) -> None:
    bay = bays.add_bay(desk, "bay-1", lesson_id=lesson.id).bay
    with pytest.raises(InputError, match="There is no ball to undo"):
        bays.undo_last(desk, lesson.id)
    shots = [bays.arrive(desk, bay, ball(str(k))).shot for k in range(3)]
    assert bays.undo_last(desk, lesson.id).id == shots[2].id
    undone = bays.undo_last(desk, lesson.id)
    assert (undone.id, undone.left_out_reason) == (shots[1].id, "undone")
    # It was sent again: it is the same ball, still undone.
    again = bays.arrive(desk, bay, ball("1"))
    assert (again.is_new, again.shot.left_out_reason) == (False, "undone")
    assert deeds.take_back(desk, shots[1].id).left_out_reason is None


def test_a_ball_moves_into_another_block(desk: Desk, lesson: Lesson) -> None:
    bay = bays.add_bay(desk, "bay-1", lesson_id=lesson.id).bay
    shot = bays.arrive(desk, bay, ball("1")).shot
    cue = switching.switch_block(desk, lesson.id, "with_change")
    assert bays.move_shot(desk, shot.id, cue.id).block_id == cue.id


def test_two_bays_hit_for_one_lesson(desk: Desk, lesson: Lesson) -> None:
    pair = [bays.add_bay(desk, name, lesson_id=lesson.id).bay for name in ("left", "right")]
    assert bays.bays_of(desk, lesson.id) == tuple(pair)
    for bay in pair:
        assert bays.arrive(desk, bay, ball("1")).is_new
    assert len(desk.book.shots(lesson.id)) == 2
    bays.point_bay(desk, "left", None)
    assert [bay.name for bay in bays.bays_of(desk, lesson.id)] == ["right"]


def test_the_answer_is_kept_once_the_bay_is_quiet(desk: Desk, lesson: Lesson) -> None:
    bay = bays.add_bay(desk, "bay-1", lesson_id=lesson.id).bay
    keeper = bays.AnswerKeeper(desk, after_s=4.0)
    for role in ("before", "with_change"):
        switching.switch_block(desk, lesson.id, role)
        for k in range(4):
            arrived = bays.arrive(desk, bay, ball(f"{role} {k}", 200.0 + k))
            keeper.note([arrived.shot.lesson_id], now_s=10.0)
    assert keeper.keep_due(13.0) == 0
    assert desk.book.judgements(lesson.id) == ()
    assert keeper.keep_due(14.0) == 1
    assert len(desk.book.judgements(lesson.id)) == 1
    assert keeper.keep_due() == 0


def test_an_answer_that_could_not_be_kept_is_due_again(desk: Desk) -> None:
    troubles: list[Exception] = [
        BookError("The book is busy.", fix="Wait."),
        NotInBookError("lesson", 1),
    ]

    def keep(lesson_id: int) -> None:
        if troubles:
            raise troubles.pop(0)

    keeper = bays.AnswerKeeper(desk, after_s=4.0, keep=keep)
    keeper.note([1], now_s=0.0)
    with pytest.raises(BookError):
        keeper.keep_due(5.0)
    assert keeper.keep_due(6.0) == 1  # it was erased meanwhile: that is no trouble
    assert keeper.keep_due() == 0


def test_what_a_killed_desk_left_to_be_kept_is_found(desk: Desk, lesson: Lesson) -> None:
    bay = bays.add_bay(desk, "bay-1", lesson_id=lesson.id).bay
    assert bays.lessons_behind(desk) == ()
    for role in ("before", "with_change"):
        switching.switch_block(desk, lesson.id, role)
        for k in range(4):
            bays.arrive(desk, bay, ball(f"{role} {k}", 200.0 + k))
    assert bays.lessons_behind(desk) == (lesson.id,)
    now = desk.clock()
    later = replace(desk, clock=lambda: now + timedelta(seconds=9))
    deeds.judge_lesson(later, lesson.id)
    assert bays.lessons_behind(later) == ()
    much_later = replace(desk, clock=lambda: now + timedelta(days=3))
    bays.arrive(desk, bay, ball("late"))
    assert bays.lessons_behind(much_later) == ()
